"""Where body points are on every frame of a stretch, followed between those on which they were placed."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import IntEnum
from functools import cached_property

import numpy as np
import numpy.typing as npt

from analysis.values.camera import CameraPath
from analysis.values.film import FrameNumber
from analysis.values.run import POINT_NAMES, BodyPoint, Direction

Floats = npt.NDArray[np.float64]

METHOD = "limbs-7"
"""The way in which points are followed (analysis/derive/following): another word whenever the same input may
give other tracks."""


class Standing(IntEnum):
    """How a point came to where it is on a frame."""

    NONE = 0  # not known there
    PLACED = 1  # the coach placed it on this very frame
    FOLLOWED = 2  # seen in the pictures from the placed frames on
    GUESSED = 3  # hidden, or lost: taken from the frames on either side


@dataclass(frozen=True, eq=False)
class Tracks:
    """Followed points of one stretch of a film, in pixels as shown. Arrays are read-only.

    ``first``: the frame of the first row. ``names``: p point names. ``places``: (n, p, 2) u, v, NaN where not
    known. ``u_px``: (n, p) standard uncertainty along each axis. ``standing``: (n, p), ``Standing``.
    ``memory``: (p,), over how many frames the error of a point loses all but 1/e of what it was. ``key``:
    digest of film, placed points and method. ``placed``: the points from which they were followed.
    ``behind``: frames on which points were placed, moved or taken away since; around them nothing is known.
    """

    key: str
    first: FrameNumber
    names: tuple[str, ...]
    places: Floats
    u_px: Floats
    standing: npt.NDArray[np.uint8]
    memory: Floats
    placed: tuple[BodyPoint, ...] = ()
    behind: tuple[FrameNumber, ...] = ()

    def __post_init__(self) -> None:
        for array in (self.places, self.u_px, self.standing, self.memory):
            array.setflags(write=False)

    def __eq__(self, other: object) -> bool:
        """True where both come from the same film, points and method."""
        return self.key == other.key if isinstance(other, Tracks) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.key)

    def __len__(self) -> int:
        return len(self.places)

    @property
    def last(self) -> int:
        """The frame of the last row."""
        return self.first + len(self.places) - 1

    @cached_property
    def _columns(self) -> dict[str, int]:
        return {name: column for column, name in enumerate(self.names)}

    def point(self, frame: int, name: str) -> BodyPoint | None:
        """A point on a frame with its standard uncertainty as its error; None where it is not known."""
        column = self._columns.get(name)
        line = frame - self.first
        if column is None or not 0 <= line < len(self.places) or not self.standing[line, column]:
            return None
        u, v = self.places[line, column]
        return BodyPoint(FrameNumber(frame), name, float(u), float(v), float(self.u_px[line, column]))

    def guessed(self, frame: int, name: str) -> bool:
        """Whether a point is a guess on that frame."""
        column, line = self._columns.get(name), frame - self.first
        inside = column is not None and 0 <= line < len(self.places)
        return inside and self.standing[line, column] == Standing.GUESSED


def followable(points: Iterable[BodyPoint], first: int, last: int) -> tuple[BodyPoint, ...]:
    """The points of a stretch that have a known name, a proper place and error; by frame and name."""
    kept = [
        p
        for p in points
        if first <= p.frame <= last
        and p.name in POINT_NAMES
        and math.isfinite(p.u + p.v + p.error_px)
        and p.error_px > 0
    ]
    return tuple(sorted(kept, key=lambda p: (p.frame, p.name)))


def stretch_of(points: Iterable[BodyPoint], first: int, last: int) -> tuple[int, int] | None:
    """First and last frame of ``first`` to ``last`` that hold points; None for fewer than two frames."""
    frames = [int(p.frame) for p in followable(points, first, last)]
    return (min(frames), max(frames)) if frames and min(frames) < max(frames) else None


def tracks_key(
    fingerprint: str,
    first: int,
    last: int,
    points: Iterable[BodyPoint],
    direction: Direction,
    camera: CameraPath | None,
) -> str:
    """The digest under which tracks are kept: of the film, the method's version, the stretch with the points
    in it, the direction of the run and the way of the camera.
    """
    digest = hashlib.sha256(f"{METHOD} {fingerprint} {first} {last} {direction.value}".encode())
    if camera is not None:
        digest.update(f"|{camera.kind.value} {camera.reference} {camera.first}".encode())
        digest.update(np.ascontiguousarray(camera.maps).tobytes())
    for p in followable(points, first, last):
        digest.update(f"|{p.frame} {p.name} {p.u!r} {p.v!r} {p.error_px!r}".encode())
    return digest.hexdigest()


def changed_frames(tracks: Tracks, points: Iterable[BodyPoint]) -> tuple[FrameNumber, ...]:
    """The frames on which ``points`` are others than those from which the tracks were followed."""
    return tuple(sorted({p.frame for p in set(tracks.placed) ^ set(points)}))


def still_holding(tracks: Tracks, points: Iterable[BodyPoint]) -> Tracks:
    """The tracks as far as they hold for ``points``: without what lies between the frames with points on
    either side of a point of theirs that changed; the frames of all changes stand in ``behind``.
    """
    now = tuple(points)
    behind = changed_frames(tracks, now)
    if not behind:
        return tracks
    other = set(tracks.placed) ^ set(now)
    kept = sorted({int(p.frame) for p in now} - set(map(int, behind)))
    standing = tracks.standing.copy()
    for frame in {p.frame for p in other if p.name in tracks.names}:
        begin = max((f for f in kept if f < frame), default=int(tracks.first) - 1)
        end = min((f for f in kept if f > frame), default=tracks.last + 1)
        standing[max(0, begin + 1 - tracks.first) : max(0, end - tracks.first)] = Standing.NONE
    told = sorted((p.frame, p.name, p.u, p.v, p.error_px) for p in other)
    digest = hashlib.sha256(f"{tracks.key} {told}".encode()).hexdigest()
    return replace(tracks, key=digest, standing=standing, behind=behind)
