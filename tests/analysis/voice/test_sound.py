"""Speech as a sound file: nothing is moved in time, and other programs know the file."""

import io
import json
import subprocess

import av
import numpy as np
import pytest

from analysis.values.errors import NarrationError
from analysis.voice.sound import RATE_HZ, SoundWriter, decoded, encoded
from tests.helpers.clicks import clicks_in, clicks_of
from tests.helpers.programs import need

AT_S = (0.1, 0.5, 1.25, 1.9, 2.99)
LASTS_S = 3.0123


def test_every_click_stays_where_it_was_and_the_length_too():
    """Opus alone moves nothing (RFC 6716, 4.5: look-ahead; RFC 7845, 4.2: pre-skip takes it off)."""
    back = decoded(encoded(clicks_of(AT_S, LASTS_S)))
    assert len(back) == round(LASTS_S * RATE_HZ)
    assert clicks_in(back) == pytest.approx(AT_S, abs=0.003)


def test_samples_that_come_in_odd_pieces_make_the_same_sound():
    whole = clicks_of(AT_S, LASTS_S)
    writer = SoundWriter()
    for piece in np.array_split(whole, 97):
        writer.add(piece)
    assert writer.count == len(whole)
    assert clicks_in(decoded(writer.finish())) == pytest.approx(AT_S, abs=0.003)


def test_a_minute_is_small():
    noise = np.random.default_rng(3).normal(0, 3000, 10 * RATE_HZ).astype(np.int16)
    assert len(encoded(noise)) < 1.2 * 10 * 64_000 / 8


def test_another_program_reads_it(tmp_path):
    path = tmp_path / "spoken.ogg"
    path.write_bytes(encoded(clicks_of(AT_S, LASTS_S)))
    words = ["-v", "error", "-show_streams", "-of", "json", str(path)]
    said = subprocess.run([need("ffprobe"), *words], capture_output=True, check=True)
    (stream,) = json.loads(said.stdout)["streams"]
    assert (stream["codec_name"], stream["sample_rate"], stream["channels"]) == ("opus", "48000", 1)
    assert float(stream["duration"]) == pytest.approx(LASTS_S, abs=0.03)


def test_any_other_sound_is_taken_as_one_channel_of_48_khz():
    file, rate = io.BytesIO(), 8000
    with av.open(file, "w", format="wav") as container:
        stream = container.add_stream("pcm_s16le", rate=rate, layout="stereo")
        tone = (9000 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)).astype(np.int16)
        frame = av.AudioFrame.from_ndarray(np.repeat(tone, 2)[None, :], format="s16", layout="stereo")
        frame.sample_rate = rate
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    back = decoded(file.getvalue())
    assert len(back) == pytest.approx(RATE_HZ, abs=RATE_HZ * 0.01)
    strongest = np.argmax(np.abs(np.fft.rfft(back[:RATE_HZ]))) * RATE_HZ / len(back[:RATE_HZ])
    assert strongest == pytest.approx(440, abs=2)


@pytest.mark.parametrize("damaged", [b"", b"OggS", b"no sound at all" * 9])
def test_what_is_no_sound_is_said(damaged):
    with pytest.raises(NarrationError, match="Speak it again"):
        decoded(damaged)
