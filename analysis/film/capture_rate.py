"""At how many frames a second a film plays, and at how many it was filmed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from statistics import median_low

from analysis.film.camera_box import CameraBox
from analysis.values.errors import FilmError
from analysis.values.film import RateSource, RateWitness
from analysis.values.words import tr

CAMERA_KEYS = ("com.android.capture.fps",)
"""Names under which cameras write the rate of filming, in frames per second."""

SAME_RATE = 0.05
"""Rates that differ by a smaller share are the same: a camera told 30 gives 29.97."""

COACH_SAME_RATE = 0.10
"""A coach names the camera's setting, from which a phone in poor light falls short by some per cent (own)."""

SLOW_MOTION_PLAYS_BELOW_HZ = 31.0
"""Slow motion is stored to play at film or television rates, of which 30 is the highest in use."""

_RATES_HZ = (1.0, 20_000.0)


@dataclass(frozen=True)
class CaptureRate:
    """Frames per second of filming (None: nothing says so), where the times come from, who says so, and what
    to tell the coach.
    """

    rate_hz: float | None
    source: RateSource
    said_by: RateWitness
    notes: tuple[str, ...] = ()


def container_rate(pts: Sequence[int], time_base: Fraction) -> float:
    """Frames per second at which the film plays: one over the mean of its ordinary intervals.

    The mean, since rounding of stored times (1 ms in some files) spoils the median; without gaps and
    doubled frames, which spoil the mean. 0 for a single picture.
    """
    if len(pts) < 2:
        return 0.0
    steps = [later - earlier for earlier, later in pairwise(pts)]
    middle = median_low(steps)  # one of the intervals, so that at least that one is ordinary
    ordinary = [step for step in steps if middle / 2 < step < middle * 1.5]
    return float(len(ordinary) / (sum(ordinary) * time_base))


def capture_rate(
    plays_at_hz: float,
    metadata: Mapping[str, str],
    coach_rate_hz: float | None = None,
    box: CameraBox | None = None,
) -> CaptureRate:
    """The rate of filming: the coach's word, else the camera's, else that of the stored times.

    ``metadata``, ``box``: where cameras write it.

    Raises FilmError for a rate at which nothing can be filmed.
    """
    if coach_rate_hz is not None:
        if not _RATES_HZ[0] <= coach_rate_hz <= _RATES_HZ[1]:
            raise FilmError(
                tr("No film is taken at {rate:g} frames per second. Give a rate from 1 to 20000.").format(
                    rate=coach_rate_hz
                )
            )
        if plays_at_hz and abs(coach_rate_hz / plays_at_hz - 1) < COACH_SAME_RATE:
            # not retimed: the stored times are the truth
            return _by_its_times(plays_at_hz, RateWitness.COACH)
        return CaptureRate(coach_rate_hz, RateSource.COACH, RateWitness.COACH)
    if not plays_at_hz:
        return CaptureRate(None, RateSource.TIMES, RateWitness.NOBODY)
    written = written_rate(metadata)
    if written is None and box is not None:
        written = _sensible(box.rate_hz)
    if written is not None:
        told = _from_camera(written, plays_at_hz)
        in_part = box is not None and box.slow and plays_at_hz < SLOW_MOTION_PLAYS_BELOW_HZ
        if in_part and told.source is RateSource.TIMES:
            told = _by_its_times(plays_at_hz, RateWitness.NOBODY, _slow_in_part(plays_at_hz))
        return told
    if plays_at_hz < SLOW_MOTION_PLAYS_BELOW_HZ:
        return _by_its_times(plays_at_hz, RateWitness.NOBODY, _asks(plays_at_hz))
    return _by_its_times(plays_at_hz, RateWitness.TIMES)


def _by_its_times(plays_at_hz: float, said_by: RateWitness, *notes: str) -> CaptureRate:
    return CaptureRate(plays_at_hz, RateSource.TIMES, said_by, notes)


def written_rate(metadata: Mapping[str, str]) -> float | None:
    """The rate of filming that the camera wrote into the file, in frames per second, if any."""
    for key in CAMERA_KEYS:
        try:
            rate = float(metadata[key])
        except (KeyError, ValueError):
            continue
        if _sensible(rate) is not None:
            return rate
    return None


def _sensible(rate_hz: float | None) -> float | None:
    return rate_hz if rate_hz is not None and _RATES_HZ[0] <= rate_hz <= _RATES_HZ[1] else None


def _from_camera(written_hz: float, plays_at_hz: float) -> CaptureRate:
    if abs(written_hz / plays_at_hz - 1) < SAME_RATE:
        return _by_its_times(plays_at_hz, RateWitness.CAMERA)
    note = tr(
        "The camera says that it filmed at {filmed:.4g} frames per second; the file plays at {plays:.4g}. "
        "Times are those of filming."
    ).format(filmed=written_hz, plays=plays_at_hz)
    return CaptureRate(written_hz, RateSource.METADATA, RateWitness.CAMERA, (note,))


def _slow_in_part(plays_at_hz: float) -> str:
    return tr(
        "The camera marks this film as slow motion but does not say which part of it; it plays at "
        "{plays:.4g} frames per second. Times in a part that was slowed down are too long. "
        "Film with plain slow motion at one rate, or say at how many frames per second it was filmed."
    ).format(plays=plays_at_hz)


def _asks(plays_at_hz: float) -> str:
    return tr(
        "The film plays at {plays:.4g} frames per second and nothing in the file says how it was filmed. "
        "If it was slow motion, say at how many frames per second it was filmed; else its times are right."
    ).format(plays=plays_at_hz)
