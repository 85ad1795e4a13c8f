"""What stands on the rail: a run and its reading as blocks, gaps and events. Nothing is drawn here."""

from __future__ import annotations

from dataclasses import dataclass, field

from analysis.report.rail_cells import FrameCells
from analysis.report.shifts import CONTACT, FLIGHT, Shift, shifts_of
from analysis.report.within_film import within_film
from analysis.report.words import side_letter, side_word
from analysis.values.estimate import Result
from analysis.values.film import FrameTimes
from analysis.values.reading import Reading, StepReading
from analysis.values.run import Footfall, Run, Side
from analysis.values.words import tr


@dataclass(frozen=True)
class Block:
    """A stretch on the ground; an end that is not marked is None.

    ``footfall_id`` is empty for a push of the start. ``track``: where it stands, also with no side known.
    ``events``: the names of the events at its top and its bottom.
    """

    footfall_id: str
    side: Side | None
    track: Side
    top_s: float | None
    bottom_s: float | None
    label: str
    name: str
    draft: bool = False
    number: Result | None = None
    shift: Shift | None = None
    events: tuple[str, str] = ("touchdown", "toe_off")
    confidence: float | None = None

    @property
    def push(self) -> bool:
        """A push of the start, not a step's contact."""
        return not self.footfall_id

    def edge_s(self, which: str) -> float | None:
        """Where one of its edges stands."""
        return self.top_s if which == self.events[0] else self.bottom_s


@dataclass(frozen=True)
class Gap:
    """A flight: from a toe-off to the other foot's touchdown."""

    top_s: float
    bottom_s: float
    name: str
    side: Side
    number: Result
    shift: Shift | None = None


@dataclass(frozen=True)
class RailEvent:
    """Something marked on a frame, in words."""

    frame: int
    words: str


@dataclass(frozen=True)
class RailContent:
    """All that the rail shows, in time order. Times count from the axis' zero."""

    cells: FrameCells
    blocks: tuple[Block, ...] = field(default=())
    gaps: tuple[Gap, ...] = field(default=())
    events: tuple[RailEvent, ...] = field(default=())

    def nearest_event(self, frame: int) -> RailEvent | None:
        """The event nearest to a frame, the earlier of two equally near ones."""
        return min(self.events, key=lambda e: (abs(e.frame - frame), e.frame), default=None)

    def block(self, footfall_id: str, which: str = "touchdown") -> Block | None:
        """The block of a footfall; of the start push (no footfall) the one that an event bounds."""
        mine = (b for b in self.blocks if b.footfall_id == footfall_id)
        return next((b for b in mine if footfall_id or which in b.events), None)


def rail_content(run: Run, times: FrameTimes, reading: Reading | None) -> RailContent:
    """Lay out a run; without a reading the blocks stand without numbers."""
    run = within_film(run, len(times))
    plain = FrameCells(times, run.first_frame, run.last_frame)
    movement = run.start.first_movement
    zero = plain.time(run.first_frame if movement is None else movement)
    cells = FrameCells(times, run.first_frame, run.last_frame, zero)
    here = {footfall.id for footfall in run.footfalls}
    steps = {s.footfall_id: s for s in reading.steps if s.footfall_id in here} if reading else {}
    shifts = shifts_of(reading)
    contacts = [_contact(f, cells, steps.get(f.id), shifts) for f in run.footfalls]
    blocks = _pushes(run, cells, reading) + contacts
    gaps = [gap for step in steps.values() if (gap := _gap(step, zero, shifts)) is not None]
    events = sorted(_start_events(run) + _footfall_events(run, steps), key=lambda e: e.frame)
    return RailContent(cells, tuple(blocks), tuple(gaps), tuple(events))


def _contact(
    footfall: Footfall, cells: FrameCells, step: StepReading | None, shifts: dict[tuple[str, int], Shift]
) -> Block:
    top = None if footfall.touchdown is None else cells.start(footfall.touchdown)
    bottom = None if footfall.toe_off is None else cells.start(footfall.toe_off)
    letter = side_letter(footfall.side)
    name = tr("Contact {side}").format(side=side_word(footfall.side))
    if footfall.draft:
        name = tr("Draft, not confirmed: {name}").format(name=name)
        if footfall.confidence is not None:
            name = tr("{name}, {sure} % sure").format(name=name, sure=round(100 * footfall.confidence))
    sure = footfall.confidence if footfall.draft else None
    if step is None:
        side, draft = footfall.side, footfall.draft
        return Block(footfall.id, side, side, top, bottom, letter, name, draft, confidence=sure)
    name = tr("Step {step}, contact {side}").format(step=step.step, side=side_word(footfall.side))
    return Block(
        footfall.id,
        footfall.side,
        footfall.side,
        top,
        bottom,
        f"{letter}{step.step}",
        name,
        footfall.draft,
        step.contact_s,
        shifts.get((CONTACT, step.step)),
        confidence=sure,
    )


def _gap(step: StepReading, zero: float, shifts: dict[tuple[str, int], Shift]) -> Gap | None:
    if step.lifts_s is None or step.ends_s is None:
        return None
    name = tr("Step {step}, flight").format(step=step.step)
    shift = shifts.get((FLIGHT, step.step))
    return Gap(step.lifts_s - zero, step.ends_s - zero, name, step.side, step.flight_s, shift)


def _pushes(run: Run, cells: FrameCells, reading: Reading | None) -> list[Block]:
    start = run.start
    front = start.front_side
    rear = front.other if front else None
    front_track = front or Side.RIGHT
    top = None if start.first_movement is None else cells.start(start.first_movement)
    feet = (
        (
            rear,
            front_track.other,
            start.rear_toe_off,
            tr("rear"),
            tr("Start push, rear foot"),
            "rear",
        ),
        (
            front,
            front_track,
            start.front_toe_off,
            tr("front"),
            tr("Start push, front foot"),
            "front",
        ),
    )
    out = []
    for side, track, toe_off, label, name, foot in feet:
        if toe_off is None and (top is None or foot == "rear"):
            continue
        bottom = None if toe_off is None else cells.start(toe_off)
        number = getattr(reading.start, f"{foot}_foot_push_s") if reading else None
        events = ("first_movement", f"{foot}_toe_off")
        draft = any(event in start.drafts for event in events)
        words = tr("Draft, not confirmed: {name}").format(name=name) if draft else name
        out.append(Block("", side, track, top, bottom, label, words, draft, number, events=events))
    return out


def _start_events(run: Run) -> list[RailEvent]:
    start = run.start
    marked = (
        (start.first_movement, tr("first movement")),
        (start.rear_toe_off, tr("toe-off of the rear foot")),
        (start.front_toe_off, tr("toe-off of the front foot")),
    )
    return [RailEvent(int(frame), words) for frame, words in marked if frame is not None]


def _footfall_events(run: Run, steps: dict[str, StepReading]) -> list[RailEvent]:
    out = []
    for footfall in run.footfalls:
        step = steps.get(footfall.id)
        end = tr(", step {step}").format(step=step.step) if step else ""
        side = side_word(footfall.side)
        if footfall.touchdown is not None:
            out.append(RailEvent(int(footfall.touchdown), tr("touchdown {side}").format(side=side) + end))
        if footfall.toe_off is not None:
            out.append(RailEvent(int(footfall.toe_off), tr("toe-off {side}").format(side=side) + end))
    return out
