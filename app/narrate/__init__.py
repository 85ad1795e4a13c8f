"""Stops along a film, presenting them in the whole screen, and speaking over it."""
