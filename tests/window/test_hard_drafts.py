"""Films that are hard to draft, in the real window: what was found is shown, what was not is said.

The contacts that are expected are those with which the films were drawn.
"""

import pytest

from tests.helpers.capsule_runs import events_of
from tests.helpers.hard_runs import SEEN_TO, hard_frames, plain_run, write_frames

WITHIN = 3  # frames at 120 a second


@pytest.fixture
def draft(coach, window, tmp_path):
    """Draws a film, opens it and drafts it by key; the sentences over the film and the drafts on the run."""

    def drafted(kind):
        assert window.open_path(write_frames(tmp_path / "run.mp4", hard_frames(kind)))
        coach.wait_for_picture()
        coach.press("Ctrl+D")
        finder = coach.workspace.drafts.finder
        coach.qtbot.waitUntil(lambda: not finder.busy)
        bar = coach.workspace.drafts.bar
        return (bar.words.text() if bar.isVisible() else ""), coach.bench.run.footfalls

    return drafted


def seen_of(footfalls, run):
    """How many of a drawn run's contacts have a draft at their touchdown."""
    downs = [round(on * run.fps) for on, *_ in events_of(run)]
    return [any(abs(f.touchdown - down) <= WITHIN for f in footfalls if f.touchdown) for down in downs]


def test_a_panning_film_is_drafted(draft):
    words, footfalls = draft("panning")
    assert all(seen_of(footfalls, plain_run(pan=True)))
    assert "to confirm" in words


def test_of_two_runners_one_is_drafted_and_it_is_said(draft):
    words, footfalls = draft("two")
    assert "More than one body runs here" in words
    assert len(footfalls) >= 3


def test_a_cut_is_said_and_the_run_before_it_drafted(draft):
    words, footfalls = draft("cut")
    assert f"cut at frame {plain_run().frames}" in words
    assert all(seen_of(footfalls, plain_run()))


def test_ground_outside_the_picture_is_said_and_nothing_invented(draft, coach):
    words, footfalls = draft("no ground")
    assert "ground under the runner is not in the picture" in words
    assert footfalls == ()
    assert not coach.workspace.beside.strip.isVisible()


def test_a_runner_who_leaves_is_drafted_as_far_as_seen(draft):
    words, footfalls = draft("leaving")
    assert "leaves the picture" in words
    run = plain_run()
    shown = [u < (SEEN_TO - 0.04) * run.width for _, _, u, _ in events_of(run)]
    assert any(shown)
    assert all(found for found, was in zip(seen_of(footfalls, run), shown, strict=True) if was)
