"""Drives the real window as a coach does: keys and mouse, nothing else."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QKeySequence, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.main_window import MainWindow

NO_KEYS = Qt.KeyboardModifier.NoModifier


class Coach:
    """Keys go to the picture, clicks to places of the picture given in its own pixels."""

    def __init__(self, qtbot: QtBot, window: MainWindow) -> None:
        self.qtbot = qtbot
        self.window = window
        self.workspace = window.run_workspace
        self.pane = window.run_workspace.pane
        self.view = window.run_workspace.pane.view
        self.bench = window.bench

    # keys

    def press(self, keys: str, times: int = 1, on: QWidget | None = None) -> None:
        """Press a key as the actions' table writes it."""
        combination = QKeySequence(keys)[0]
        for _ in range(times):
            self.qtbot.keyClick(on or self.view, combination.key(), combination.keyboardModifiers())

    def go_to(self, frame: int) -> None:
        """Step to a frame with ten-frame and single steps, as the keys allow."""
        distance = frame - self.pane.wanted
        tens, ones = divmod(abs(distance), 10)
        back = distance < 0
        self.press("Shift+Left" if back else "Shift+Right", tens)
        self.press("Left" if back else "Right", ones)
        self.wait_for(frame)

    def wait_for(self, frame: int) -> None:
        """Until the film shows a frame."""
        self.qtbot.waitUntil(lambda: self.pane.shown == frame and self.bench.frame == frame)

    def wait_for_picture(self) -> None:
        """Until the frame asked for last is on show."""
        self.qtbot.waitUntil(
            lambda: self.pane.shown >= 0 and self.pane.shown == self.pane.wanted == self.bench.frame
        )

    # mouse

    def click(self, u: float, v: float) -> None:
        """Click a place of the picture."""
        self._mouse(QMouseEvent.Type.MouseButtonPress, u, v)
        self._mouse(QMouseEvent.Type.MouseButtonRelease, u, v)

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Press at one place, move to another in a few steps, let go."""
        self._mouse(QMouseEvent.Type.MouseButtonPress, *start)
        for share in (0.1, 0.5, 1.0):
            u = start[0] + share * (end[0] - start[0])
            v = start[1] + share * (end[1] - start[1])
            self._mouse(QMouseEvent.Type.MouseMove, u, v, down=True)
        self._mouse(QMouseEvent.Type.MouseButtonRelease, *end)

    def zoom_to(self, u: float, v: float, scale: float) -> None:
        """Closer with the wheel until a picture pixel is ``scale`` points wide, the place in the middle."""
        while self.view.mapping.scale < scale:
            self.view.zoom(1.2, QPointF(*self.view.mapping.to_widget(u, v)))
        x, y = self.view.mapping.to_widget(u, v)
        self.view.pan(self.view.width() / 2 - x, self.view.height() / 2 - y)

    def _mouse(self, kind: QMouseEvent.Type, u: float, v: float, *, down: bool = False) -> None:
        place = QPointF(*self.view.mapping.to_widget(u, v))
        moving = kind is QMouseEvent.Type.MouseMove
        button = Qt.MouseButton.NoButton if moving else Qt.MouseButton.LeftButton
        released = kind is QMouseEvent.Type.MouseButtonRelease
        held = Qt.MouseButton.NoButton if released or (moving and not down) else Qt.MouseButton.LeftButton
        # QTest rounds to whole points; a hand on a mouse does not
        event = QMouseEvent(
            kind, place, QPointF(self.view.mapToGlobal(QPoint())) + place, button, held, NO_KEYS
        )
        QApplication.sendEvent(self.view, event)

    def press_at(self, u: float, v: float) -> None:
        """The main button goes down at a place of the picture, and stays down."""
        self._mouse(QMouseEvent.Type.MouseButtonPress, u, v)

    def move_to(self, u: float, v: float, *, down: bool = True) -> None:
        """The pointer moves to a place of the picture."""
        self._mouse(QMouseEvent.Type.MouseMove, u, v, down=down)

    def let_go(self, u: float, v: float) -> None:
        """The main button comes up at a place of the picture."""
        self._mouse(QMouseEvent.Type.MouseButtonRelease, u, v)

    def wheel(self, on: QWidget, place: QPointF, notches: int, keys: Qt.KeyboardModifier = NO_KEYS) -> None:
        """Turn the wheel over a place of a widget, away from the hand where positive."""
        event = QWheelEvent(
            place,
            QPointF(on.mapToGlobal(QPoint())) + place,
            QPoint(),
            QPoint(0, 120 * notches),
            Qt.MouseButton.NoButton,
            keys,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(on, event)

    @property
    def notice(self) -> str:
        """The sentence on show, if there is one."""
        notice = self.window.notice
        return notice.text.text() if notice.isVisible() else ""

    # acts of several keys

    def mark(self, u: float, v: float, along_m: float, height_m: float = 0.0) -> None:
        """Place a mark and type its distance."""
        question = self.workspace.toolbox.question
        self.click(u, v)
        self.qtbot.waitUntil(question.isVisible)
        field = question.along
        field.selectAll()
        self.qtbot.keyClicks(field, f"{along_m:g}")
        if height_m:
            question.height_field.selectAll()
            self.qtbot.keyClicks(question.height_field, f"{height_m:g}")
        self.qtbot.keyClick(field, Qt.Key.Key_Return)
        assert not question.isVisible()
