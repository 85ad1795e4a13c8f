"""One point of what a film is worth for reading a run."""

from __future__ import annotations

from dataclasses import dataclass

GOOD_TILT_DEG = 1.0
"""A tilt of the ground in the picture that nobody sees (own)."""


@dataclass(frozen=True)
class Finding:
    """A point in words. ``topic``: which one. ``good``: no loss.

    ``value``: what was measured, None where it can't be told. From the film alone: "rate" in frames per
    second, "spacing" the longest interval in s, "size" the height of the picture in pixels, "camera" the
    furthest shift of the background in pixels, "tilt" of the ground in deg, about, "blur" in pixels, "pace"
    in body heights per second, "interlaced" the first frame met that is, "sizes" the first met of another
    size. From the marks: "athlete" the metres that a pixel is, "tilt" in deg, "room" in metres past the last
    place that is read; "marks" where there are none that serve.
    """

    topic: str
    good: bool
    value: float | None
    sentence: str
