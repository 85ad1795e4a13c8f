"""What stages keep is never stale: after any edits a reading is the one that a first reading would give.

Equal means equal to the last bit. Another thread knows nothing of what was read before, so what it gives
hangs on the evidence alone.
"""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from analysis.reading import read
from analysis.values.evidence import TrackedPoint
from analysis.values.film import FrameNumber
from analysis.values.run import Direction
from analysis.values.tagging import TaggingError
from analysis.values.tracks import Standing
from tests.analysis.reading.runs import evidence_of, followed_truth, sample

FOLLOWED, _, _ = followed_truth("wing_day1")
PLACED = evidence_of(sample("wing_day1")[0])
WHOLE = replace(FOLLOWED, run=PLACED.run)


def one_moved(several, pick, move):
    """The same with one of them moved."""
    if not several:
        return several
    n = pick % len(several)
    return (*several[:n], move(several[n]), *several[n + 1 :])


def dragged_line(evidence, pick, by):
    lines = one_moved(
        evidence.run.lines, pick, lambda line: replace(line, upper=(line.upper[0] + by, line.upper[1]))
    )
    return replace(evidence, run=replace(evidence.run, lines=lines))


def moved_point(evidence, pick, by):
    points = one_moved(evidence.run.points, pick, lambda p: replace(p, u=p.u + by))
    return replace(evidence, run=replace(evidence.run, points=points))


def moved_mark(evidence, pick, by):
    marks = one_moved(evidence.run.marks, pick, lambda m: replace(m, v=m.v + by / 4))
    return replace(evidence, run=replace(evidence.run, marks=marks))


def moved_touchdown(evidence, pick, by):
    falls = one_moved(
        evidence.run.footfalls,
        pick,
        lambda f: replace(f, touchdown=FrameNumber(f.touchdown + round(by))),
    )
    return replace(evidence, run=replace(evidence.run, footfalls=falls))


def less_of_a_point(evidence, pick, by):
    """One followed point unknown from a frame on, or a guess up to it."""
    tracks = evidence.tracks
    if tracks is None:
        return evidence
    standing = tracks.standing.copy()
    at, point = 100 + round(10 * by), pick % len(tracks.names)
    if pick % 2:
        standing[max(0, at) :, point] = Standing.NONE
    else:
        standing[: max(0, at), point] = Standing.GUESSED
    return replace(evidence, tracks=replace(tracks, standing=standing))


def other_setting(evidence, pick, by):
    """Something else that a reading rests on."""
    run, athlete = evidence.run, evidence.athlete
    ways = (
        lambda: replace(evidence, tagging=TaggingError(0.001 * abs(by), 30)),
        lambda: replace(evidence, tracks=None),
        lambda: replace(evidence, tracks=FOLLOWED.tracks),
        lambda: replace(evidence, athlete=replace(athlete, sex=("female", "male")[round(by) % 2])),
        lambda: replace(evidence, run=replace(run, lane_offset_m=by / 10)),
        lambda: replace(evidence, run=replace(run, report_at_m=(5.0, 5.0 + abs(by)))),
        lambda: replace(evidence, run=replace(run, direction=Direction.RIGHT)),
        lambda: replace(evidence, tracked=list(TrackedPoint)[round(by) % 2]),
        lambda: replace(evidence, run=replace(run, marks=run.marks[: 2 + round(abs(by))])),
        lambda: replace(evidence, run=replace(run, start=replace(run.start, first_movement=None))),
    )
    return ways[pick % len(ways)]()


EDITS = (dragged_line, moved_point, moved_mark, moved_touchdown, less_of_a_point, other_setting)


@settings(max_examples=6, phases=[Phase.generate])
@given(
    st.sampled_from((WHOLE, FOLLOWED)),
    st.permutations(EDITS),
    st.lists(st.tuples(st.integers(0, 40), st.floats(-9.0, 9.0)), min_size=len(EDITS), max_size=len(EDITS)),
)
def test_a_reading_after_edits_is_the_one_that_fresh_eyes_would_give(evidence, edits, ways):
    kept = [evidence]
    read(evidence)
    for edit, (pick, by) in zip(edits, ways, strict=True):
        kept.append(edit(kept[-1], pick, by))
        assert_fresh(kept[-1])
    assert_fresh(kept[-2])  # undone


def assert_fresh(evidence):
    here = read(evidence)
    with ThreadPoolExecutor(1) as other:
        assert other.submit(read, evidence).result() == here


def test_readings_are_told_apart_by_what_stands_on_one_frame_alone():
    """Else the test above would hold whatever is kept."""
    tracks = WHOLE.tracks
    places = tracks.places.copy()
    places[200, tracks.names.index("left_knee"), 0] += 1e-7
    assert read(replace(WHOLE, tracks=replace(tracks, places=places))) != read(WHOLE)
