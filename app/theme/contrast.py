"""Contrast of two colours as WCAG 2.2 defines it."""

from __future__ import annotations

TEXT_AA = 4.5
"""Least ratio of text to its ground (WCAG 2.2, 1.4.3)."""

GRAPHICS_AA = 3.0
"""Least ratio of a control, its state or a meaningful graphic to what lies beside it (WCAG 2.2, 1.4.11)."""


def luminance(colour: str) -> float:
    """Relative luminance, 0 to 1, of a colour written ``#RRGGBB``."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, 1 to 21, of two colours written ``#RRGGBB``."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
