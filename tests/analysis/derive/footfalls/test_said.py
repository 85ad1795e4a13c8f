"""What is said of films that end, are cut, hold two runners or no start; each is drawn so, and so known."""

import pytest

from analysis.derive.footfalls import draft_footfalls
from analysis.derive.footfalls.notes import notes_on_start
from analysis.film import open_film
from analysis.values.film import FrameNumber
from analysis.values.run import StartPush
from tests.analysis.derive.footfalls.conftest import as_marks
from tests.helpers.capsule_runs import CapsuleFilm, drawn_run, events_of
from tests.helpers.hard_runs import RATE_HZ, Followed, hard_frames, plain_run, write_frames

LOST_S = 0.5
ENDS = 312


def said(draft):
    return " ".join(draft.notes)


@pytest.fixture(scope="module")
def long_run():
    """A run of three seconds and its frames."""
    run = plain_run(seconds=3.0)
    film = CapsuleFilm(run)
    return run, film, [film.frame(i) for i in range(run.frames)]


@pytest.fixture(scope="module")
def whole(long_run, tmp_path_factory):
    """The draft of its first ENDS frames, in the last of which the runner is in the picture."""
    path = write_frames(tmp_path_factory.mktemp("whole") / "run.mp4", long_run[2][:ENDS])
    return draft_footfalls(open_film(path))


def test_a_film_that_ends_before_the_runner_leaves_says_so(whole, long_run):
    run, film, _ = long_run
    assert film.pixel(film.points((ENDS - 1) / run.fps)["hip"], 0.0)[0] < run.width
    assert "The film ends at 2.59 s, before the runner leaves the picture" in said(whole)


def test_a_runner_who_leaves_before_the_end_is_said_to_leave(tmp_path):
    draft = draft_footfalls(open_film(write_frames(tmp_path / "run.mp4", hard_frames("leaving"))))
    assert "The runner leaves the picture" in said(draft)
    assert "The film ends" not in said(draft)


@pytest.mark.parametrize("rate", [120, 60, 30])
def test_what_is_cut_out_of_a_run_is_said_and_makes_no_event(long_run, tmp_path, rate):
    """Half a second is cut out while a foot stands: the runner is elsewhere at once, in the same scene."""
    run, _, frames = long_run
    step = round(RATE_HZ / rate)
    down, up, *_ = events_of(run)[3]
    cut = round((down + up) / 2 * rate)
    few = frames[::step]
    path = write_frames(tmp_path / "cut.mp4", [*few[:cut], *few[cut + round(LOST_S * rate) :]], rate)
    draft = draft_footfalls(open_film(path))
    assert f"The film is cut at frame {cut}" in said(draft)
    made = [frame for f in draft.footfalls for frame in (f.touchdown, f.toe_off) if frame is not None]
    assert len(made) > 4
    assert all(frame < cut for frame in made)
    standing = [f for f in draft.footfalls if f.touchdown and f.touchdown > down * rate - 2]
    assert [f.toe_off for f in standing] == [None]


def test_a_cut_in_a_panning_film_is_said(tmp_path):
    run = plain_run(pan=True, seconds=2.6)
    film = CapsuleFilm(run)
    frames = [film.frame(i) for i in range(run.frames) if not 150 <= i < 210]
    draft = draft_footfalls(open_film(write_frames(tmp_path / "cut.mp4", frames)))
    assert "cut at frame 150" in said(draft)


def test_no_cut_is_said_of_whole_films(whole, films):
    assert "is cut" not in said(whole)
    for path in films.values():
        assert "is cut" not in said(draft_footfalls(open_film(path)))


def test_two_who_run_one_behind_the_other_are_said(tmp_path, whole):
    run = plain_run(seconds=3.0)
    film = Followed(run)
    frames = [film.frame(i) for i in range(run.frames)]
    draft = draft_footfalls(open_film(write_frames(tmp_path / "two.mp4", frames)))
    assert "Two people run here, close together" in said(draft)
    assert "Two people" not in said(whole)


def test_marks_that_contradict_each_other_are_said(films, drawn):
    """Two distances at one pixel: no place can follow from them."""
    (_, u, v), *_ = drawn[1].marks
    one_pixel = as_marks([(0.0, u, v), (5.0, u, v)])
    draft = draft_footfalls(open_film(films["plain"]), one_pixel)
    assert draft.footfalls
    assert all(f.x_m is None for f in draft.footfalls)
    assert "The marks give no places in metres:" in said(draft)
    good = draft_footfalls(open_film(films["plain"]), as_marks(drawn[1].marks))
    assert "no places" not in said(good)


def test_a_run_without_a_start_says_that_none_was_found(tmp_path):
    """Seed 46 comes in running."""
    run = next(
        one
        for seed in range(40, 80)
        if (one := drawn_run(seed, RATE_HZ, small=True, direction="right", seconds=1.8)).front_s is None
    )
    film = CapsuleFilm(run)
    frames = [film.frame(i) for i in range(run.frames)]
    draft = draft_footfalls(open_film(write_frames(tmp_path / "in.mp4", frames)))
    assert draft.footfalls
    assert draft.start == StartPush()
    assert "No start push was found" in said(draft)


def test_what_is_missing_of_a_start_is_named():
    frames = [FrameNumber(n) for n in (10, 20, 30)]
    whole = StartPush(first_movement=frames[0], rear_toe_off=frames[1], front_toe_off=frames[2])
    assert notes_on_start(whole) == ()
    (part,) = notes_on_start(StartPush(front_toe_off=frames[2]))
    assert "the first movement, the rear foot's toe-off" in part
