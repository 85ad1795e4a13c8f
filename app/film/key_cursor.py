"""Placing without a mouse: arrows move a cursor over the picture, Return clicks there."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Slot
from PySide6.QtGui import QKeyEvent

from app.film.view import FrameView

_Key = Qt.Key
_WAYS = {_Key.Key_Left: (-1, 0), _Key.Key_Right: (1, 0), _Key.Key_Up: (0, -1), _Key.Key_Down: (0, 1)}
STEP_PX, FAR_PX, FINE_PX = 1.0, 20.0, 0.1
"""How far an arrow goes alone, with Shift and with Alt, in pixels of the picture."""


class KeyCursor(QObject):
    """While it is on and a tool is in hand that places something, it takes arrows and Return from the keys
    of the window. It begins where the tool thinks that the next click goes.
    """

    def __init__(self, view: FrameView) -> None:
        super().__init__(view)
        self._view = view
        self._on = False
        self._place = (0.0, 0.0)
        view.installEventFilter(self)
        view.reframed.connect(self._point)

    @property
    def active(self) -> bool:
        """Whether arrows and Return are taken now."""
        return self._on and self._view.tool.placing and self._view.has_picture

    def turn(self, *, on: bool) -> None:
        """Switch it on or off."""
        self._on = on
        self.begin()

    @Slot()
    def begin(self) -> None:
        """Another tool or frame: stand where the next click may go, else where the pointer was."""
        if self.active:
            width, height = self._view.shown_size
            middle = (width / 2, height / 2)
            self._place = self._view.tool.likely() or self._view.pointer or middle
            self._point()
        else:
            self._view.mark_pointer(on=False)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the keys that move or click."""
        if not isinstance(event, QKeyEvent) or not self.active:
            return False
        mine = event.key() in (*_WAYS, _Key.Key_Return, _Key.Key_Enter)
        if not mine or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            return False
        if event.type() is QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if event.type() is QEvent.Type.KeyPress:
            self._pressed(event)
            return True
        return False

    def _pressed(self, event: QKeyEvent) -> None:
        keys = event.modifiers()
        if event.key() not in _WAYS:
            if keys & Qt.KeyboardModifier.ShiftModifier:
                self._view.skip()
            else:
                self._view.click_at_pointer()
            self.begin()
            return
        fine, far = keys & Qt.KeyboardModifier.AltModifier, keys & Qt.KeyboardModifier.ShiftModifier
        step = FINE_PX if fine else FAR_PX if far else STEP_PX
        across, down = _WAYS[_Key(event.key())]
        across = -across if self._view.mapping.mirrored else across  # left is left on the screen
        width, height = self._view.shown_size
        u, v = self._place[0] + step * across, self._place[1] + step * down
        self._place = min(max(u, 0.0), width - 1.0), min(max(v, 0.0), height - 1.0)
        self._view.bring_into_view(*self._place)
        self._point()

    @Slot()
    def _point(self) -> None:
        if not self.active:
            return
        self._view.mark_pointer(on=True)
        self._view.point_at(*self._place)
