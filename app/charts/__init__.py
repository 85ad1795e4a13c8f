"""Charts of a reading."""
