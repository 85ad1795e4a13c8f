"""A covered face: followed through a film whose every place is known, covered on every picture.

The film is drawn here: a patch of fixed speckles on a smooth curve before a wall of other speckles.
"""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from analysis.derive.face import face_way, stretches
from analysis.derive.face_guess import large_guesses
from analysis.film import open_film
from analysis.report.canvas import Canvas, bgra
from analysis.report.face_hiding import hide_face
from analysis.report.film_writing import write_film
from analysis.values.errors import FilmError
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber

SAMPLES = Path(__file__).resolve().parents[3] / "sample_clips"
FRAMES, SIZE, HALF = 40, (320, 180), 16
SEEN = range(FRAMES)


def middle(frame):
    """Where the face is, px: along the picture, up and down as on a stride."""
    return 60 + 4.5 * frame, 70 + 9 * np.sin(frame / 6)


def speckles(shape, seed):
    noise = np.random.default_rng(seed).integers(0, 255, (shape[0] // 3 + 1, shape[1] // 3 + 1))
    return np.kron(noise, np.ones((3, 3)))[: shape[0], : shape[1]]


def drawn(frame, face=True):
    """One picture; drawn four times as large and made smaller, so that the face moves by parts of a pixel."""
    fine = 4
    wall = Image.fromarray((speckles((SIZE[1], SIZE[0]), 1) * 0.35 + 60).astype(np.uint8))
    large = wall.resize((SIZE[0] * fine, SIZE[1] * fine), Image.Resampling.NEAREST)
    if face:
        patch = Image.fromarray(speckles((2 * HALF, 2 * HALF), 2).astype(np.uint8))
        patch = patch.resize((2 * HALF * fine,) * 2, Image.Resampling.NEAREST)
        u, v = middle(frame)
        large.paste(patch, (round((u + 0.5 - HALF) * fine), round((v + 0.5 - HALF) * fine)))
    return large.reduce(fine).convert("RGB")


@pytest.fixture(scope="module")
def film(tmp_path_factory):
    path = tmp_path_factory.mktemp("face") / "face.mp4"
    write_film(path, (bgra(drawn(n)) for n in SEEN), Fraction(60))
    return open_film(path)


def place(frame, size=0.8 * HALF):
    return FacePlace(FrameNumber(frame), *middle(frame), size, size)


def test_a_face_is_followed_between_two_places(film):
    way = face_way(film, FaceCover("face", "f", (place(0), place(FRAMES - 1))), SEEN)
    way.check(SEEN)
    away = [np.hypot(way.places[n].u - middle(n)[0], way.places[n].v - middle(n)[1]) for n in SEEN]
    ends = middle(0)[1], middle(FRAMES - 1)[1]
    straight = [abs(np.interp(n, [0, FRAMES - 1], ends) - middle(n)[1]) for n in SEEN]
    assert max(straight) > 8  # so far off a straight way would be
    assert max(away) < 2.5
    assert way.notes(SEEN) == ()


def test_where_it_can_not_be_followed_a_larger_cover_goes_straight_and_that_is_said(tmp_path):
    path = tmp_path / "gone.mp4"
    write_film(path, (bgra(drawn(n, face=n in (0, 20))) for n in range(21)), Fraction(60))
    way = face_way(open_film(path), FaceCover("face", "f", (place(0), place(20))), range(21))
    way.check(range(21))
    (note,) = way.notes(range(21))
    assert "could not be followed on frames" in note
    assert way.guessed
    for frame in way.guessed:
        straight = np.interp(frame, [0, 20], [middle(0)[0], middle(20)[0]])
        assert way.places[frame].u == pytest.approx(straight)
        assert way.places[frame].half_u > place(0).half_u


@pytest.mark.parametrize("placed", [(42, 213), (108, 238), (108, 173, 238)])
def test_a_runner_s_face_is_under_its_cover_on_every_frame(placed):
    """Rendered truth: the head of the sample clip's first run, from standing still to its first steps. What
    was followed to elsewhere is not believed, and a cover that guesses reaches as far as a head may be off.
    """
    with np.load(SAMPLES / "wing_day1.truth.npz") as truth:
        head = truth["pixels"][:, list(truth["names"]).index("head")]
    cover = FaceCover(
        "face", "f", tuple(FacePlace(FrameNumber(n), *(head[n] + (4, 11)), 11, 14) for n in placed)
    )
    frames = range(placed[0], placed[-1] + 1)
    way = face_way(open_film(SAMPLES / "wing_day1.mp4"), cover, frames)
    bare = [n for n in frames if not way.places[n].holds(*(head[n] + (8, 10)))]  # about the eye
    assert not bare


def runner(*placed):
    """The head of the sample clip's first run, placed on these frames, and its film's times."""
    with np.load(SAMPLES / "wing_day1.truth.npz") as truth:
        head = truth["pixels"][:, list(truth["names"]).index("head")]
    places = tuple(FacePlace(FrameNumber(n), *(head[n] + (4, 11)), 11, 14) for n in placed)
    return FaceCover("face", "f", places), open_film(SAMPLES / "wing_day1.mp4")


def test_a_large_guess_is_said_with_the_frame_on_which_placing_the_face_helps():
    """A change of speed by 12 m/s² takes a head farthest off half way in time, by a/2 (T/2)²; placed there,
    it is a quarter of that."""
    cover, film = runner(42, 213)
    (large,) = large_guesses(film.facts.times.seconds, cover, range(42, 214))
    far_m = 12 / 2 * (171 / 240 / 2) ** 2
    assert large.times == pytest.approx((11 + far_m * 14 / 0.115) / 11, rel=0.01)
    assert large.place_on == pytest.approx((42 + 213) / 2, abs=1)
    assert 42 < large.first < large.place_on < large.last < 213
    more, _ = runner(42, large.place_on, 213)
    after = large_guesses(film.facts.times.seconds, more, range(42, 214))
    assert max((one.times for one in after), default=1.0) < 0.4 * large.times
    frames = range(42, 214)
    first, second = face_way(film, cover, frames).notes(frames)
    assert "could not be followed" in first
    assert f"times as large as the face: place the face on frame {large_of(second)}" in second
    half = max(place.half_u for place in face_way(film, cover, frames).places.values())
    assert f"up to {half / 11:.0f} times" in second


def large_of(note):
    return int(note.rpartition("on frame ")[2].split(",")[0])


def test_of_faces_placed_close_together_nothing_is_said():
    cover, film = runner(42, 60, 80)
    assert large_guesses(film.facts.times.seconds, cover, range(42, 81)) == ()
    gone = FaceCover("face", "f", (FacePlace(FrameNumber(0), 0, 0, 0, 0), *cover.places))
    assert large_guesses(film.facts.times.seconds, gone, range(81)) == ()


@pytest.mark.parametrize(
    ("places", "bare"),
    [
        ((), "0 to 39"),
        ((place(5), place(30)), "0 to 4, 31 to 39"),
        ((place(0), FacePlace(FrameNumber(30), 0, 0, 0, 0)), "1 to 29"),
        ((FacePlace(FrameNumber(3), 0, 0, 0, 0), place(30), place(39)), "0 to 2"),
    ],
)
def test_a_film_with_a_face_that_is_not_covered_is_refused_and_the_frames_are_named(film, places, bare):
    with pytest.raises(FilmError, match=f"Face 1 is not covered on frames {bare}\\."):
        face_way(film, FaceCover("face", "f", places), SEEN).check(SEEN)


def test_where_no_face_is_in_sight_nothing_is_covered_and_nothing_is_missing(film):
    gone = FacePlace(FrameNumber(11), 0, 0, 0, 0)
    way = face_way(film, FaceCover("face", "f", (place(0), place(10), gone)), SEEN)
    way.check(SEEN)
    assert way.places[10] is not None
    assert all(way.places[n] is None for n in range(11, FRAMES))


def test_a_covered_face_has_lost_its_detail_and_the_rest_of_the_picture_none():
    picture = bgra(drawn(10))
    before = picture.astype(int)
    hide_face(Canvas(picture), place(10, HALF), 1.0, (-0.5, -0.5))
    after = picture.astype(int)
    u, v = (round(n) for n in middle(10))
    inner = (slice(v - 8, v + 9), slice(u - 8, u + 9))
    # what changes from one pixel to the next is all that tells a face: next to nothing of it is left
    assert (
        np.abs(np.diff(after[inner][..., 0], axis=1)).mean()
        < 0.2 * np.abs(np.diff(before[inner][..., 0], axis=1)).mean()
    )
    rows, columns = np.mgrid[: SIZE[1], : SIZE[0]]
    far = np.hypot(columns - middle(10)[0], rows - middle(10)[1]) > HALF + 4
    assert (after[far] == before[far]).all()


@pytest.mark.parametrize("face", [(-30, 20), (-5, -5), (319, 90), (900, 900)])
def test_a_face_at_the_edge_or_beyond_does_no_harm(face):
    picture = bgra(drawn(10))
    before = picture.copy()
    hide_face(Canvas(picture), FacePlace(FrameNumber(0), *face, 12, 12), 1.0, (-0.5, -0.5))
    assert (picture[20:, 30:250] == before[20:, 30:250]).all()


def test_frames_in_words():
    assert stretches([4, 5, 6, 9, 12, 13]) == "4 to 6, 9, 12 to 13"
