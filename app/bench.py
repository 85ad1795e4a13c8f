"""The open project, the run at hand and the undo stack: the one thing that views listen to."""

from __future__ import annotations

import logging
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from uuid import uuid4

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QUndoCommand, QUndoStack

from analysis.jobs.films import Likeness, likeness
from analysis.jobs.tracks import KeptTracks
from analysis.reading import read
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.evidence import Evidence
from analysis.values.film import Film, FilmFacts, FrameNumber
from analysis.values.project import Project, apply
from analysis.values.reading import Reading
from analysis.values.resolving import evidence_for
from analysis.values.run import Run
from analysis.values.tracks import Tracks
from analysis.values.words import tr
from app.film_shelf import FilmShelf, Order
from app.film_state import FilmState, film_state, order_of, wrong_film
from app.followed import Followed
from app.marking.facts import check_rate, facts_to_keep, find_film, new_run, set_filming_rate
from app.marking.repeats import check_unmarked, leave_out_repeats
from app.marking.together import check_together
from app.marking.where import frame_of_edit
from app.selection import Selected

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Look:
    """A run as it stands, its film, and what it says. ``trouble``: why the film is not on show, if it isn't.
    ``facts``, ``evidence``, ``reading``: None only where nothing is known of the film. ``waits_for``: its
    film, while that is being read.
    """

    run: Run
    film: Film | None
    facts: FilmFacts | None
    reading: Reading | None
    trouble: str = ""
    waits_for: Order | None = None
    evidence: Evidence | None = None


class _Done(QUndoCommand):
    """An edit that was made; the bench does and undoes it, the stack keeps the order and the words."""

    def __init__(self, command: Command, before_run: str) -> None:
        super().__init__(command.text)
        self.command = command
        self.before_run = before_run


class Bench(QObject):
    """Holds what is open and makes every edit durable before anything shows it.

    Signals:
        film_changed(Film | None): another film is on the bench, or none.
        film_came(): a film of the project was opened, or can't be.
        run_changed(Run | None): the run at hand is another value.
        reading_changed(Reading | None): the reading of the run at hand.
        runs_changed(): runs were added, renamed or removed, or another project is open.
        frame_changed(int): the film shows another frame.
        go_to(int): the film shall show a frame.
        said(str): a sentence for the coach.
        selection_changed(Selected | None): an event or a drawn thing is selected, or nothing.
    """

    film_changed = Signal(object)
    film_came = Signal()
    run_changed = Signal(object)
    reading_changed = Signal(object)
    runs_changed = Signal()
    frame_changed = Signal(int)
    go_to = Signal(int)
    said = Signal(str)
    selection_changed = Signal(object)

    def __init__(self, parent: QObject | None = None, films: FilmShelf | None = None) -> None:
        """``films``: where films come from; without it they are opened on the spot."""
        super().__init__(parent)
        self.stack = QUndoStack(self)
        self.films = FilmShelf(self) if films is None else films
        self._followed = Followed()
        self._lines_between: tuple[tuple[str, str], ...] = ()
        self._file: ProjectFile | None = None
        self._run_id = ""
        self._state = FilmState()
        self._film_key: tuple[str, str, float | None, int] | None = None
        self._goal: int | None = None  # where a film on its way is to be shown
        self._follows = False  # another film says where
        self._waiting: dict[Order, Callable[[], None]] = {}
        self._rests_on: Evidence | None = None
        self._reading: Reading | None = None
        self._frame = FrameNumber(0)
        self._selected: Selected | None = None
        self.films.came.connect(self._film_came)

    # what is open

    @property
    def project(self) -> Project:
        """The open project; an empty one where none is open."""
        return self._file.project if self._file is not None else Project()

    @property
    def path(self) -> Path | None:
        """Where the open project lies."""
        return self._file.path if self._file is not None else None

    @property
    def run(self) -> Run | None:
        """The run at hand."""
        return self.project.runs.get(self._run_id)

    @property
    def film(self) -> Film | None:
        """The film of the run at hand, where it could be opened."""
        return self._state.film

    @property
    def film_state(self) -> FilmState:
        """How it stands with the film of the run at hand."""
        return self._state

    @property
    def facts(self) -> FilmFacts | None:
        """Times and size of the film; from the run's sheet where the film itself is gone."""
        if self.film is not None:
            return self.film.facts
        run = self.run
        entry = self.project.films.get(run.film_id) if run is not None else None
        return entry.facts if entry is not None else None

    @property
    def trouble(self) -> str:
        """Why the film of the run at hand can't be shown; empty where it can, or is on its way."""
        return self._state.trouble

    @property
    def read_only(self) -> bool:
        """Whether edits are refused because the project file can't be written."""
        return self._file is not None and self._file.read_only

    @property
    def reading(self) -> Reading | None:
        """The reading of the run at hand."""
        return self._reading

    @property
    def evidence(self) -> Evidence | None:
        """All that the reading of the run at hand rests on; None where its film is not known."""
        run, facts = self.run, self.facts
        return None if run is None or facts is None else self._evidence(run, facts, self.kept_tracks)

    @property
    def tracks(self) -> Tracks | None:
        """The points followed between the placed ones, as far as they hold for these very points."""
        return self.kept_tracks.tracks

    @property
    def kept_tracks(self) -> KeptTracks:
        """What the project keeps of followed points of the run at hand."""
        return self._followed.of(self._file, self.run)

    def keep_tracks(self, run_id: str, tracks: Tracks) -> None:
        """Keep followed points of a run, which is no edit, and read with them. Raises ProjectError."""
        if self._file is not None:
            self._file.keep_tracks(run_id, tracks)
            self._followed.forget()
            self._publish()

    def keep_draft(self, film_id: str, key: str, content: bytes) -> None:
        """Keep what was drafted from a film, which is no edit. Raises ProjectError."""
        if self._file is not None:
            self._file.keep_draft(film_id, key, content)

    def latest_draft(self, film_id: str) -> tuple[str, bytes] | None:
        """Key and content of what was drafted last from a film. Raises ProjectError."""
        return None if self._file is None else self._file.latest_draft(film_id)

    @property
    def frame(self) -> FrameNumber:
        """The frame that the film shows."""
        return self._frame

    # projects and runs

    def open_project(self, path: Path) -> None:
        """Open a project file and its first run. Raises ProjectError; what was open stays open then."""
        opened = ProjectFile.open(path)
        self._take(opened)

    def new_project(self, path: Path) -> None:
        """Begin an empty project file. Raises ProjectError; what was open stays open then."""
        self._take(ProjectFile.create(path))

    def _take(self, opened: ProjectFile) -> None:
        self.close()
        self._followed.forget()
        self._file = opened
        self.runs_changed.emit()
        first = next(iter(sorted(self.project.sprints, key=lambda run: run.name)), None)
        if first is None:
            self._show_nothing()
        else:
            self.choose_run(first.id)
            self._fetch_the_others()

    def close(self) -> None:
        """Let go of the project; every edit is already in its file."""
        self.stack.clear()
        self._waiting.clear()
        if self._file is not None:
            self._file.close()
            self._file = None
        self._show_nothing()

    def look(self, run_id: str, before: Look | None = None) -> Look | None:
        """Any run of the project with its film and its reading, without bringing it to hand; None for none.

        ``before``: what was seen last; it is returned where nothing that it rests on has changed.
        """
        run = self.project.runs.get(run_id)
        if run is None:
            return None
        if run_id == self._run_id:
            state, rests_on = self._state, self._rests_on
            look = Look(run, self.film, self.facts, self._reading, _words(state), state.order, rests_on)
            return before if before == look else look
        entry = self.project.films.get(run.film_id)
        state = film_state(entry, self._file, self.films)
        film, trouble = state.film, _words(state)
        facts = film.facts if film is not None else entry.facts if entry is not None else None
        kept = self._followed.of(self._file, run)
        evidence = None if facts is None else self._evidence(run, facts, kept)
        seen = Look(run, film, facts, None, trouble, state.order, evidence)
        if before is not None and replace(before, reading=None) == seen:
            return before
        return replace(seen, reading=None if evidence is None else read(evidence))

    def choose_run(self, run_id: str, at: int | None = None, *, follows: bool = False) -> None:
        """Bring another run to hand, and its film. ``at``: the frame that its film shows already; without it
        the film goes to where the run begins. ``follows``: a film that is still to be read is sent nowhere
        when it comes, since it follows another one.
        """
        run = self.project.runs.get(run_id)
        if run is None:
            return
        if run_id != self._run_id:
            self.select(None)
        self._run_id = run_id
        if at is not None:
            self._frame = FrameNumber(at)
        self._goal, self._follows = _begin(run) if at is None else at, follows
        self._open_film_of(run)
        self._publish()
        if at is not None:
            self.frame_changed.emit(at)
            return
        self.go_to.emit(_begin(run))

    def order_for(self, path: Path) -> Order:
        """How to ask for a film: at the rate that the coach told of it, where the project has it."""
        entry = next((f for f in self.project.films.values() if f.path and Path(f.path) == path), None)
        return Order(path) if entry is None else Order.of(entry, path)

    def add_film(self, path: Path) -> None:
        """Begin a run on a film: a new one, or the run that the project already has on it.

        Where films come later this waits for none: ask for ``order_for`` first. Raises FilmError where the
        file is no film, ProjectError where no project is open.
        """
        film = self.films.get(self.order_for(path))
        if film is None:
            return
        entry = next((f for f in self.project.films.values() if f.fingerprint == film.fingerprint), None)
        if entry is not None:
            own = (r for r in self.project.sprints if r.film_id == entry.id and r.retags is None)
            run = next(own, None)
            if run is not None:
                self._follow(entry, film)
                self.choose_run(run.id)
                return
        changes: list[Change] = []
        if entry is None:
            entry = FilmEntry(uuid4().hex, film.path, film.fingerprint, facts=facts_to_keep(film))
            changes.append(Change(Kind.FILM, entry.id, None, entry))
        run = Run(entry.id + "-1", entry.id, path.stem, FrameNumber(0), FrameNumber(film.frames - 1))
        changes.append(Change(Kind.RUN, run.id, None, run))
        self._commit(Command(tr("Open {film}").format(film=path.name), tuple(changes)))
        self.runs_changed.emit()
        self.choose_run(run.id)

    def new_run(self) -> None:
        """Begin another run on the film at hand and bring it to hand. Raises CinderlaneError."""
        run = self.run
        if run is None or self.film is None:
            raise CinderlaneError(tr("Open a film first: a run is a stretch of one."))
        made, run_id = new_run(self.project, run, self.film.frames)
        self.edit(made)
        self.choose_run(run_id)

    def set_filming_rate(self, rate_hz: float | None) -> None:
        """At how many frames a second the film at hand was shot; None: as the film says.

        Raises CinderlaneError where that can't be, or where the film is not there to be timed.
        """
        run = self.run
        entry = self.project.films.get(run.film_id) if run is not None else None
        if entry is None or self._file is None:
            raise CinderlaneError(tr("Open a film first."))
        check_rate(rate_hz)
        order = replace(order_of(entry, self._file), coach_rate_hz=rate_hz)
        self._when_there(order, entry.id, lambda now, film: set_filming_rate(now, rate_hz, film))

    def leave_out_repeats(self, every: int) -> None:
        """Every picture of the film at hand stands so many times, by the coach's word; 1: none is left out.

        Raises CinderlaneError where something is marked on the film already, or where it is not there.
        """
        run = self.run
        entry = self.project.films.get(run.film_id) if run is not None else None
        if entry is None or self._file is None:
            raise CinderlaneError(tr("Open a film first."))
        if every > 1:
            check_unmarked(self.project, entry)
        order = replace(order_of(entry, self._file), every=every)
        self._when_there(order, entry.id, lambda now, film: leave_out_repeats(self.project, now, every, film))

    def find_film(self, path: Path) -> None:
        """The film of the run at hand lies there now. Raises FilmError where it is another one.

        One whose pictures come at the same times is laid in its place, and the coach is asked.
        """
        run = self.run
        entry = self.project.films.get(run.film_id) if run is not None else None
        if entry is None:
            raise CinderlaneError(tr("Open a project with the run first."))
        self._when_there(Order.of(entry, path), entry.id, self._found)

    def _found(self, entry: FilmEntry, film: Film) -> Command:
        assert self._file is not None
        like = likeness(film, entry, self._file)
        if like is Likeness.OTHER:
            raise FilmError(wrong_film(film, like))
        return find_film(entry, film, same=like is Likeness.SAME)

    @Slot()
    def accept_film(self) -> None:
        """The file in the place of the run's film is the same film, encoded anew: the coach says so."""
        run, other = self.run, self._state.other
        entry = self.project.films.get(run.film_id) if run is not None else None
        if entry is not None and other is not None:
            self.attempt(lambda: find_film(entry, other, same=True))

    def cancel_opening(self) -> None:
        """Wait no longer for the film of the run at hand."""
        order = self._state.order
        if order is not None:
            self.films.cancel(order)
            self._state = FilmState(
                trouble=tr("{film} was not opened. Choose the run again to open it.").format(
                    film=order.path.name
                )
            )
            self._film_key = None
            self.film_changed.emit(None)
            self._publish()

    def _when_there(self, order: Order, film_id: str, make: Callable[[FilmEntry, Film], Command]) -> None:
        """Make an edit that needs another reading of a film's file, once that is there."""
        film = self.films.get(order)
        if film is None:
            self._waiting[order] = partial(self._when_there_at_last, order, film_id, make)
            return
        entry = self.project.films.get(film_id)
        if entry is not None:
            self.edit(make(entry, film))

    def _when_there_at_last(
        self, order: Order, film_id: str, make: Callable[[FilmEntry, Film], Command]
    ) -> None:
        try:
            self._when_there(order, film_id, make)
        except CinderlaneError as error:
            self.said.emit(str(error))
            self._publish()

    def save_copy(self, path: Path) -> None:
        """Write a copy of the project file. Raises ProjectError."""
        if self._file is not None:
            self._file.save_copy(path)

    # edits

    def edit(self, command: Command) -> None:
        """Do a command: checked, durable in the file, then on the undo stack, then read and shown.

        Raises CinderlaneError, with nothing changed, where it can't be done.
        """
        if command.empty:
            return
        before = self._run_id
        self._commit(command)
        self.stack.push(_Done(command, before))
        self._after(command)

    def take_in(self) -> None:
        """Take in what another window or program wrote into the project, and show it."""
        if self._file is None:
            return
        before = self._file.project
        try:
            if self._file.reload() is before:
                return
        except CinderlaneError as error:
            self.said.emit(str(error))
            return
        self.runs_changed.emit()
        run = self.run
        if run is not None:
            self._open_film_of(run)
        self._publish()

    def attempt(self, make: Callable[[], Command]) -> bool:
        """Make a command and do it; where that can't be, say why. True when it was done."""
        return self.try_to(lambda: self.edit(make()))

    def try_to(self, act: Callable[[], object]) -> bool:
        """Do something; where that can't be, say why. True when it was done."""
        try:
            act()
        except CinderlaneError as error:
            self.said.emit(str(error))
            return False
        return True

    def select(self, selected: Selected | None) -> None:
        """Select an event or a drawn thing, or nothing."""
        if selected != self._selected:
            self._selected = selected
            self.selection_changed.emit(selected)

    @property
    def selected(self) -> Selected | None:
        """What is selected."""
        return self._selected

    def preview(self, command: Command) -> tuple[Run, Reading] | None:
        """What the run at hand and its reading would be after a command; nothing is kept."""
        facts = self.facts
        if facts is None or self.run is None:
            return None
        run = apply(self.project, command).runs[self._run_id]
        return run, read(self._evidence(run, facts, self.kept_tracks.beside(run)))

    def undo(self) -> None:
        """Take the last edit back, going to where it was made."""
        if not self.stack.canUndo():
            self.said.emit(tr("There is nothing to undo."))
            return
        done = self.stack.command(self.stack.index() - 1)
        if isinstance(done, _Done):
            self._go_where(done)
            if not self._still_fits(done, done.command.reversed):
                return
            self.stack.undo()
            self._revisit(done.command.reversed, tr("Undone: {what}"))

    def redo(self) -> None:
        """Do the edit again that was undone last, going to where it was made."""
        if not self.stack.canRedo():
            self.said.emit(tr("There is nothing to redo."))
            return
        done = self.stack.command(self.stack.index())
        if isinstance(done, _Done):
            self._go_where(done)
            if not self._still_fits(done, done.command):
                return
            self.stack.redo()
            self._revisit(done.command, tr("Done again: {what}"))

    def show_frame(self, frame: int) -> None:
        """The film now shows this frame; the pane says so."""
        if frame != self._frame:
            self._frame = FrameNumber(frame)
            self.frame_changed.emit(frame)

    # inside

    def _go_where(self, done: _Done) -> None:
        """Bring the run to hand on which an edit was made; its film knows the times to be stored with it."""
        where = next((change.run_id for change in done.command.changes if change.run_id), done.before_run)
        if where != self._run_id and where in self.project.runs:
            self.choose_run(where)

    def _still_fits(self, done: _Done, command: Command) -> bool:
        """Do the command; where the project was changed elsewhere, drop it from the stack and say so.

        Raises CinderlaneError, with nothing dropped, where the file can't be written.
        """
        try:
            now = self._up_to_date()
            check_together(now, apply(now, command))
        except CinderlaneError as error:
            done.setObsolete(True)
            (self.stack.undo if command != done.command else self.stack.redo)()
            self._publish()
            self.said.emit(f"{error} " + tr("That edit can't be taken back or done again any more."))
            return False
        self._commit(command)
        return True

    def _up_to_date(self) -> Project:
        """The project with what other programs wrote since."""
        return self._file.reload() if self._file is not None else Project()

    def _revisit(self, command: Command, words: str) -> None:
        self._after(command)
        frame = frame_of_edit(command)
        if frame is not None:
            self.go_to.emit(frame)
        self.said.emit(words.format(what=command.text))

    def _follow(self, entry: FilmEntry, film: Film) -> None:
        """A film of the project was opened from another place: that is where it lies now."""
        assert self._file is not None
        try:
            self._file.find_film(entry.id)
        except CinderlaneError:
            moved = replace(entry, path=film.path)
            self.edit(Command(tr("Find the film"), (Change(Kind.FILM, entry.id, entry, moved),)))

    def _after(self, command: Command) -> None:
        if any(change.kind in (Kind.RUN, Kind.FILM) for change in command.changes):
            self.runs_changed.emit()
            run = self.run
            if run is None and self.project.sprints:  # the run at hand went with an undo
                self.choose_run(self.project.sprints[0].id)
                return
            if run is not None:
                self._open_film_of(run)
        self._publish()

    def _commit(self, command: Command) -> None:
        if self._file is None:
            raise CinderlaneError(tr("No project is open. Open a film or a project first."))
        seen = self._file.project

        def check(now: Project, then: Project) -> None:
            if now is not seen:  # somebody else wrote: what was checked before the edit was made may not hold
                check_together(now, then)

        try:
            self._file.commit(command, self._pts_of, check)
        except CinderlaneError:
            if self._file.project is not seen:
                self._publish()  # the coach sees what stands against it
            raise

    def _pts_of(self, film_id: str, frame: int) -> int | None:
        run, film = self.run, self.film
        if film is None or run is None or run.film_id != film_id:
            return None
        return film.index[frame].pts if 0 <= frame < film.frames else None

    def _open_film_of(self, run: Run) -> None:
        entry = self.project.films.get(run.film_id)
        key = None
        if entry is not None:
            key = (entry.path, entry.fingerprint, entry.coach_rate_hz, entry.every or 1)
        if key == self._film_key and self.film is not None:
            return
        self._state = film_state(entry, self._file, self.films)
        if self._state.trouble and self._state.other is None:  # a question waits in the film's place
            self.said.emit(self._state.trouble)
        self._film_key = key
        self.film_changed.emit(self.film)
        if self.film is not None:
            self._goal, self._follows = None, False

    @Slot(object)
    def _film_came(self, order: Order) -> None:
        waiting = self._waiting.pop(order, None)
        if waiting is not None:
            waiting()
        run = self.run
        if run is not None and self._state.order == order:
            goal, follows = int(self._frame) if self._goal is None else self._goal, self._follows
            self._open_film_of(run)
            self._publish()
            if not follows:
                self.go_to.emit(goal)
        self.film_came.emit()

    def _fetch_the_others(self) -> None:
        """Films of the other runs, for when the coach goes there."""
        runs = sorted(self.project.runs.values(), key=lambda run: run.name)
        for film_id in dict.fromkeys(run.film_id for run in runs):
            entry = self.project.films.get(film_id)
            if entry is None or self._file is None or not self.films.has_room:
                return
            with suppress(CinderlaneError):  # it is said when the coach goes there
                self.films.get(order_of(entry, self._file), urgent=False)

    def _publish(self) -> None:
        self._rests_on = self.evidence
        self._reading = None if self._rests_on is None else read(self._rests_on)
        self.run_changed.emit(self.run)
        self.reading_changed.emit(self._reading)

    def _evidence(self, run: Run, facts: FilmFacts, kept: KeptTracks) -> Evidence:
        evidence = kept.laid_into(evidence_for(self.project, run, facts))
        return replace(evidence, lines_between=self._lines_between)

    def ask_lines_between(self, pairs: tuple[tuple[str, str], ...]) -> None:
        """Have the angles of these lines read too, each from a lower to an upper body point."""
        if pairs != self._lines_between:
            self._lines_between = pairs
            self._publish()

    def _show_nothing(self) -> None:
        self.select(None)
        self._run_id, self._film_key = "", None
        self._rests_on = self._reading = None
        self._state = FilmState()
        self._frame = FrameNumber(0)
        self.film_changed.emit(None)
        self.run_changed.emit(None)
        self.reading_changed.emit(None)


def _begin(run: Run) -> int:
    """The frame on which a run is first shown."""
    return run.start.first_movement if run.start.first_movement is not None else run.first_frame


def _words(state: FilmState) -> str:
    """What stands in the place of a film that is not on show."""
    if state.order is not None:
        return tr("Opening {film}…").format(film=state.order.path.name)
    return state.trouble
