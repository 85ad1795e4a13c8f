"""Two runs side by side: two films under one clock, two rails on one axis."""
