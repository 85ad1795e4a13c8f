"""Drafts under the keys: look for every footfall, go from draft to draft, take or refuse each."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.drafted import Drafted, StripPicture
from analysis.jobs.drafting import DraftingJob
from analysis.values.errors import CinderlaneError
from analysis.values.run import BodyPoint, Run, Side
from analysis.values.words import tr, tr_count
from app.actions import Actions
from app.bench import Bench
from app.drafts import answers
from app.drafts.bar import DraftBar
from app.drafts.laying import lay
from app.job_watch import JobWatch
from app.marking import events as tagging
from app.marking.camera import lens_of
from app.marking.drawn import picture_size
from app.marking.events import EventRef
from app.marking.placing import change_run
from app.settings import Settings


class DraftDesk(QObject):
    """Starts the work beside, lays its drafts on the run, and does what the coach says to each.

    Signals: strip_changed(): the ground strip of the run at hand is another one.
    """

    strip_changed = Signal()

    def __init__(self, bench: Bench, actions: Actions, settings: Settings, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._actions, self._settings = bench, actions, settings
        self._job_run = ""
        self._strips: dict[str, StripPicture] = {}
        self._columns: dict[str, float] = {}
        self._notes: dict[str, tuple[str, ...]] = {}
        self.bar = DraftBar(actions, int(settings["sure_draft"]), parent)
        self._watch = JobWatch(self)
        self._watch.went_on.connect(self._say)
        self._watch.finished.connect(self._drafted)
        self._watch.failed.connect(self._failed)
        self.bar.cancelled.connect(self._watch.cancel)
        self.bar.read.connect(self._read)
        self.bar.level_chosen.connect(self._level_chosen)
        for name, act in {
            "draft_footfalls": self._draft,
            "confirm_sure": self._confirm_sure,
            "swap_drafts": self._swap,
            "count_drafts": self._count,
        }.items():
            actions.do(name, act)
        bench.run_changed.connect(self._run_came)

    @property
    def strip(self) -> StripPicture | None:
        """The ground strip of the run at hand; None until its footfalls were drafted."""
        run = self._bench.run
        return None if run is None else self._strips.get(run.id)

    @property
    def columns(self) -> dict[str, float]:
        """Where on the strip the tip of the shoe of each draft stands, by footfall."""
        return self._columns

    @property
    def busy(self) -> bool:
        """Whether footfalls are being looked for."""
        return self._watch.busy

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._watch.shutdown()

    # the work beside

    @Slot()
    def _draft(self) -> None:
        run, film = self._bench.run, self._bench.film
        if run is None or film is None:
            self._bench.said.emit(tr("Open a film first: footfalls are drafted from its pictures."))
            return
        if run.retags is not None:
            self._bench.said.emit(tr("A second tagging is by eye alone: it shows how exactly you tag."))
            return
        if self.busy:
            self._bench.said.emit(tr("Footfalls are still being looked for. Cancel stops it."))
            return
        entry = self._bench.project.films[run.film_id]
        tagged = any(not f.draft for f in run.footfalls)
        marks = run.marks if len({mark.x_m for mark in run.marks}) > 1 else ()
        front = run.start.front_side
        job = DraftingJob(
            Path(film.path),
            [mark for mark in marks if mark.y_m == 0.0],
            run.direction if tagged else None,
            front.other if front is not None else Side.LEFT,
            lens=lens_of(self._bench.project, run),
            coach_rate_hz=entry.coach_rate_hz,
            every=entry.every or 1,
        )
        self._job_run = run.id
        self._watch.watch(job)
        self._say()

    @Slot(object)
    def _drafted(self, found: Drafted) -> None:
        run = self._bench.run
        if run is not None and run.id == self._job_run:
            self._lay(run, found)
        else:
            self._bench.said.emit(
                tr("Another run came to hand while footfalls were looked for. Draft again.")
            )
        self._say()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self._bench.said.emit(sentence)
        self._say()

    def _lay(self, run: Run, found: Drafted) -> None:
        laid = lay(run, found)
        if found.strip is not None:
            self._strips[run.id] = found.strip
        self._columns |= laid.columns
        notes = (*found.notes, *laid.notes)
        if not laid.count and not notes:
            notes = (tr("No footfall was found. Tag this run by hand."),)
        self._notes[run.id] = notes
        if laid.count or any(f.draft for f in run.footfalls):
            self._bench.attempt(lambda: laid.command)
        self.strip_changed.emit()
        if laid.count:
            self._go(-1)

    # what the coach says

    def confirm(self) -> bool:
        """The selected draft is right: its toe-off is shown next, then it is a tag and the next one is shown.
        With no draft selected the next one is shown. False where there is no draft.
        """
        run, selected = self._bench.run, self._bench.selected
        if run is None or (not answers.drafts(run) and not run.start.drafts):
            return False
        if not isinstance(selected, EventRef) or not answers.is_draft(run, selected):
            self._go(int(self._bench.frame) - 1)
            return True
        footfall = next((f for f in run.footfalls if f.id == selected.footfall_id), None)
        if footfall is not None and selected.which == "touchdown" and footfall.toe_off is not None:
            self._show(EventRef(footfall.id, "toe_off"))
            return True
        here = tagging.frame_of(run, selected)
        if self._bench.attempt(lambda: answers.confirm(run, selected, self._places(run))):
            if footfall is not None and footfall.id in self._columns and footfall.touchdown is not None:
                self._bench.said.emit(tr("Confirmed; the tip of the shoe was placed from the ground strip."))
            self._go(-1 if here is None else int(here))
        return True

    def refuse(self) -> bool:
        """The selected draft is no footfall: it goes, the next one is shown. False where none is selected."""
        run, selected = self._bench.run, self._bench.selected
        if run is None or not isinstance(selected, EventRef) or not answers.is_draft(run, selected):
            return False
        here = tagging.frame_of(run, selected)
        if self._bench.attempt(lambda: answers.refuse(run, selected)):
            self._bench.said.emit(tr("The draft was refused. Undo takes it back."))
            self._go(-1 if here is None else int(here))
        return True

    @Slot()
    def _confirm_sure(self) -> None:
        run = self._bench.run
        if run is None:
            return
        level = self.bar.level.value() / 100
        before = len(answers.drafts(run))
        if self._bench.attempt(lambda: answers.confirm_sure(run, level, self._places(run))):
            now = self._bench.run
            count = before - (len(answers.drafts(now)) if now is not None else 0)
            words = tr_count(
                "{count} draft confirmed, its tip of the shoe placed.",
                "{count} drafts confirmed, their tips of the shoe placed.",
                count,
            )
            self._bench.said.emit(words.format(count=count))
            self._go(-1)

    @Slot()
    def _swap(self) -> None:
        run = self._bench.run
        if run is not None and answers.drafts(run):
            self._bench.attempt(lambda: answers.swap_sides(run))
        else:
            self._bench.said.emit(tr("There is no draft. Draft every footfall first."))

    @Slot()
    def _count(self) -> None:
        run = self._bench.run
        if run is not None:
            wanted = self._actions["count_drafts"].isChecked()
            text = tr("Drafts count") if wanted else tr("Drafts do not count")
            self._bench.attempt(lambda: change_run(run, replace(run, count_drafts=wanted), text))
        self._tick()

    @Slot(int)
    def _level_chosen(self, level: int) -> None:
        self._settings["sure_draft"] = float(level)

    @Slot()
    def _read(self) -> None:
        run = self._bench.run
        if run is not None:
            self._notes.pop(run.id, None)
        self._say()

    # inside

    def _go(self, after_frame: int) -> None:
        run = self._bench.run
        ref = answers.first_stop(run, after_frame) if run is not None else None
        if ref is not None:
            self._show(ref)
        else:
            self._bench.select(None)

    def _show(self, ref: EventRef) -> None:
        run = self._bench.run
        frame = tagging.frame_of(run, ref) if run is not None else None
        if frame is not None:
            self._bench.go_to.emit(int(frame))
            self._bench.select(ref)

    def _places(self, run: Run) -> dict[str, BodyPoint]:
        strip = self._strips.get(run.id)
        size = picture_size(self._bench.facts)
        if strip is None or size is None:
            return {}
        try:
            metres = strip.metres(run, size)
        except CinderlaneError:
            metres = None
        found = {}
        for footfall in answers.drafts(run):
            column = self._columns.get(footfall.id)
            if column is not None and footfall.touchdown is not None:
                u, v = strip.pixel(footfall.touchdown, column)
                error = strip.tip_error_px(column, metres)
                found[footfall.id] = BodyPoint(footfall.touchdown, f"{footfall.side.value}_toe", u, v, error)
        return found

    @Slot(object)
    def _run_came(self, run: Run | None) -> None:
        self._tick()
        self._say()
        self.strip_changed.emit()

    def _tick(self) -> None:
        run = self._bench.run
        self._actions["count_drafts"].setChecked(run is not None and run.count_drafts)

    @Slot()
    def _say(self) -> None:
        run = self._bench.run
        if self.busy:
            self.bar.show_progress(self._watch.progress)
        elif run is None:
            self.bar.show_drafts(0, ())
        else:
            waiting = len(answers.drafts(run)) + len(run.start.drafts)
            self.bar.show_drafts(waiting, self._notes.get(run.id, ()))
