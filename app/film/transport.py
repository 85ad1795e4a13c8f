"""The bar under the film: play, step, speed, where we are, which foot comes next."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QToolButton, QWidget

from analysis.values.film import Film
from analysis.values.run import Side
from analysis.values.words import tr
from app.actions import Actions
from app.theme.apply import current_theme
from app.theme.icons import icon

SPEEDS = (0.05, 0.1, 0.25, 0.5, 1.0)
_BUTTONS = (
    "go_first_movement",
    "previous_event",
    "ten_back",
    "step_back",
    "reverse",
    "play",
    "step_forward",
    "ten_forward",
    "next_event",
    "replay",
    "loop",
)


class TransportBar(QWidget):
    """Buttons of the film's actions, the speed, and the time.

    Signals:
        speed_chosen(float): a share of real time.
    """

    speed_chosen = Signal(float)

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._actions = actions
        layout = QHBoxLayout(self)
        layout.setContentsMargins(8, 4, 8, 4)
        layout.setSpacing(2)
        self._buttons: dict[str, QToolButton] = {}
        for name in _BUTTONS:
            self._buttons[name] = tool_button(actions, name, self)
            layout.addWidget(self._buttons[name])
        layout.addSpacing(8)
        self.speed = QComboBox(self)
        self.speed.setAccessibleName(tr("Speed as a share of real time"))
        self.speed.setToolTip(tr("Speed as a share of real time"))
        self.speed.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        for share in SPEEDS:
            self.speed.addItem(_speed_text(share), share)
        self.speed.activated.connect(self._speed_activated)
        layout.addWidget(self.speed)
        layout.addStretch(1)
        self.next_foot = QLabel(self)
        self.next_foot.setToolTip(tr("The foot of the next touchdown; the key for Other foot changes it"))
        layout.addWidget(self.next_foot)
        layout.addSpacing(12)
        self.where = QLabel(self)
        self.where.setAccessibleName(tr("Where the film is"))
        self.where.setMinimumWidth(200)
        self.where.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        layout.addWidget(self.where)

    def set_playing(self, playing: bool) -> None:
        """Show play or pause."""
        self._actions["play"].setIcon(icon("pause" if playing else "play", current_theme()))

    def set_speed(self, share: float) -> None:
        """Show the speed."""
        place = self.speed.findData(share)
        if place >= 0:
            self.speed.setCurrentIndex(place)

    def set_place(self, film: Film | None, frame: int, zero_s: float) -> None:
        """Show frame and capture time, counted from ``zero_s``."""
        if film is None:
            self.where.setText("")
            return
        time_s = film.facts.times.at(frame) - zero_s
        sign = "\N{MINUS SIGN}" if round(time_s, 3) < 0 else ""
        self.where.setText(
            tr("{time} s · frame {frame} of {last}").format(
                time=f"{sign}{abs(time_s):.3f}", frame=frame, last=film.frames - 1
            )
        )

    def set_next_foot(self, side: Side | None) -> None:
        """Show the side of the next touchdown."""
        words = {None: "", Side.LEFT: tr("Next: left foot"), Side.RIGHT: tr("Next: right foot")}
        self.next_foot.setText(words[side])

    def _speed_activated(self, place: int) -> None:
        self.speed_chosen.emit(float(self.speed.itemData(place)))


def tool_button(actions: Actions, name: str, parent: QWidget) -> QToolButton:
    """A flat button of an action, 30 px wide and high, named for who can't see it."""
    action = actions[name]
    button = QToolButton(parent)
    button.setDefaultAction(action)
    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
    button.setAutoRaise(True)
    button.setIconSize(QSize(20, 20))
    button.setMinimumSize(QSize(30, 30))
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setAccessibleName(action.text().rstrip("…"))
    return button


def _speed_text(share: float) -> str:
    return tr("full speed") if share == 1.0 else f"{share:g} ×"
