"""Work that joins files and values: for the command line and the window alike."""
