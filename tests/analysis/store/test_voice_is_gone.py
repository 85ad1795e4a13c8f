"""A voice that was removed is not in the file any more, nor is one that was spoken anew."""

from dataclasses import replace
from random import Random

from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.film import FrameNumber
from analysis.values.recording import Recording, Shown

SOUND = Random(5).randbytes(300_000)
"""As incompressible as sound that was packed; over many pages of the file."""


def in_file(path, sound):
    content = path.read_bytes()
    return any(sound[place : place + 40] in content for place in range(0, len(sound) - 40, 997))


def put(file, old, new):
    file.commit(Command("", (Change(Kind.RECORDING, "r", old, new),)))


def test_a_voice_that_was_removed_is_not_in_the_file(tmp_path):
    path = tmp_path / "club.cinderlane"
    spoken = Recording("r", SOUND, 9.0, (Shown(0.0, FrameNumber(0)),))
    again = replace(spoken, sound=Random(6).randbytes(1000))
    with ProjectFile.create(path) as file:
        put(file, None, spoken)
        assert in_file(path, SOUND)
        put(file, spoken, again)
        assert not in_file(path, SOUND)
        assert in_file(path, again.sound)
        put(file, again, None)
        assert not in_file(path, again.sound)
