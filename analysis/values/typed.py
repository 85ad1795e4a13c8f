"""Numbers as people type them."""

from __future__ import annotations

import math


def typed_number(text: str, unit: str = "") -> float:
    """The number in a text, a comma as good as a point, with its unit or without; NaN where it is none."""
    try:
        number = float(text.replace(",", ".").replace(unit, "").strip())
    except ValueError:
        return math.nan
    return number if math.isfinite(number) else math.nan
