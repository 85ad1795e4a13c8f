"""One camera place serves many runs; what was said of the run or its film comes first."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.ground.ground import read_ground
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.camera_place import CameraPlace, FilmCamera
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import ProjectError
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.project import Project, apply, run_changes
from analysis.values.resolving import evidence_for, tagging_of
from analysis.values.run import Run
from analysis.values.tagging import TaggingError, TaggingSample, pooled
from tests.analysis.ground.films import LINE, marks_at
from tests.analysis.ground.pinhole import Pinhole

CAMERA = Pinhole()
FACTS = FilmFacts(FrameTimes.from_seconds([n / 240 for n in range(10)]), 1280, 720)
LENS = Lens(-0.05, 1088.0, (639.5, 359.5))
PLACE = CameraPlace("bend", "Behind the goal", marks_at(CAMERA.pixels(LINE), LINE), LENS, 12.0)
RUN = Run("r", "f", "run", FrameNumber(0), FrameNumber(9), camera_place_id="bend")


def project_of(run=RUN, place=PLACE, camera=None):
    changes = [
        Change(Kind.FILM, "f", None, FilmEntry("f", "/f.mp4", "x")),
        Change(Kind.CAMERA_PLACE, place.id, None, place),
        *run_changes(run),
    ]
    if camera is not None:
        changes.append(Change(Kind.FILM_CAMERA, "f", None, camera))
    return apply(Project(), Command("all", tuple(changes)))


def test_a_run_without_marks_reads_by_those_of_its_camera_place():
    project = project_of()
    found = evidence_for(project, project.runs["r"], FACTS)
    assert [(m.x_m, m.u) for m in found.run.marks] == [(m.x_m, m.u) for m in PLACE.marks]
    assert (found.lens, found.run.camera_distance_m) == (LENS, 12.0)
    assert evidence_for(project, replace(RUN, camera_place_id=None), FACTS).run.marks == ()


def test_what_the_run_and_its_film_say_comes_first():
    own = replace(PLACE.marks[1], u=700.0)
    mine = Lens(0.01, 1000.0, (640.0, 360.0))
    project = project_of(
        replace(RUN, marks=(own,), camera_distance_m=9.0), camera=FilmCamera("f", None, mine)
    )
    found = evidence_for(project, project.runs["r"], FACTS)
    assert [m.u for m in found.run.marks if m.x_m == 5.0] == [700.0]
    assert len(found.run.marks) == 3
    assert len({m.id for m in found.run.marks}) == 3
    assert (found.lens, found.run.camera_distance_m) == (mine, 9.0)


def test_a_camera_that_was_shifted_has_the_marks_taken_along_with_their_error():
    """The tripod was knocked by half a degree: places come out where they are, through the map between."""
    shifted = Pinhole(turn_deg=0.5, roll_deg=0.7)
    four = np.array([(0.0, 0.0), (12.0, 0.0), (12.0, 2.0), (0.0, 2.0)])
    rows = []
    for (u, v), (a, b) in zip(shifted.pixels(four), CAMERA.pixels(four), strict=True):
        rows += [[u, v, 1, 0, 0, 0, -a * u, -a * v, -a], [0, 0, 0, u, v, 1, -b * u, -b * v, -b]]
    to_place = np.linalg.svd(np.array(rows))[2][-1]
    camera = FilmCamera("f", None, None, tuple((to_place / to_place[8]).tolist()), 2.0)
    project = project_of(place=replace(PLACE, lens=None), camera=camera)
    found = evidence_for(project, project.runs["r"], FACTS)
    ground = read_ground(found.run, 1280, 720)
    assert ground.metres(shifted.pixels([(7.0, 0.0)]))[0, 0] == pytest.approx(7.0, abs=1e-4)
    assert found.run.marks[0].error_px == pytest.approx(2.5)
    lost = replace(camera, to_place=(0.0,) * 9)
    assert evidence_for(project_of(camera=lost), RUN, FACTS).run.marks == ()


def test_marks_of_the_place_stand_on_the_reference_of_a_turning_camera():
    path = CameraPath(CameraKind.TURNING, FrameNumber(7), FrameNumber(0), np.eye(3)[None], np.zeros(1))
    project = project_of(camera=FilmCamera("f", path))
    found = evidence_for(project, project.runs["r"], FACTS)
    assert found.camera == path
    assert {int(m.frame) for m in found.run.marks} == {7}


def test_a_place_in_use_and_a_film_with_a_camera_stay():
    project = project_of(camera=FilmCamera("f"))
    with pytest.raises(ProjectError, match="camera place"):
        apply(project, Command("x", (Change(Kind.CAMERA_PLACE, "bend", PLACE, None),)))
    without_run = apply(project, Command("x", run_changes(RUN)).reversed)
    film = Change(Kind.FILM, "f", project.films["f"], None)
    with pytest.raises(ProjectError, match="together with its film"):
        apply(without_run, Command("x", (film,)))
    both = (film, Change(Kind.FILM_CAMERA, "f", project.film_cameras["f"], None))
    assert not apply(without_run, Command("x", both)).films


def test_tagging_samples_pool_by_their_pairs():
    """Two sets of differences together: the root mean square over all of them."""
    rng = np.random.default_rng(4)
    few, many = rng.normal(0, 0.004, 6), rng.normal(0, 0.006, 30)

    def sample(name, coach, differences):
        s = float(np.sqrt(np.mean(differences**2) / 2))
        return TaggingSample(name, coach, TaggingError(s, len(differences)))

    both = pooled([sample("a", "k", few), sample("b", "k", many)])
    assert both.s_s == pytest.approx(np.sqrt(np.mean(np.concatenate([few, many]) ** 2) / 2))
    assert both.pairs == 36
    assert pooled([]) is None
    project = Project(tagging={"a": sample("a", "k", few), "b": sample("b", "m", many)})
    assert tagging_of(project, "m").pairs == 30
    assert tagging_of(project).pairs == 36
    assert tagging_of(project, "nobody") is None
