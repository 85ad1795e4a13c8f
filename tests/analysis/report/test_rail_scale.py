"""Time to height and back; frames as cells."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from analysis.report.rail_cells import FrameCells
from analysis.report.rail_scale import SHORTEST_FRAME_PX, TimeScale
from analysis.values.film import FrameTimes

scales = st.builds(
    TimeScale.fitted,
    st.floats(-2, 2),
    st.floats(3, 12),
    st.floats(0, 60),
    st.floats(200, 2000),
)
moves = st.lists(
    st.tuples(st.sampled_from(["zoom", "scroll", "resize"]), st.floats(-8, 8), st.floats(0, 1)), max_size=8
)


def moved(scale, steps):
    for what, size, where in steps:
        y = scale.top_px + where * (scale.bottom_px - scale.top_px)
        if what == "zoom":
            scale = scale.zoomed(1.25**size, y)
        elif what == "scroll":
            scale = scale.scrolled(size * 40)
        else:
            scale = scale.resized(scale.top_px, scale.bottom_px + size * 10)
    return scale


@given(scales, moves, st.floats(-2, 12))
def test_a_moment_comes_back_from_its_height(scale, steps, time_s):
    scale = moved(scale, steps)
    assert scale.time(scale.y(time_s)) == pytest.approx(time_s, abs=1e-6)


@given(scales, moves)
def test_it_never_shows_what_lies_outside(scale, steps):
    scale = moved(scale, steps)
    assert scale.top_s >= scale.first_s - 1e-6
    assert scale.bottom_s <= scale.last_s + 1e-6
    assert scale.zoom >= 1.0


@given(scales, st.floats(1.0, 6.0), st.floats(0.2, 0.8))
def test_zooming_holds_what_is_under_the_pointer(scale, factor, where):
    y = scale.top_px + where * (scale.bottom_px - scale.top_px)
    assert scale.zoomed(factor, y).time(y) == pytest.approx(scale.time(y), abs=1e-6)


def test_zooming_in_ends_where_a_frame_is_a_target():
    scale = TimeScale.fitted(0, 3, 0, 600, 1 / 240)
    for _ in range(60):
        scale = scale.zoomed(1.25, 300)
    assert scale.px_per_s / 240 == pytest.approx(SHORTEST_FRAME_PX)


@given(scales, moves, st.floats(-2, 12))
def test_showing_brings_a_moment_into_sight(scale, steps, time_s):
    scale = moved(scale, steps)
    assume(scale.first_s <= time_s <= scale.last_s)
    seen = scale.showing(time_s)
    assert seen.top_s - 1e-6 <= time_s <= seen.bottom_s + 1e-6


@given(scales, st.floats(20, 60))
def test_ticks_are_round_in_sight_and_far_enough_apart(scale, least):
    step, times = scale.ticks(least)
    assert all(scale.top_s <= t <= scale.bottom_s for t in times)
    assert all(abs(t / step - round(t / step)) < 1e-6 for t in times)
    assert step == 30.0 or step * scale.px_per_s >= least


@given(st.lists(st.integers(1, 40), min_size=2, max_size=60), st.integers(0, 59), st.floats(0.01, 0.99))
def test_a_moment_within_a_cell_is_that_frame(gaps, frame, part):
    """Also at a rate that changes: each frame has the time from half its interval before it."""
    times_s = [0.0]
    for gap in gaps:
        times_s.append(times_s[-1] + gap / 480)
    times = FrameTimes.from_seconds(times_s)
    last = len(times_s) - 1
    frame = min(frame, last - 1)
    cells = FrameCells(times, 0, last)
    start, end = cells.start(frame), cells.start(frame + 1)
    assert cells.frame_at(start + part * (end - start)) == frame
    assert cells.start(frame) == pytest.approx(times.at(frame) - times.interval_before(frame) / 2)


@given(st.integers(0, 99), st.floats(-0.49, 0.49))
def test_an_edge_snaps_to_the_nearest_frame(frame, off):
    cells = FrameCells(FrameTimes.from_seconds([n / 100 for n in range(101)]), 0, 100)
    assert cells.edge_at(cells.start(frame) + off / 100) == frame


def test_frames_outside_the_stretch_are_not_asked_for():
    cells = FrameCells(FrameTimes.from_seconds([n / 100 for n in range(101)]), 10, 90)
    assert cells.frame_at(-5.0) == 10
    assert cells.frame_at(5.0) == 90
