"""Speech as a small sound file in memory and back: Opus (RFC 6716) in Ogg (RFC 7845), one channel, 48 kHz."""

from __future__ import annotations

import io
from fractions import Fraction

import av
import numpy as np
import numpy.typing as npt
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream

from analysis.values.errors import NarrationError
from analysis.values.words import tr

RATE_HZ = 48_000
BITS_PER_S = 64_000

Samples = npt.NDArray[np.int16]
"""Shape (n,), full scale at 32767."""


class SoundWriter:
    """Takes samples as they come and makes one sound file of them; little of it is in memory uncoded."""

    def __init__(self) -> None:
        self._file = io.BytesIO()
        self._container = av.open(self._file, "w", format="ogg", options={"fflags": "+bitexact"})
        self._stream: AudioStream = self._container.add_stream("libopus", rate=RATE_HZ, layout="mono")
        self._stream.bit_rate = BITS_PER_S
        self._count = 0

    @property
    def count(self) -> int:
        """How many samples were taken so far."""
        return self._count

    def add(self, samples: Samples) -> None:
        """The next samples."""
        if len(samples):
            frame = AudioFrame.from_ndarray(
                np.ascontiguousarray(samples[None, :]), format="s16", layout="mono"
            )
            frame.sample_rate, frame.pts, frame.time_base = RATE_HZ, self._count, Fraction(1, RATE_HZ)
            self._count += len(samples)
            self._container.mux(self._stream.encode(frame))

    def finish(self) -> bytes:
        """The file; nothing can be added any more."""
        self._container.mux(self._stream.encode(None))
        self._container.close()
        return self._file.getvalue()


def encoded(samples: Samples) -> bytes:
    """A sound file of these samples."""
    writer = SoundWriter()
    writer.add(samples)
    return writer.finish()


def decoded(sound: bytes) -> Samples:
    """The samples of any sound file, as one channel of 48 kHz. Raises NarrationError where it holds none."""
    try:
        with av.open(io.BytesIO(sound), "r") as container:
            resampler = AudioResampler(format="s16", layout="mono", rate=RATE_HZ)
            frames = [made for frame in container.decode(audio=0) for made in resampler.resample(frame)]
            frames += resampler.resample(None)
    except (av.FFmpegError, IndexError, ValueError) as error:
        raise NarrationError(
            tr("What was spoken can't be played: its sound is damaged. Speak it again.")
        ) from error
    parts = [frame.to_ndarray()[0] for frame in frames]
    return np.concatenate(parts) if parts else np.zeros(0, dtype=np.int16)
