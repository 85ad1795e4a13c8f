"""Colours, type, spacing and icons: named once, used everywhere."""
