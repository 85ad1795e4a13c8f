"""Opens the stage for the narration at hand, and keeps what is spoken there."""

from __future__ import annotations

from collections.abc import Callable
from uuid import uuid4

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QWidget

from analysis.values.errors import CinderlaneError
from analysis.values.recording import Recording
from analysis.values.words import tr
from analysis.voice.edits import split, spoken_again
from analysis.voice.take import SoundIn
from app.bench import Bench, Look
from app.film.pane import FilmPane
from app.narrate.desk import NarrationDesk
from app.narrate.devices import SoundOut, loudspeaker, microphone
from app.narrate.stage import Stage

_BEHIND = 4
"""Films behind the stage may keep this part of what they may otherwise; the stage has the rest."""


class StageOpener(QObject):
    """At most one stage is open; ``stage`` is that one.

    Attributes: ``show`` how a stage comes to sight; ``hear``, ``play_on`` make where its sound comes from and
    goes to.
    """

    def __init__(self, bench: Bench, desk: NarrationDesk, window: QWidget) -> None:
        super().__init__(window)
        self._bench, self._desk, self._window = bench, desk, window
        self.stage: Stage | None = None
        self._behind: list[tuple[FilmPane, int]] = []
        self.show: Callable[[Stage], None] = Stage.showFullScreen
        self.hear: Callable[[], SoundIn] = microphone
        self.play_on: Callable[[], SoundOut] = loudspeaker
        desk.stage_wanted.connect(self._open)
        bench.runs_changed.connect(self._runs_changed)

    def shutdown(self) -> None:
        """Close the stage; a take that goes on is kept."""
        if self.stage is not None:
            self.stage.close()

    @Slot(bool)
    def _open(self, speaking: bool) -> None:
        desk, stand = self._desk, self._desk.stand
        told = desk.narration
        if told is None or stand is None:
            return
        looks = [self._bench.look(run_id) for run_id in told.run_ids]
        there = tuple(look for look in looks if look is not None and look.film is not None)
        if len(there) < len(looks):
            self._bench.said.emit(_trouble(looks))
            return
        self.shutdown()
        recording, memory = desk.spoken(told.id), self._bench.films.memory_bytes
        self._share_memory()
        stage = Stage(
            told,
            there,
            stand.led_by(told.run_ids),
            recording,
            self._window,
            speaking=speaking,
            memory_bytes=memory - memory // _BEHIND,
            hear=self.hear,
            play_on=self.play_on,
        )
        stage.telling.taken.connect(self._taken)
        stage.telling.split_wanted.connect(self._split)
        stage.telling.drop_wanted.connect(self._drop)
        stage.left.connect(self._left)
        self.stage = stage
        self.show(stage)

    @Slot()
    def _runs_changed(self) -> None:
        """Another project is open, or the narration's runs are gone: there is nothing to present."""
        if self.stage is not None and self.stage.narration.id not in self._bench.project.narrations:
            self.shutdown()

    @Slot()
    def _left(self) -> None:
        stage, self.stage = self.stage, None
        for pane, budget in self._behind:
            pane.limit(budget)
        self._behind = []
        if stage is not None:
            stage.deleteLater()
            self._window.window().activateWindow()

    def _share_memory(self) -> None:
        """The films of the window behind the stage keep their pictures, but fewer of them."""
        self._behind = [(pane, pane.budget_bytes) for pane in self._window.window().findChildren(FilmPane)]
        for pane, budget in self._behind:
            pane.limit(budget // _BEHIND)

    @Slot(object, object)
    def _taken(self, new: Recording, passage: tuple[float, float] | None) -> None:
        """Keep a take: in the place of a passage, or of all that was spoken before."""
        stage = self.stage
        if stage is None:
            return
        old, words = stage.telling.recording, tr("Speak over the film")
        try:
            if old is not None and passage is not None:
                new, words = spoken_again(old, *passage, new), tr("Speak a passage again")
        except CinderlaneError as error:
            stage.say(str(error))
            return
        if self._desk.keep_spoken(stage.narration.id, new, words):
            stage.telling.show_recording(new)
        else:
            stage.say(tr("What was spoken could not be kept: its narration is not in the project any more."))

    @Slot(float)
    def _split(self, at_s: float) -> None:
        stage = self.stage
        if stage is None or stage.telling.recording is None:
            return
        try:
            parts = split(stage.telling.recording, at_s, (uuid4().hex, uuid4().hex))
        except CinderlaneError as error:
            stage.say(str(error))
            return
        if self._desk.split_spoken(stage.narration.id, parts):
            stage.telling.show_recording(parts[0])
            stage.say(
                tr("The rest is a narration of its own now: “{name}, part 2”.").format(
                    name=stage.narration.name
                )
            )

    @Slot()
    def _drop(self) -> None:
        stage = self.stage
        if stage is not None and self._desk.keep_spoken(stage.narration.id, None, tr("Remove the voice")):
            stage.telling.show_recording(None)


def _trouble(looks: list[Look | None]) -> str:
    return next(
        (look.trouble for look in looks if look is not None and look.film is None and look.trouble),
        tr("The film is still being read. Try again in a moment."),
    )
