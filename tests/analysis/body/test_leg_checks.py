"""Legs that lie the wrong way round for what is tagged are named; those of good runs are left in peace.

Bodies are those of renderers that share no code with the checks: the sample clips', spoiled on purpose, and
whole runs of other seeds, unspoiled. Clicks are 1.5 px off along each axis.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.body.leg_checks import changed_over_at_events, looks_back, shoes_reversed
from analysis.ground.point_rows import rows_of
from analysis.ground.points import by_name
from analysis.sheet import read_sheet
from analysis.values.film import FrameNumber
from analysis.values.run import BodyPoint, Direction, Side
from sample_clips.film import Film
from sample_clips.scenarios import drawn
from sample_clips.truth import truth_of
from tests.analysis.body.marked_bodies import CLICK_PX, SECONDS, Marked, rows, swapped

SEEDS = range(800, 808)


@pytest.fixture(scope="module", params=["wing_day1", "wing_day2"])
def marked(request):
    return Marked(request.param)


def over(marked, points, start=None):
    return changed_over_at_events(
        rows(points), marked.footfalls, start or marked.start, marked.direction, SECONDS
    )


def backwards(marked, points):
    return shoes_reversed(rows(points), marked.footfalls, marked.start, marked.direction)


def test_what_is_placed_well_is_left_in_peace(marked):
    for points in (marked.by_gap, marked.at_events):
        assert over(marked, points) == []
        assert backwards(marked, points) == []
        assert looks_back(rows(points), Direction.RIGHT) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_no_leg_of_other_runs_is_named(seed):
    """To either side, every placed frame of a run: in the set position, at and between the events."""
    truth = truth_of(Film(drawn(seed)))
    run = read_sheet(truth.sheet, Path()).run
    names, pixels = [str(n) for n in truth.arrays["names"]], truth.arrays["pixels"]
    seconds, rng = truth.arrays["times_s"], np.random.default_rng(seed)
    points = [
        BodyPoint(FrameNumber(f), n, *map(float, pixels[f, c] + rng.normal(0, CLICK_PX, 2)))
        for f in range(len(pixels))
        for c, n in enumerate(names)
    ]
    found = rows_of(by_name(points), len(pixels))
    assert len({f.side for f in run.footfalls}) == 2
    assert changed_over_at_events(found, run.footfalls, run.start, run.direction, seconds) == []
    assert shoes_reversed(found, run.footfalls, run.start, run.direction) == []


def moments(marked):
    """A frame of each kind: in the set position, both toe-offs of the start, a touchdown, a toe-off."""
    first, third = marked.footfalls[0], marked.footfalls[2]
    start = marked.start
    return (start.first_movement, start.rear_toe_off, start.front_toe_off, first.touchdown, third.toe_off)


@pytest.mark.parametrize("which", range(5))
@pytest.mark.parametrize("parts", ["all", "no shoes"])
def test_left_for_right_at_one_event_names_that_one(marked, which, parts):
    frame = moments(marked)[which]
    points = [p for p in marked.at_events if parts == "all" or p.name.endswith(("hip", "knee", "ankle"))]
    (one,) = over(marked, swapped(points, {frame}))
    assert one.frame == frame
    assert f"On frame {frame}" in one.sentence
    assert "Left and right are changed over" in one.sentence


@pytest.mark.parametrize("parts", ["all", "no shoes"])
def test_left_for_right_throughout_is_said_once(marked, parts):
    points = [p for p in marked.at_events if parts == "all" or p.name.endswith(("hip", "knee", "ankle"))]
    found = over(marked, swapped(points, set(marked.event_frames)))
    assert {d.frame for d in found} == set(marked.event_frames)
    (sentence,) = {d.sentence for d in found}
    assert f"On {len(found)} of {len(found)} frames" in sentence


def test_whose_foot_stands_in_front_is_known_from_the_first_touchdown_too(marked):
    unsaid = replace(marked.start, front_side=None)
    frame = marked.start.first_movement
    assert [d.frame for d in over(marked, swapped(marked.at_events, {frame}), unsaid)] == [frame]


def test_where_the_direction_is_in_doubt_touchdowns_alone_are_looked_at(marked):
    lying = swapped(marked.at_events, {moments(marked)[2], moments(marked)[3]})
    found = changed_over_at_events(rows(lying), marked.footfalls, marked.start, None, SECONDS)
    assert [d.frame for d in found] == [moments(marked)[3]]


def test_drafted_steps_name_nobody(marked):
    drafts = [replace(f, draft=True) for f in marked.footfalls]
    frame = marked.footfalls[2].toe_off
    points = swapped(marked.at_events, {frame})
    assert changed_over_at_events(rows(points), drafts, marked.start, marked.direction, SECONDS) == []


def test_a_body_mirrored_against_the_run_is_said(marked):
    found = looks_back(rows(marked.by_gap), Direction.LEFT)
    assert len(found) == 1
    assert "direction" in found[0].sentence


def test_heel_and_tip_changed_over_on_one_frame_are_named(marked):
    footfall = marked.footfalls[1]
    heel, tip = f"{footfall.side.value}_heel", f"{footfall.side.value}_toe"
    points = [
        replace(p, name={heel: tip, tip: heel}.get(p.name, p.name)) if p.frame == footfall.touchdown else p
        for p in marked.at_events
    ]
    (one,) = backwards(marked, points)
    assert (one.frame, one.name) == (footfall.touchdown, tip)
    assert "heel and tip are changed over" in one.sentence


def test_a_shoe_that_swings_with_its_tip_behind_the_heel_is_left_in_peace(marked):
    """One foot alone, on the frames on which its tip is behind its heel."""
    by_place = {(p.frame, p.name): p for p in marked.by_gap}
    swinging = {
        side: [
            (heel, tip)
            for (frame, name), heel in by_place.items()
            if name == f"{side}_heel" and (tip := by_place[frame, f"{side}_toe"]).u < heel.u - 2.0
        ]
        for side in Side
    }
    assert sum(map(len, swinging.values())) > 8
    for pairs in swinging.values():
        assert looks_back(rows([p for pair in pairs for p in pair]), Direction.RIGHT) == []
