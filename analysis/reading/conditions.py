"""Whether runs were made under the same conditions, and what is said where not."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.values.about import About
from analysis.values.reading import Reading
from analysis.values.words import tr

WIND_M_S = 1.0
"""Winds that are farther apart than this are other conditions, m/s (own assumption)."""


def same_athlete(readings: Sequence[Reading]) -> bool:
    """Whether all runs are one known athlete's."""
    ids = {reading.about.athlete_id for reading in readings}
    return len(ids) == 1 and None not in ids


def differing(readings: Sequence[Reading]) -> list[str]:
    """The conditions that are known of runs and not the same, in words. What nobody noted does not differ."""
    abouts = [reading.about for reading in readings]
    named = (
        (tr("start stance"), [a.conditions.stance for a in abouts]),
        (tr("front foot"), [a.front_side for a in abouts]),
        (tr("load"), [a.conditions.load_kg for a in abouts]),
        (tr("surface"), [a.conditions.surface or None for a in abouts]),
        (tr("shoe"), [a.conditions.shoe or None for a in abouts]),
    )
    found = [name for name, values in named if len({v for v in values if v is not None}) > 1]
    return found + ([tr("wind")] if _winds_apart(abouts) else [])


def _winds_apart(abouts: Sequence[About]) -> bool:
    winds = [a.conditions.wind_m_s for a in abouts if a.conditions.wind_m_s is not None]
    return bool(winds) and max(winds) - min(winds) > WIND_M_S


def one_day(before: Sequence[Reading], after: Sequence[Reading]) -> bool:
    """Whether all runs are known to be of one day."""
    return len(days := {r.about.conditions.day for r in (*before, *after)}) == 1 and days != {""}


def condition_notes(
    before: Sequence[Reading], after: Sequence[Reading], other: Sequence[str], *, barred: bool
) -> tuple[str, ...]:
    """What stands between the two sides, in sentences."""
    notes = []
    if other:
        words = (
            tr("Not compared, for the conditions are others: {names}. Allow it to compare all the same.")
            if barred
            else tr("Compared although the conditions are others: {names}.")
        )
        notes.append(words.format(names=", ".join(other)))
    if not same_athlete([*before, *after]):
        notes.append(
            tr("The runs are of two athletes, or nobody said whose they are: that one changed is not asked.")
        )
    elif min(len(before), len(after)) < 2:
        notes.append(
            tr(
                "With one run on a side it can be told that the runs differ, not that the athlete changed. "
                "Film three runs a day."
            )
        )
    if one_day(before, after):
        notes.append(tr("All on one day: warm-up and practice may explain a change."))
    return tuple(notes)
