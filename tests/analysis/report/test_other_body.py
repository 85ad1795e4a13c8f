"""Another run's body over a frame, held against the truth beside both rendered films."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.jobs.evidence import evidence_of_sheet
from analysis.reading.lock import EventKind, Moment
from analysis.reading.read import read
from analysis.report.other_body import BodyRun, Meet, other_body
from analysis.values.run import BodyPoint, Direction

SAMPLES = Path(__file__).resolve().parents[3] / "sample_clips"
CLIPS = ("wing_day1", "wing_day2")
TOUCHDOWNS = [Moment(EventKind.TOUCHDOWN, step) for step in (1, 2, 3)]
EVENTS = [Moment(EventKind.FIRST_MOVEMENT), Moment(EventKind.FRONT_TOE_OFF), *TOUCHDOWNS]
JOINTS = (
    ("shoulder", "shoulder-elbow", "end"),
    ("elbow", "shoulder-elbow", "start"),
    ("wrist", "elbow-wrist", "start"),
    ("knee", "hip-knee", "start"),
    ("ankle", "knee-ankle", "start"),
    ("toe", "heel-toe", "start"),
)
"""Each with a limb that ends there."""


def body_run(clip):
    """The run of a clip with the whole body as it was drawn on the frames of its events."""
    evidence = evidence_of_sheet(SAMPLES / f"{clip}.json")[0]
    run = BodyRun(evidence, read(evidence), clip)
    truth = np.load(SAMPLES / f"{clip}.truth.npz")
    points = tuple(
        BodyPoint(frame, str(name), *truth["pixels"][frame][row].tolist())
        for frame in dict.fromkeys(run.moments().values())
        for row, name in enumerate(truth["names"])
    )
    return replace(run, evidence=replace(evidence, run=replace(evidence.run, points=points)))


@pytest.fixture(scope="module")
def both():
    return [body_run(clip) for clip in CLIPS]


@pytest.fixture(scope="module")
def truths():
    return [np.load(SAMPLES / f"{clip}.truth.npz") for clip in CLIPS]


def limbs(laid):
    return {stroke.id: stroke for stroke in laid.strokes if stroke.id.startswith("limb:")}


def true(truth, what, frame, *names):
    rows = [list(truth["names"]).index(name) for name in names]
    return truth[what][frame][rows]


@pytest.mark.parametrize("moment", EVENTS, ids=str)
def test_hips_together_every_limb_is_as_far_from_them_as_it_was_in_its_own_run(both, truths, moment):
    """The middle of both sides' joints lies near the plane of the marks, a single one up to 0.25 m beside it.
    0.04 m: what is left of that, seen some 12 m away.
    """
    own, other = both
    here, there = own.moments()[moment], other.moments()[moment]
    laid = limbs(other_body(own, here, other, Meet.HIPS))
    assert laid
    ends = true(truths[0], "pixels", here, "right_hip", "right_knee")
    lengths = true(truths[0], "metres", here, "right_hip", "right_knee")
    px_per_m = np.linalg.norm(np.diff(ends, axis=0)) / np.linalg.norm(np.diff(lengths, axis=0))
    hips_px = true(truths[0], "pixels", here, "left_hip", "right_hip").mean(axis=0)
    hips_m = true(truths[1], "metres", there, "left_hip", "right_hip").mean(axis=0)
    for joint, limb, end in JOINTS:
        places = [getattr(laid[f"limb:{side}:{limb}"], end) for side in ("left", "right")]
        seen = (np.mean(places, axis=0) - hips_px) / px_per_m * (1, -1)
        metres = true(truths[1], "metres", there, f"left_{joint}", f"right_{joint}").mean(axis=0)
        assert seen == pytest.approx((metres - hips_m)[:2], abs=0.04), joint


def test_hips_together_they_are_in_one_place(both):
    own, other = both
    frame = own.moments()[TOUCHDOWNS[1]]
    laid = limbs(other_body(own, frame, other, Meet.HIPS))
    hips = [laid[f"limb:{side}:hip-knee"].end for side in ("left", "right")]
    spots = own.spots(frame)
    middle = np.mean([spots["left_hip"].place, spots["right_hip"].place], axis=0)
    assert np.mean(hips, axis=0) == pytest.approx(middle, abs=0.05)


@pytest.mark.parametrize("moment", TOUCHDOWNS, ids=str)
def test_stance_toes_together_the_toes_of_the_foot_that_lands_are_in_one_place(both, moment):
    own, other = both
    frame = own.moments()[moment]
    laid = limbs(other_body(own, frame, other, Meet.TOE))
    stance = other.stance(moment)
    toe = laid[f"limb:{stance.value}:heel-toe"].start
    assert toe == pytest.approx(own.spots(frame)[f"{own.stance(moment).value}_toe"].place, abs=1e-3)


def test_a_run_over_itself_lies_on_itself(both):
    own, _ = both
    frame = own.moments()[TOUCHDOWNS[0]]
    spots = own.spots(frame)
    for stroke_id, stroke in limbs(other_body(own, frame, own, Meet.HIPS)).items():
        _, side, names = stroke_id.split(":")
        upper, lower = names.split("-")
        assert stroke.end == pytest.approx(spots[f"{side}_{upper}"].place, abs=1e-3)
        assert stroke.start == pytest.approx(spots[f"{side}_{lower}"].place, abs=1e-3)


def mirrored(run):
    """The same run filmed so that it goes to the left: left for right across the picture."""
    evidence = run.evidence
    width = evidence.film.width - 1
    turned = replace(
        evidence.run,
        direction=Direction.LEFT,
        marks=tuple(replace(m, u=width - m.u) for m in evidence.run.marks),
        points=tuple(replace(p, u=width - p.u) for p in evidence.run.points),
        lines=(),
    )
    evidence = replace(evidence, run=turned)
    return BodyRun(evidence, run.reading, run.name)


def test_a_run_to_the_other_side_is_turned_to_this_one(both):
    own, other = both
    frame = own.moments()[TOUCHDOWNS[1]]
    straight, turned = (limbs(other_body(own, frame, each, Meet.HIPS)) for each in (other, mirrored(other)))
    assert len(straight) == len(turned) == 14
    for name, stroke in turned.items():
        assert stroke.start == pytest.approx(straight[name].start, abs=0.5)
        assert stroke.far is not straight[name].far  # it is seen from the other side


def test_between_events_it_says_where_to_go(both):
    own, other = both
    frame = own.moments()[TOUCHDOWNS[0]] + 1
    laid = other_body(own, frame, other, Meet.HIPS)
    assert laid.strokes == ()
    assert laid.words == "wing_day2: go to an event of both runs"


def test_without_marks_or_points_it_says_what_is_missing(both):
    own, other = both
    frame = own.moments()[TOUCHDOWNS[0]]
    bare = BodyRun(replace(other.evidence, run=replace(other.evidence.run, marks=())), other.reading, "x")
    assert other_body(own, frame, bare, Meet.HIPS).words == "x: set marks of known distance in both runs"
    empty = replace(other.evidence, run=replace(other.evidence.run, points=()))
    bodiless = BodyRun(empty, other.reading, "x")
    assert "place the hips" in other_body(own, frame, bodiless, Meet.HIPS).words
    assert "place the stance toe" in other_body(own, frame, bodiless, Meet.TOE).words


def test_the_legend_names_run_event_and_what_meets(both):
    own, other = both
    frame = own.moments()[TOUCHDOWNS[1]]
    words = other_body(own, frame, other, Meet.TOE).words
    assert words == "wing_day2, 2 R touchdown, stance toes together"
