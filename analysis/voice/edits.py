"""A recording cut and joined: a passage spoken again, one split into two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.values.errors import NarrationError
from analysis.values.recording import PenStroke, Recording, Shown
from analysis.values.words import tr
from analysis.voice.sound import RATE_HZ, Samples, decoded, encoded

LEAST_S = 0.2
"""A part of a recording is no shorter."""


def spoken_again(old: Recording, begin_s: float, end_s: float, new: Recording) -> Recording:
    """``old`` with what lies between two times replaced by ``new``, however long that is; the id of ``new``.

    Raises NarrationError where the times are not in order or not within.
    """
    if not 0 <= begin_s <= end_s <= old.lasts_s + 1 / RATE_HZ:
        raise NarrationError(
            tr("Say from where to where it is spoken again: the end comes after the beginning.")
        )
    sound = decoded(old.sound)
    parts = [
        (_cut(old, sound, 0.0, begin_s)),
        (new, decoded(new.sound)),
        (_cut(old, sound, end_s, old.lasts_s)),
    ]
    return _joined(new.id, [(one, samples) for one, samples in parts if len(samples)])


def split(old: Recording, at_s: float, ids: tuple[str, str]) -> tuple[Recording, Recording]:
    """Two recordings that together are ``old``. Raises NarrationError where one would be next to nothing."""
    if not LEAST_S <= at_s <= old.lasts_s - LEAST_S:
        raise NarrationError(tr("Go to where the second part shall begin, away from both ends."))
    sound = decoded(old.sound)
    halves = [_cut(old, sound, 0.0, at_s), _cut(old, sound, at_s, old.lasts_s)]
    first, second = (
        replace(one, id=name, sound=encoded(samples))
        for (one, samples), name in zip(halves, ids, strict=True)
    )
    return first, second


def _cut(old: Recording, sound: Samples, begin_s: float, end_s: float) -> tuple[Recording, Samples]:
    """A stretch on its own, its times from its own beginning; the sound is not in it yet."""
    samples = sound[round(begin_s * RATE_HZ) : round(end_s * RATE_HZ)]
    lasts_s = len(samples) / RATE_HZ
    within = tuple(replace(one, t_s=one.t_s - begin_s) for one in old.playhead if begin_s < one.t_s < end_s)
    playhead = (replace(old.at(begin_s), t_s=0.0), *within)
    strokes = tuple(
        cut for stroke in old.strokes if (cut := _stroke_within(stroke, begin_s, end_s)) is not None
    )
    return Recording(old.id, b"", lasts_s, playhead, strokes), samples


def _stroke_within(stroke: PenStroke, begin_s: float, end_s: float) -> PenStroke | None:
    """A stroke as it is seen between two times; None where it is not."""
    if stroke.points[0].t_s >= end_s or (stroke.until_s is not None and stroke.until_s <= begin_s):
        return None
    points = tuple(
        replace(point, t_s=max(0.0, point.t_s - begin_s)) for point in stroke.points if point.t_s < end_s
    )
    until = stroke.until_s
    gone = None if until is None or until >= end_s else until - begin_s
    return PenStroke(points, gone, stroke.beside)


def _joined(recording_id: str, parts: list[tuple[Recording, Samples]]) -> Recording:
    """Parts one after the other; what was drawn in a part goes where the next one begins."""
    playhead: list[Shown] = []
    strokes: list[PenStroke] = []
    begin_s = 0.0
    for one, samples in parts:
        ends_s = begin_s + len(samples) / RATE_HZ
        playhead += [replace(shown, t_s=begin_s + shown.t_s) for shown in one.playhead]
        last = one is parts[-1][0]
        strokes += [_later(stroke, begin_s, None if last else ends_s) for stroke in one.strokes]
        begin_s = ends_s
    sound = np.concatenate([samples for _, samples in parts])
    return Recording(recording_id, encoded(sound), begin_s, tuple(playhead), tuple(strokes))


def _later(stroke: PenStroke, by_s: float, ends_s: float | None) -> PenStroke:
    points = tuple(replace(point, t_s=point.t_s + by_s) for point in stroke.points)
    return PenStroke(points, ends_s if stroke.until_s is None else stroke.until_s + by_s, stroke.beside)
