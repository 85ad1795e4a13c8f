"""The tools beside the picture, and which one is in hand."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QActionGroup
from PySide6.QtWidgets import QFrame, QMenu, QToolButton, QVBoxLayout, QWidget

from analysis.report.scene import Scene
from analysis.values.command import Command
from analysis.values.errors import CinderlaneError
from analysis.values.face_cover import FaceCover
from analysis.values.run import BodyPoint, LineKind, Run
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.film.key_cursor import KeyCursor
from app.film.mapping import ViewMapping
from app.film.pane import FilmPane
from app.film.tools.between import BetweenTool
from app.film.tools.body_walk import BodyWalk
from app.film.tools.drill_walk import implement_walk, rep_walk
from app.film.tools.face import FaceTool
from app.film.tools.framing import framing
from app.film.tools.line import LineTool
from app.film.tools.mark import MarkTool
from app.film.tools.point_walk import hip_walk, shoe_tip_walk
from app.film.tools.select import SelectTool
from app.film.tools.straight import StraightTool
from app.film.tools.tool import Aim, Tool
from app.film.tools.wanted_walk import WantedWalk
from app.film.transport import tool_button
from app.film.view import FrameView
from app.following.ahead import AheadDesk
from app.marking import placing
from app.marking.wanted import Ask
from app.run.mark_question import MarkQuestion
from app.run.posture_drawing import MENU

_TOOLS = (
    "select_tool",
    "mark_tool",
    "shoe_tool",
    "hip_tool",
    "body_tool",
    "wanted_tool",
    "trunk_tool",
    "shin_tool",
    "thigh_tool",
    "free_tool",
)
_MORE_TOOLS = ("between_tool", "straight_tool", "implement_tool", "rep_tool", "face_tool")
_VIEW = ("fit", "zoom_in", "zoom_out", "numbers")


class ToolColumn(QWidget):
    """A column of buttons: tools above, views of the picture below."""

    def __init__(self, actions: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 6, 4, 6)
        layout.setSpacing(2)
        for name in (*_TOOLS, "", *_VIEW):
            if not name:
                line = QFrame(self)
                line.setFrameShape(QFrame.Shape.HLine)
                layout.addWidget(line)
                continue
            layout.addWidget(tool_button(actions, name, self))
        self.posture = tool_button(actions, "draw_menu", self)
        self._menu = QMenu(self.posture)
        self._menu.addActions([actions[name] for name in MENU])
        self.posture.setMenu(self._menu)
        self.posture.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        layout.addWidget(self.posture)
        layout.addStretch(1)
        actions.do("draw_menu", self._open_menu)

    @Slot()
    def _open_menu(self) -> None:
        """What of posture lies over the picture; nothing waits for the answer."""
        if self.isVisible():
            self._menu.popup(self.posture.mapToGlobal(self.posture.rect().topRight()))


class _Surface:
    """The picture of the pane in hand, as the tools see it."""

    def __init__(self, view: FrameView) -> None:
        self.view = view

    def show_ghost(self, scene: Scene) -> None:
        self.view.show_ghost(scene)

    def pan(self, dx: float, dy: float) -> None:
        self.view.pan(dx, dy)


class Toolbox(QObject):
    """Keeps the tools and takes one in hand when its action fires.

    Signals:
        straight_measured(tuple): rows of clicks, each along something that is straight in the world.
        line_between(str, str): two body points, lower and upper end of a line.
        tool_taken(): another tool is in hand.
    """

    straight_measured = Signal(object)
    line_between = Signal(str, str)
    tool_taken = Signal()

    def __init__(self, bench: Bench, pane: FilmPane, actions: Actions, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._pane = pane
        self._actions = actions
        self.question = MarkQuestion(pane.view)
        self._surface = surface = _Surface(pane.view)
        self._mark = MarkTool(bench, surface, self._ask_distance)
        self._asked_at: tuple[Aim, int] | None = None
        self._ahead = AheadDesk(bench, self)
        self._ahead.came.connect(self._followed_here)
        self._ahead.failed.connect(self._not_followed_here)
        self.body = BodyWalk(bench, surface, self._ahead)
        self.wanted = WantedWalk(bench, surface)
        self.face = FaceTool(bench, surface)
        straight = StraightTool(bench, surface, self.straight_measured.emit)
        tools: tuple[Tool, ...] = (
            straight,
            BetweenTool(bench, surface, self.line_between.emit),
            SelectTool(bench, surface),
            self._mark,
            shoe_tip_walk(bench, surface),
            hip_walk(bench, surface),
            implement_walk(bench, surface),
            rep_walk(bench, surface),
            self.body,
            self.wanted,
            self.face,
            LineTool("trunk_tool", LineKind.TRUNK, bench, surface),
            LineTool("shin_tool", LineKind.SHIN, bench, surface),
            LineTool("thigh_tool", LineKind.THIGH, bench, surface),
            LineTool("free_tool", LineKind.FREE, bench, surface),
        )
        self._tools = {tool.id: tool for tool in tools}
        self._in_hand: Tool = self._tools["select_tool"]
        group = QActionGroup(self)
        for name in (*_TOOLS, *_MORE_TOOLS):
            group.addAction(actions[name])
            actions.do(name, self._take)
        actions["select_tool"].setChecked(True)
        actions.do("skip_stop", self._skip)
        actions.do("next_face", self._next_face)
        actions.do("key_cursor", self._turn_cursor)
        for name in ("copy_body", "guess_far", "take_guesses"):
            actions.do(name, self._propose)
        self.question.answered.connect(self._distance_given)
        self.question.dropped.connect(self._distance_dropped)
        self._cursor = KeyCursor(pane.view)
        self._framed: ViewMapping | None = None
        self._looked_at = -1
        self._take_hold()
        bench.frame_changed.connect(self._frame_came)
        self._run_id = ""
        bench.run_changed.connect(self._run_came)
        bench.film_changed.connect(self._film_changed)

    @property
    def in_hand(self) -> Tool:
        """The tool in use."""
        return self._in_hand

    def face_in_hand(self) -> FaceCover | None:
        """What is covered of the face that is in hand; None without a run."""
        return self.face.cover

    def placing(self) -> bool:
        """Whether a click places something now."""
        return self._in_hand.placing

    def work_on(self, pane: FilmPane) -> None:
        """Use the tools on another pane; what was half done on the one before is dropped."""
        if pane is self._pane:
            return
        self._film_changed()
        self._show_whole()
        view = self._pane.view
        view.tool_used.disconnect(self._used)
        view.missed.disconnect(self._missed)
        view.set_tool(Tool())
        view.set_prompt("")
        self._pane, self._surface.view = pane, pane.view
        self._cursor.turn(on=False)
        self._cursor = pane.view.findChild(KeyCursor) or KeyCursor(pane.view)
        self.question.move_into(pane.view)
        self._take_hold()
        self._turn_cursor()

    @Slot(int, float, float)
    def look_at(self, frame: int, u: float, v: float) -> None:
        """The coach is asked to look at a place on a frame, which is on its way: the athlete is shown large
        there.
        """
        self._looked_at = frame
        self._show_athlete()
        self._bring_into_view(u, v)

    def _bring_into_view(self, u: float, v: float) -> None:
        view = self._pane.view
        mine = self._framed is not None and view.mapping == self._framed
        view.bring_into_view(u, v)
        if mine:
            self._framed = view.mapping

    def _show_athlete(self) -> None:
        """Show the athlete large while points are placed, and the whole picture again after that; what the
        coach zoomed or shifted stays.
        """
        frame = int(self._bench.frame)
        if not (self._in_hand.on_body or frame == self._looked_at):
            if self._looked_at < 0:
                self._show_whole()
            return
        run, facts, view = self._bench.run, self._bench.facts, self._pane.view
        mine = view.is_fitted if self._framed is None else view.mapping == self._framed
        whole = view.whole
        if run is None or facts is None or whole is None or not mine:
            return
        room = float(view.width()), float(view.height())
        mapping = framing(run, self._bench.tracks, frame, facts.times.seconds, whole, room)
        if mapping is None:
            self._show_whole()
        else:
            self._framed = mapping
            view.frame_with(mapping)

    def _show_whole(self) -> None:
        if self._framed is not None and self._pane.view.mapping == self._framed:
            self._pane.view.fit()
        self._framed = None

    def _take_hold(self) -> None:
        self._pane.view.set_tool(self._in_hand)
        self._pane.view.tool_used.connect(self._used)
        self._pane.view.missed.connect(self._missed)

    def take(self, name: str) -> None:
        """Take a tool in hand."""
        tool = self._tools[name]
        if tool is self._in_hand and name == "select_tool":
            tool.escape()
            self._bench.select(None)
        elif tool is not self._in_hand:
            self._in_hand.end()
            self.question.hide()
            self._in_hand = tool
            self._pane.view.set_tool(tool)
            if tool.placing:
                self._pane.ticker.pause()
            tool.begin()
            self._looked_at = -1
            self._show_athlete()
            self._cursor.begin()
            self.tool_taken.emit()
        self._actions[name].setChecked(True)
        self._used()
        self._pane.view.setFocus()

    @Slot(object)
    def walk_for(self, ask: Ask) -> None:
        """Ask for the points that these measures want, one after the other."""
        if self._in_hand is self.wanted:
            self.take("select_tool")
        self.wanted.ask_for(ask)
        self.take(self.wanted.id)

    @Slot()
    def _take(self) -> None:
        name = self.sender().objectName()
        # Escape drops what is half done before it leaves the tool
        if name == "select_tool" and self._in_hand.placing and self._in_hand.escape():
            self.question.hide()
            self._actions[self._in_hand.id].setChecked(True)
            self.refresh_prompt()
            return
        self.take(name)

    @Slot()
    def _skip(self) -> None:
        self._in_hand.skip()
        self._used()

    @Slot()
    def _next_face(self) -> None:
        if self._in_hand is self.face:
            self._skip()
        else:
            self.take(self.face.id)

    @Slot()
    def _propose(self) -> None:
        """Copied or guessed points are shown under the walk through the body, which places them."""
        acts = {
            "copy_body": self.body.copy,
            "guess_far": self.body.guess_far,
            "take_guesses": self.body.take_guesses,
        }
        self.take(self.body.id)
        try:
            acts[self.sender().objectName()]()
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
        self.refresh_prompt()

    @Slot()
    def _used(self) -> None:
        """A walk that has nothing more to ask puts itself away: what it ends with was said."""
        if self._in_hand is self.wanted and self.wanted.done:
            self.take("select_tool")
        self.refresh_prompt()

    @Slot(int, object)
    def _followed_here(self, frame: int, points: tuple[BodyPoint, ...]) -> None:
        self.body.followed(frame, points)
        self.refresh_prompt()

    @Slot(str)
    def _not_followed_here(self, sentence: str) -> None:
        self.body.followed(int(self._bench.frame), ())
        self._bench.said.emit(sentence)
        self.refresh_prompt()

    def shutdown(self) -> None:
        """Stop what goes on beside."""
        self._ahead.give_up()

    @Slot()
    def _missed(self) -> None:
        self._bench.said.emit(self._in_hand.beside())

    @Slot()
    def refresh_prompt(self) -> None:
        """Say again what a click does."""
        tool, words = self._in_hand, ""
        if self._bench.run is not None:
            by_keys = tr("Arrows move the cursor, Return clicks, Shift+Return skips, Escape ends.")
            words = f"{tool.asks()} {by_keys}" if self._cursor.active else tool.prompt()
        self._pane.view.set_prompt(words)

    @Slot()
    def _turn_cursor(self) -> None:
        """Arrows move a cursor from now on, or step through the film again."""
        self._cursor.turn(on=self._actions["key_cursor"].isChecked())
        self.refresh_prompt()

    @Slot()
    def _frame_came(self) -> None:
        if self._bench.frame != self._looked_at:
            self._looked_at = -1
        self._show_athlete()
        likely = self._in_hand.likely() if self._bench.run is not None else None
        if likely is not None:
            self._bring_into_view(*likely)
        if self._cursor.active:
            self._cursor.begin()
        self._in_hand.frame_came()
        self.refresh_prompt()

    def _ask_distance(self, aim: Aim) -> None:
        run = self._bench.run
        if run is not None:
            self._asked_at = aim, self._bench.frame  # the film may move on while the coach thinks
            self.question.ask(aim.x, aim.y, placing.next_mark_distance(run))

    @Slot(float, float)
    def _distance_given(self, along_m: float, height_m: float) -> None:
        run, asked = self._bench.run, self._asked_at
        if run is None or asked is None:
            self._distance_dropped()
            return
        aim, frame = asked

        def place() -> Command:
            return placing.place_mark(run, frame, aim.u, aim.v, along_m, height_m)

        if self._bench.attempt(place):
            self._distance_dropped()
        else:
            self.question.ask_again()

    @Slot()
    def _distance_dropped(self) -> None:
        self._asked_at = None
        self.question.hide()
        self._mark.answered()
        self._pane.view.setFocus()

    @Slot(object)
    def _run_came(self, run: Run | None) -> None:
        """What was half done on one run must not end on another, on the same film or not."""
        run_id = run.id if run is not None else ""
        if run_id != self._run_id:
            self._run_id = run_id
            self._film_changed()
        self.refresh_prompt()

    @Slot()
    def _film_changed(self) -> None:
        """What was half done on one film must not end on another."""
        self._in_hand.escape()
        self._asked_at = None
        self.question.hide()
