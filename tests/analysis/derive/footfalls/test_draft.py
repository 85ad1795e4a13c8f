"""Footfalls drafted from drawn runs, whose events are known by how they were drawn."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from analysis.background import follow_background
from analysis.derive.footfalls import draft_footfalls
from analysis.film import open_film
from analysis.film.reader import ReadingStopped
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.film import FrameNumber
from analysis.values.run import Direction, Side
from tests.analysis.derive.footfalls.conftest import as_marks
from tests.helpers.capsule_runs import events_of, write_run
from tests.helpers.hard_runs import write_frames
from tests.helpers.walked_runs import WalkedFilm, walked_run

WITHIN = 1  # frames at 120 a second; what drawing and compression smear


@pytest.fixture(scope="session")
def drafts(films, drawn):
    marks, width = drawn[1].marks, drawn[0].width
    return {
        name: draft_footfalls(open_film(path), as_marks(marks, width if name == "mirrored" else None))
        for name, path in films.items()
    }


def matched(draft, truth):
    """Each true contact with the proposal that lies in it, or None."""
    return [
        next((f for f in draft.footfalls if f.touchdown is not None and abs(f.touchdown - on) <= 4), None)
        for on, _, _ in truth
    ]


@pytest.mark.parametrize("name", ["plain", "mirrored", "darker"])
def test_every_contact_is_found_in_its_frames_and_place(drafts, truth, name):
    found = matched(drafts[name], truth)
    assert len(truth) >= 4
    assert all(found), "a contact is missing"
    for proposal, (on, off, x_m) in zip(found, truth, strict=True):
        assert abs(proposal.touchdown - on) <= WITHIN
        assert proposal.toe_off is not None
        assert abs(proposal.toe_off - off) <= WITHIN + 1
        assert abs(proposal.x_m - x_m) < 0.12  # half a shoe


def test_nothing_is_invented_between_the_contacts(drafts, truth):
    inside = [
        f
        for f in drafts["plain"].footfalls
        if f.touchdown is not None and truth[0][0] - 4 <= f.touchdown <= truth[-1][0] + 4
    ]
    assert len(inside) == len(truth)


def test_direction_is_found_and_sides_alternate(drafts):
    assert drafts["plain"].direction is Direction.RIGHT
    assert drafts["mirrored"].direction is Direction.LEFT
    sides = [f.side for f in drafts["plain"].footfalls]
    assert sides[0] is Side.LEFT
    assert all(a is b.other for a, b in pairwise(sides))


def test_a_mirrored_film_gives_the_same_frames(drafts):
    plain, mirrored = (
        np.array([(f.touchdown or -1, f.toe_off or -1) for f in drafts[name].footfalls])
        for name in ("plain", "mirrored")
    )
    assert plain.shape == mirrored.shape
    assert np.abs(plain - mirrored).max() <= 1  # compressed anew, so not to the bit


def test_less_light_gives_the_same_frames(drafts):
    plain, darker = (
        np.array([(f.touchdown or -1, f.toe_off or -1) for f in drafts[name].footfalls])
        for name in ("plain", "darker")
    )
    assert plain.shape == darker.shape
    assert np.abs(plain - darker).max() <= 2


def test_the_strip_leads_back_to_the_picture(drafts, drawn):
    strip = drafts["plain"].strip
    assert strip.picture.shape == (drawn[0].frames, drawn[0].width)
    u, v = strip.pixel(10, 100.0)
    ground = np.interp(100.0, *zip(*[(m[1], m[2]) for m in drawn[1].marks], strict=True))
    assert u == pytest.approx(100.0)
    assert v == pytest.approx(ground, abs=0.5)


def test_without_marks_places_stay_in_pixels(films, truth):
    draft = draft_footfalls(open_film(films["plain"]))
    assert all(f.x_m is None for f in draft.footfalls)
    found = matched(draft, truth)
    assert sum(f is not None for f in found) >= len(truth) - 1


def test_nobody_runs(tmp_path):
    chance = np.random.default_rng(5)
    scene = chance.uniform(40, 200, (180, 320, 1)).repeat(3, axis=2)
    frames = [np.clip(scene + chance.normal(0, 2, scene.shape), 0, 255).astype(np.uint8) for _ in range(40)]
    draft = draft_footfalls(open_film(write_frames(tmp_path / "empty.mp4", frames)))
    assert draft.footfalls == ()
    assert "Nobody runs" in draft.notes[0]


def test_a_cut_is_said_and_its_longest_part_read(drawn, tmp_path, truth):
    run, film, frames = drawn
    other = [np.ascontiguousarray(255 - frames[0][::-1])] * 25
    path = write_frames(tmp_path / "cut.mp4", [*frames, *other])
    draft = draft_footfalls(open_film(path), as_marks(film.marks))
    assert f"cut at frame {run.frames}" in " ".join(draft.notes)
    assert sum(f is not None for f in matched(draft, truth)) >= len(truth) - 1


def test_the_line_of_marks_below_the_picture_is_said(films, drawn):
    low = as_marks([(x, u, v + 500) for x, u, v in drawn[1].marks])
    draft = draft_footfalls(open_film(films["plain"]), low)
    assert draft.footfalls == ()
    assert "not in the picture" in draft.notes[0]


def test_a_draft_can_be_stopped(films):
    with pytest.raises(ReadingStopped):
        draft_footfalls(open_film(films["plain"]), stopped=lambda: True)


def test_progress_rises(films, drawn):
    told = []
    draft_footfalls(open_film(films["plain"]), as_marks(drawn[1].marks), progress=told.append)
    assert told == sorted(told)
    assert told[0] >= 0
    assert told[-1] <= 1


def test_a_camera_followed_before_is_taken_as_it_is(films, drawn, truth, monkeypatch):
    """Only a stretch of the film was followed: the contacts outside it are not looked for."""

    def follow(*_, **__):
        raise AssertionError("the background was followed again")

    monkeypatch.setattr("analysis.derive.footfalls.draft.follow_background", follow)
    first, last = truth[1][0] - 30, truth[-1][1] + 4
    count = last - first + 1
    camera = CameraPath(
        CameraKind.TURNING,
        FrameNumber(first),
        FrameNumber(first),
        np.tile(np.eye(3), (count, 1, 1)),
        np.full(count, 0.1),
    )
    marks = tuple(replace(mark, frame=FrameNumber(first)) for mark in as_marks(drawn[1].marks))
    draft = draft_footfalls(open_film(films["plain"]), marks, camera=camera)
    assert all(first <= f.touchdown <= last for f in draft.footfalls if f.touchdown is not None)
    found = matched(draft, truth)
    assert sum(f is not None for f in found[1:]) >= len(truth) - 2
    for proposal, (_, _, x_m) in zip(found, truth, strict=True):
        assert proposal is None or abs(proposal.x_m - x_m) < 0.12


def carried_along(film):
    """Where the frames of a walked film look, as its background alone tells."""
    path = follow_background(film, 0, film.frames - 1)
    assert path.kind is CameraKind.WALKING
    return path


def test_a_camera_that_is_carried_along_spoils_places_but_no_frames(tmp_path):
    """Ground and wall part company as the camera goes past them; what the runner does is drawn as known."""
    run = walked_run(47, 60.0, 1.7)
    drawn = WalkedFilm(run, 1.0)
    film = open_film(write_run(run, tmp_path / "walked.mp4", drawn))
    draft = draft_footfalls(film, as_marks(drawn.marks), camera=carried_along(film))
    truth = [
        (int(np.ceil(on * run.fps)), int(np.ceil(off * run.fps)), x)
        for on, off, _, x in events_of(run, film=drawn)
    ]
    found = matched(draft, truth)
    assert len(truth) >= 4
    assert all(found), "a contact is missing"
    for proposal, (on, off, _) in zip(found, truth, strict=True):
        assert abs(proposal.touchdown - on) <= WITHIN
        assert abs(proposal.toe_off - off) <= WITHIN + 1
        assert proposal.x_m is None
    assert "carried along" in draft.notes[0]
    assert "left out" not in " ".join(draft.notes)


def test_frames_of_a_carried_camera_that_nothing_ties_give_no_draft(films):
    count = open_film(films["plain"]).frames
    unit, unknown = np.tile(np.eye(3), (count, 1, 1)), np.full(count, np.inf)
    path = CameraPath(CameraKind.WALKING, FrameNumber(0), FrameNumber(0), unit, unknown)
    draft = draft_footfalls(open_film(films["plain"]), camera=path)
    assert draft.footfalls == ()
    assert "Tag by hand" in draft.notes[0]
