"""Checks of Cinderlane. Importing this package loads nothing."""
