"""The reading in words: where it began, the four questions, what would settle it."""
