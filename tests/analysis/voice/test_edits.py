"""A passage spoken again, and one recording made two: sound, frames and strokes go together."""

import pytest

from analysis.values.errors import NarrationError
from analysis.values.film import FrameNumber
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown
from analysis.voice.edits import split, spoken_again
from analysis.voice.sound import decoded, encoded
from tests.helpers.clicks import clicks_in, clicks_of

AT_S = (0.5, 1.5, 2.5, 3.5)


def shown(t_s, frame):
    return Shown(t_s, FrameNumber(frame))


def recording(name, at_s, lasts_s, frames, strokes=()):
    return Recording(name, encoded(clicks_of(at_s, lasts_s)), lasts_s, frames, strokes)


@pytest.fixture
def four():
    """A click and a frame further at each half second; a stroke from 0.6 s, wiped at 2.2 s."""
    frames = (shown(0.0, 0), *(shown(t, n + 1) for n, t in enumerate(AT_S)))
    stroke = PenStroke((PenPoint(0.6, 1.0, 2.0), PenPoint(1.8, 3.0, 4.0)), 2.2)
    return recording("old", AT_S, 4.0, frames, (stroke,))


def together(one):
    clicks = clicks_in(decoded(one.sound))
    changes = [each.t_s for each in one.playhead[1:]]
    return clicks == pytest.approx(changes, abs=0.004)


def test_a_passage_is_replaced_by_a_longer_one(four):
    again = recording("new", (0.25, 1.75), 2.0, (shown(0.0, 40), shown(0.25, 41), shown(1.75, 42)))
    made = spoken_again(four, 1.0, 2.0, again)
    assert made.id == "new"
    assert made.lasts_s == pytest.approx(5.0)
    assert clicks_in(decoded(made.sound)) == pytest.approx([0.5, 1.25, 2.75, 3.5, 4.5], abs=0.004)
    assert [(round(s.t_s, 6), s.frame) for s in made.playhead] == (
        [(0.0, 0), (0.5, 1), (1.0, 40), (1.25, 41), (2.75, 42), (3.0, 2), (3.5, 3), (4.5, 4)]
    )
    before, after = made.strokes
    assert before.until_s == pytest.approx(1.0)  # what was drawn before goes where the new passage begins
    assert len(before.points) == 1
    assert made.strokes_at(2.0) == ()
    assert len(made.strokes_at(3.1)[0].points) == 2
    assert after.until_s == pytest.approx(3.2)


def test_the_end_is_spoken_again(four):
    again = recording("new", (0.5,), 1.0, (shown(0.0, 8), shown(0.5, 9)))
    made = spoken_again(four, 2.0, four.lasts_s, again)
    assert clicks_in(decoded(made.sound)) == pytest.approx([0.5, 1.5, 2.5], abs=0.004)
    assert [s.frame for s in made.playhead] == [0, 1, 2, 8, 9]


@pytest.mark.parametrize("ends", [(2.0, 1.0), (-0.1, 1.0), (1.0, 4.5)])
def test_ends_that_can_not_be_are_refused(four, ends):
    with pytest.raises(NarrationError, match="from where to where"):
        spoken_again(four, *ends, four)


def test_two_parts_are_the_whole(four):
    first, second = split(four, 2.0, ("a", "b"))
    assert (first.id, second.id) == ("a", "b")
    assert first.lasts_s + second.lasts_s == pytest.approx(4.0)
    assert together(first)
    assert together(second)
    assert [s.frame for s in first.playhead] == [0, 1, 2]
    assert [(round(s.t_s, 6), s.frame) for s in second.playhead] == [(0.0, 2), (0.5, 3), (1.5, 4)]
    (stays,) = first.strokes
    assert stays.until_s is None
    (goes,) = second.strokes
    assert [p.t_s for p in goes.points] == [0.0, 0.0]
    assert goes.until_s == pytest.approx(0.2)


@pytest.mark.parametrize("at_s", [0.0, 0.1, 3.9, 9.0])
def test_next_to_nothing_is_no_part(four, at_s):
    with pytest.raises(NarrationError, match="away from both ends"):
        split(four, at_s, ("a", "b"))
