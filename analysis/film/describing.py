"""What is in a film, as plain values for JSON."""

from __future__ import annotations

from typing import Any

from analysis.values.film import Film


def describe(film: Film) -> dict[str, Any]:
    """Facts of a film for people who script.

    ``times_s``: capture time of each shown frame in s, the first 0; ``width``, ``height``: in pixels as
    shown; ``container_rate_hz``: frames per second at which it plays; ``capture_rate_hz``: at which it was
    filmed, or None where nothing says so, with ``rate_source`` and ``rate_said_by``; ``rotation_deg``: turn
    of the stored picture, anticlockwise, then ``mirrored`` left to right; ``notes``: sentences.
    """
    width, height = film.shown_size
    return {
        "frames": film.frames,
        "times_s": [float(time) for time in film.facts.times.seconds],
        "width": width,
        "height": height,
        "container_rate_hz": film.container_rate_hz,
        "capture_rate_hz": film.capture_rate_hz,
        "rate_source": film.rate_source.value,
        "rate_said_by": film.rate_said_by.value,
        "rotation_deg": film.rotation_deg,
        "mirrored": film.mirrored,
        "notes": list(film.notes),
    }
