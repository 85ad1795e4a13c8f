"""Microphone and loudspeaker of the machine, through the package ``sounddevice`` where it is installed."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Protocol

import numpy as np

from analysis.values.errors import NarrationError
from analysis.values.words import tr
from analysis.voice.sound import RATE_HZ, Samples
from analysis.voice.take import Block, SoundIn


class SoundOut(Protocol):
    """Where sound goes to."""

    silent: bool
    """Whether nothing is heard: time alone goes on."""

    def start(self, samples: Samples, from_s: float) -> None:
        """Play from a time on."""

    def stop(self) -> None:
        """Play no more. May be called twice."""

    def heard_s(self) -> float:
        """Which time of the sound is heard now."""


class Microphone:
    """The machine's own microphone. Raises NarrationError where there is none, and says what to do."""

    def __init__(self) -> None:
        self._device = _sounddevice()
        self._stream: Any = None
        self._heard: Callable[[Block], None] | None = None

    def start(self, heard: Callable[[Block], None]) -> None:
        """Listen. Raises NarrationError where the microphone can't be heard."""
        self._heard = heard
        try:
            self._stream = self._device.InputStream(
                samplerate=RATE_HZ, channels=1, dtype="float32", callback=self._came
            )
            self._stream.start()
        except (self._device.PortAudioError, OSError, ValueError) as error:
            self.stop()
            raise NarrationError(
                tr(
                    "No microphone can be heard. Connect one, allow the program to hear it, and try again; "
                    "until then the words of the stops serve as captions."
                )
            ) from error

    def stop(self) -> None:
        """Listen no more."""
        self._heard = None
        if self._stream is not None:
            self._stream.close()
            self._stream = None

    def now_s(self) -> float:
        """The present, by the clock of the sound card's driver."""
        return 0.0 if self._stream is None else float(self._stream.time)

    def _came(self, samples: Any, count: int, when: Any, status: object) -> None:
        """Sound has come; called on a thread of the driver's."""
        heard, stream = self._heard, self._stream
        if heard is None:
            return
        at_s = float(when.inputBufferAdcTime)
        if at_s <= 0 and stream is not None:  # some drivers leave it out
            at_s = float(stream.time) - float(stream.latency) - count / RATE_HZ
        heard(Block(np.array(samples[:, 0], dtype=np.float32), at_s))


class Loudspeaker:
    """The machine's own loudspeaker. Raises NarrationError where there is none."""

    silent = False

    def __init__(self) -> None:
        self._device = _sounddevice()
        self._stream: Any = None
        self._samples: Samples = np.zeros(0, dtype=np.int16)
        self._next = 0
        self._anchor = (0.0, 0.0)  # a moment by the driver's clock, and which time of the sound is heard then

    def start(self, samples: Samples, from_s: float) -> None:
        """Play. Raises NarrationError where nothing can be played."""
        self.stop()
        self._samples, self._next = samples, round(from_s * RATE_HZ)
        try:
            self._stream = self._device.OutputStream(
                samplerate=RATE_HZ, channels=1, dtype="int16", callback=self._wanted
            )
            self._anchor = (float(self._stream.time) + float(self._stream.latency), from_s)
            self._stream.start()
        except (self._device.PortAudioError, OSError, ValueError) as error:
            self.stop()
            raise NarrationError(tr("Nothing can be played: there is no loudspeaker.")) from error

    def stop(self) -> None:
        """Play no more."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None

    def heard_s(self) -> float:
        """Which time of the sound is heard now."""
        if self._stream is None:
            return self._anchor[1]
        at_s, sound_s = self._anchor
        return max(0.0, sound_s + float(self._stream.time) - at_s)

    def _wanted(self, out: Any, count: int, when: Any, status: object) -> None:
        """More sound is wanted; called on a thread of the driver's."""
        if float(when.outputBufferDacTime) > 0:
            self._anchor = (float(when.outputBufferDacTime), self._next / RATE_HZ)
        part = self._samples[self._next : self._next + count]
        out[: len(part), 0] = part
        out[len(part) :, 0] = 0
        self._next += count


class Silence:
    """Plays nothing: time goes on, so that the film can be looked at without a loudspeaker."""

    silent = True

    def __init__(self, now: Callable[[], float] = time.perf_counter) -> None:
        self._now = now
        self._from = (now(), 0.0)
        self._runs = False

    def start(self, samples: Samples, from_s: float) -> None:
        self._from, self._runs = (self._now(), from_s), True

    def stop(self) -> None:
        self._from, self._runs = (self._now(), self.heard_s()), False

    def heard_s(self) -> float:
        began, from_s = self._from
        return from_s + (self._now() - began if self._runs else 0.0)


def microphone() -> SoundIn:
    """The machine's microphone. Raises NarrationError where none can be had."""
    return Microphone()


def loudspeaker() -> SoundOut:
    """The machine's loudspeaker, or silence where there is none."""
    try:
        return Loudspeaker()
    except NarrationError:
        return Silence()


def _sounddevice() -> Any:
    """The package, brought in when it is wanted: it is not needed for anything else."""
    try:
        import sounddevice
    except (ImportError, OSError) as error:  # OSError: the package is there, the library below it is not
        raise NarrationError(
            tr(
                "To speak over a film the package sounddevice is wanted: install it with "
                "“pip install sounddevice”, on Linux with the library PortAudio (libportaudio2) below it, "
                "and start again. Until then the words of the stops serve as captions."
            )
        ) from error
    return sounddevice
