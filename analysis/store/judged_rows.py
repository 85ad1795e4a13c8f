"""Rows of what runs are judged by: conditions, bands, typical errors and the coach's own word."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from analysis.store.cells import Row, finite, finite_or_none
from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, Better
from analysis.values.comparison import PublishedError
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.posture import Moment
from analysis.values.questions import Overruling, Question

_PLAIN = ("day", "surface", "shoe", "rep", "cue")
_REAL = ("load_kg", "wind_m_s")


def conditions_row(conditions: Conditions) -> Row:
    """The columns of a run's conditions."""
    return {name: getattr(conditions, name) for name in (*_PLAIN, *_REAL)} | {"stance": conditions.stance}


def conditions_of(row: Mapping[str, Any]) -> Conditions:
    """The conditions that a run's row holds."""
    stance = None if row["stance"] is None else Stance(row["stance"])
    held: Row = {name: row[name] for name in _PLAIN} | {name: finite_or_none(row[name]) for name in _REAL}
    return Conditions(stance=stance, **held)


def overruling_row(overruled: Overruling | None) -> Row:
    """The columns of the coach's word against a reading."""
    if overruled is None:
        return {"overruled_question": None, "overruled_reason": None}
    return {"overruled_question": overruled.question, "overruled_reason": overruled.reason}


def overruling_of(row: Mapping[str, Any]) -> Overruling | None:
    """The coach's word that a run's row holds."""
    question, reason = row["overruled_question"], row["overruled_reason"]
    if reason is None:
        return None
    return Overruling(None if question is None else Question(question), reason)


def band_table_row(table: BandTable) -> Row:
    """The row of a table of bands, without its bands."""
    group = table.group
    return {
        "id": table.id,
        "name": table.name,
        "version": table.version,
        "origin": table.origin,
        "sex": group.sex,
        "sport": group.sport,
        "age": group.age,
        "stance": group.stance,
        "athlete_id": table.athlete_id,
        "runs": table.runs,
        "made_at": table.made_at,
    }


def band_rows(table: BandTable) -> list[Row]:
    """The rows of a table's bands, in their order."""
    return [
        {
            "band_table_id": table.id,
            "position": position,
            "measure": band.measure,
            "moment": band.moment,
            "first_step": band.first_step,
            "last_step": band.last_step,
            "low": band.low,
            "high": band.high,
            "source": band.source,
            "better": band.better,
        }
        for position, band in enumerate(table.bands)
    ]


def band_table_of(row: Mapping[str, Any], bands: Sequence[Mapping[str, Any]]) -> BandTable:
    """The table of bands that a row and those of its bands hold."""
    age = None if row["age"] is None else AgeGroup(row["age"])
    stance = None if row["stance"] is None else Stance(row["stance"])
    held = tuple(_band_of(b) for b in sorted(bands, key=lambda b: int(b["position"])))
    group = BandGroup(row["sex"], row["sport"], age, stance)
    origin = BandOrigin(row["origin"])
    whose = group, row["athlete_id"], row["runs"], row["made_at"]
    return BandTable(row["id"], row["name"], row["version"], origin, held, *whose)


def published_row(error: PublishedError) -> Row:
    """The row of a typical error from elsewhere."""
    return {"id": error.id, "typical_error": error.typical_error, "source": error.source}


def published_of(row: Mapping[str, Any]) -> PublishedError:
    """The typical error from elsewhere that a row holds."""
    return PublishedError(row["id"], finite(row["typical_error"]), row["source"])


def _band_of(row: Mapping[str, Any]) -> Band:
    better = None if row["better"] is None else Better(row["better"])
    place = row["measure"], Moment(row["moment"]), row["first_step"], row["last_step"]
    ends = finite_or_none(row["low"]), finite_or_none(row["high"])
    return Band(*place, *ends, row["source"], better)
