"""The sound of a film: what was spoken, taken apart and written anew as AAC, which every phone plays."""

from __future__ import annotations

import io
from collections.abc import Iterator
from fractions import Fraction

import av
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from av.codec.context import Flags
from av.container.output import OutputContainer

from analysis.values.errors import FilmError
from analysis.values.words import tr

SOUND_HZ = 48_000
_BITS_A_SECOND = 96_000


class Sound:
    """Adds a stream of sound to a film that is being written, and keeps step with its pictures."""

    def __init__(self, container: OutputContainer, sound: bytes) -> None:
        self._container = container
        self._stream: AudioStream = container.add_stream("aac", rate=SOUND_HZ, layout="mono")
        self._stream.bit_rate = _BITS_A_SECOND
        self._stream.codec_context.flags |= Flags.bitexact  # says not by what it was written
        self._frames = _samples(sound)
        self._upto_s = 0.0
        self._done = False

    def write_until(self, time_s: float) -> None:
        """Write what is heard before a time of the film."""
        while not self._done and self._upto_s <= time_s:
            frame = next(self._frames, None)
            self._container.mux(self._stream.encode(frame))
            if frame is None:
                self._done = True
            else:
                assert frame.pts is not None
                self._upto_s = float(Fraction(frame.pts + frame.samples, SOUND_HZ))

    def finish(self, time_s: float) -> None:
        """Write all of it up to the film's end."""
        self.write_until(time_s)
        if not self._done:
            self._container.mux(self._stream.encode(None))
            self._done = True


def _samples(sound: bytes) -> Iterator[AudioFrame]:
    """A sound file as frames of one channel whose times count samples from 0.

    Raises FilmError where it can't be read.
    """
    make, at = AudioResampler("fltp", "mono", SOUND_HZ), 0
    for frame in _decoded(sound):
        for made in make.resample(frame):
            yield _at(made, at)
            at += made.samples


def _decoded(sound: bytes) -> Iterator[AudioFrame | None]:
    """The frames of a sound file, and at last None."""
    try:
        with av.open(io.BytesIO(sound), "r") as container:
            yield from container.decode(audio=0)
    except (av.FFmpegError, IndexError) as error:
        raise FilmError(
            tr("What was spoken can't be read. Speak it again, or take it off the narration.")
        ) from error
    yield None


def _at(frame: AudioFrame, sample: int) -> AudioFrame:
    frame.pts, frame.time_base = sample, Fraction(1, SOUND_HZ)
    return frame
