"""What a hand does on the rail: places of frames and edges, and moves of the mouse."""

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication

from analysis.values.run import Side

LEFT_BUTTON = Qt.MouseButton.LeftButton


def y_of(rail, frame):
    return rail.scale.y(rail._content.cells.time(frame))


def edge_y(rail, frame):
    return rail.scale.y(rail._content.cells.start(frame))


def track_x(rail, side=Side.LEFT):
    return rail._columns.track_x(side) + rail._columns.track / 2


def move(rail, x, y):
    event = QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(x, y),
        rail.mapToGlobal(QPointF(x, y)),
        LEFT_BUTTON,
        LEFT_BUTTON,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(rail, event)


def press(qtbot, rail, x, y):
    qtbot.mousePress(rail, LEFT_BUTTON, pos=QPoint(round(x), round(y)))


def release(qtbot, rail, x, y):
    qtbot.mouseRelease(rail, LEFT_BUTTON, pos=QPoint(round(x), round(y)))


def click(qtbot, rail, x, y):
    qtbot.mouseClick(rail, LEFT_BUTTON, pos=QPoint(round(x), round(y)))


def wheel(rail, x, y, notches, modifiers=Qt.KeyboardModifier.NoModifier):
    event = QWheelEvent(
        QPointF(x, y),
        rail.mapToGlobal(QPointF(x, y)),
        QPoint(),
        QPoint(0, round(120 * notches)),
        Qt.MouseButton.NoButton,
        modifiers,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(rail, event)
    return event.isAccepted()


class Heard:
    """Everything that the rail said, in order."""

    def __init__(self, rail):
        self.said = []
        rail.frame_requested.connect(self._frame)
        rail.footfall_selected.connect(self._selected)
        rail.edge_drag_started.connect(self._started)
        rail.edge_dragged.connect(self._dragged)
        rail.edge_dropped.connect(self._dropped)
        rail.edge_drag_cancelled.connect(self._cancelled)

    def of(self, name):
        return [said[1:] for said in self.said if said[0] == name]

    @property
    def frames(self):
        return [said[1] for said in self.said if said[0] == "frame"]

    def _frame(self, frame):
        self.said.append(("frame", frame))

    def _selected(self, footfall_id):
        self.said.append(("selected", footfall_id))

    def _started(self, footfall_id, which):
        self.said.append(("started", footfall_id, which))

    def _dragged(self, footfall_id, which, frame):
        self.said.append(("dragged", footfall_id, which, frame))

    def _dropped(self, footfall_id, which, frame):
        self.said.append(("dropped", footfall_id, which, frame))

    def _cancelled(self, footfall_id, which):
        self.said.append(("cancelled", footfall_id, which))
