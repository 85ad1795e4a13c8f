"""The narration in the workspace of one run: desk, stage and panel put together."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.actions import Actions
from app.bench import Bench
from app.film.pane import FilmPane
from app.narrate.desk import NarrationDesk
from app.narrate.one_film import OneFilm
from app.narrate.opener import StageOpener
from app.narrate.panel import NarrationPanel


class Narrating:
    """Attributes: ``desk``, which other workspaces work on too, ``stage``, ``panel``."""

    def __init__(self, bench: Bench, actions: Actions, pane: FilmPane, parent: QWidget) -> None:
        self.desk = NarrationDesk(bench, actions, parent)
        self.stage = StageOpener(bench, self.desk, parent)
        self.panel = NarrationPanel(bench, self.desk, actions, parent)
        self._film = OneFilm(bench, pane)
        self.enter()

    def enter(self) -> None:
        """Stops are set on this workspace's film from now on."""
        self.desk.work_on(self._film)

    def leave(self) -> None:
        """No film is on show here any more."""
        self.desk.work_on(None)
