"""The frozen nouns that every room shares: standard library and NumPy only."""
