"""One tool a file: what mouse and keys do on the picture."""
