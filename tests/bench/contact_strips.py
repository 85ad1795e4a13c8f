"""The ground strip of a small film of one contact, and the contact found in it, as a draft would see both."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import canvas_of
from analysis.derive.footfalls.contacts import Streak, find_streaks, with_tips
from analysis.derive.footfalls.cutting import Band, BandPlace
from analysis.derive.footfalls.refine import foremost
from analysis.derive.footfalls.strip import GroundStrip, read_strip
from analysis.derive.footfalls.tint import most_distinct
from tests.bench.contact_pictures import ContactFilm

LEAST_OVERLAP = 0.3
FAR = 5.0  # body heights off: nobody is near


def seen_in(film: ContactFilm) -> tuple[GroundStrip, Streak] | None:
    """The strip and the streak of the contact; None where a draft would not have found it."""
    count, rows, width = film.luma.shape
    above = round(film.line)
    middle = (film.on + film.off) / 2
    u = film.column + film.forwards * film.pace_px * (np.arange(count) - middle)
    u[film.bare] = film.column + FAR * film.height_px
    nowhere = np.full(count, np.nan)
    body = BodyPath(u, ~film.bare, film.height_px, nowhere, nowhere, 0.0)
    canvas = canvas_of(count, width, rows, None)
    band = Band(BandPlace(0.0, film.line, above, rows - above), film.luma)
    band = most_distinct(band, film.tints, canvas, body)
    strip = read_strip(band, canvas, body, film.rate_hz)
    seconds = np.arange(count) / film.rate_hz
    found = [
        (min(film.off, one.end) - max(film.on, one.begin), one) for one in find_streaks(strip, body, seconds)
    ]
    shared, best = max(found, key=lambda pair: (pair[0], pair[1].score), default=(0.0, None))
    if best is None or shared < LEAST_OVERLAP * (film.off - film.on):
        return None
    one = with_tips([best], strip, body, seconds, film.forwards)[0]
    return strip, replace(one, tip=foremost(strip, one, film.height_px, film.forwards))
