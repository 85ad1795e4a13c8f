"""Numbers and days as people type them."""

from __future__ import annotations

import math
from datetime import date, datetime

from analysis.values.errors import CinderlaneError
from analysis.values.words import tr


def typed_number(text: str, unit: str = "") -> float:
    """The number in a text, a comma as good as a point, with its unit or without; NaN where it is none."""
    try:
        number = float(text.replace(",", ".").replace(unit, "").strip())
    except ValueError:
        return math.nan
    return number if math.isfinite(number) else math.nan


def typed_day(text: str) -> str:
    """The day in a text as ISO 8601 has it, year-month-day; empty for none. Raises CinderlaneError."""
    text = text.strip()
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError as error:
        words = tr("{text} is no day. Write year-month-day, such as 2026-03-20.")
        raise CinderlaneError(words.format(text=text)) from error


def today() -> str:
    """The coach's own day, as ISO 8601 has it."""
    return date.today().isoformat()  # noqa: DTZ011 - where the coach is


def now() -> str:
    """The coach's own day and time to the minute, as ISO 8601 has them."""
    return datetime.now().isoformat(timespec="minutes")  # noqa: DTZ005 - where the coach is
