"""A film with sound, decoded with PyAV: clicks are heard with the pictures that they belong to."""

import io
import wave
from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.report.film_writing import write_film
from analysis.values.errors import FilmError

RATE = 48_000
CLICKS_S = (0.25, 0.9, 1.5, 2.75)
IN_STEP_S = 0.040
"""How far sound and picture may lie apart; people notice sound that is 45 ms early (ITU-R BT.1359-1)."""


def clicks(seconds, rate=RATE):
    """Silence with a short burst at each of the times, as WAV."""
    samples = np.zeros(round(seconds * rate), np.int16)
    for click in CLICKS_S:
        at = round(click * rate)
        burst = samples[at : at + rate // 100]
        burst[:] = 20_000 * np.sign(np.sin(np.arange(len(burst)) * 0.5))
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(samples.tobytes())
    return out.getvalue()


def as_opus(sound):
    """The same as Opus in Ogg, which is how speech is kept."""
    out = io.BytesIO()
    with av.open(io.BytesIO(sound)) as found, av.open(out, "w", format="ogg") as kept:
        stream = kept.add_stream("libopus", rate=RATE, layout="mono")
        stream.bit_rate = 64_000
        for frame in found.decode(audio=0):
            kept.mux(stream.encode(frame))
        kept.mux(stream.encode(None))
    return out.getvalue()


def flashes(seconds, rate_hz):
    """A white picture while each click is heard, black ones between."""
    dark, bright = (np.full((48, 64, 4), grey, np.uint8) for grey in (0, 255))
    for n in range(round(seconds * rate_hz)):
        near = any(click <= (n + 0.5) / rate_hz < click + 0.1 for click in CLICKS_S)
        yield bright if near else dark


def rising(times, levels, threshold):
    """The times at which a level comes above a threshold."""
    above = np.asarray(levels) > threshold
    return np.asarray(times)[1:][above[1:] & ~above[:-1]]


@pytest.mark.parametrize(
    ("rate", "coded", "rate_hz"),
    [(48_000, bytes, Fraction(60)), (44_100, bytes, Fraction(30)), (48_000, as_opus, Fraction(60))],
)
def test_sound_is_in_step_with_the_pictures(tmp_path, rate, coded, rate_hz):
    path = tmp_path / "a.mp4"
    write_film(path, flashes(3.2, rate_hz), rate_hz, sound=coded(clicks(3.2, rate)))
    with av.open(str(path)) as container:
        pictures = [(float(f.time), f.to_ndarray(format="gray").mean()) for f in container.decode(video=0)]
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        assert (stream.codec_context.name, stream.codec_context.sample_rate) == ("aac", RATE)
        heard = [(float(f.time), f.to_ndarray()[0]) for f in container.decode(stream)]
    times = np.concatenate([begin + np.arange(len(samples)) / RATE for begin, samples in heard])
    # the loudest within 5 ms, so that the swing of a click is one
    level = np.abs(np.concatenate([samples for _, samples in heard]))
    coarse = level[: len(level) // 240 * 240].reshape(-1, 240).max(axis=1)
    sound = rising(times[::240][: len(coarse)], coarse, 0.2)
    light = rising(*zip(*pictures, strict=True), 128)
    assert len(sound) == len(light) == len(CLICKS_S)
    assert np.abs(sound - light).max() < IN_STEP_S
    assert np.abs(sound - np.array(CLICKS_S)).max() < 0.012  # a block of AAC is 21 ms long


def test_a_sound_that_lasts_longer_than_the_pictures_is_cut_near_their_end(tmp_path):
    path = tmp_path / "a.mp4"
    write_film(path, flashes(1.0, 30), Fraction(30), sound=clicks(3.2))
    with av.open(str(path)) as container:
        assert container.duration / av.time_base == pytest.approx(1.0, abs=0.06)


def test_nothing_tells_who_made_it_or_when(tmp_path):
    path = tmp_path / "a.mp4"
    write_film(path, flashes(0.5, 30), Fraction(30), sound=clicks(0.5))
    with av.open(str(path)) as container:
        known = [container.metadata, *(stream.metadata for stream in container.streams)]
    assert not {"creation_time", "encoder", "title", "artist", "comment", "location"} & set().union(*known)
    content = path.read_bytes()
    for word in (b"Lavf", b"Lavc", b"x264", b"/tmp", str(tmp_path).encode()):
        assert word not in content


def test_what_is_no_sound_is_said_and_not_a_broken_film(tmp_path):
    with pytest.raises(FilmError, match="Speak it again"):
        write_film(tmp_path / "a.mp4", flashes(0.5, 30), Fraction(30), sound=b"no sound at all" * 10)
