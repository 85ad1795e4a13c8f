"""The sample films of drills obey the laws that their truth claims."""

import json

import numpy as np
import pytest

from sample_clips.body import centre_of_mass
from sample_clips.drill_motion import G_M_S2, SplitJumpRep, ThrowRep
from sample_clips.drills import DRILLS, DrillFilm, sheet_of, truth_of
from sample_clips.encode import count_frames
from tests.helpers.drill_clips import DRILL_CLIPS, FOLDER


@pytest.mark.parametrize("name", DRILL_CLIPS)
def test_what_stands_beside_a_film_is_what_the_renderer_would_write(name):
    film = DrillFilm(DRILLS[name])
    for fresh, path in ((sheet_of(film), f"{name}.json"), (truth_of(film), f"{name}.truth.json")):
        kept = json.loads((FOLDER / path).read_text(encoding="utf-8"))
        assert _close(kept, fresh)


def _close(one, other):
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(_close(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(_close, one, other))
    return one == other if isinstance(one, str) or one is None else one == pytest.approx(other, abs=0.011)


@pytest.mark.parametrize("name", DRILL_CLIPS)
def test_a_film_is_small_and_whole(name):
    path = FOLDER / f"{name}.mp4"
    assert path.stat().st_size < 600_000
    assert count_frames(path) == DrillFilm(DRILLS[name]).count


def test_a_thrown_ball_flies_freely_from_the_speed_of_the_hands():
    rep = ThrowRep()
    t = rep.release_s + np.arange(1, 40) / 120
    falls = np.diff(rep.ball_at(t)[:, 1], 2) * 120**2
    assert falls == pytest.approx(-G_M_S2, abs=1e-6)
    near = rep.ball_at(rep.release_s + np.array([-2e-4, -1e-4, 0.0, 1e-4, 2e-4]))
    speeds = np.linalg.norm(np.diff(near, axis=0), axis=1) / 1e-4
    assert speeds == pytest.approx(rep.truth["release_speed_m_s"], abs=0.02)


def test_the_centre_of_mass_of_the_drawn_body_falls_freely_in_a_jump():
    rep = SplitJumpRep()
    t = np.linspace(rep.off_s + 1e-3, rep.landing_s - 1e-3, 50)
    com = centre_of_mass(rep.at(t).points)
    falls = np.diff(com[:, 1], 2) / (t[1] - t[0]) ** 2
    assert falls == pytest.approx(-G_M_S2, abs=1e-3)
    assert np.diff(com[:, 0]) / (t[1] - t[0]) == pytest.approx(rep.speed_x_m_s, abs=1e-6)


def test_feet_that_stand_stay_where_they_are():
    rep = SplitJumpRep()
    for times in (np.linspace(0.0, rep.off_s, 30), np.linspace(rep.landing_s, rep.ends_s, 30)):
        points = rep.at(times).points
        for side in ("left", "right"):
            assert np.ptp(points[f"{side}_ball"][:, :2], axis=0) == pytest.approx(0.0, abs=1e-6)
