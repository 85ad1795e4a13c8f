"""Stops along the film: set with a key, edited as a list, undone, presented in the whole screen."""

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QLineEdit

from analysis.store import ProjectFile
from analysis.values.narration import Overlay
from app.copying import TableCopy
from app.film.pane import FilmPane
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import project_on


@pytest.fixture
def told(marked):
    """A coach in front of a film with three stops, at frames 90, 145 and 196; the panel is on show."""
    marked.workspace.panels.show_panel(panel(marked))
    for frame in (90, 145, 196):
        marked.pane.go_to(frame)
        marked.press("Shift+N")
    return marked


def panel(coach):
    return coach.workspace.narrating.panel


def narration(coach):
    (one,) = coach.bench.project.narrations.values()
    return one


def frames(coach):
    return [stop.frame for stop in narration(coach).stops]


def row(coach, place):
    return panel(coach).stops.topLevelItem(place)


def take(qtbot, coach, place):
    """Click a stop of the list."""
    stops = panel(coach).stops
    middle = stops.visualItemRect(row(coach, place)).center()
    qtbot.mouseClick(stops.viewport(), Qt.MouseButton.LeftButton, pos=middle)


def type_into(qtbot, coach, place, column, words):
    """Type into a cell of the list."""
    stops = panel(coach).stops
    take(qtbot, coach, place)
    stops.setCurrentItem(row(coach, place), column)
    coach.press("F2", on=stops)
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    qtbot.keyClicks(field, words)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: QApplication.focusWidget() is stops)


def drop(stops, where):
    """What is dragged is let go there."""
    buttons, keys = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    stops.dropEvent(QDropEvent(where, Qt.DropAction.MoveAction, QMimeData(), buttons, keys))


def test_the_list_of_stops_is_copied_as_a_table(qtbot, told):
    type_into(qtbot, told, 1, 1, "Knees meet")
    qtbot.keyClick(panel(told).stops, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    head, *rows = (line.split("\t") for line in QApplication.clipboard().text().splitlines())
    assert head == ["stop", "words", "stands s", "then ×"]
    assert [row[1] for row in rows] == ["Knees meet"]
    panel(told).stops.findChild(TableCopy).copy_all()
    stops = [line.split("\t") for line in QApplication.clipboard().text().splitlines()[1:]]
    assert [float(row[2]) for row in stops] == [stop.hold_s for stop in narration(told).stops]


def test_a_key_sets_a_stop_where_it_belongs_and_undo_takes_it_away(told):
    told.pane.go_to(130)
    told.press("Shift+N")
    assert frames(told) == [90, 130, 145, 196]
    assert panel(told).stops.topLevelItemCount() == 4
    told.press("Ctrl+Z")
    assert frames(told) == [90, 145, 196]
    told.press("Ctrl+Z", 3)
    assert not told.bench.project.narrations
    assert not panel(told).stops.isVisible()
    told.press("Ctrl+Shift+Z", 2)
    assert frames(told) == [90, 145]


def test_words_and_numbers_are_typed_in_place_and_saved(qtbot, told):
    type_into(qtbot, told, 1, 1, "hips 'tall', <b>now</b> =1+1")
    type_into(qtbot, told, 1, 2, "2,5")
    type_into(qtbot, told, 1, 3, "0.5")
    stop = narration(told).stops[1]
    assert (stop.words, stop.hold_s, stop.speed_after) == ("hips 'tall', <b>now</b> =1+1", 2.5, 0.5)
    with ProjectFile.open(told.bench.path) as file:
        (saved,) = file.project.narrations.values()
    assert saved == narration(told)


def test_a_speed_that_can_not_be_is_refused_and_the_list_shows_what_holds(qtbot, told):
    before = narration(told).stops[0].speed_after
    for words in ("3", "fast"):
        type_into(qtbot, told, 0, 3, words)
        assert "times real time" in told.notice
        assert row(told, 0).text(3) == f"{before:g}"
    assert narration(told).stops[0].speed_after == before


def test_order_by_keys_and_by_drag(qtbot, told):
    stops = panel(told).stops
    take(qtbot, told, 0)
    qtbot.keyClick(stops, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert frames(told) == [145, 90, 196]
    assert stops.currentIndex().row() == 1  # it stays at hand
    qtbot.keyClick(stops, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    assert frames(told) == [90, 145, 196]
    take(qtbot, told, 2)
    drop(stops, QPointF(stops.visualItemRect(row(told, 0)).topLeft()))
    assert frames(told) == [196, 90, 145]
    take(qtbot, told, 0)
    drop(stops, QPointF(5.0, stops.viewport().height() - 1.0))
    assert frames(told) == [90, 145, 196]


def test_a_stop_is_deleted_from_the_list_and_nothing_else(qtbot, told):
    footfalls = told.bench.run.footfalls
    take(qtbot, told, 1)
    told.wait_for(145)  # taking a stop in hand shows it
    qtbot.keyClick(panel(told).stops, Qt.Key.Key_Delete)
    assert frames(told) == [90, 196]
    assert told.bench.run.footfalls == footfalls


def test_what_a_stop_draws_and_which_part_it_shows(qtbot, told):
    take(qtbot, told, 0)
    told.wait_for(90)
    shows = panel(told).shows
    shows.overlays[Overlay.RAIL].trigger()
    shows.overlays[Overlay.BODY].trigger()
    assert narration(told).stops[0].drawn == (Overlay.LINES, Overlay.RAIL, Overlay.NUMBERS)
    told.zoom_to(160.0, 90.0, 6.0)
    shows.zoomed.trigger()
    left, top, width, height = narration(told).stops[0].zoom
    scale = told.view.mapping.scale
    assert (left + width / 2, top + height / 2) == pytest.approx((160.0, 90.0), abs=0.5)
    assert (width, height) == pytest.approx((told.view.width() / scale, told.view.height() / scale))
    shows.whole.trigger()
    assert narration(told).stops[0].zoom is None


def test_names_new_ones_and_going(qtbot, told):
    place = panel(told)
    edit = place.names.lineEdit()
    qtbot.mouseClick(edit, Qt.MouseButton.LeftButton)
    edit.selectAll()
    qtbot.keyClicks(edit, "first strike")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert narration(told).name == "first strike"
    qtbot.mouseClick(place.new, Qt.MouseButton.LeftButton)
    assert len(told.bench.project.narrations) == 2
    assert place.names.currentText() == "Narration 1"
    qtbot.mouseClick(place.remove, Qt.MouseButton.LeftButton)
    assert narration(told).name == "first strike"
    assert place.names.currentText() == "first strike"


def test_without_a_film_or_a_stop_it_is_said(window, marked):
    marked.press("Shift+P")
    assert "set a stop" in marked.notice
    assert_accessible(panel(marked))


def test_without_anything_open_it_is_said(coach):
    for keys in ("Shift+N", "Shift+M"):
        coach.press(keys)
        assert "Open a film first" in coach.notice


# the whole screen


@pytest.fixture
def stage(qtbot, told):
    """The stage that presents these stops: words at the second, all drawn at the third."""
    desk = told.workspace.narrating.desk
    first, second, third = narration(told).stops
    desk.change_stop(first.id, speed_after=1.0)
    desk.change_stop(second.id, words="hips tall")
    desk.change_stop(third.id, drawn=tuple(Overlay), zoom=(100.0, 50.0, 80.0, 45.0))
    told.press("Shift+P")
    opened = told.workspace.narrating.stage.stage
    qtbot.waitUntil(lambda: opened.screens[0].pane.shown == 90)
    return opened


def press(qtbot, stage, key, shown=None):
    qtbot.keyClick(stage.screens[0].pane.view, key)
    if shown is not None:
        qtbot.waitUntil(lambda: stage.screens[0].pane.shown == shown)


def test_words_that_come_and_go_do_not_move_the_film(qtbot, told):
    desk = told.workspace.narrating.desk
    _, second, third = narration(told).stops
    desk.change_stop(second.id, words="Let the shin fall towards the finish. " * 12)
    desk.change_stop(third.id, words="short")
    told.press("Shift+P")
    stage = told.workspace.narrating.stage.stage
    places, shown = [], []
    for frame in (90, 145, 196):
        qtbot.waitUntil(lambda frame=frame: stage.screens[0].pane.shown == frame)
        QApplication.processEvents()
        places.append(stage.screens[0].pane.geometry())
        shown.append(stage.caption.isVisible())
        press(qtbot, stage, Qt.Key.Key_PageDown)
        press(qtbot, stage, Qt.Key.Key_PageDown)
    assert shown == [False, True, True]
    assert places[0] == places[1] == places[2]


def test_presenting_goes_from_stop_to_stop_and_leaves(qtbot, told, stage):
    assert stage.isFullScreen()
    assert_accessible(stage)
    press(qtbot, stage, Qt.Key.Key_Space)
    assert stage.ticker.clock.playing
    assert stage.walk.place == 0  # it plays on, it does not jump
    assert stage.ticker.clock.speed == 1.0
    qtbot.waitUntil(lambda: stage.walk.place == 1)
    assert not stage.ticker.clock.playing
    press(qtbot, stage, Qt.Key.Key_F24, 145)  # it stands at the very frame
    assert stage.caption.text() == "hips tall"
    press(qtbot, stage, Qt.Key.Key_Right)
    press(qtbot, stage, Qt.Key.Key_Right, 196)  # pressed again on the way: at once
    assert stage.walk.place == 2
    assert not stage.caption.isVisible()
    press(qtbot, stage, Qt.Key.Key_Right)
    assert "last stop" in stage.notice.text()
    press(qtbot, stage, Qt.Key.Key_Left, 145)
    press(qtbot, stage, Qt.Key.Key_Escape)
    assert told.workspace.narrating.stage.stage is None


def test_the_frame_never_runs_past_a_stop(qtbot, stage):
    seen = []
    stage.ticker.moved.connect(seen.append)
    press(qtbot, stage, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: stage.walk.place == 1)
    stage.ticker.moved.disconnect(seen.append)
    assert max(seen) <= 145 / 240 + 1e-9


def test_at_a_stop_its_numbers_its_overlays_and_its_part_of_the_picture(qtbot, stage):
    (screen,) = stage.screens
    assert screen.numbers.title.text() == "Step 1, left"
    # 40 frames of 240 a second
    shown = [number.text() for _, number in screen.numbers._rows if number.isVisible()]
    assert any(text.startswith("167") and text.endswith("ms") for text in shown)
    assert not screen.rail.isVisible()
    press(qtbot, stage, Qt.Key.Key_PageDown)
    press(qtbot, stage, Qt.Key.Key_PageDown, 145)
    press(qtbot, stage, Qt.Key.Key_PageDown)
    press(qtbot, stage, Qt.Key.Key_PageDown, 196)
    assert screen.rail.isVisible()
    assert screen.rail.value() == 196
    view = screen.pane.view
    corners = view.mapping.to_picture(0, 0), view.mapping.to_picture(view.width(), view.height())
    assert corners[0][0] <= 100.5
    assert corners[0][1] <= 50.5
    assert corners[1][0] >= 179.5
    assert corners[1][1] >= 94.5
    assert view.mapping.scale * 80 == pytest.approx(view.width(), abs=1) or (
        view.mapping.scale * 45 == pytest.approx(view.height(), abs=1)
    )


def test_before_the_first_touchdown_stand_the_numbers_of_the_start(qtbot, told):
    told.pane.go_to(60)
    told.press("Shift+N")
    told.press("Shift+P")
    opened = told.workspace.narrating.stage.stage
    (screen,) = opened.screens
    qtbot.waitUntil(lambda: screen.pane.shown == 60)
    assert screen.numbers.title.text() == "Start push"
    rows = {name.text(): number.text() for name, number in screen.numbers._rows if number.isVisible()}
    # 30, 60 and 10 frames of 240 a second; the run has no body, so no trunk lead
    assert {name: text.split()[0] for name, text in rows.items() if text.endswith("ms")} == {
        "Push, rear foot": "125",
        "Push, front foot": "250",
        "First flight": "42",
    }
    assert "Trunk lead" not in rows
    press(qtbot, opened, Qt.Key.Key_PageDown, 90)
    assert screen.numbers.title.text() == "Step 1, left"
    assert "Push, rear foot" not in {n.text() for n, number in screen.numbers._rows if number.isVisible()}


def test_stage_and_window_keep_no_more_than_films_may(told, stage):
    panes = told.window.findChildren(FilmPane)
    whole = told.bench.films.memory_bytes
    shown = [pane for pane in panes if pane.film is not None]
    assert len(shown) == 2
    assert sum(pane.budget_bytes for pane in shown) <= whole
    stage.close()
    assert told.workspace.pane.budget_bytes == whole


def test_marks_of_place_are_not_presented(stage):
    scene = stage.screens[0].pane.view._scene
    assert not [dot for dot in scene.dots if dot.label.endswith(" m")]
    assert {stroke.id for stroke in scene.strokes} >= {"shin", "trunk"}


def test_a_window_that_closes_takes_the_stage_with_it(told, stage):
    told.window.close()
    assert told.workspace.narrating.stage.stage is None


def test_two_runs_side_by_side(qtbot, coach, window, small):
    assert window.open_path(project_on(small, runs=2))
    coach.wait_for(20)
    coach.press("Ctrl+2")
    compare = window.compare_workspace
    upper, lower = compare.upper_side, compare.lower_side
    for side in (upper, lower):
        qtbot.waitUntil(lambda side=side: side.pane.shown >= 0)
    coach.press("K", 5, on=upper.pane.view)  # the upper film is five frames on
    for frame in (90, 145):
        upper.pane.go_to(frame)
        coach.press("Shift+N", on=upper.pane.view)
    (told,) = coach.bench.project.narrations.values()
    assert told.run_ids == (upper.look.run.id, lower.look.run.id)
    assert [(stop.frame, stop.beside) for stop in told.stops] == [(90, 85), (145, 140)]
    compare.beside.setCurrentWidget(compare.told)
    assert compare.told.stops.topLevelItemCount() == 2
    coach.press("Shift+P", on=upper.pane.view)
    stage = window.run_workspace.narrating.stage.stage
    one, two = (screen.pane for screen in stage.screens)
    qtbot.waitUntil(lambda: (one.shown, two.shown) == (90, 85))
    press(qtbot, stage, Qt.Key.Key_PageDown)
    press(qtbot, stage, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: (one.shown, two.shown) == (145, 140))
    press(qtbot, stage, Qt.Key.Key_Escape)
    qtbot.waitUntil(window.isActiveWindow)
    coach.press("Ctrl+1", on=upper.pane.view)
    assert not window.run_workspace.narrating.desk.narrations  # it is not over one run
