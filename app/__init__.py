"""The window of Cinderlane. Importing this package loads nothing."""
