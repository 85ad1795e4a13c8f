"""Cinderlane without a screen: film, marks and reading. Importing this package loads nothing."""
