"""The bar under the film: play, step, speed, where we are, which foot comes next."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QLabel, QToolButton, QWidget

from analysis.values.film import Film
from analysis.values.run import Side
from analysis.values.words import tr, tr_count
from app.actions import Actions
from app.theme.apply import current_theme
from app.theme.icons import icon

_GAP = 8
_EDGE = 8
_NEXT_FOOT = {None: "", Side.LEFT: tr("Next: left foot"), Side.RIGHT: tr("Next: right foot")}
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
        self._buttons = QWidget(self)
        buttons = _row(2, self._buttons)
        for name in _BUTTONS:
            buttons.addWidget(tool_button(actions, name, self))
        buttons.addStretch(1)
        self.speed = QComboBox(self)
        self.speed.setAccessibleName(tr("Speed as a share of real time"))
        self.speed.setToolTip(tr("Speed as a share of real time"))
        self.speed.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        for share in SPEEDS:
            self.speed.addItem(_speed_text(share), share)
        self.speed.activated.connect(self._speed_activated)
        self.next_foot = QLabel(self)
        self.next_foot.setToolTip(tr("The foot of the next touchdown; the key for Other foot changes it"))
        self.where = QLabel(self)
        self.where.setAccessibleName(tr("Where the film is"))
        self.where.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        speed = _row(_GAP)
        speed.addWidget(self.speed, 0, Qt.AlignmentFlag.AlignVCenter)
        speed.addWidget(self.next_foot)
        speed.addStretch(1)
        self._words = _row(_GAP)
        self._words.addLayout(speed, 1)
        self._words.addWidget(self.where, 0, self.where.alignment())
        self._rows = _row(_GAP, self)
        self._rows.setContentsMargins(_EDGE, 4, _EDGE, 4)
        self._rows.addWidget(self._buttons, 0, Qt.AlignmentFlag.AlignVCenter)
        self._rows.addLayout(self._words, 1)
        self._hold_room()

    def minimumSizeHint(self) -> QSize:
        """As wide as its widest part; with larger text the parts come under each other."""
        return QSize(max(self._widths()) + 2 * _EDGE, self._rows.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Two rows where one has no room, three where two have none."""
        super().resizeEvent(event)
        buttons, speed, where = self._widths()
        room = self.width() - 2 * _EDGE
        rows, words = buttons + speed + where + 2 * _GAP <= room, speed + where + _GAP <= room
        before = self._rows.direction(), self._words.direction()
        self._rows.setDirection(_direction(rows))
        self._words.setDirection(_direction(words))
        if before != (self._rows.direction(), self._words.direction()):
            self.updateGeometry()  # it is another height that is needed now

    def changeEvent(self, event: QEvent) -> None:
        """Room for the place in another size of text."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_rows"):
            self._hold_room()

    def _hold_room(self) -> None:
        """Keep the place at one size: a label of any other lays out the whole window anew at each frame."""
        words = self.where.sizeHint()
        across = max(self._widths()[2], words.width())
        self.where.setFixedSize(across, max(self.fontMetrics().height(), words.height()))

    def _widths(self) -> tuple[int, int, int]:
        """Of buttons, speed and foot, and place, each with the longest words that it is given."""
        metrics = self.fontMetrics()
        foot = max(metrics.horizontalAdvance(text) for text in _NEXT_FOOT.values())
        where = metrics.horizontalAdvance(_where_text("\N{MINUS SIGN}0.000", 9999, 9999))
        speed = self.speed.minimumSizeHint().width() + _GAP + foot
        return self._buttons.minimumSizeHint().width(), speed, where

    def set_playing(self, playing: bool) -> None:
        """Show play or pause."""
        self._actions["play"].setIcon(icon("pause" if playing else "play", current_theme()))

    def set_speed(self, share: float) -> None:
        """Show the speed."""
        place = self.speed.findData(share)
        if place >= 0:
            self.speed.setCurrentIndex(place)

    def set_place(self, film: Film | None, frame: int, zero_s: float, late: int = 0) -> None:
        """Show frame and capture time, counted from ``zero_s``, and how many pictures were late."""
        if film is None:
            self.where.setText("")
            return
        time_s = film.facts.times.at(frame) - zero_s
        sign = "\N{MINUS SIGN}" if round(time_s, 3) < 0 else ""
        text = _where_text(f"{sign}{abs(time_s):.3f}", frame, film.frames - 1)
        if late:
            text = tr_count("{place} · {late} picture late", "{place} · {late} pictures late", late).format(
                place=text, late=late
            )
        self.where.setText(text)
        if self.where.sizeHint().width() > self.where.width():
            self._hold_room()

    def set_next_foot(self, side: Side | None) -> None:
        """Show the side of the next touchdown."""
        self.next_foot.setText(_NEXT_FOOT[side])

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


def _row(gap: int, parent: QWidget | None = None) -> QBoxLayout:
    layout = QBoxLayout(QBoxLayout.Direction.LeftToRight)
    if parent is not None:
        parent.setLayout(layout)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(gap)
    return layout


def _direction(across: bool) -> QBoxLayout.Direction:
    return QBoxLayout.Direction.LeftToRight if across else QBoxLayout.Direction.TopToBottom


def _where_text(time: str, frame: int, last: int) -> str:
    return tr("{time} s · frame {frame}/{last}").format(time=time, frame=frame, last=last)


def _speed_text(share: float) -> str:
    return tr("full speed") if share == 1.0 else f"{share:g} ×"
