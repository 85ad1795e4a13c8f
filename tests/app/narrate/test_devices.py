"""The machine's own microphone and loudspeaker, held against a stand-in for the package ``sounddevice``.

What the stand-in does is what that package's documentation says of its streams: callbacks
``(data, frames, time, status)``, the first sample's moment in ``time.inputBufferAdcTime`` and
``time.outputBufferDacTime``, both by the clock of ``stream.time``.
"""

import sys
from types import SimpleNamespace

import numpy as np
import pytest

from analysis.values.errors import NarrationError
from analysis.voice.sound import RATE_HZ
from app.narrate.devices import Loudspeaker, Microphone, Silence, loudspeaker, microphone


class Stream:
    latency = 0.03

    def __init__(self, **how):
        self.how, self.time, self.open = how, 100.0, True

    def start(self):
        pass

    def close(self):
        self.open = False

    def heard(self, samples, at_s):
        """The driver hands over sound."""
        when = SimpleNamespace(inputBufferAdcTime=at_s)
        self.how["callback"](np.asarray(samples, np.float32)[:, None], len(samples), when, None)

    def wanted(self, count, at_s):
        """The driver asks for sound."""
        out = np.full((count, 1), 7, dtype=np.int16)
        self.how["callback"](out, count, SimpleNamespace(outputBufferDacTime=at_s), None)
        return out[:, 0].tolist()


class PortAudioError(Exception):
    pass


@pytest.fixture
def package(monkeypatch):
    """The package, with the streams that were opened."""
    opened = []

    def open_stream(**how):
        opened.append(Stream(**how))
        return opened[-1]

    stand_in = SimpleNamespace(
        InputStream=open_stream, OutputStream=open_stream, PortAudioError=PortAudioError, opened=opened
    )
    monkeypatch.setitem(sys.modules, "sounddevice", stand_in)
    return stand_in


def test_the_microphone_hands_over_sound_with_its_moment(package):
    heard, source = [], microphone()
    source.start(heard.append)
    (stream,) = package.opened
    assert (stream.how["samplerate"], stream.how["channels"], stream.how["dtype"]) == (RATE_HZ, 1, "float32")
    stream.heard([0.1, -0.2], 99.5)
    assert heard[0].samples.tolist() == pytest.approx([0.1, -0.2])
    assert heard[0].at_s == 99.5
    assert source.now_s() == 100.0
    source.stop()
    source.stop()
    assert not stream.open
    stream.heard([0.3], 101.0)  # the driver's thread may be late
    assert len(heard) == 1


def test_a_driver_that_tells_no_moment_is_believed_its_latency(package):
    heard, source = [], microphone()
    source.start(heard.append)
    package.opened[0].heard([0.0] * 480, 0.0)
    assert heard[0].at_s == pytest.approx(100.0 - 0.03 - 0.01)


def test_no_microphone_is_a_sentence(package):
    def broken(**how):
        raise PortAudioError("no device")

    package.InputStream = package.OutputStream = broken
    with pytest.raises(NarrationError, match="Connect one"):
        Microphone().start(lambda block: None)
    with pytest.raises(NarrationError, match="no loudspeaker"):
        Loudspeaker().start(np.zeros(9, np.int16), 0.0)


@pytest.mark.parametrize("trouble", [ImportError, OSError])
def test_no_package_is_a_sentence_and_silence(monkeypatch, trouble):
    """The wheel for Linux holds no PortAudio: where that is missing the import is an OSError."""

    class Finder:
        @staticmethod
        def find_spec(name, path=None, target=None):
            if name == "sounddevice":
                raise trouble("PortAudio library not found")

    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Finder, *sys.meta_path])
    with pytest.raises(NarrationError, match="pip install sounddevice"):
        microphone()
    assert loudspeaker().silent


def test_the_loudspeaker_says_what_is_heard_now(package):
    out, samples = loudspeaker(), np.arange(RATE_HZ, dtype=np.int16)
    out.start(samples, 0.5)
    (stream,) = package.opened
    assert stream.wanted(4, 100.2) == [24000, 24001, 24002, 24003]
    stream.time = 100.25  # 50 ms after that sample left
    assert out.heard_s() == pytest.approx(0.55)
    stream.time = 100.1  # it is not yet to be heard
    assert out.heard_s() == pytest.approx(0.4)
    out._next = len(samples) - 2
    assert stream.wanted(4, 101.0)[2:] == [0, 0]
    out.stop()
    out.stop()
    assert not stream.open


def test_silence_goes_on_in_time():
    now = [10.0]
    out = Silence(lambda: now[0])
    assert out.heard_s() == 0.0
    out.start(np.zeros(0, np.int16), 2.0)
    now[0] = 11.5
    assert out.heard_s() == pytest.approx(3.5)
    out.stop()
    now[0] = 20.0
    assert out.heard_s() == pytest.approx(3.5)
