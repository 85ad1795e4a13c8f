"""Where body points are on every frame of a stretch, followed between those on which they were placed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property

import numpy as np
import numpy.typing as npt

from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint

Floats = npt.NDArray[np.float64]


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
    ``memory``: (p,), over how many frames the error of a point stays much the same. ``doubts``: sentences for
    the coach. ``key``: digest of film, placed points and method.
    """

    key: str
    first: FrameNumber
    names: tuple[str, ...]
    places: Floats
    u_px: Floats
    standing: npt.NDArray[np.uint8]
    memory: Floats
    doubts: tuple[str, ...] = ()

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


def tracks_key(fingerprint: str, method: str, first: int, last: int, points: Iterable[BodyPoint]) -> str:
    """The digest under which tracks are kept: of the film, the method's version, the stretch and the points
    in it.
    """
    digest = hashlib.sha256(f"{method} {fingerprint} {first} {last}".encode())
    for p in sorted(points, key=lambda p: (p.frame, p.name)):
        if first <= p.frame <= last:
            digest.update(f"|{p.frame} {p.name} {p.u!r} {p.v!r} {p.error_px!r}".encode())
    return digest.hexdigest()
