"""Angles of segments and lines."""
