"""What the keys of a drill's film do: cut reps, tag their events, go from one to the next."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Slot

from analysis.values.command import Command
from analysis.values.drill_film import DrillEvent, DrillFilm
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.marking import drilling

KEYS = (
    "cut_rep",
    "tag_set",
    "tag_push_off",
    "tag_release",
    "tag_landing",
    "drill_event_before",
    "drill_event_after",
)
"""The commands that hold only over a film of a drill."""


class DrillKeys(QObject):
    """Connects them to the film at hand on the bench."""

    def __init__(self, bench: Bench, pane: FilmPane, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._pane, self._actions = bench, pane, actions
        for name, act in {
            "cut_rep": self._cut,
            "tag_set": self._set,
            "tag_push_off": self._push_off,
            "tag_release": self._release,
            "tag_landing": self._landing,
            "drill_event_before": self._before,
            "drill_event_after": self._after,
        }.items():
            actions.do(name, act)
        self.enable(on=False)

    def enable(self, *, on: bool) -> None:
        """Whether a film of a drill is in sight."""
        for name in KEYS:
            self._actions[name].setEnabled(on)

    @property
    def film(self) -> DrillFilm | None:
        """The film of a drill at hand."""
        return drilling.film_of_run(self._bench.project, self._bench.run)

    def _edit(self, make: Callable[[DrillFilm, int], Command]) -> None:
        film, pane = self.film, self._pane
        if film is None or pane.film is None:
            return
        if pane.shown != pane.wanted and not pane.ticker.clock.playing:
            self._bench.said.emit(tr("Wait for the picture: an event is tagged on the frame that is shown."))
            return
        frame = int(pane.shown)
        self._bench.attempt(lambda: make(film, frame))

    @Slot()
    def _cut(self) -> None:
        film = self._pane.film
        if film is not None:
            frames, cue = film.frames, self._planned_cue()
            self._edit(lambda drill, frame: drilling.cut_rep(drill, frame, frames, cue))

    def _planned_cue(self) -> str:
        """The cue that the day plans for this drill."""
        film = self.film
        day = None if film is None else self._bench.project.days.get(film.day_id)
        if film is None or day is None:
            return ""
        return next((one.cue for one in day.drills if one.drill_id == film.drill_id), "")

    def _tag(self, event: DrillEvent) -> None:
        self._edit(lambda film, frame: drilling.tag_event(film, event, frame))

    @Slot()
    def _set(self) -> None:
        self._tag(DrillEvent.SET)

    @Slot()
    def _push_off(self) -> None:
        self._tag(DrillEvent.PUSH_OFF)

    @Slot()
    def _release(self) -> None:
        self._tag(DrillEvent.RELEASE)

    @Slot()
    def _landing(self) -> None:
        self._tag(DrillEvent.LANDING)

    @Slot()
    def _before(self) -> None:
        self._go(-1)

    @Slot()
    def _after(self) -> None:
        self._go(1)

    def _go(self, way: int) -> None:
        film = self.film
        if film is None:
            return
        here = int(self._pane.wanted)
        there = [frame for frame in drilling.event_frames(film) if (frame - here) * way > 0]
        if there:
            self._pane.go_to(there[0] if way > 0 else there[-1])
        else:
            self._bench.said.emit(tr("No event further on.") if way > 0 else tr("No event before this one."))
