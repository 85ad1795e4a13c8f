"""Every command once: name, words, keys, icon, help. Menus, buttons and the docs' table come from here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from analysis.values.words import tr
from app.theme.icons import icon
from app.theme.tokens import Theme


class Scope(Enum):
    """Where the keys of a command hold."""

    WINDOW = "window"
    FILM = "film"  # the film and its numbers: buttons, tables and fields keep these keys for themselves
    PICTURE = "picture"


@dataclass(frozen=True)
class ActionSpec:
    """One command.

    ``keys``: portable key names, the first one is shown. ``repeats``: fires while a key is held.
    ``scope``: where its keys hold.
    """

    id: str
    menu: str
    text: str
    keys: tuple[str, ...]
    help: str
    icon: str = ""
    checkable: bool = False
    repeats: bool = False
    scope: Scope = Scope.WINDOW


FILE, FILM, EVENTS, PICTURE, EDIT, COMPARE, NARRATION, PLAN, VIEW = (
    tr("File"),
    tr("Film"),
    tr("Events"),
    tr("Picture"),
    tr("Edit"),
    tr("Compare"),
    tr("Narration"),
    tr("Plan"),
    tr("View"),
)

# one line a command, so that the table reads as one
# fmt: off
TABLE: tuple[ActionSpec, ...] = (
    ActionSpec("open_film", FILE, tr("Open film…"), ("Ctrl+O",), tr("Choose a film and begin a run on it"), "open"),
    ActionSpec("open_project", FILE, tr("Open project…"), ("Ctrl+Shift+O",), tr("Choose a project file")),
    ActionSpec("new_project", FILE, tr("New project…"), ("Ctrl+N",), tr("Begin an empty project file")),
    ActionSpec("new_run", FILE, tr("New run on this film"), ("Ctrl+R",), tr("Another stretch of the same film, with the same marks")),
    ActionSpec("find_film", FILE, tr("Find the film…"), (), tr("Say where the film of this run lies now")),
    ActionSpec("open_demo", FILE, tr("Open the demo project"), (), tr("Look at two invented runs, already marked")),
    ActionSpec("save_copy", FILE, tr("Save a copy…"), ("Ctrl+Shift+S",), tr("Every edit is saved at once; this writes a copy")),
    ActionSpec("export_table", FILE, tr("Export step table…"), ("Ctrl+E",), tr("Write the reading as CSV or JSON")),
    ActionSpec("export_strip", FILE, tr("Export posture strip…"), (), tr("Write the frames of the tagged events, side by side, as a picture")),
    ActionSpec("report_page", FILE, tr("Report page…"), ("Ctrl+Shift+E",), tr("Write a page on this run for the coach, and one for the athlete beside it")),
    ActionSpec("report_project", FILE, tr("Reports of the project…"), (), tr("Write the pages of every run, of the squad and of each season, and all tables")),
    ActionSpec("gate_times", FILE, tr("Times from gates…"), (), tr("Times of timing gates beside the splits of films")),
    ActionSpec("export_film", FILE, tr("Export annotated film…"), ("Ctrl+Shift+F",), tr("Write the film of the run with what is drawn over it, slowed, for any phone")),
    ActionSpec("export_picture", FILE, tr("Export picture…"), (), tr("Write the frame that is shown with all that is drawn over it, as a picture in the film's size")),
    ActionSpec("quit", FILE, tr("Quit"), ("Ctrl+Q",), tr("Close Cinderlane")),
    ActionSpec("undo", EDIT, tr("Undo"), ("Ctrl+Z",), tr("Take the last edit back"), "undo"),
    ActionSpec("redo", EDIT, tr("Redo"), ("Ctrl+Shift+Z", "Ctrl+Y"), tr("Do it again"), "redo"),
    ActionSpec("copy_table", EDIT, tr("Copy the table"), ("Ctrl+C",), tr("Selected rows of the table in hand, or all of it, for a spreadsheet")),
    ActionSpec("delete", EDIT, tr("Delete"), ("Del", "Backspace"), tr("Delete what is selected"), "delete", scope=Scope.FILM),
    ActionSpec("event_earlier", EDIT, tr("Event a frame earlier"), ("Ctrl+Left",), tr("Move the selected event"), repeats=True),
    ActionSpec("event_later", EDIT, tr("Event a frame later"), ("Ctrl+Right",), tr("Move the selected event"), repeats=True),
    ActionSpec("nudge_left", EDIT, tr("Nudge left"), ("Alt+Left",), tr("Move the selected point by 0.1 px"), repeats=True),
    ActionSpec("nudge_right", EDIT, tr("Nudge right"), ("Alt+Right",), tr("Move the selected point by 0.1 px"), repeats=True),
    ActionSpec("nudge_up", EDIT, tr("Nudge up"), ("Alt+Up",), tr("Move the selected point by 0.1 px"), repeats=True),
    ActionSpec("nudge_down", EDIT, tr("Nudge down"), ("Alt+Down",), tr("Move the selected point by 0.1 px"), repeats=True),
    ActionSpec("step_back", FILM, tr("A frame back"), ("Left",), tr("Show the frame before"), "step_back", repeats=True),
    ActionSpec("step_forward", FILM, tr("A frame on"), ("Right",), tr("Show the next frame"), "step_forward", repeats=True),
    ActionSpec("ten_back", FILM, tr("Ten frames back"), ("Shift+Left",), tr("Go back by ten frames"), "ten_back", repeats=True),
    ActionSpec("ten_forward", FILM, tr("Ten frames on"), ("Shift+Right",), tr("Go on by ten frames"), "ten_forward", repeats=True),
    ActionSpec("play", FILM, tr("Play or pause"), ("Space",), tr("Play at the chosen share of real time"), "play", scope=Scope.FILM),
    ActionSpec("reverse", FILM, tr("Play backwards"), ("Shift+Space",), tr("Play in reverse"), "reverse", scope=Scope.FILM),
    ActionSpec("slower", FILM, tr("Slower"), ("-",), tr("The next slower speed"), "slower"),
    ActionSpec("faster", FILM, tr("Faster"), ("=", "+"), tr("The next faster speed"), "faster"),
    ActionSpec("full_speed", FILM, tr("Between slow and full speed"), ("Z",), tr("To full speed, and back to the last slow speed"), "speed"),
    ActionSpec("loop", FILM, tr("Loop a stretch"), ("L",), tr("First press: from here. Second: to here, and repeat. Third: off"), "loop"),
    ActionSpec("replay", FILM, tr("Replay the last two steps"), ("R",), tr("Play from two touchdowns back to here"), "replay"),
    ActionSpec("go_first_movement", FILM, tr("To first movement"), ("Home",), tr("Go to the first movement, else to the run's first frame"), "first_movement", scope=Scope.FILM),
    ActionSpec("next_event", FILM, tr("To the next event"), (".",), tr("Go to the next touchdown, toe-off or start event"), "next_event"),
    ActionSpec("previous_event", FILM, tr("To the previous event"), (",",), tr("Go to the event before"), "previous_event"),
    ActionSpec("run_begins", EVENTS, tr("The run begins here"), ("[",), tr("The run's stretch of the film begins with this frame")),
    ActionSpec("run_ends", EVENTS, tr("The run ends here"), ("]",), tr("The run's stretch of the film ends with this frame")),
    ActionSpec("first_movement", EVENTS, tr("First movement"), ("Q",), tr("Tag this frame as the first movement of the start"), "first_movement"),
    ActionSpec("rear_toe_off", EVENTS, tr("Rear foot toe-off"), ("W",), tr("Tag the rear foot leaving the ground in the start push"), "toe_off"),
    ActionSpec("front_toe_off", EVENTS, tr("Front foot toe-off"), ("E",), tr("Tag the front foot leaving the ground in the start push"), "toe_off"),
    ActionSpec("touchdown", EVENTS, tr("Touchdown"), ("D",), tr("Tag the first frame in which the foot is on the ground"), "touchdown"),
    ActionSpec("toe_off", EVENTS, tr("Toe-off"), ("F",), tr("Tag the first frame in which the foot is clear of the ground"), "toe_off"),
    ActionSpec("other_side", EVENTS, tr("Other foot"), ("S",), tr("Change the side of the selected footfall, or of the next one"), "swap"),
    ActionSpec("front_foot", EVENTS, tr("Change front foot"), (), tr("Which foot stood in front at the start")),
    ActionSpec("sure", EVENTS, tr("Sure of the selected footfall"), (), tr("No doubt beyond the frame itself")),
    ActionSpec("unsure", EVENTS, tr("May be a frame out"), (), tr("The selected footfall may be wrong by one frame either way")),
    ActionSpec("usual_doubt", EVENTS, tr("The usual doubt"), (), tr("The selected footfall is as sure as most")),
    ActionSpec("tag_again", EVENTS, tr("Tag again, unseen"), ("Ctrl+T",), tr("Tag this run a second time without seeing the first tags; again: compare the two")),
    ActionSpec("draft_footfalls", EVENTS, tr("Draft every footfall"), ("Ctrl+D",), tr("Look for every contact in the film and propose its frames")),
    ActionSpec("confirm_sure", EVENTS, tr("Confirm all sure drafts"), ("Shift+Return",), tr("Every draft at least as sure as the level over the film becomes a tag")),
    ActionSpec("swap_drafts", EVENTS, tr("Drafts: the other foot first"), ("Shift+S",), tr("Every draft becomes the other foot's")),
    ActionSpec("count_drafts", EVENTS, tr("Drafts count in the reading"), (), tr("Numbers rest on drafts too, and the reading says so"), checkable=True),
    ActionSpec("select_tool", PICTURE, tr("Select and move"), ("Esc",), tr("Leave the tool; select and drag what is drawn"), "select", checkable=True),
    ActionSpec("mark_tool", PICTURE, tr("Mark of known distance"), ("M",), tr("Click a cone or a line, then say its distance"), "mark", checkable=True),
    ActionSpec("shoe_tool", PICTURE, tr("Shoe tips"), ("X",), tr("One click at each touchdown, from one to the next"), "shoe_tip", checkable=True),
    ActionSpec("hip_tool", PICTURE, tr("Hips"), ("C",), tr("One click at each event, from one to the next"), "hip", checkable=True),
    ActionSpec("implement_tool", PICTURE, tr("Implement in flight"), ("F9",), tr("In the film of a throw: one click a frame after the release"), checkable=True),
    ActionSpec("rep_tool", PICTURE, tr("Points of the reps"), ("Shift+F9",), tr("In the film of a drill: one click a point, from event to event"), checkable=True),
    ActionSpec("body_tool", PICTURE, tr("Body points"), ("Shift+B",), tr("One click a point on this frame, near side first; a point that is there is dragged"), "body", checkable=True),
    ActionSpec("copy_body", PICTURE, tr("Copy the last marked body"), ("Shift+C",), tr("Propose the points of the marked frame before, followed to here where they are sure, to be dragged or taken")),
    ActionSpec("guess_far", PICTURE, tr("Guess the far side"), ("Shift+G",), tr("Propose the far side as the near one's mirror, to be dragged or taken")),
    ActionSpec("take_guesses", PICTURE, tr("Take the guesses"), ("Shift+T",), tr("Store all points that are proposed on this frame")),
    ActionSpec("wanted_tool", PICTURE, tr("Points that are wanted"), ("Shift+W",), tr("The fewest points for the launch and the first strike, one click after another"), "wanted", checkable=True),
    ActionSpec("follow_points", PICTURE, tr("Follow the points"), ("Ctrl+F",), tr("Find the placed points on every frame between those on which they stand")),
    ActionSpec("next_doubt", PICTURE, tr("To the next doubtful point"), ("Shift+D",), tr("Go to the next frame on which a point may have slipped or can't be right")),
    ActionSpec("point_right", PICTURE, tr("This point is right"), ("Shift+R",), tr("The point in doubt on this frame stays where it is, a followed one as a placed one; then the next")),
    ActionSpec("trunk_tool", PICTURE, tr("Trunk line"), ("V",), tr("Draw from hip to shoulder"), "trunk", checkable=True),
    ActionSpec("shin_tool", PICTURE, tr("Shin line"), ("B",), tr("Draw from ankle to knee"), "shin", checkable=True),
    ActionSpec("thigh_tool", PICTURE, tr("Thigh line"), ("T",), tr("Draw from knee to hip"), "thigh", checkable=True),
    ActionSpec("free_tool", PICTURE, tr("Free line"), ("G",), tr("Draw any line and read its angle"), "free", checkable=True),
    ActionSpec("between_tool", PICTURE, tr("Line between two points"), ("Shift+V",), tr("Click a body point, then another: the line with its angle lies on every frame; the same two again take it away"), checkable=True),
    ActionSpec("straight_tool", PICTURE, tr("Lens along a straight line"), (), tr("Click along a line that is straight in the world; Enter measures how the lens bends it"), checkable=True),
    ActionSpec("face_tool", PICTURE, tr("Cover a face"), (), tr("Drag over the face on some frames; a film or picture that is handed over can hide it on all between"), checkable=True),
    ActionSpec("next_face", PICTURE, tr("Next face, or a new one"), (), tr("Cover another face on the same film; every one has its own places")),
    ActionSpec("no_face_before", PICTURE, tr("No face before here"), (), tr("The face in hand comes into the picture on this frame")),
    ActionSpec("no_face", PICTURE, tr("No face from here on"), (), tr("The face in hand is not in the picture from this frame to the next one on which it is covered")),
    ActionSpec("uncover_face", PICTURE, tr("Take the cover off this frame"), (), tr("Take away what was placed over the face in hand on this frame")),
    ActionSpec("skip_stop", PICTURE, tr("Confirm the draft, or skip this one"), ("Return",), tr("The draft is right; among points: go to the next frame that wants one"), scope=Scope.PICTURE),
    ActionSpec("key_cursor", PICTURE, tr("Place with the keys"), ("Shift+K",), tr("With a tool in hand arrows move a cursor, with Shift by 20 px, with Alt by 0.1; Return clicks there"), checkable=True),
    ActionSpec("run_left", PICTURE, tr("The run goes to the left"), (), tr("Which way the athlete crosses the picture"), checkable=True),
    ActionSpec("other_film", COMPARE, tr("To the other film"), ("A",), tr("Keys, tools and edits go to the other film and its run"), "other_film"),
    ActionSpec("lock_first_movement", COMPARE, tr("Side by side at first movement"), ("I",), tr("Both films show their first movement at one moment"), "first_movement"),
    ActionSpec("lock_here", COMPARE, tr("Side by side at this event"), ("O",), tr("Both films show the event here, or the last one before, at one moment"), "lock_here"),
    ActionSpec("lock_events", COMPARE, tr("Side by side at all events"), ("Shift+O",), tr("The lower film is drawn out or pressed together so that every event meets its own"), "lock_events"),
    ActionSpec("lock_place", COMPARE, tr("Side by side at the same metre"), ("P",), tr("Both athletes are at the same place of the lane, by their hips"), "lock_place"),
    ActionSpec("slip_back", COMPARE, tr("Slip this film a frame back"), ("J",), tr("Against the other film, which stays"), "slip_back", repeats=True),
    ActionSpec("slip_on", COMPARE, tr("Slip this film a frame on"), ("K",), tr("Against the other film, which stays"), "slip_on", repeats=True),
    ActionSpec("swap_films", COMPARE, tr("Swap the films"), ("Y",), tr("The lower film comes up, its rail to the left"), "swap"),
    ActionSpec("mirror", COMPARE, tr("Mirror this picture"), ("H",), tr("Left for right on the screen; what is marked stays true"), "mirror"),
    ActionSpec("same_scale", COMPARE, tr("One scale in metres"), ("U",), tr("Both pictures as large as the lane asks, the same metre in line"), "same_scale", checkable=True),
    ActionSpec("other_body", COMPARE, tr("The other body over this film"), ("Shift+H",), tr("At every event of both runs the other run's body lies over this film, at the same scale"), "other_body", checkable=True),
    ActionSpec("other_body_toe", COMPARE, tr("The other body at the stance toe"), ("Shift+U",), tr("Both stance toes in one place; off: both hips"), checkable=True),
    ActionSpec("show_differences", COMPARE, tr("Rails, differences, charts, strips"), ("Ctrl+I",), tr("Beside the films: both rails, what differs, the charts of both, both posture strips, the narration, and round again")),
    ActionSpec("export_strips", COMPARE, tr("Both posture strips as a picture…"), (), tr("Write the posture strips of both runs into one file, one above the other")),
    ActionSpec("stop_here", NARRATION, tr("Stop here"), ("Shift+N",), tr("Set a stop of the narration at this frame, with this part of the picture")),
    ActionSpec("present", NARRATION, tr("Present"), ("Shift+P",), tr("Go through the stops in the whole screen, the numbers beside")),
    ActionSpec("speak", NARRATION, tr("Speak over the film"), ("Shift+M",), tr("Record the voice with what the film shows and what is drawn, in the whole screen")),
    ActionSpec("new_narration", NARRATION, tr("New narration"), (), tr("Begin another list of stops over the runs on show")),
    ActionSpec("remove_narration", NARRATION, tr("Remove the narration"), (), tr("Take it out of the project, and what was spoken over it")),
    ActionSpec("new_day", PLAN, tr("New day"), ("Ctrl+Shift+N",), tr("Plan another day for the athlete at hand")),
    ActionSpec("propose_day", PLAN, tr("Propose drills"), ("Ctrl+Shift+P",), tr("Fill the blocks with drills that serve the day's question, within its minutes")),
    ActionSpec("drill_done", PLAN, tr("Drill done"), ("Ctrl+K",), tr("The drill at hand was done; once more: it was not")),
    ActionSpec("print_day", PLAN, tr("Day as PDF…"), (), tr("Write the day on one page, to print or to send")),
    ActionSpec("remove_day", PLAN, tr("Remove the day"), (), tr("Take this day out of the project")),
    ActionSpec("new_drill", PLAN, tr("New drill…"), (), tr("Write a drill of your own into the library")),
    ActionSpec("change_drill", PLAN, tr("Change…"), (), tr("Change the drill at hand: words, dose, what it serves")),
    ActionSpec("drop_drill", PLAN, tr("As it came"), (), tr("Take your own words of this drill back")),
    ActionSpec("add_drill_film", PLAN, tr("Add a drill film…"), ("Ctrl+Shift+D",), tr("A film of the drill at hand, done on this day; it never counts as a sprint")),
    ActionSpec("open_drill_film", PLAN, tr("Open the drill film"), ("Ctrl+Return",), tr("Cut the film of the drill at hand into reps, and read them")),
    ActionSpec("remove_drill_film", PLAN, tr("Remove it"), (), tr("Take the film of the drill at hand out of the project with all that is marked on it")),
    ActionSpec("leave_drill_film", PLAN, tr("Back to the day"), ("Ctrl+W",), tr("Leave the film of the drill")),
    ActionSpec("cut_rep", PLAN, tr("Rep begins or ends"), ("F2",), tr("A rep begins on this frame; within one, it ends here")),
    ActionSpec("tag_set", PLAN, tr("Set"), ("F3",), tr("Tag a frame of the rep's still set position")),
    ActionSpec("tag_push_off", PLAN, tr("Push-off"), ("F4",), tr("Tag the first frame clear of the ground; again on the same frame takes it back")),
    ActionSpec("tag_release", PLAN, tr("Release"), ("F5",), tr("Tag the first frame in which the implement is clear of the hand")),
    ActionSpec("tag_landing", PLAN, tr("Landing"), ("F6",), tr("Tag the first frame back on the ground, foot or hand")),
    ActionSpec("drill_event_before", PLAN, tr("To the rep's event before"), ("F7",), tr("Go to the event or begin of a rep before this frame")),
    ActionSpec("drill_event_after", PLAN, tr("To the rep's next event"), ("F8",), tr("Go to the next event or begin of a rep")),
    ActionSpec("show_run", VIEW, tr("Run"), ("Ctrl+1",), tr("One film with its rail, its tables and its reading"), checkable=True),
    ActionSpec("show_compare", VIEW, tr("Compare"), ("Ctrl+2",), tr("Two films under one clock, two rails on one axis"), checkable=True),
    ActionSpec("show_plan", VIEW, tr("Plan"), ("Ctrl+3",), tr("Drills, and what is done on a day"), checkable=True),
    ActionSpec("ground_strip", VIEW, tr("Ground strip"), ("Ctrl+G",), tr("The band along the ground beside the rail: every foot that stands is a streak"), checkable=True),
    ActionSpec("fit", VIEW, tr("Whole picture"), ("0",), tr("Show the whole picture"), "fit"),
    ActionSpec("zoom_in", VIEW, tr("Closer"), ("Ctrl+=", "Ctrl++"), tr("Zoom in"), "zoom_in", repeats=True),
    ActionSpec("zoom_out", VIEW, tr("Further"), ("Ctrl+-",), tr("Zoom out"), "zoom_out", repeats=True),
    ActionSpec("draw_menu", VIEW, tr("Posture over the picture"), ("9",), tr("Choose what of posture lies over the film"), "angle"),
    ActionSpec("draw_trunk", VIEW, tr("Posture: trunk"), ("1",), tr("Mid-hip to mid-shoulder, with its angle"), checkable=True),
    ActionSpec("draw_spine", VIEW, tr("Posture: spine"), ("2",), tr("The trunk in two pieces, with how far it is rounded"), checkable=True),
    ActionSpec("draw_shins", VIEW, tr("Posture: shins"), ("3",), tr("Ankle to knee of both legs, with their angles"), checkable=True),
    ActionSpec("draw_thighs", VIEW, tr("Posture: thighs"), ("4",), tr("Knee to hip of both legs, with their angles"), checkable=True),
    ActionSpec("draw_path", VIEW, tr("Posture: path of the centre of mass"), ("5",), tr("Where the centre of mass goes, with ticks at touchdowns and toe-offs"), checkable=True),
    ActionSpec("draw_horizontal", VIEW, tr("Posture: forward horizontal"), ("6",), tr("What the angles are measured from"), checkable=True),
    ActionSpec("draw_everywhere", VIEW, tr("Posture on every frame"), ("7",), tr("Lines on all frames that hold their points; off: on chosen frames only"), checkable=True),
    ActionSpec("draw_here", VIEW, tr("Posture on this frame"), ("8",), tr("Lines on this frame, where they are not on every one"), checkable=True),
    ActionSpec("numbers", VIEW, tr("Numbers over the picture"), ("N",), tr("Show each number when its event has passed"), "numbers", checkable=True),
    ActionSpec("force", VIEW, tr("Force and power"), (), tr("What the speed curve means for the forces: a model's results, from 20 m on film"), checkable=True),
    ActionSpec("bands", VIEW, tr("Bands"), ("Ctrl+B",), tr("From where to where each measure should lie, for the run at hand")),
    ActionSpec("dark", VIEW, tr("Dark surfaces"), (), tr("Light or dark"), checkable=True),
    ActionSpec("larger_text", VIEW, tr("Larger text"), ("Ctrl+Shift+Up",), tr("All text a step larger, up to twice its size")),
    ActionSpec("smaller_text", VIEW, tr("Smaller text"), ("Ctrl+Shift+Down",), tr("All text a step smaller")),
    ActionSpec("keys", VIEW, tr("Keys"), ("F1",), tr("Show every key"), "keys"),
)
# fmt: on


_CONTEXTS = {
    Scope.WINDOW: Qt.ShortcutContext.WindowShortcut,
    Scope.FILM: Qt.ShortcutContext.WidgetWithChildrenShortcut,
    Scope.PICTURE: Qt.ShortcutContext.WidgetShortcut,
}


class Actions(QObject):
    """The actions of one window, by id."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._actions: dict[str, QAction] = {}
        for spec in TABLE:
            action = QAction(spec.text, self)
            action.setObjectName(spec.id)
            action.setShortcuts([QKeySequence(key) for key in spec.keys])
            action.setShortcutContext(_CONTEXTS[spec.scope])
            action.setAutoRepeat(spec.repeats)
            action.setCheckable(spec.checkable)
            action.setIconVisibleInMenu(False)
            action.setStatusTip(spec.help)
            keys = f" ({shown_keys(spec)})" if spec.keys else ""
            action.setToolTip(f"{spec.text.rstrip('…')}{keys}\n{spec.help}")
            self._actions[spec.id] = action

    def __getitem__(self, name: str) -> QAction:
        """The action of that id. Raises KeyError where the table has none."""
        return self._actions[name]

    def menu(self, name: str) -> list[QAction]:
        """The actions of one menu."""
        return [self._actions[spec.id] for spec in TABLE if spec.menu == name]

    def of(self, scope: Scope) -> list[QAction]:
        """The actions whose keys hold there; added to the widgets that they are for."""
        return [self._actions[spec.id] for spec in TABLE if spec.scope is scope]

    def enable_of_film(self, enabled: bool) -> None:
        """Whether what is done on a film can be done: no key may tag a film that is not in sight."""
        for spec in TABLE:
            if spec.menu in (FILM, EVENTS, PICTURE, NARRATION) or (spec.menu == EDIT and spec.id not in ("undo", "redo", "copy_table")):
                self._actions[spec.id].setEnabled(enabled)

    def dress(self, theme: Theme) -> None:
        """Draw the icons in the colours of a theme."""
        for spec in TABLE:
            if spec.icon:
                self._actions[spec.id].setIcon(icon(spec.icon, theme))

    def do(self, name: str, act: Callable[[], object]) -> None:
        """Have ``act`` done when the action fires; ``act`` is a bound method."""
        self._actions[name].triggered.connect(act)

    def fill(self, bar: QMenuBar) -> None:
        """Build the menus from the table."""
        menus: dict[str, QMenu] = {}
        for spec in TABLE:
            if spec.menu not in menus:
                menus[spec.menu] = bar.addMenu(spec.menu)
            menus[spec.menu].addAction(self._actions[spec.id])


def shown_keys(spec: ActionSpec) -> str:
    """The keys of an action as this machine writes them."""
    return ", ".join(QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText) for key in spec.keys)


def keys_table() -> str:
    """The table of commands and keys as Markdown, for the docs."""
    lines = ["| command | keys | what it does |", "|---|---|---|"]
    for spec in TABLE:
        keys = ", ".join(f"`{key}`" for key in spec.keys)
        lines.append(f"| {spec.menu}: {spec.text.rstrip('…')} | {keys} | {spec.help} |")
    return "\n".join(lines) + "\n"
