"""Pixels to metres through the marks that the coach placed, and how errors are carried along."""
