"""The bands that a new project starts with: wide on purpose, common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable

from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, applying
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.posture import Moment
from analysis.values.run import Athlete, Run
from analysis.values.words import tr

SOURCE = "common practice, no source"
"""What every starting band says of where it comes from."""

_Row = tuple[str, Moment, int, int | None, float, float]
_ROWS: tuple[_Row, ...] = (
    ("spine_bend_deg", Moment.SET, 0, 0, 0.0, 30.0),
    ("hip_share", Moment.PUSH, 0, 0, 0.60, 1.00),
    ("trunk_lead_deg", Moment.PUSH, 0, 0, -5.0, 8.0),
    ("trunk_opening_deg", Moment.PUSH, 0, 0, -5.0, 25.0),
    ("trunk_deg", Moment.TOE_OFF, 0, 0, 35.0, 65.0),
    ("trunk_deg", Moment.TOE_OFF, 2, 2, 40.0, 70.0),
    ("trunk_deg", Moment.TOE_OFF, 3, 3, 40.0, 75.0),
    ("trunk_deg", Moment.TOE_OFF, 4, None, 45.0, 85.0),
    ("trunk_shin_match_deg", Moment.TOE_OFF, 0, 0, -15.0, 15.0),
    ("touchdown_distance_m", Moment.TOUCHDOWN, 1, 1, -0.40, 0.05),
    ("touchdown_distance_m", Moment.TOUCHDOWN, 2, 2, -0.30, 0.15),
    ("touchdown_distance_m", Moment.TOUCHDOWN, 3, 3, -0.20, 0.25),
    ("touchdown_distance_m", Moment.TOUCHDOWN, 4, None, -0.10, 0.35),
    ("shin_deg", Moment.TOUCHDOWN, 1, 1, 30.0, 65.0),
    ("shin_deg", Moment.TOUCHDOWN, 2, 2, 40.0, 75.0),
    ("shin_deg", Moment.TOUCHDOWN, 3, 3, 45.0, 85.0),
    ("shin_deg", Moment.TOUCHDOWN, 4, None, 55.0, 95.0),
    ("knee_gap_m", Moment.TOUCHDOWN, 1, None, -0.20, 0.40),
)


def starting_bands() -> BandTable:
    """The starting bands, for adults from a standing split-stance start."""
    bands = tuple(
        Band(measure, moment, first, last, low, high, tr(SOURCE))
        for measure, moment, first, last, low, high in _ROWS
    )
    group = BandGroup(age=AgeGroup.ADULT, stance=Stance.SPLIT)
    return BandTable("starting", tr("Starting bands"), 1, BandOrigin.STARTING, bands, group)


def bands_for(run: Run, athlete: Athlete | None, tables: Iterable[BandTable] = ()) -> tuple[BandTable, ...]:
    """The tables of bands that count for a run: those given, and the starting bands after them."""
    return applying((*tables, starting_bands()), run, athlete)
