"""The picture with what is drawn over it; hands mouse acts to the tool in hand."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from analysis.report.scene import Scene
from analysis.values.words import tr
from app.film.closeup import closeup_rect, paint_closeup
from app.film.figure import figure_rect, paint_figure
from app.film.legend import Legend, legend_beside
from app.film.mapping import ViewMapping, fitted
from app.film.painting import ScenePainter
from app.film.tools.tool import Aim, Tool
from app.selection import Selected
from app.theme.apply import current_theme
from app.theme.tokens import FOCUS_PX

ZOOM_STEP = 1.2
EDGE_PX = 24
"""Nearer to the edge than this a place is taken to be out of sight, in widget points."""
_LEGEND_SHARE = 0.15
"""A legend that would take more than this of the height is left out: the athlete comes first."""
_NUMBERS_SHARE = 0.45
"""Numbers at the picture's edge take at most this of the height."""
_PROMPT_FLAGS = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap


class FrameView(QWidget):
    """Shows one picture, fitted or zoomed, with a scene, the close-up and a prompt.

    Signals:
        missed(): a click lay beside the picture, where the tool in hand can place nothing.
        tool_used(): the tool in hand was used, so that its prompt may read differently.
        reframed(): another part of the picture is on show, or at another scale.
    """

    missed = Signal()
    tool_used = Signal()
    reframed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("Film picture"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(QSize(320, 180))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self._image: QImage | None = None
        self._shown_size = (16, 9)
        self._mapping = ViewMapping()
        self._is_fitted = True
        self._mirrored = False
        self._fitting: Callable[[ViewMapping], ViewMapping] | None = None
        self._remark = ""
        self._scene = Scene()
        self._ghost = Scene()
        self._selected: Selected | None = None
        self._tool = Tool()
        self._prompt = ""
        self._empty = ""
        self._busy = ""
        self._pointer: QPointF | None = None
        self._panned_from: QPointF | None = None
        self._pressed = False
        self._marks_pointer = False

    # what is shown

    def set_film_size(self, width: int, height: int) -> None:
        """The size of the pictures to come; the whole picture is shown again."""
        self._shown_size = (width, height)
        self.fit()

    def set_picture(self, image: QImage | None) -> None:
        """Show another picture of the film, of its size or smaller, or none."""
        self._image = image
        self._busy = ""
        self.update()

    def set_scene(self, scene: Scene, selected: Selected | None) -> None:
        """What lies over the picture."""
        self._scene, self._selected = scene, selected
        self.update()

    def set_tool(self, tool: Tool) -> None:
        """Take another tool in hand."""
        self._tool = tool
        self.setCursor(Qt.CursorShape.CrossCursor if tool.placing else Qt.CursorShape.ArrowCursor)
        self.update()

    def set_prompt(self, prompt: str) -> None:
        """A sentence over the picture that says what a click does."""
        if prompt != self._prompt:
            self._prompt = prompt
            self.setAccessibleDescription(prompt)
            self.update()

    def set_remark(self, remark: str) -> None:
        """A word at the picture's upper edge about what is on show; empty for none."""
        if remark != self._remark:
            self._remark = remark
            self.update()

    def set_fitting(self, fitting: Callable[[ViewMapping], ViewMapping] | None) -> None:
        """What to show where nothing was zoomed or shifted, from the mapping that shows the whole picture."""
        self._fitting = fitting
        self.fit()

    def set_mirrored(self, mirrored: bool) -> None:
        """Show the picture left for right; picture places stay what they are."""
        if mirrored != self._mirrored:
            self._mirrored = mirrored
            self.fit()

    def set_empty(self, sentence: str) -> None:
        """What to do next, while there is no picture."""
        self._empty = sentence
        self.update()

    def set_busy(self, sentence: str) -> None:
        """What is being waited for; goes with the next picture."""
        self._busy = sentence
        self.update()

    def show_ghost(self, scene: Scene) -> None:
        """Draw this over the scene until told otherwise."""
        self._ghost = scene
        self.update()

    def mark_pointer(self, *, on: bool) -> None:
        """Draw a cross where the pointer is: keys move it, and no hand shows where it is."""
        self._marks_pointer = on
        self.update()

    def point_at(self, u: float, v: float) -> None:
        """The pointer is at a place of the picture."""
        self._pointer = QPointF(*self._mapping.to_widget(u, v))
        self._tool.move(self._aim(self._pointer), False)
        self.update()

    def click_at_pointer(self) -> None:
        """The tool is used where the pointer is."""
        if self._pointer is not None and self._image is not None:
            aim = self._aim(self._pointer)
            self._tool.press(aim)
            self._tool.release(aim)
            self.tool_used.emit()

    def skip(self) -> None:
        """The tool leaves out what it asks for."""
        self._tool.skip()
        self.tool_used.emit()

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self._tool

    @property
    def pointer(self) -> tuple[float, float] | None:
        """Where on the picture the pointer is; None where it is not over it."""
        if self._pointer is None or not self._is_on_picture(self._pointer):
            return None
        return self._mapping.to_picture(self._pointer.x(), self._pointer.y())

    @property
    def mapping(self) -> ViewMapping:
        """Picture pixels to widget points."""
        return self._mapping

    @property
    def is_fitted(self) -> bool:
        """Whether nothing was zoomed or shifted since the picture was last shown whole."""
        return self._is_fitted

    @property
    def shown_size(self) -> tuple[int, int]:
        """Width and height of the film's pictures."""
        return self._shown_size

    @property
    def has_picture(self) -> bool:
        """Whether a picture is on show."""
        return self._image is not None

    # zoom

    def fit(self) -> None:
        """Show the whole picture."""
        self._is_fitted = True
        room = max(1, self.width()), max(1, self.height())
        plain = fitted(self._shown_size, room, mirrored=self._mirrored)
        self._mapping = plain if self._fitting is None else self._fitting(plain)
        self._reframed()

    @property
    def whole(self) -> ViewMapping | None:
        """The mapping that shows the whole picture; None where what is shown is held to another view."""
        room = max(1, self.width()), max(1, self.height())
        return None if self._fitting is not None else fitted(self._shown_size, room, mirrored=self._mirrored)

    def frame_with(self, mapping: ViewMapping) -> None:
        """Show the part of the picture that a mapping says."""
        self._is_fitted = False
        if mapping != self._mapping:
            self._mapping = mapping
            self._reframed()

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Closer or further around a place of the widget, else around its middle."""
        place = at or self._pointer or QPointF(self.width() / 2, self.height() / 2)
        self._is_fitted = False
        self._mapping = self._mapping.zoomed(factor, place.x(), place.y())
        self._reframed()

    def pan(self, dx: float, dy: float) -> None:
        """Shift the picture by widget points."""
        self._is_fitted = False
        self._mapping = self._mapping.moved(dx, dy)
        self._reframed()

    def bring_into_view(self, u: float, v: float) -> None:
        """Shift a picture that was zoomed so that a place of it is seen; one that is seen stays."""
        x, y = self._mapping.to_widget(u, v)
        seen = self.rect().adjusted(EDGE_PX, EDGE_PX, -EDGE_PX, -EDGE_PX)
        if not self._is_fitted and not seen.contains(QPointF(x, y).toPoint()):
            self.pan(self.width() / 2 - x, self.height() / 2 - y)

    def _reframed(self) -> None:
        self.update()
        self.reframed.emit()

    # events

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the whole picture in view if it was."""
        if self._is_fitted:
            self.fit()
        super().resizeEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom around the pointer."""
        self.zoom(ZOOM_STEP ** (event.angleDelta().y() / 120), event.position())
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Main button: the tool. Middle button: shift the picture."""
        self._pointer = event.position()
        if event.button() is Qt.MouseButton.LeftButton and self._image is not None:
            # nothing can be placed beside the picture; the picture can be taken hold of there
            self._pressed = not self._tool.placing or self._is_on_picture(event.position())
            if self._pressed:
                self._tool.press(self._aim(event.position()))
                self.tool_used.emit()
            else:
                self.missed.emit()
        elif event.button() is Qt.MouseButton.MiddleButton:
            self._panned_from = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The tool, the close-up, or a shift."""
        self._pointer = event.position()
        if self._panned_from is not None:
            step = event.position() - self._panned_from
            self.pan(step.x(), step.y())
            self._panned_from = event.position()
        elif self._image is not None:
            down = bool(event.buttons() & Qt.MouseButton.LeftButton)
            self._tool.move(self._aim(event.position()), down)
        if self._tool.closeup:
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The tool."""
        if event.button() is Qt.MouseButton.LeftButton and self._pressed:
            self._pressed = False
            self._tool.release(self._aim(event.position()))
            self.tool_used.emit()
        elif event.button() is Qt.MouseButton.MiddleButton:
            self._panned_from = None

    def leaveEvent(self, event: object) -> None:
        """No pointer, no close-up."""
        self._pointer = None
        self.update()

    def event(self, event: QEvent) -> bool:
        """Keep Backspace for a tool that goes back with it; else it would delete."""
        mine = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Backspace and self._tool.steps_back
        if mine and event.type() is QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys are actions of the window, but for the one that goes a stop back."""
        if event.key() == Qt.Key.Key_Backspace and self._tool.steps_back:
            self._tool.back()
            self.tool_used.emit()
            self.update()
            return
        event.ignore()

    def _is_on_picture(self, place: QPointF) -> bool:
        u, v = self._mapping.to_picture(place.x(), place.y())
        width, height = self._shown_size
        return -0.5 <= u <= width - 0.5 and -0.5 <= v <= height - 0.5

    def _aim(self, place: QPointF) -> Aim:
        u, v = self._mapping.to_picture(place.x(), place.y())
        width, height = self._shown_size
        u, v = min(max(u, -0.5), width - 0.5), min(max(v, -0.5), height - 0.5)
        beside = not self._is_on_picture(place)
        return Aim(u, v, place.x(), place.y(), 1.0 / self._mapping.scale, beside)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Picture, scene, ghost, numbers, close-up, prompt."""
        theme = current_theme()
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(theme.backdrop))
        if self._image is None:
            self._paint_sentence(painter, self._busy or self._empty)
        else:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, self._mapping.scale < 4)
            self._paint_picture(painter, self._image)
            scenes = ScenePainter(painter, self._mapping, theme, self.width())
            guide = self._tool.guide
            closeup, figure = self._close_by(guided=guide is not None)
            legend = self._legend(painter)
            for box in (legend.box, self._prompt_box(painter), *self._number_boxes(scenes)):
                scenes.keep_free(box)
            showing_ghost = bool(self._ghost.handles)  # a whole scene as it would be stands for the real one
            if not showing_ghost:
                scenes.paint(self._scene, self._selected)
            scenes.paint(self._ghost, self._selected)
            self._paint_numbers(scenes, closeup)
            legend.paint(painter, theme)
            if self._marks_pointer and self._pointer is not None:
                scenes.cross(self._pointer, QColor(theme.halo_light), 9.0)
            if self._pointer is not None and not closeup.isEmpty():
                place = self._pointer.x(), self._pointer.y()
                paint_closeup(painter, self._image, self._shown_size, self._mapping, closeup, place, theme)
            if guide is not None and not figure.isEmpty():
                paint_figure(painter, figure, guide, theme)
            if self._prompt:
                self._paint_prompt(painter)
            if self._remark:
                self._paint_remark(scenes)
        if self.hasFocus():
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.focus), FOCUS_PX))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _paint_picture(self, painter: QPainter, image: QImage) -> None:
        mapping = self._mapping
        width, height = (n * mapping.scale for n in self._shown_size)
        painter.save()
        painter.translate(mapping.left, mapping.top)
        if mapping.mirrored:
            painter.translate(width, 0)
            painter.scale(-1, 1)
        painter.drawImage(QRectF(0, 0, width, height), image)
        painter.restore()

    def _paint_remark(self, scenes: ScenePainter) -> None:
        across = QFontMetricsF(self.font()).horizontalAdvance(self._remark)
        scenes.label(self._remark, (self.width() - across) / 2, 18)

    def _close_by(self, *, guided: bool) -> tuple[QRectF, QRectF]:
        """Where the close-up and the figure below it stand; empty where they don't."""
        if not self._tool.closeup or self._pointer is None:
            return QRectF(), QRectF()
        closeup = closeup_rect(self.width(), self.height(), self._pointer.x())
        return closeup, figure_rect(self.width(), self.height(), closeup) if guided else QRectF()

    def _paint_numbers(self, scenes: ScenePainter, closeup: QRectF) -> None:
        for box, text in zip(self._number_boxes(scenes), self._numbers_shown(scenes), strict=True):
            if not box.intersects(closeup):
                scenes.label(text, box.left() + 4, box.center().y())

    def _numbers_shown(self, scenes: ScenePainter) -> tuple[str, ...]:
        """The newest numbers, as many as leave the lower half of the picture to the athlete."""
        numbers = tuple(self._scene.numbers)
        if not numbers:
            return ()
        rows = int(_NUMBERS_SHARE * self.height() / (scenes.plate(numbers[0]).height() + 1))
        return numbers[-max(1, rows) :]

    def _number_boxes(self, scenes: ScenePainter) -> list[QRectF]:
        """Where the numbers of the picture's edge stand, each below the one before."""
        plates = map(scenes.plate, self._numbers_shown(scenes))
        return [plate.translated(10, 8 + row * (plate.height() + 1)) for row, plate in enumerate(plates)]

    def _legend(self, painter: QPainter) -> Legend:
        """The key to what is drawn, above the prompt; none while something is placed: that needs the room."""
        prompt = self._prompt_box(painter)
        bottom = self.height() if prompt.isEmpty() else prompt.top()
        metrics, width = QFontMetricsF(painter.font()), self.width()
        if self._tool.placing:
            return Legend((), metrics, width, bottom)
        scenes = self._scene, self._ghost
        return legend_beside(scenes, self._mapping, metrics, width, bottom, _LEGEND_SHARE * self.height())

    def _prompt_box(self, painter: QPainter) -> QRectF:
        """Where the prompt stands; empty without one."""
        if not self._prompt:
            return QRectF()
        most = QRectF(0, 0, self.width() - 48, self.height())
        text = QFontMetricsF(painter.font()).boundingRect(most, _PROMPT_FLAGS, self._prompt)
        width, height = text.width() + 28, text.height() + 14
        return QRectF((self.width() - width) / 2, self.height() - height - 12, width, height)

    def _paint_prompt(self, painter: QPainter) -> None:
        box = self._prompt_box(painter)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(0, 0, 0, 190))
        painter.drawRoundedRect(box, 6, 6)
        painter.setPen(QColor("#FFFFFF"))
        painter.drawText(box, _PROMPT_FLAGS, self._prompt)

    def _paint_sentence(self, painter: QPainter, sentence: str) -> None:
        painter.setPen(QColor("#E3E8EC"))
        box = QRectF(self.rect()).adjusted(40, 20, -40, -20)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, sentence)
