"""Sample films of an invented athlete, rendered together with their exact truth."""
