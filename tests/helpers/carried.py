"""Numbers taken apart into their errors."""

from __future__ import annotations

from analysis.ground.carried import Carried, Source


def error_components(number: Carried) -> dict[Source, float]:
    """The standard uncertainty that comes from each source."""
    return {source: abs(change) * source.u for source, change in number.derivatives.items()}
