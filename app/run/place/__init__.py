"""Marks, camera, lens and place of a run: what the coach sees of them and says of them."""
