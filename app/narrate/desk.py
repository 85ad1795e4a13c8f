"""What the coach does with narrations, from whichever workspace is on show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any
from uuid import uuid4

from PySide6.QtCore import QObject, Signal, Slot

from analysis.report.narrated import BODIES
from analysis.values.command import Command
from analysis.values.film import FrameNumber
from analysis.values.narration import FASTEST, SLOWEST, Narration, Stop
from analysis.values.recording import Recording
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.narrate import commands
from app.narrate.stand import Source, Stand


class NarrationDesk(QObject):
    """Holds which narration and which stop are at hand; every change is an edit of the project.

    Signals:
        changed(): narrations, the one at hand, or the stop at hand are others.
        stage_wanted(bool): the narration shall be presented, or, where True, be spoken over.
    """

    changed = Signal()
    stage_wanted = Signal(bool)

    def __init__(self, bench: Bench, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._source: Source | None = None
        self._narration_id = ""
        self._stop_id = ""
        bench.run_changed.connect(self.refresh)
        for name, act in {
            "stop_here": self.stop_here,
            "new_narration": self.begin,
            "remove_narration": self.remove,
            "present": self._present,
            "speak": self._speak,
        }.items():
            actions.do(name, act)

    def work_on(self, source: Source | None) -> None:
        """Set stops on another workspace from now on."""
        self._source = source
        self.changed.emit()

    # what is at hand

    @property
    def stand(self) -> Stand | None:
        """What is on show, in the order of the narration at hand."""
        stand = None if self._source is None else self._source.stand()
        told = self._bench.project.narrations.get(self._narration_id)
        return (
            stand if stand is None or told is None or not _over(told, stand) else stand.led_by(told.run_ids)
        )

    @property
    def narrations(self) -> list[Narration]:
        """Those over the runs on show."""
        stand = None if self._source is None else self._source.stand()
        return [] if stand is None else commands.of_runs(self._bench.project, stand.run_ids)

    @property
    def narration(self) -> Narration | None:
        """The one at hand: that which was chosen, else the first."""
        known = self.narrations
        chosen = next((one for one in known if one.id == self._narration_id), None)
        return chosen or next(iter(known), None)

    @property
    def stop(self) -> Stop | None:
        """The stop at hand."""
        told = self.narration
        return None if told is None else told.stop(self._stop_id)

    def choose(self, narration_id: str) -> None:
        """Take a narration in hand."""
        if narration_id != self._narration_id:
            self._narration_id = narration_id
            self.changed.emit()

    def choose_stop(self, stop_id: str) -> None:
        """Take a stop in hand, and show it."""
        self._stop_id = stop_id
        told, stop = self.narration, self.stop
        if told is not None and stop is not None and self._source is not None:
            beside = None if stop.beside is None else int(stop.beside)
            self._source.go_to(Stand(told.run_ids, int(stop.frame), beside))
        self.changed.emit()

    # edits

    @Slot()
    def begin(self) -> None:
        """Begin another narration over the runs on show."""
        stand = None if self._source is None else self._source.stand()
        if stand is None:
            self._bench.said.emit(tr("Open a film first."))
            return
        made = commands.fresh(self._bench.project, stand.run_ids)
        if self._edit(lambda: commands.change(self._bench.project, made, tr("New narration"))):
            self.choose(made.id)

    @Slot()
    def remove(self) -> None:
        """Take the narration at hand out of the project."""
        told = self.narration
        if told is None:
            self._bench.said.emit(tr("There is no narration to remove."))
            return
        self._edit(lambda: commands.remove(self._bench.project, told))

    def rename(self, name: str) -> None:
        """Call the narration at hand something else."""
        told = self.narration
        if told is not None and name.strip():
            self.put(replace(told, name=name.strip()), tr("Name of the narration"))

    @Slot()
    def stop_here(self) -> None:
        """Set a stop at what is on show; the narration begins with it where there is none."""
        if self.stand is None:
            self._bench.said.emit(tr("Open a film first."))
            return
        told = self.narration or commands.fresh(self._bench.project, self.stand.run_ids)
        stand = self.stand.led_by(told.run_ids)
        stop = Stop(
            uuid4().hex,
            FrameNumber(stand.frame),
            zoom=stand.zoom,
            beside=None if stand.beside is None else FrameNumber(stand.beside),
            beside_zoom=stand.beside_zoom,
            speed_after=min(FASTEST, max(SLOWEST, stand.speed)),
        )
        before = self.stop
        if before is not None:
            stop = replace(stop, drawn=before.drawn, hold_s=before.hold_s)
        if stand.beside is not None:
            bodies = tuple(overlay for overlay, meet in BODIES.items() if meet is stand.over)
            stop = replace(stop, drawn=(*(one for one in stop.drawn if one not in BODIES), *bodies))
        made = told.with_stop(stop, commands.place_for(told, stop))
        if self._edit(lambda: commands.change(self._bench.project, made, tr("Stop along the film"))):
            self._narration_id, self._stop_id = made.id, stop.id
            self.changed.emit()

    def change_stop(self, stop_id: str, **fields: Any) -> None:
        """One stop in other words, at another speed, with something else drawn."""
        told = self.narration
        stop = None if told is None else told.stop(stop_id)
        if told is None or stop is None:
            return
        held, kept = told, stop
        self._edit(
            lambda: commands.change(
                self._bench.project, held.with_stop(replace(kept, **fields)), tr("Stop along the film")
            )
        )

    def move_stop(self, stop_id: str, place: int) -> None:
        """A stop at another place of the list."""
        told = self.narration
        stop = None if told is None else told.stop(stop_id)
        if told is not None and stop is not None:
            self.put(told.with_stop(stop, place), tr("Order of the stops"))

    def step_stop(self, stop_id: str, by: int) -> None:
        """A stop so many places on."""
        told = self.narration
        if told is not None:
            self.put(commands.stepped(told, stop_id, by), tr("Order of the stops"))

    def remove_stop(self, stop_id: str) -> None:
        """Take a stop away; the one after it, else the one before, is at hand then."""
        told = self.narration
        if told is None or told.stop(stop_id) is None:
            return
        ids = [one.id for one in told.stops]
        place = ids.index(stop_id)
        if self._edit(
            lambda: commands.change(self._bench.project, told.without(stop_id), tr("Remove the stop"))
        ):
            rest = ids[:place] + ids[place + 1 :]
            self._stop_id = rest[min(place, len(rest) - 1)] if rest else ""
            self.changed.emit()

    def put(self, new: Narration, words: str) -> bool:
        """The narration becomes another value. True where that was done."""
        return self._edit(lambda: commands.change(self._bench.project, new, words))

    # what was spoken

    def spoken(self, narration_id: str) -> Recording | None:
        """What was spoken over a narration."""
        told = self._bench.project.narrations.get(narration_id)
        return None if told is None else self._bench.project.recordings.get(told.recording_id or "")

    def keep_spoken(self, narration_id: str, new: Recording | None, words: str) -> bool:
        """Keep what is spoken over a narration from now on, or nothing. True where that was done."""
        told = self._bench.project.narrations.get(narration_id)
        return told is not None and self._edit(lambda: commands.speak(self._bench.project, told, new, words))

    def split_spoken(self, narration_id: str, parts: tuple[Recording, Recording]) -> bool:
        """Two narrations, each with a part of what was spoken. True where that was done."""
        told = self._bench.project.narrations.get(narration_id)
        return told is not None and self._edit(
            lambda: commands.split_in_two(self._bench.project, told, parts)
        )

    # inside

    def _edit(self, make: Callable[[], Command]) -> bool:
        return self._bench.attempt(make)

    @Slot()
    def refresh(self) -> None:
        """What is on show may be something else."""
        self.changed.emit()

    @Slot()
    def _present(self) -> None:
        told = self.narration
        if told is None or not told.stops:
            self._bench.said.emit(tr("There is nothing to present yet: go to a frame and set a stop."))
            return
        self._open(speaking=False)

    @Slot()
    def _speak(self) -> None:
        if self.stand is None:
            self._bench.said.emit(tr("Open a film first."))
            return
        if self.narration is None:
            self.begin()
        self._open(speaking=True)

    def _open(self, *, speaking: bool) -> None:
        if self._source is not None and self.narration is not None:
            self._source.pause()
            self.stage_wanted.emit(speaking)


def _over(narration: Narration, stand: Stand) -> bool:
    return sorted(narration.run_ids) == sorted(stand.run_ids)
