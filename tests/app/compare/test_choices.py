"""What was chosen for two runs outlives the program, and a damaged file of settings costs no more than it."""

import json

import pytest

from analysis.reading.laying import Lock, LockKind
from analysis.reading.lock import EventKind, Moment
from app.compare.choices import MOST, Choice, Choices, SideChoice
from app.settings import Settings

CHOICE = Choice(
    SideChoice("a", 0.0125, 3),
    SideChoice("b", -0.5, -12, mirrored=True),
    Lock(LockKind.EVENT, Moment(EventKind.TOUCHDOWN, 4)),
    same_scale=False,
)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "settings.json"


def kept(path, *choices):
    settings = Settings(path)
    held = Choices(settings)
    for choice in choices:
        held.keep(choice)
    settings.save()
    return Choices(Settings(path))


def test_a_choice_comes_back_the_way_up_that_is_asked_for(path):
    again = kept(path, CHOICE)
    assert again.of("a", "b") == CHOICE
    assert again.of("b", "a") == CHOICE.swapped()
    assert again.of("a", "c") is None


def test_one_run_beside_itself(path):
    alone = Choice(SideChoice("a", 0.5, 2), SideChoice("a"))
    assert kept(path, CHOICE, alone).of("a", "a") == alone


def test_the_last_partner_of_a_run_that_is_still_known(path):
    later = Choice(SideChoice("c"), SideChoice("a"))
    again = kept(path, CHOICE, later)
    assert again.last_with("a", {"a", "b", "c"}) == later
    assert again.last_with("a", {"a", "b"}) == CHOICE
    assert again.last_with("a", {"a"}) is None
    assert later.other("a") == "c"


def test_the_newest_pairs_are_kept(path):
    choices = [Choice(SideChoice("a"), SideChoice(f"r{n}")) for n in range(MOST + 1)]
    again = kept(path, *choices, choices[1])
    assert again.of("a", "r0") is None
    assert again.of("a", "r1") is not None
    assert again.last_with("a", {"a", *(f"r{n}" for n in range(MOST + 1))}) == choices[1]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda one: one.pop("lock"),
        lambda one: one["lock"].update(kind="by chance"),
        lambda one: one["lock"]["moment"].update(step="x"),
        lambda one: one["upper"].update(slip_s=float("nan")),
        lambda one: one["upper"].update(slip_frames=None),
        lambda one: one.update(lower=[]),
    ],
)
def test_a_choice_that_cannot_be_read_is_left_out(path, spoil):
    kept(path, Choice(SideChoice("c"), SideChoice("d")), CHOICE)
    stored = json.loads(path.read_text())
    spoil(stored["compared"][1])
    path.write_text(json.dumps(stored))
    again = Choices(Settings(path))
    assert again.of("a", "b") is None
    assert again.of("c", "d") is not None
    path.write_text('{"compared": [3, null, "x"]}')
    assert Choices(Settings(path)).of("a", "b") is None
