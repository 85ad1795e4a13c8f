"""Sound with clicks at known moments, and a source that hands it over as a microphone does."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np

from analysis.voice.sound import RATE_HZ, Samples
from analysis.voice.take import Block

_CLICK = (24_000 * np.sin(2 * np.pi * 2000 * np.arange(96) / RATE_HZ)).astype(np.int16)
"""Two milliseconds of 2 kHz."""


def clicks_of(at_s: Iterable[float], lasts_s: float) -> Samples:
    """Silence of a length with a click at each moment."""
    sound = np.zeros(round(lasts_s * RATE_HZ), dtype=np.int16)
    for moment in at_s:
        begin = round(moment * RATE_HZ)
        part = sound[begin : begin + len(_CLICK)]
        part[:] = _CLICK[: len(part)]
    return sound


def clicks_in(sound: Samples) -> list[float]:
    """At which moments clicks begin, in s."""
    loud = np.flatnonzero(np.abs(sound.astype(np.int32)) > 6000)
    begins = loud[np.diff(loud, prepend=-RATE_HZ) > RATE_HZ // 20]
    return [float(begin / RATE_HZ) for begin in begins]


class SoundFromFile:
    """A source of sound (``analysis.voice.take.SoundIn``) that plays samples instead of hearing any.

    Time stands until ``go_on`` is called. ``rate``: seconds of sound in a second of the clock, as where the
    crystal of a microphone is not that of the machine. ``late_s``: so much later each block is handed over.
    ``lost``: numbers of blocks that never come.
    """

    def __init__(
        self,
        sound: Samples,
        *,
        begin_s: float = 1234.5,
        rate: float = 1.0,
        late_s: float = 0.0,
        lost: Sequence[int] = (),
        block: int = 480,
    ) -> None:
        self._sound, self._rate, self._late_s = sound, rate, late_s
        self._lost, self._block = set(lost), block
        self._begin = self._now = begin_s
        self._next = 0
        self._heard: Callable[[Block], None] | None = None

    def start(self, heard: Callable[[Block], None]) -> None:
        self._heard = heard

    def stop(self) -> None:
        self._heard = None

    def now_s(self) -> float:
        return self._now

    @property
    def listening(self) -> bool:
        """Whether somebody hears what it plays."""
        return self._heard is not None

    def go_on(self, by_s: float) -> None:
        """Let time pass, and hand over what was heard in it."""
        self._now += by_s
        while self._heard is not None and self._next * self._block < len(self._sound):
            begin = self._next * self._block
            part = self._sound[begin : begin + self._block]
            at_s = self._begin + begin / RATE_HZ / self._rate
            whole_s = at_s + len(part) / RATE_HZ / self._rate
            if whole_s + self._late_s > self._now + 1e-9:
                return
            if self._next not in self._lost:
                self._heard(Block(part.astype(np.float32) / 32767, at_s))
            self._next += 1
