"""What must not change a number, and that nothing that is marked makes the call fail."""

import copy
import json
import math
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from analysis.reading import read, reading_to_json
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import Direction, Footfall, GroundMark, Side, StartPush
from tests.analysis.reading.numbers import assert_same, numbers
from tests.analysis.reading.runs import evidence_of, sample

SHEET, _ = sample("wing_day1")


def mirrored(evidence):
    width = evidence.film.width - 1
    run = evidence.run

    def flip(name):
        return name.replace("left", "?").replace("right", "left").replace("?", "right")

    def other(side):
        return None if side is None else side.other

    return replace(
        evidence,
        run=replace(
            run,
            direction=Direction.LEFT,
            marks=tuple(replace(m, u=width - m.u) for m in run.marks),
            points=tuple(replace(p, name=flip(p.name), u=width - p.u) for p in run.points),
            lines=tuple(
                replace(
                    n,
                    side=other(n.side),
                    lower=(width - n.lower[0], n.lower[1]),
                    upper=(width - n.upper[0], n.upper[1]),
                )
                for n in run.lines
            ),
            footfalls=tuple(replace(f, side=f.side.other) for f in run.footfalls),
            start=replace(run.start, front_side=other(run.start.front_side)),
        ),
    )


def scaled(evidence, factor):
    """The same film with ``factor`` times as many pixels either way; pixel centres at whole numbers."""

    def at(u):
        return factor * (u + 0.5) - 0.5

    run = evidence.run
    return replace(
        evidence,
        film=FilmFacts(evidence.film.times, int(1280 * factor), int(720 * factor)),
        run=replace(
            run,
            marks=tuple(replace(m, u=at(m.u), v=at(m.v), error_px=m.error_px * factor) for m in run.marks),
            points=tuple(replace(p, u=at(p.u), v=at(p.v), error_px=p.error_px * factor) for p in run.points),
            lines=tuple(
                replace(
                    n,
                    lower=(at(n.lower[0]), at(n.lower[1])),
                    upper=(at(n.upper[0]), at(n.upper[1])),
                    error_px=n.error_px * factor,
                )
                for n in run.lines
            ),
        ),
    )


def later(evidence, frames):
    """The same run on a film that began ``frames`` earlier."""
    d = 1 / 240
    times = [n * d for n in range(frames)] + (evidence.film.times.seconds + frames * d).tolist()
    run = evidence.run

    def on(frame):
        return None if frame is None else FrameNumber(frame + frames)

    return replace(
        evidence,
        film=FilmFacts(FrameTimes.from_seconds(times), 1280, 720),
        run=replace(
            run,
            first_frame=on(run.first_frame),
            last_frame=on(run.last_frame),
            marks=tuple(replace(m, frame=on(m.frame)) for m in run.marks),
            points=tuple(replace(p, frame=on(p.frame)) for p in run.points),
            lines=tuple(replace(n, frame=on(n.frame)) for n in run.lines),
            footfalls=tuple(
                replace(f, touchdown=on(f.touchdown), toe_off=on(f.toe_off)) for f in run.footfalls
            ),
            start=StartPush(
                on(run.start.first_movement),
                on(run.start.rear_toe_off),
                on(run.start.front_toe_off),
                run.start.front_side,
            ),
        ),
    )


with_marks = st.sampled_from([(0, 7), (0, 1, 3), (0, 3, 5, 7), tuple(range(8))])


def marks_kept(evidence, which):
    run = evidence.run
    return replace(evidence, run=replace(run, marks=tuple(m for n, m in enumerate(run.marks) if n in which)))


@settings(max_examples=8)
@given(which=with_marks)
def test_a_mirrored_film_of_a_run_to_the_left_reads_the_same(which):
    evidence = marks_kept(evidence_of(SHEET), which)
    one, two = read(evidence), read(mirrored(evidence))
    assert two.camera.roll_deg.value == pytest.approx(-one.camera.roll_deg.value, abs=1e-6)
    for ours, theirs in zip(one.rhythm.sides, two.rhythm.sides, strict=True):
        assert theirs.difference.value == pytest.approx(-ours.difference.value, abs=1e-6), "feet changed over"
    assert [c.way for c in one.rhythm.courses] == [c.way for c in two.rhythm.courses]
    camera = replace(two.camera, roll_deg=one.camera.roll_deg)
    rows = zip(one.questions[-1].over_steps, two.questions[-1].over_steps, strict=True)
    kept = tuple(ours if _tells_feet_apart(ours, theirs) else theirs for ours, theirs in rows)
    questions = (*two.questions[:-1], replace(two.questions[-1], over_steps=kept))
    assert_same(one, replace(two, camera=camera, rhythm=one.rhythm, questions=questions))
    assert one.notes == two.notes


def _tells_feet_apart(ours, theirs):
    """Whether a row is of left less right, which a mirror turns over; then it must have."""
    if not ours.measure.startswith("left_less_right_"):
        return False
    assert theirs.result.value == pytest.approx(-ours.result.value, abs=1e-6), "feet changed over"
    return True


@settings(max_examples=8)
@given(which=with_marks, factor=st.sampled_from([0.5, 1.5, 3.0]))
def test_more_pixels_read_the_same(which, factor):
    evidence = marks_kept(evidence_of(SHEET), which)
    one, two = read(evidence), read(scaled(evidence, factor))
    bend = two.camera.bend_px
    if not isinstance(bend, NoValue):
        bend = bend.scaled(1 / factor)
    assert_same(one, replace(two, camera=replace(two.camera, bend_px=bend)))


@settings(max_examples=8)
@given(frames=st.integers(1, 500))
def test_where_the_run_lies_in_the_film_does_not_matter(frames):
    evidence = evidence_of(SHEET)
    one, two = read(evidence), read(later(evidence, frames))
    assert_same(one, two)
    assert two.steps[0].begins_s == pytest.approx(one.steps[0].begins_s + frames / 240, abs=1e-6)


@settings(max_examples=15)
@given(data=st.data())
def test_the_order_of_marking_does_not_matter(data):
    sheet = copy.deepcopy(SHEET)
    plain = read(evidence_of(sheet))
    run = evidence_of(sheet).run
    parts = {
        name: data.draw(st.permutations(getattr(run, name)))
        for name in ("marks", "footfalls", "points", "lines")
    }
    shuffled = replace(run, **{name: tuple(items) for name, items in parts.items()})
    assert read(replace(evidence_of(sheet), run=shuffled)) == plain


@settings(max_examples=60)
@given(
    keep=st.lists(st.integers(0, 200), max_size=60),
    falls=st.lists(
        st.tuples(
            st.sampled_from(list(Side)),
            st.one_of(st.none(), st.integers(-5, 800)),
            st.one_of(st.none(), st.integers(-5, 800)),
            st.sampled_from([None, 0, 2]),
        ).filter(lambda f: f[1] is not None or f[2] is not None),
        max_size=12,
    ),
    start=st.tuples(*[st.one_of(st.none(), st.integers(-5, 800))] * 3),
    distance=st.sampled_from([None, -3.0, 0.0, 12.0]),
    report=st.lists(st.floats(-5, 30), max_size=3),
)
@example([], [(Side.LEFT, 720, 0, None), (Side.LEFT, 0, None, None)], (None, None, None), None, [])
@example([], [(Side.LEFT, -5, 0, None), (Side.LEFT, -5, None, None)], (None, None, None), None, [])
def test_reading_never_raises_whatever_is_marked(keep, falls, start, distance, report):
    evidence = evidence_of(SHEET)
    run = evidence.run
    chosen = set(keep)
    run = replace(
        run,
        marks=tuple(m for n, m in enumerate(run.marks) if n in chosen),
        points=tuple(p for n, p in enumerate(run.points) if n in chosen),
        lines=tuple(p for n, p in enumerate(run.lines) if n in chosen),
        footfalls=tuple(
            Footfall(str(n), side, down, off, unsure) for n, (side, down, off, unsure) in enumerate(falls)
        ),
        start=StartPush(*start, Side.RIGHT),
        camera_distance_m=distance,
        report_at_m=tuple(report),
    )
    found = read(replace(evidence, run=run))
    for path, number in numbers(found):
        if isinstance(number, Estimate):
            assert math.isfinite(number.value), path
            assert number.low <= number.value <= number.high, path
    json.dumps(reading_to_json(found), allow_nan=False)


@settings(max_examples=60)
@given(
    places=st.lists(
        st.tuples(
            st.sampled_from([-2.0, 0.0, 2.5, 5.0, 10.0, 13.0]),
            st.sampled_from([0.0, 0.0, 1.2]),
            st.floats(0, 1279),
            st.floats(0, 719),
            st.sampled_from([0.01, 1.5, 40.0]),
            st.integers(0, 2),
        ),
        max_size=8,
    ),
    direction=st.sampled_from(list(Direction)),
    distance=st.sampled_from([None, 0.5, 12.0, 1e6]),
)
def test_reading_never_raises_wherever_marks_stand(places, direction, distance):
    evidence = evidence_of(SHEET)
    marks = tuple(GroundMark(str(n), x, y, f, u, v, e) for n, (x, y, u, v, e, f) in enumerate(places))
    run = replace(evidence.run, marks=marks, direction=direction, camera_distance_m=distance)
    json.dumps(reading_to_json(read(replace(evidence, run=run))), allow_nan=False)
