"""Drafts of footfalls as JSON, of one film or of a folder."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

from analysis.derive.footfalls import Draft, DraftFootfall, draft_footfalls
from analysis.film import open_film
from analysis.values.camera import Lens
from analysis.values.errors import CinderlaneError, FilmError, MarkError
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.run import Direction, GroundMark
from analysis.values.words import tr

FILMS = (".mp4", ".mov", ".m4v", ".mkv", ".avi", ".webm")


def read_marks(path: Path) -> tuple[GroundMark, ...]:
    """Marks of a file ``{"marks": [{"x_m": 0.0, "u": 93.0, "v": 402.5}, ...]}``.

    ``u``, ``v``: px of the film's first frame, origin at the top left; ``y_m`` (0) is the height above
    ground. Raises MarkError, with a sentence, where it is no such file.
    """
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise MarkError(tr("The marks can't be read: {path} is not there.").format(path=path.name)) from error
    except ValueError as error:
        raise MarkError(tr("The marks can't be read: {path} is no JSON.").format(path=path.name)) from error
    listed = held.get("marks") if isinstance(held, dict) else None
    if not isinstance(listed, list):
        raise MarkError(tr('The marks can\'t be read: {path} holds no list "marks".').format(path=path.name))
    marks = tuple(_mark(number, one) for number, one in enumerate(listed, 1))
    if len({mark.x_m for mark in marks}) < 2:
        raise MarkError(
            tr("Two marks of different distance are needed at least. Add some, or leave marks out.")
        )
    return marks


def _mark(number: int, one: object) -> GroundMark:
    try:
        if not isinstance(one, dict):
            raise TypeError
        x_m, u, v, y_m = _numbers(one)
    except (KeyError, TypeError, ValueError) as error:
        raise MarkError(tr("Mark {number} needs the numbers x_m, u and v.").format(number=number)) from error
    return GroundMark(f"mark-{number}", x_m, y_m, FrameNumber(0), u, v)


def _numbers(one: dict[str, object]) -> tuple[float, float, float, float]:
    values = []
    for key in ("x_m", "u", "v", "y_m"):
        value = one.get(key, 0.0) if key == "y_m" else one[key]
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise ValueError(key)
        values.append(float(value))
    return values[0], values[1], values[2], values[3]


def draft_of(
    clip: Path,
    marks: tuple[GroundMark, ...] = (),
    direction: Direction | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
    lens: Lens | None = None,
) -> dict[str, object]:
    """The draft of one film, ready for JSON. Times in s of capture from the first shown frame.

    ``lens``: the film's, where it is known. Raises FilmError, MissingFilmError or MarkError.
    """
    film = open_film(clip)
    draft = draft_footfalls(film, marks, direction, progress=progress, stopped=stopped, lens=lens)
    return as_json(draft, film.facts.times)


def as_json(draft: Draft, times: FrameTimes) -> dict[str, object]:
    """A draft as JSON holds it; ``..._s`` lie half an interval before their frames."""
    start = draft.start
    return {
        "direction": None if draft.direction is None else draft.direction.value,
        "start": {
            "first_movement_frame": start.first_movement,
            "rear_toe_off_frame": start.rear_toe_off,
            "front_toe_off_frame": start.front_toe_off,
            "rear_toe_off_s": _event_s(times, start.rear_toe_off),
            "front_toe_off_s": _event_s(times, start.front_toe_off),
        },
        "footfalls": [_footfall(one, times) for one in draft.footfalls],
        "notes": list(draft.notes),
    }


def _footfall(one: DraftFootfall, times: FrameTimes) -> dict[str, object]:
    out: dict[str, object] = {
        "side": one.side.value,
        "touchdown_s": _event_s(times, one.touchdown),
        "toe_off_s": _event_s(times, one.toe_off),
        "touchdown_frame": one.touchdown,
        "toe_off_frame": one.toe_off,
    }
    if one.x_m is not None:
        out["x_m"] = round(one.x_m, 3)
    return out | {
        "u": round(one.u, 1),
        "v": round(one.v, 1),
        "seen_at_frame": one.seen_at,
        "confidence": one.confidence,
    }


def _event_s(times: FrameTimes, frame: int | None) -> float | None:
    if frame is None:
        return None
    frame = min(frame, len(times) - 1)
    return round(times.at(frame) - times.interval_before(frame) / 2, 6)


def draft_folder(
    folder: Path,
    marks: tuple[GroundMark, ...] = (),
    direction: Direction | None = None,
    lens: Lens | None = None,
) -> dict[str, object]:
    """Drafts of all films of a folder, by name; a film that can't be read has its sentence under ``error``.

    Marks beside a film (``NAME.marks.json``) go before those given for all. ``lens``: of all these films.
    """
    films = sorted(one for one in folder.iterdir() if one.suffix.lower() in FILMS) if folder.is_dir() else []
    if not films:
        raise FilmError(tr("There is no film in {folder}.").format(folder=folder.name or str(folder)))
    out: dict[str, object] = {}
    for one in films:
        own = one.with_suffix(".marks.json")
        try:
            beside = read_marks(own) if own.exists() else marks
            out[one.name] = draft_of(one, beside, direction, lens=lens)
        except CinderlaneError as error:
            out[one.name] = {"error": str(error)}
    return {"films": out}
