"""Followed points that may have slipped: known too loosely, or at the end of a limb of another length."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.values.film import FrameNumber
from analysis.values.point_names import point_words
from analysis.values.posture import PointDoubt
from analysis.values.run import Footfall, limbs_among
from analysis.values.tracks import Standing, Tracks
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

LOOSE = 0.04
"""A point whose standard uncertainty is above this share of the body's height is asked about (own)."""
LOOSE_ARM = 0.12
"""... of an elbow or a wrist above this: they count for the centre of mass alone, which takes on a fortieth
of an elbow's error (masses of de Leva 1996), 3 in 1000 of the body's height, and less of a wrist's."""
SHOE_S = 0.03
"""Heel and tip of a shoe are asked about from so long before its contact, when its backward speed is read, to
so long after it; in the air nothing rests on them but a seventieth of the centre of mass."""
STRETCHED = 0.2
"""... and one at a leg's limb that is longer or shorter by this share than on the placed frames (own). Arms
swing across the picture, so their length in it tells nothing."""
ARM_POINTS, SHOE_POINTS = ("elbow", "wrist"), ("heel", "toe")
LEG_POINTS = ("hip", "knee", "ankle", "heel", "toe")
"""How the names of a leg's points end."""
LEAST_HEIGHT_PX = 60.0


def slips(tracks: Tracks, footfalls: Sequence[Footfall], seconds: Floats) -> list[PointDoubt]:
    """The most doubtful followed point of each stretch between frames with placed points, where one is
    doubtful at all and something is read from it. ``seconds``: of the film's frames.
    """
    loose, stretched = _looseness(tracks), _stretching(tracks)
    score = np.maximum(loose, stretched)
    for shoe, name in enumerate(tracks.names):
        if name.endswith(SHOE_POINTS):
            score[~_around_contacts(tracks, name, footfalls, seconds), shoe] = 0.0
    score[(tracks.standing == int(Standing.PLACED)) | (tracks.standing == int(Standing.NONE))] = 0.0
    rows = sorted({int(p.frame) - int(tracks.first) for p in tracks.placed})
    found = []
    for begin, end in pairwise(rows):
        between = score[begin + 1 : end]
        if between.size and between.max() > 1.0:
            at, column = np.unravel_index(int(np.argmax(between)), between.shape)
            row = begin + 1 + int(at)
            by_length = stretched[row, column] > loose[row, column]
            found.append(_doubt(tracks, row, int(column), by_length=bool(by_length)))
    return found


def _doubt(tracks: Tracks, row: int, column: int, *, by_length: bool) -> PointDoubt:
    frame, name = FrameNumber(int(tracks.first) + row), tracks.names[column]
    if by_length:
        words = tr("Look at frame {frame}: the {name} may have slipped, its limb changes its length.")
    elif tracks.guessed(frame, name):
        words = tr("Look at frame {frame}: the {name} is a guess, known within {px} px only.")
    else:
        words = tr("Look at frame {frame}: the {name} may have slipped, it is known within {px} px only.")
    px = round(1.96 * float(tracks.u_px[row, column]))
    return PointDoubt(frame, name, words.format(frame=frame, name=point_words(name), px=px), followed=True)


def _looseness(tracks: Tracks) -> Floats:
    """Standard uncertainty against what is asked about, (n, p); 0 where a point is not known."""
    known = np.where(np.isfinite(tracks.u_px), tracks.u_px, 0.0)
    share = np.array([LOOSE_ARM if name.endswith(ARM_POINTS) else LOOSE for name in tracks.names])
    return np.asarray(known / (share * height_px(tracks)))


def _around_contacts(
    tracks: Tracks, name: str, footfalls: Sequence[Footfall], seconds: Floats
) -> npt.NDArray[np.bool_]:
    """On which of the tracks' frames a shoe is on the ground or nearly, (n,); all where none is tagged on a
    frame of the film.
    """
    frames = range(len(seconds))
    mine = [f for f in footfalls if name.startswith(f.side.value) and f.touchdown in frames]
    if not mine:
        return np.ones(len(tracks), np.bool_)
    at = seconds[int(tracks.first) : tracks.last + 1]
    near = np.zeros(len(at), np.bool_)
    for footfall in mine:
        assert footfall.touchdown is not None
        down = float(seconds[footfall.touchdown])
        off = float(seconds[footfall.toe_off]) if footfall.toe_off in frames else down
        near |= (at >= down - SHOE_S) & (at <= off + SHOE_S)
    return near


def height_px(tracks: Tracks) -> float:
    """How high the body stands in the picture, px: from the frames with most placed points."""
    spans: dict[int, list[tuple[float, float]]] = {}
    for p in tracks.placed:
        spans.setdefault(int(p.frame), []).append((p.u, p.v))
    most = max(map(len, spans.values()), default=0)
    tall = [float(np.hypot(*np.ptp(np.array(s), axis=0))) for s in spans.values() if len(s) == most]
    return max(LEAST_HEIGHT_PX, float(np.median(tall)) if tall else 0.0)


def _stretching(tracks: Tracks) -> Floats:
    """Change of a limb's length against what is asked about, at either end of it, (n, p)."""
    out = np.zeros(tracks.standing.shape)
    rows, placed = np.arange(len(tracks)), tracks.standing == int(Standing.PLACED)
    for one, other in limbs_among(n for n in tracks.names if n.endswith(LEG_POINTS)):
        a, b = tracks.names.index(one), tracks.names.index(other)
        span = np.linalg.norm(tracks.places[:, b] - tracks.places[:, a], axis=1)
        known = np.flatnonzero(placed[:, a] & placed[:, b] & np.isfinite(span))
        if not len(known):
            continue
        usual = np.maximum(np.interp(rows, known, span[known]), 1.0)
        change = np.abs(np.log(np.maximum(span, 1.0) / usual)) / np.log1p(STRETCHED)
        change = np.where(np.isfinite(change), change, 0.0)
        for column in (a, b):
            out[:, column] = np.maximum(out[:, column], change)
    return out
