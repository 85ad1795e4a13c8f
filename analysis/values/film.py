"""What is known of a film: frozen facts, safe in any thread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import NewType

import numpy as np
import numpy.typing as npt

from analysis.values.errors import FilmError, FrameError
from analysis.values.words import tr

FrameNumber = NewType("FrameNumber", int)
"""The ordinal of a shown picture in presentation order, from 0."""

NANOSECOND = Fraction(1, 1_000_000_000)


class RateSource(StrEnum):
    """Where the capture rate comes from."""

    TIMES = "times"  # the presentation times are the capture times
    METADATA = "metadata"  # the camera wrote it into the file
    COACH = "coach"  # the coach said so


class RateWitness(StrEnum):
    """Who or what says at how many frames a second a film was taken."""

    NOBODY = "nobody"  # it plays as slow motion would, and nothing tells whether it is
    TIMES = "times"  # it plays faster than slow motion is stored to play
    CAMERA = "camera"  # the camera wrote it into the file, also where both rates are the same
    COACH = "coach"


_COARSE = 0.05
"""Where the unit of a file's clock is more than this share of a frame interval, rounding counts."""


@dataclass(frozen=True)
class FrameTimes:
    """Capture times of the shown frames, kept as integers.

    ``pts``: presentation times as stored, strictly rising; ``time_base``: seconds of *capture* time in one
    unit of ``pts`` (the container's time base, times container rate over capture rate for slow motion).
    Time 0 is the first shown frame.
    """

    pts: tuple[int, ...]
    time_base: Fraction

    def __post_init__(self) -> None:
        if not self.pts:
            raise FilmError(tr("The film holds no picture. Choose another film."))
        if any(b <= a for a, b in zip(self.pts, self.pts[1:], strict=False)):
            raise FilmError(tr("The times of the film's frames do not rise. Export the film again."))
        if self.time_base <= 0:
            raise FilmError(tr("The film's clock does not run forwards. Export the film again."))

    @classmethod
    def from_seconds(cls, times_s: Sequence[float]) -> FrameTimes:
        """Times given in seconds, kept to the nanosecond."""
        return cls(tuple(round(t * 1e9) for t in times_s), NANOSECOND)

    def __len__(self) -> int:
        return len(self.pts)

    @cached_property
    def seconds(self) -> npt.NDArray[np.float64]:
        """Capture time of each frame in s, shape (frames,), read-only; the first is 0."""
        first = self.pts[0]
        scale = self.time_base
        ticks = np.array([p - first for p in self.pts], dtype=np.float64)
        times = ticks * scale.numerator / scale.denominator
        times.setflags(write=False)
        return times

    def at(self, frame: int) -> float:
        """Capture time of a frame in s. Raises FrameError outside the film."""
        return float(self.seconds[self.checked(frame)])

    def interval_before(self, frame: int) -> float:
        """Seconds between the frame before ``frame`` and ``frame``; the first frame takes the next interval.

        Raises FrameError outside the film or where the film is a single picture.
        """
        frame = self.checked(frame)
        if len(self.pts) < 2:
            raise FrameError(tr("The film is a single picture: there is no time between frames."))
        later = max(frame, 1)
        return float(self.seconds[later] - self.seconds[later - 1])

    def last_at_or_before(self, time_s: float) -> FrameNumber:
        """The frame shown at a capture time: the last at or before it; the first before the film begins."""
        place = int(np.searchsorted(self.seconds, time_s + 1e-9, side="right")) - 1
        return FrameNumber(max(0, place))

    def checked(self, frame: int) -> int:
        """``frame`` itself. Raises FrameError when the film does not hold it."""
        if not 0 <= frame < len(self.pts):
            raise FrameError(
                tr("Frame {frame} is not in the film, which has frames 0 to {last}.").format(
                    frame=frame, last=len(self.pts) - 1
                )
            )
        return frame

    @cached_property
    def median_rate_hz(self) -> float | None:
        """Frames per second of capture time, from the median interval; None for a single picture."""
        if len(self.pts) < 2:
            return None
        return 1.0 / float(np.median(np.diff(self.seconds)))

    @cached_property
    def rounded_to_s(self) -> float:
        """The unit of the file's clock in s of capture time, where it is coarse and times are rounded to it;
        else 0. Times that are whole units by themselves, as those of AVI, are not rounded.
        """
        steps = np.diff(self.pts)
        usual = float(np.median(steps)) if len(steps) else 0.0
        if not usual or usual * _COARSE >= 1.0:
            return 0.0
        beside = np.abs(steps - usual) <= 1.0
        return float(self.time_base) if len(np.unique(steps[beside])) > 1 else 0.0


@dataclass(frozen=True)
class FilmFacts:
    """What a reading needs to know of a film.

    ``width``, ``height``: of the shown picture in (square) pixels, after rotation and pixel aspect.
    """

    times: FrameTimes
    width: int
    height: int

    @property
    def frames(self) -> int:
        """How many pictures are shown."""
        return len(self.times)


@dataclass(frozen=True)
class IndexEntry:
    """One shown frame of the file: its stored presentation time and whether decoding can begin there."""

    pts: int
    key: bool


@dataclass(frozen=True)
class Film:
    """Frozen facts of a video file.

    ``index``: shown frames in presentation order. ``time_base``: the container's, s per unit of pts.
    ``rotation_deg``: turn to be applied to the stored picture, anticlockwise, 0, 90, 180 or 270.
    ``mirrored``: the picture is flipped left to right after the turn. ``pixel_aspect``: width over height of
    a stored pixel. ``stream``: position of the video stream in the file.
    ``container_rate_hz``: frames per second at which the file plays. ``capture_rate_hz``: frames per second
    at which it was filmed, or None where nothing says so. ``rate_said_by``: whose word that rate has.
    ``fingerprint``: digest that tells films apart.
    ``notes``: sentences for the coach about the file. ``counted``: the file doesn't say when each frame is
    shown; frames are counted from the first and take the times of decoding in order. ``reordered``: how many
    pictures at the most, up to 4, are decoded before one that is shown earlier. ``colours``: by which
    standard the first picture is coded, and in which range, as the decoding library counts them.
    """

    path: str
    index: tuple[IndexEntry, ...]
    time_base: Fraction
    stream: int
    stored_width: int
    stored_height: int
    rotation_deg: int
    mirrored: bool
    pixel_aspect: Fraction
    container_rate_hz: float
    capture_rate_hz: float | None
    rate_source: RateSource
    rate_said_by: RateWitness
    fingerprint: str
    codec: str = ""
    notes: tuple[str, ...] = field(default=())
    counted: bool = False
    reordered: int = 0
    colours: tuple[int, int] = (2, 0)

    @cached_property
    def facts(self) -> FilmFacts:
        """The film as a reading sees it: capture times and size as shown."""
        rate = self.capture_rate_hz
        scale = Fraction(1)
        if rate is not None and self.rate_source is not RateSource.TIMES:
            plays_at = Fraction(self.container_rate_hz).limit_denominator(100_000)
            scale = plays_at / Fraction(rate).limit_denominator(1000)
        times = FrameTimes(tuple(entry.pts for entry in self.index), self.time_base * scale)
        return FilmFacts(times, *self.shown_size)

    @property
    def shown_size(self) -> tuple[int, int]:
        """Width and height of the shown picture in square pixels."""
        width, height = round(self.stored_width * self.pixel_aspect), self.stored_height
        return (height, width) if self.rotation_deg in (90, 270) else (width, height)

    @property
    def frames(self) -> int:
        """How many pictures the film shows."""
        return len(self.index)
