"""How the stage is divided: films, numbers and rails beside, words and buttons below."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.bench import Look
from app.film.clock import Clock
from app.film.ticker import Ticker
from app.narrate.caption import Caption
from app.narrate.screen import Screen
from app.narrate.voice_bar import VoiceBar
from app.theme.tokens import TARGET_PX, Space

_BESIDE_PX = 300


class StageFrame(QWidget):
    """Puts the parts in their places. ``captions``: of all stops.
    ``memory_bytes``: what the films may keep together.

    Attributes: ``ticker`` the one clock of all films, ``screens`` one for each film, ``caption``,
    ``notice`` a sentence for the coach, ``bar`` of the voice, ``where`` in the list, ``back``, ``next``,
    ``wipe``, ``leave`` the buttons.
    """

    def __init__(
        self,
        looks: tuple[Look, ...],
        captions: Iterable[str],
        parent: QWidget,
        memory_bytes: int,
        *,
        speaking: bool,
    ) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setProperty("role", "panel")
        self.ticker = Ticker(Clock(), self)
        others = (looks[1], looks[0]) if len(looks) > 1 else (None,)
        self.screens = tuple(
            Screen(look, self.ticker, memory_bytes // 2, self, beside)
            for look, beside in zip(looks, others, strict=True)
        )
        self.caption = Caption(captions, self)
        self.notice = QLabel(self)
        self.notice.setTextFormat(Qt.TextFormat.PlainText)
        self.notice.setProperty("role", "warning")
        self.notice.setWordWrap(True)
        self.notice.hide()
        self.bar = VoiceBar(self, speaking=speaking)
        self.where = QLabel(self)
        self.where.setTextFormat(Qt.TextFormat.PlainText)
        self.back, self.next, self.wipe, self.leave = (
            _button(words, hint, self)
            for words, hint in (
                (tr("Back"), tr("To the stop before (Page Up)")),
                (tr("Next"), tr("To the next stop (Page Down)")),
                (tr("Wipe"), tr("Take away what was drawn by hand (W)")),
                (tr("Leave"), tr("Back to the window (Esc)")),
            )
        )
        self._lay_out()

    def _lay_out(self) -> None:
        films = QBoxLayout(_direction(self.screens))
        films.setSpacing(Space.HAIR)
        for screen in self.screens:
            films.addWidget(screen.pane, 1)
        above = QHBoxLayout()
        above.setSpacing(Space.WIDE)
        above.addLayout(films, 1)
        above.addWidget(self._beside())
        below = QHBoxLayout()
        below.setSpacing(Space.BASE)
        below.addWidget(self.where)
        below.addStretch(1)
        for button in (self.back, self.next, self.wipe, self.leave):
            below.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(Space.WIDE, Space.WIDE, Space.WIDE, Space.WIDE)
        whole.setSpacing(Space.BASE)
        whole.addLayout(above, 1)
        for part in (self.caption, self.notice, self.bar):
            whole.addWidget(part)
        whole.addLayout(below)

    def _beside(self) -> QWidget:
        """The numbers of each film under its name, and the rails below."""
        beside, rails = QVBoxLayout(), QHBoxLayout()
        beside.setSpacing(Space.WIDE)
        for screen in self.screens:
            if len(self.screens) > 1:
                name = QLabel(screen.look.run.name, self)
                name.setTextFormat(Qt.TextFormat.PlainText)
                name.setProperty("role", "number")
                beside.addWidget(name)
            beside.addWidget(screen.numbers)
            rails.addWidget(screen.rail)
        beside.addLayout(rails, 1)
        beside.addStretch(0)
        column = QWidget(self)
        column.setLayout(beside)
        column.setMinimumWidth(_BESIDE_PX)
        column.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Expanding)
        return column


def _direction(screens: tuple[Screen, ...]) -> QBoxLayout.Direction:
    """Two wide films are larger one over the other, two upright ones side by side."""
    film = screens[0].look.film
    wide = film is not None and film.shown_size[0] > film.shown_size[1]
    return QBoxLayout.Direction.TopToBottom if wide else QBoxLayout.Direction.LeftToRight


def _button(words: str, hint: str, parent: QWidget) -> QPushButton:
    button = QPushButton(words, parent)
    button.setToolTip(hint)
    button.setMinimumHeight(TARGET_PX)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
