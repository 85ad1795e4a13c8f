"""From an intent to a command: what the keys for events mean, and what they refuse."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.report.within_film import within_film
from analysis.steps.order import check_footfalls, check_start
from analysis.values.command import Command
from analysis.values.errors import FootfallError
from analysis.values.film import FrameNumber
from analysis.values.project import bare, with_parts
from analysis.values.run import Footfall, Run, Side, StartPush
from app.marking import events
from app.marking.events import EventRef

LAST = 400
EMPTY = Run("run", "film", "", FrameNumber(0), FrameNumber(LAST))


def done(run: Run, command: Command) -> Run:
    """The run after a command, as the project would have it."""
    for change in command.changes:
        if change.run_id:
            run = with_parts(run, change.kind, [change])
        else:
            assert change.old == bare(run)
            parts = {name: getattr(run, name) for name in ("marks", "footfalls", "points", "lines")}
            run = replace(change.new, **parts)
    return run


def tagged(*intents: tuple[str, int]) -> Run:
    """D and F on frames, the side being the one that is expected next."""
    run = EMPTY
    for key, frame in intents:
        side = events.next_side(run, frame)
        tag = events.tag_touchdown if key == "D" else events.tag_toe_off
        run = done(run, tag(run, frame, side)[0])
    return run


def shape(run: Run) -> list[tuple[str, int | None, int | None]]:
    return [(f.side.value[0], f.touchdown, f.toe_off) for f in run.footfalls]


def _no_front(run: Run) -> Run:
    return replace(run, start=replace(run.start, front_toe_off=None))


TWO_STEPS = [("l", 100, 140), ("r", 160, 200)]


@pytest.mark.parametrize(
    "order",
    [
        [("D", 100), ("F", 140), ("D", 160), ("F", 200)],
        [("D", 100), ("D", 160), ("F", 200)],
        [("D", 160), ("F", 200), ("D", 100), ("F", 140)],
        [("D", 100), ("F", 145), ("F", 140), ("D", 160), ("F", 200)],
        [("F", 140), ("D", 100), ("D", 160), ("F", 200)],
    ],
    ids=[
        "as it happens",
        "toe-off forgotten",
        "second first",
        "toe-off corrected",
        "toe-off before touchdown",
    ],
)
def test_tagging_in_every_order_ends_in_the_same_footfalls(order):
    run = tagged(*order)
    wanted = TWO_STEPS
    if order[0] == ("D", 160):  # the first one tagged is taken for a left one: the coach says otherwise
        run = done(run, events.change_side(run, run.footfalls[0].id))
        run = done(run, events.change_side(run, run.footfalls[1].id))
    if len(order) == 3:
        wanted = [("l", 100, None), ("r", 160, 200)]
    assert shape(run) == wanted


def test_sides_alternate_from_the_rear_foot():
    run = replace(EMPTY, start=StartPush(front_side=Side.LEFT))
    assert events.next_side(EMPTY, 100) is Side.LEFT
    assert events.next_side(run, 100) is Side.RIGHT
    for frame, wanted in ((100, "r"), (150, "l"), (200, "r")):
        run = done(run, events.tag_touchdown(run, frame, events.next_side(run, frame))[0])
        assert shape(run)[-1][0] == wanted
    assert events.next_side(run, 50) is Side.LEFT  # before a right one comes a left one


def test_a_touchdown_twice_is_refused_and_another_side_changes_it():
    run = tagged(("D", 100))
    assert events.next_side(run, 100) is Side.LEFT
    with pytest.raises(FootfallError, match=r"left foot's touchdown is already on this frame"):
        events.tag_touchdown(run, 100, events.next_side(run, 100))
    command, ref = events.tag_touchdown(run, 100, Side.RIGHT)
    assert shape(done(run, command)) == [("r", 100, None)]
    assert ref == EventRef(run.footfalls[0].id, "touchdown")


def test_a_toe_off_twice_is_refused():
    run = tagged(("D", 100), ("F", 140))
    with pytest.raises(FootfallError, match=r"left foot's toe-off is already on this frame"):
        events.tag_toe_off(run, 140, Side.LEFT)


def test_the_contact_in_which_the_film_begins_has_one_end_only():
    run = tagged(("F", 30))
    assert shape(run) == [("l", None, 30)]
    assert shape(done(run, events.tag_toe_off(run, 35, Side.RIGHT)[0])) == [("l", None, 35)]
    with pytest.raises(FootfallError, match="already on this frame"):
        events.tag_toe_off(run, 30, Side.RIGHT)
    # a touchdown tagged before it makes it whole, one of the other foot does not
    assert shape(done(run, events.tag_touchdown(run, 10, Side.LEFT)[0])) == [("l", 10, 30)]
    assert shape(done(run, events.tag_touchdown(run, 10, Side.RIGHT)[0])) == [
        ("r", 10, None),
        ("l", None, 30),
    ]


@pytest.mark.parametrize(
    ("act", "sentence"),
    [
        (lambda r, ids: events.tag_touchdown(r, 150, Side.RIGHT), "overlap"),
        (lambda r, ids: events.move_event(r, EventRef(ids[0], "toe_off"), 100), "does not come after"),
        (lambda r, ids: events.move_event(r, EventRef(ids[1], "touchdown"), 100), "Two touchdowns"),
        (lambda r, ids: events.change_side(r, ids[1]), "overlap"),
        (lambda r, ids: events.tag_start(_no_front(r), "rear_toe_off", 120), "before the rear foot has left"),
        (lambda r, ids: events.tag_start(r, "first_movement", 60), "ends before it begins"),
        (lambda r, ids: events.tag_start(r, "front_toe_off", 40), "before the rear foot"),
        (lambda r, ids: events.tag_start(r, "rear_toe_off", 50), "already on this frame"),
        (lambda r, ids: events.move_event(r, EventRef("", "rear_toe_off"), 10), "ends before it begins"),
        (lambda r, ids: events.move_event(r, EventRef(ids[0], "touchdown"), LAST + 1), "outside the run"),
        (lambda r, ids: events.tag_touchdown(r, LAST + 1, Side.LEFT), "outside the run"),
        (lambda r, ids: events.tag_toe_off(r, LAST + 1, Side.LEFT), "outside the run"),
        (lambda r, ids: events.tag_start(r, "first_movement", LAST + 1), "outside the run"),
        (lambda r, ids: events.change_side(r, "gone"), "not there any more"),
    ],
)
def test_what_contradicts_itself_is_refused_with_a_sentence(act, sentence):
    start = StartPush(FrameNumber(10), FrameNumber(50), FrameNumber(90))
    feet = (
        Footfall("a", Side.LEFT, FrameNumber(100), FrameNumber(140)),
        Footfall("b", Side.RIGHT, FrameNumber(130), FrameNumber(190)),
    )
    run = replace(EMPTY, start=start, footfalls=feet)
    check_footfalls(run.footfalls)
    with pytest.raises(FootfallError, match=sentence) as caught:
        act(run, ("a", "b"))
    assert str(caught.value).endswith((".", "it."))


def test_deleting():
    run = tagged(("D", 100), ("F", 140), ("D", 160))
    first, second = (f.id for f in run.footfalls)
    assert shape(done(run, events.delete_event(run, EventRef(first, "toe_off"))))[0] == ("l", 100, None)
    assert shape(done(run, events.delete_event(run, EventRef(first, "touchdown")))) == [("r", 160, None)]
    assert shape(done(run, events.delete_event(run, EventRef(second, "touchdown")))) == [("l", 100, 140)]
    lone = tagged(("F", 30))
    assert not done(lone, events.delete_event(lone, EventRef(lone.footfalls[0].id, "toe_off"))).footfalls
    begun = done(run, events.tag_start(run, "first_movement", 20)[0])
    assert done(begun, events.delete_event(begun, EventRef("", "first_movement"))) == run


def test_events_stand_in_order_of_time_and_are_found_again():
    run = tagged(("D", 100), ("F", 140))
    run = done(run, events.tag_start(run, "first_movement", 20)[0])
    assert [(frame, ref.which) for frame, ref in events.events(run)] == [
        (20, "first_movement"),
        (100, "touchdown"),
        (140, "toe_off"),
    ]
    for frame, ref in events.events(run):
        assert events.frame_of(run, ref) == frame
    assert events.frame_of(run, EventRef("", "rear_toe_off")) is None


def test_doubt_and_front_foot():
    run = tagged(("D", 100))
    unsure = done(run, events.change_doubt(run, run.footfalls[0].id, 1))
    assert unsure.footfalls[0].unsure_frames == 1
    assert done(unsure, events.change_doubt(unsure, run.footfalls[0].id, None)) == run
    assert done(run, events.set_front_side(run, Side.RIGHT)).start.front_side is Side.RIGHT


intents = st.lists(
    st.tuples(
        st.sampled_from(["touchdown", "toe_off", "start", "move", "delete", "side", "front", "doubt"]),
        st.integers(-5, LAST + 5),
        st.sampled_from(Side),
        st.integers(0, 30),
    ),
    max_size=40,
)


def _command(run: Run, what: str, frame: int, side: Side, pick: int) -> Command:
    known = events.events(run)
    if what == "touchdown":
        return events.tag_touchdown(run, frame, side)[0]
    if what == "toe_off":
        return events.tag_toe_off(run, frame, side)[0]
    if what == "start":
        return events.tag_start(run, events.START_EVENTS[pick % 3], frame)[0]
    if what == "front":
        return events.set_front_side(run, side)
    if not known:
        return Command("", ())
    ref = known[pick % len(known)][1]
    if what == "move":
        return events.move_event(run, ref, frame)
    if what == "delete":
        return events.delete_event(run, ref)
    if not ref.footfall_id:
        return Command("", ())
    if what == "side":
        return events.change_side(run, ref.footfall_id)
    return events.change_doubt(run, ref.footfall_id, pick % 4)


@given(intents)
def test_no_sequence_of_acts_leaves_a_contradiction_and_all_can_be_taken_back(acts):
    run, made = EMPTY, []
    for act in acts:
        try:
            command = _command(run, *act)
        except FootfallError:
            continue
        run = done(run, command)
        made.append(command)
        check_footfalls(run.footfalls)
        check_start(run.start, run.footfalls)
        assert all(0 <= frame <= LAST for frame, _ in events.events(run))
        assert all(f.touchdown is not None or f.toe_off is not None for f in run.footfalls)
    for command in reversed(made):
        run = done(run, command.reversed)
    assert run == EMPTY


def test_a_run_tagged_on_a_longer_film_shows_what_there_is():
    run = replace(
        EMPTY,
        start=StartPush(FrameNumber(5), FrameNumber(20), FrameNumber(400), Side.RIGHT),
        footfalls=(
            Footfall("a", Side.LEFT, FrameNumber(50), FrameNumber(80)),
            Footfall("b", Side.RIGHT, FrameNumber(95), FrameNumber(120)),
            Footfall("c", Side.LEFT, FrameNumber(130), FrameNumber(160)),
        ),
        last_frame=FrameNumber(500),
    )
    short = within_film(run, 100)
    assert [(f.id, f.touchdown, f.toe_off) for f in short.footfalls] == [("a", 50, 80), ("b", 95, None)]
    assert (short.start.rear_toe_off, short.start.front_toe_off, short.last_frame) == (20, None, 99)
    assert within_film(run, 501) is run
