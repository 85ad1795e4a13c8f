"""Drafts under the keys: look for every footfall, go from draft to draft, take or refuse each."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.drafted import Drafted, right_within_frames
from analysis.values.run import BodyPoint, Run
from analysis.values.words import tr, tr_count
from app.actions import Actions
from app.bench import Bench
from app.drafts import answers
from app.drafts.bar import DraftBar
from app.drafts.columns import tip_columns
from app.drafts.finder import DraftFinder
from app.drafts.laying import lay
from app.marking import events as tagging
from app.marking.events import EventRef
from app.marking.in_hand import draft_in_hand
from app.marking.placing import change_run
from app.selection import PartRef
from app.settings import Settings


class DraftDesk(QObject):
    """Lays what was found on the run, and does what the coach says to each draft.

    Signals:
        asked_for(): the coach wants drafts; no tool may then lie over the picture or take the keys.
    """

    asked_for = Signal()

    def __init__(self, bench: Bench, actions: Actions, settings: Settings, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench, self._actions, self._settings = bench, actions, settings
        self._notes: dict[str, tuple[str, ...]] = {}
        self._by_hand: set[str] = set()
        self.bar = DraftBar(actions, int(settings["sure_draft"]), parent)
        self.finder = DraftFinder(bench, self)
        self.finder.went_on.connect(self._say)
        self.finder.found.connect(self._lay)
        self.bar.cancelled.connect(self.finder.cancel)
        self.bar.read.connect(self._read)
        self.bar.declined.connect(self._decline)
        self.bar.level_chosen.connect(self._level_chosen)
        for name, act in {
            "draft_footfalls": self._draft,
            "confirm_sure": self._confirm_sure,
            "swap_drafts": self._swap,
            "count_drafts": self._count,
        }.items():
            actions.do(name, act)
        bench.run_changed.connect(self._run_came)

    @Slot()
    def _draft(self) -> None:
        self.asked_for.emit()
        self.finder.find(drafts=True)

    @Slot(object)
    def _lay(self, found: Drafted) -> None:
        run = self._bench.run
        if run is None:
            return
        laid = lay(run, found)
        notes = (*found.notes, *laid.notes)
        if not laid.count and not notes:
            notes = (tr("No footfall was found. Tag this run by hand."),)
        self._notes[run.id] = notes
        if laid.count or any(f.draft for f in run.footfalls):
            self._bench.attempt(lambda: laid.command)
        if laid.count:
            self._go(-1)

    # what the coach says

    def confirm(self) -> bool:
        """The draft in hand is right: its toe-off is shown next, then it is a tag and the next one is shown.
        With none in hand the next one is shown. False where there is no draft.
        """
        run = self._bench.run
        if run is None or (not answers.drafts(run) and not run.start.drafts):
            return False
        draft = self._in_hand(run, placed_too=True)
        if draft is None:
            self._go(int(self._bench.frame) - 1)
            return True
        footfall = next((f for f in run.footfalls if f.id == draft.footfall_id), None)
        if footfall is not None and draft.which == "touchdown" and footfall.toe_off is not None:
            self._show(EventRef(footfall.id, "toe_off"))
            return True
        here = tagging.frame_of(run, draft)
        if self._bench.attempt(lambda: answers.confirm(run, draft, self._places(run))):
            if footfall is not None and footfall.id in self._places(run):
                self._bench.said.emit(tr("Confirmed; the tip of the shoe was placed from the ground strip."))
            self._go(-1 if here is None else int(here))
        return True

    def refuse(self) -> bool:
        """The draft in hand is no footfall: it goes, the next one is shown. False where none is in hand."""
        run = self._bench.run
        draft = None if run is None else self._in_hand(run)
        if run is None or draft is None:
            return False
        here = tagging.frame_of(run, draft)
        if self._bench.attempt(lambda: answers.refuse(run, draft)):
            self._bench.said.emit(tr("The draft was refused. Undo takes it back."))
            self._go(-1 if here is None else int(here))
        return True

    @Slot()
    def _confirm_sure(self) -> None:
        run = self._bench.run
        if run is None:
            return
        level = self.bar.level.value() / 100
        before, doubt = len(answers.drafts(run)), self._doubt_frames()
        if self._bench.attempt(lambda: answers.confirm_sure(run, level, self._places(run), doubt)):
            now = self._bench.run
            count = before - (len(answers.drafts(now)) if now is not None else 0)
            words = tr_count(
                "{count} draft confirmed, not looked at: it may be wrong by {frames}.",
                "{count} drafts confirmed, not looked at: they may be wrong by {frames}.",
                count,
            )
            frames = tr_count("{count} frame", "{count} frames", doubt).format(count=doubt)
            self._bench.said.emit(words.format(count=count, frames=frames))
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
        self._decline()  # what was looked for in vain is not offered again

    @Slot()
    def _decline(self) -> None:
        run = self._bench.run
        if run is not None:
            self._by_hand.add(run.id)
        self._say()

    # inside

    def _in_hand(self, run: Run, *, placed_too: bool = False) -> EventRef | None:
        """``placed_too``: also while something drawn on the picture is selected."""
        facts, held = self._bench.facts, self._bench.selected
        if facts is None:
            return None
        if placed_too and isinstance(held, PartRef):
            held = None
        return draft_in_hand(run, held, int(self._bench.frame), facts.times)

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

    def _doubt_frames(self) -> int:
        """How far a draft that is called right may be off."""
        facts = self._bench.facts
        rate = None if facts is None else facts.times.median_rate_hz
        return right_within_frames(rate or 30.0)

    def _places(self, run: Run) -> dict[str, BodyPoint]:
        """The proposed tip of the shoe of each draft."""
        drafted, evidence = self.finder.drafted, self._bench.evidence
        strip = drafted.strip
        if strip is None or evidence is None:
            return {}
        metres = strip.metres(evidence)
        found = {}
        columns = tip_columns(drafted.footfalls, answers.drafts(run))
        for footfall in answers.drafts(run):
            column = columns.get(footfall.id)
            if column is not None and footfall.touchdown is not None:
                u, v = strip.pixel(footfall.touchdown, column)
                error = strip.tip_error_px(column, metres)
                found[footfall.id] = BodyPoint(footfall.touchdown, f"{footfall.side.value}_toe", u, v, error)
        return found

    @Slot(object)
    def _run_came(self, run: Run | None) -> None:
        self._tick()
        self._say()

    def _tick(self) -> None:
        run = self._bench.run
        self._actions["count_drafts"].setChecked(run is not None and run.count_drafts)

    @Slot()
    def _say(self) -> None:
        run = self._bench.run
        if self.finder.busy:
            finder = self.finder
            self.bar.show_progress(finder.progress, drafts=finder.for_drafts, waiting=finder.waiting)
        elif run is None:
            self.bar.show_drafts(0, ())
        elif not run.footfalls and run.id not in self._notes and run.id not in self._by_hand:
            self.bar.show_offer()
        else:
            waiting = len(answers.drafts(run)) + len(run.start.drafts)
            self.bar.show_drafts(waiting, self._notes.get(run.id, ()))
