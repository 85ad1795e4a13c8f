"""The pictures of an annotated film: the right frame of the film, with what is known by then."""

from fractions import Fraction

import numpy as np
import pytest

from analysis.film import open_film
from analysis.film.reader import FrameReader
from analysis.jobs.evidence import evidence_of_run
from analysis.reading import read
from analysis.report.film_frames import FilmPictures, Look, Pane
from analysis.report.film_reel import Reel, Shot
from analysis.report.posture_lines import Drawn, Layer
from analysis.report.run_scene import scene_on
from tests.analysis.film.making import Kind, drawn, make
from tests.helpers.films import FOOTFALLS, SIZE, project_on, small_film


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("film") / "clip.mp4")


@pytest.fixture(scope="module")
def seen(film):
    evidence, _ = evidence_of_run(project_on(film), None)
    return evidence.run, evidence, read(evidence)


def pictures(film, seen, frames, look=None):
    with FrameReader(open_film(film)) as reader:
        reel = Reel(tuple(Shot((frame,)) for frame in frames), Fraction(30))
        return list(FilmPictures([Pane(reader, *seen)], reel, look or Look()))


def test_each_picture_is_that_of_its_frame_and_held_ones_are_drawn_once(film, seen):
    shown = pictures(film, seen, [3, 90, 90, 250])
    assert shown[1] is shown[2]
    for frame, picture in zip((3, 90, 250), (shown[0], shown[1], shown[3]), strict=True):
        there = picture.astype(int)[60:95, 200:, 2::-1]  # where nothing is drawn
        away = [np.abs(there - drawn(f, SIZE)[60:95, 200:]).mean() for f in (frame, frame + 3)]
        assert away[0] < 8 < away[1]  # lossy: a few grey levels


def test_a_contact_is_told_from_its_toe_off_on_and_a_flight_from_the_next_touchdown(seen):
    (_, _, _, off), (_, _, landed, _) = FOOTFALLS[:2]
    told = {frame: scene_on(*seen, frame).numbers for frame in (off - 1, off, landed - 1, landed)}
    assert [len(told[frame]) for frame in sorted(told)] == [0, 1, 1, 2]
    # 40 frames at 240 a second
    assert "167 ms" in told[off][0]


def test_lines_stand_on_their_own_frame_and_posture_where_it_is_asked_for(seen):
    run = seen[0]
    own = {line.id for line in run.lines}
    assert {s.id for s in scene_on(*seen, 90).strokes} >= own
    assert not scene_on(*seen, 91).strokes
    asked = scene_on(*seen, 91, Drawn(frozenset(Layer)))
    assert asked.dots == scene_on(*seen, 91).dots


def test_a_film_larger_than_phones_play_is_made_smaller_and_lines_with_it(tmp_path, seen):
    film = make(tmp_path / "large.mp4", Kind(frames=2, size=(2880, 1620)))
    picture = pictures(film, seen, [1])[0][..., 2::-1]
    assert picture.shape == (1080, 1920, 3)
    yellow = (picture[..., 0] > 220) & (picture[..., 1] > 210) & (picture[..., 2] < 90)
    # the mark at (160, 150) of the film, two thirds of its size: the arms of its cross
    rows, columns = np.nonzero(yellow[80:121, 87:128])
    assert columns.mean() + 87 == pytest.approx(160.5 * 2 / 3 - 0.5, abs=1.0)
    assert rows.mean() + 80 == pytest.approx(150.5 * 2 / 3 - 0.5, abs=1.0)


@pytest.mark.parametrize("title", ["The eldest wing " * 9, "W7" * 60, "\u05e9\u05dc\u05d5\u05dd " * 40])
def test_a_long_title_is_cut_at_no_edge_and_leaves_the_film_as_it_is(film, seen, title):
    with FrameReader(open_film(film)) as reader:
        reel = Reel((Shot((90,)),), Fraction(30))
        (plain,) = FilmPictures([Pane(reader, *seen)], reel, Look())
        (titled,) = FilmPictures([Pane(reader, *seen, title)], reel, Look())
    band = titled[: titled.shape[0] - plain.shape[0], :, :3].astype(int)
    assert (titled[len(band) :] == plain).all()
    ink = np.abs(band - band[0, 0]).max(axis=2) > 30
    rows, columns = (np.flatnonzero(ink.any(axis=way)) for way in (1, 0))
    assert columns[0] >= 4
    assert columns[-1] < titled.shape[1] - 4
    assert rows[-1] - rows[0] > 22  # two lines of at least 14 px
