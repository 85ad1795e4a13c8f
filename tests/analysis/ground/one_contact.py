"""One contact alone, for tests."""

from __future__ import annotations

from analysis.ground.place import place_contacts


def place_shoes(ground, points, sides):
    """Places of points on the shoe of one contact."""
    (places,) = place_contacts(ground, [points], [sides])
    return places
