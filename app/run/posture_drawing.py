"""What of posture is drawn over the picture: its commands, and what the coach chose last."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot

from analysis.report.posture_lines import Drawn, Layer
from analysis.values.posture import PostureReading
from analysis.values.run import POINT_NAMES
from app.actions import Actions
from app.bench import Bench
from app.settings import Settings

ACTIONS = {
    "draw_trunk": Layer.TRUNK,
    "draw_spine": Layer.SPINE,
    "draw_shins": Layer.SHINS,
    "draw_thighs": Layer.THIGHS,
    "draw_path": Layer.PATH,
    "draw_horizontal": Layer.HORIZONTAL,
}
"""The layers by the commands that switch them."""

MENU = (*ACTIONS, "draw_everywhere", "draw_here")
"""All commands about posture over the picture, as a menu has them."""


class PostureDrawing(QObject):
    """Keeps the layers, the frames they are chosen for, and the measure that was clicked last.

    Signals:
        changed(): something else is to be drawn.
    """

    changed = Signal()

    def __init__(self, bench: Bench, actions: Actions, settings: Settings, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._actions, self._settings = bench, actions, settings
        self._frames: set[int] = set()
        self._focus: PostureReading | None = None
        self._run_id = ""
        self._between = _read_pairs(str(settings["posture_between"]))
        bench.ask_lines_between(self._between)
        stored = str(settings["posture_layers"]).split()
        for name, layer in ACTIONS.items():
            actions[name].setChecked(layer.value in stored)
            actions.do(name, self._layers_changed)
        actions["draw_everywhere"].setChecked(bool(settings["posture_everywhere"]))
        actions.do("draw_everywhere", self._everywhere_changed)
        actions.do("draw_here", self._here_changed)
        bench.frame_changed.connect(self._say_here)
        bench.run_changed.connect(self._run_came)
        self._say_here()

    @property
    def drawn(self) -> Drawn:
        """What is drawn now."""
        layers = frozenset(layer for name, layer in ACTIONS.items() if self._actions[name].isChecked())
        everywhere = self._actions["draw_everywhere"].isChecked()
        return Drawn(layers, self._between, everywhere, frozenset(self._frames), self._focus)

    @Slot(str, str)
    def line_between(self, lower: str, upper: str) -> None:
        """Draw the line between two body points, or take it away where it is drawn."""
        known = {(lower, upper), (upper, lower)} & set(self._between)
        kept = tuple(pair for pair in self._between if pair not in known)
        self._between = kept if known else (*kept, (lower, upper))
        self._settings["posture_between"] = " ".join(f"{low}:{high}" for low, high in self._between)
        self._bench.ask_lines_between(self._between)
        self.changed.emit()

    @Slot(object)
    def look_at(self, measure: PostureReading | None) -> None:
        """Draw the lines of a measure on the frames that it rests on."""
        if measure != self._focus:
            self._focus = measure
            self.changed.emit()

    @Slot()
    def _layers_changed(self) -> None:
        self._settings["posture_layers"] = " ".join(
            layer.value for name, layer in ACTIONS.items() if self._actions[name].isChecked()
        )
        self.changed.emit()

    @Slot()
    def _everywhere_changed(self) -> None:
        self._settings["posture_everywhere"] = self._actions["draw_everywhere"].isChecked()
        self._say_here()
        self.changed.emit()

    @Slot()
    def _here_changed(self) -> None:
        """On this frame: where lines are on every frame, from now on they are on this one alone."""
        frame = int(self._bench.frame)
        if self._actions["draw_everywhere"].isChecked():
            self._frames = {frame}
            self._actions["draw_everywhere"].trigger()
            return
        self._frames ^= {frame}
        self._say_here()
        self.changed.emit()

    @Slot()
    def _say_here(self) -> None:
        everywhere = self._actions["draw_everywhere"].isChecked()
        self._actions["draw_here"].setChecked(not everywhere and int(self._bench.frame) in self._frames)

    @Slot()
    def _run_came(self) -> None:
        """Frames and measures of one run are not another's."""
        run = self._bench.run
        run_id = run.id if run is not None else ""
        if run_id != self._run_id:
            self._run_id, self._focus = run_id, None
            self._frames.clear()
            self._say_here()


def _read_pairs(stored: str) -> tuple[tuple[str, str], ...]:
    """Pairs of known points as the settings hold them; anything else is left out."""
    pairs = (pair.partition(":") for pair in stored.split())
    return tuple((low, high) for low, _, high in pairs if low in POINT_NAMES and high in POINT_NAMES)
