"""Films of drills: from a key pressed over a frame to a command."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from analysis.reading.drills.whole import IMPLEMENT
from analysis.values.command import Change, Command, FilmEntry, Kind, command
from analysis.values.conditions import Conditions
from analysis.values.day_plan import DayPlan
from analysis.values.drill import Drill
from analysis.values.drill_film import (
    EVENTS_OF,
    MANY,
    DrillEvent,
    DrillFilm,
    DrillKind,
    DrillRep,
    films_of,
    out_of_order,
)
from analysis.values.errors import PlanError
from analysis.values.film import Film, FrameNumber
from analysis.values.project import Project, run_changes
from analysis.values.run import GroundMark, Run
from analysis.values.words import tr
from app.marking.facts import facts_to_keep
from app.marking.placing import near_side
from app.marking.walks import Stop

FLIGHT_CLICKS = 10
"""So many frames after a release the implement is asked for: the more, the better its speed is known."""

KIND_WORDS = {
    DrillKind.THROW: tr("a throw"),
    DrillKind.JUMP: tr("a jump, bound or hop"),
    DrillKind.START: tr("a start"),
    DrillKind.RUN: tr("a run, with a load or without"),
}
_SIGNS = {
    DrillKind.THROW: {"throw", "throws", "toss"},
    DrillKind.JUMP: {"jump", "jumps", "bound", "bounds", "hop", "hops"},
    DrillKind.RUN: {"sled", "run", "resisted", "assisted", "downhill", "uphill", "hill"},
}
EVENT_WORDS = {
    DrillEvent.SET: tr("set"),
    DrillEvent.PUSH_OFF: tr("push-off"),
    DrillEvent.RELEASE: tr("release"),
    DrillEvent.LANDING: tr("landing"),
}


def likely_kind(drill: Drill) -> DrillKind:
    """What a film of a drill is likely read for, by the words of its name."""
    words = set(f"{drill.id} {drill.name}".lower().replace("-", " ").replace(",", " ").split())
    for kind, signs in _SIGNS.items():
        if words & signs:
            return kind
    return DrillKind.START


def film_of_run(project: Project, run: Run | None) -> DrillFilm | None:
    """The film of a drill that a run holds the marks of."""
    if run is None or not run.of_drill:
        return None
    return next((film for film in project.drill_films.values() if film.run_id == run.id), None)


def add_film(
    project: Project, day: DayPlan, drill: Drill, film: Film, like: DrillFilm | None = None
) -> tuple[Command, str]:
    """A film of a drill of a day; and its id. Marks of place are those of the drill's other film ``like``."""
    entry = next((f for f in project.films.values() if f.fingerprint == film.fingerprint), None)
    changes: list[Change] = []
    if entry is None:
        entry = FilmEntry(uuid4().hex, film.path, film.fingerprint, facts=facts_to_keep(film))
        changes.append(Change(Kind.FILM, entry.id, None, entry))
    before = None if like is None else project.runs.get(like.run_id)
    count = len(films_of(project.drill_films.values(), day.id, drill.id))
    run = Run(
        uuid4().hex,
        entry.id,
        f"{drill.name} {count + 1}",
        FrameNumber(0),
        FrameNumber(film.frames - 1),
        athlete_id=day.athlete_ids[0] if len(day.athlete_ids) == 1 else None,
        conditions=Conditions(day.date),
        of_drill=True,
    )
    if before is not None:
        run = replace(run, direction=before.direction, camera_distance_m=before.camera_distance_m)
    changes.append(Change(Kind.RUN, run.id, None, run))
    changes += [Change(Kind.MARK, m.id, None, m, run.id) for m in _marks_again(before)]
    kind = likely_kind(drill) if like is None else like.kind
    made = DrillFilm(uuid4().hex, run.id, day.id, drill.id, kind)
    changes.append(Change(Kind.DRILL_FILM, made.id, None, made))
    return Command(tr("Add a film of a drill"), tuple(changes)), made.id


def remove_film(project: Project, film: DrillFilm) -> Command:
    """Take a film of a drill out of the project with all that is marked on it; the file stays."""
    gone = Command("", run_changes(project.runs[film.run_id])).reversed.changes
    return Command(tr("Remove the film"), (Change(Kind.DRILL_FILM, film.id, film, None), *gone))


def change_film(old: DrillFilm, new: DrillFilm, words: str) -> Command:
    """The film becomes another value."""
    return command(words, (Change(Kind.DRILL_FILM, old.id, old, new),))


def cut_rep(film: DrillFilm, frame: int, frames: int, cue: str = "") -> Command:
    """A rep begins on this frame; within one, that rep ends here. Without another press a rep goes on to the
    next one, or to the film's end.

    Raises PlanError where a rep would lose an event.
    """
    here = film.rep_at(frame)
    if here is None:
        after = min((rep.first for rep in film.reps if rep.first > frame), default=frames)
        before = max(film.reps, key=lambda rep: rep.place, default=None)
        number = (1, 1) if before is None else (before.set_number, before.number + 1)
        told = cue if before is None else before.cue
        rep = DrillRep(uuid4().hex, FrameNumber(frame), FrameNumber(after - 1), *number, told)
        return change_film(film, film.with_rep(rep), tr("A rep begins here"))
    if any(tagged > frame for _, tagged in here.events):
        raise PlanError(
            tr("The rep has an event after this frame. Take that back first, or end the rep later.")
        )
    return change_film(film, film.with_rep(replace(here, last=FrameNumber(frame))), tr("The rep ends here"))


def tag_event(film: DrillFilm, event: DrillEvent, frame: int) -> Command:
    """An event of the rep at this frame; the same again takes it back. Of a row of jumps there may be several
    push-offs and landings, of everything else the one before moves here.

    Raises PlanError where no rep is cut here, its kind has no such event, or it can't come before or after
    another one.
    """
    rep = film.rep_at(frame)
    if rep is None:
        raise PlanError(tr("No rep is cut out here yet. Begin one on its first frame."))
    if event not in EVENTS_OF[film.kind]:
        words = tr("The film is read as {kind}, which has no {event}. Choose another kind above the film.")
        raise PlanError(words.format(kind=KIND_WORDS[film.kind], event=EVENT_WORDS[event]))
    here = (event, FrameNumber(frame))
    if here in rep.events:
        kept = tuple(one for one in rep.events if one != here)
        new = replace(rep, events=kept)
        return change_film(film, film.with_rep(new), tr("Take back {event}").format(event=EVENT_WORDS[event]))
    many = event in MANY.get(film.kind, ())
    kept = tuple(one for one in rep.events if many or one[0] is not event)
    new = replace(rep, events=(*kept, here))
    wrong = out_of_order(new.events)
    if wrong is not None:
        words = tr("In a rep {first} comes before {then}. Take back the one that stands wrong first.")
        raise PlanError(words.format(first=EVENT_WORDS[wrong[0]], then=EVENT_WORDS[wrong[1]]))
    return change_film(film, film.with_rep(new), tr("Tag {event}").format(event=EVENT_WORDS[event]))


def set_rep_field(film: DrillFilm, rep_id: str, field: str, text: str) -> Command:
    """What was typed for a rep: its set, its number or its cue. Raises PlanError where it can't be."""
    rep = film.rep(rep_id)
    if rep is None:
        raise PlanError(tr("This rep is not there any more."))
    if field == "cue":
        new = replace(rep, cue=text.strip())
    else:
        if not text.strip().isdigit() or not 1 <= int(text) <= 99:
            raise PlanError(tr("Sets and reps count from 1 to 99."))
        number = int(text)
        new = replace(rep, set_number=number) if field == "set_number" else replace(rep, number=number)
    return change_film(film, film.with_rep(new), tr("Change a rep"))


def remove_rep(film: DrillFilm, rep_id: str) -> Command:
    """Take a rep off the film; what is clicked on its frames stays."""
    return change_film(film, film.without(rep_id), tr("Remove a rep"))


def event_frames(film: DrillFilm) -> list[int]:
    """The frames of all events and where reps begin, rising."""
    found = {int(frame) for rep in film.reps for _, frame in rep.events}
    return sorted(found | {int(rep.first) for rep in film.reps})


def implement_stops(film: DrillFilm | None) -> tuple[Stop, ...]:
    """The implement on the frames from each release on."""
    found: list[Stop] = []
    for rep in () if film is None else film.reps:
        release = rep.frame_of(DrillEvent.RELEASE)
        if release is not None:
            last = min(int(rep.last), int(release) + FLIGHT_CLICKS - 1)
            found += [Stop(frame, IMPLEMENT) for frame in range(int(release), last + 1)]
    return tuple(found)


def body_stops(film: DrillFilm | None, run: Run) -> tuple[Stop, ...]:
    """The points of the body that a drill's measures rest on, event by event: near hip and shoulder of a
    throw, the near shoe tip of a jump.
    """
    near = near_side(run).value
    found: list[Stop] = []
    for rep in () if film is None else film.reps:
        for event, tagged in rep.events:
            frame = int(tagged)
            if film is not None and film.kind is DrillKind.JUMP:
                if event is not DrillEvent.SET:
                    at = frame - 1 if event is DrillEvent.PUSH_OFF else frame
                    found.append(Stop(at, f"{near}_toe"))
                continue
            frames = (frame,) if event is DrillEvent.SET else (frame - 1, frame)
            names = [f"{near}_hip"]
            if event is not DrillEvent.LANDING:
                names.append(f"{near}_shoulder")
            found += [Stop(one, name) for one in frames for name in names if one >= 0]
    return tuple(dict.fromkeys(found))


def _marks_again(run: Run | None) -> list[GroundMark]:
    return [] if run is None else [replace(mark, id=uuid4().hex) for mark in run.marks]
