"""Films of drills from the day to the numbers, with the keys and clicks of a coach."""

from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from analysis.values.command import Change, Command, Kind
from analysis.values.comparison import MeasureKey
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block
from analysis.values.drill_film import DrillEvent, DrillKind
from analysis.values.estimate import NoValue
from analysis.values.finding import Finding
from app import asking
from app.marking.drilling import body_stops
from app.marking.walks import missing
from app.run import film_panel
from tests.helpers.accessible import assert_accessible
from tests.helpers.drill_clips import FOLDER
from tests.helpers.films import project_on
from tests.window.coach import Coach

THROW = FOLDER / "throw_kneeling.mp4"
SHEET = json.loads((FOLDER / "throw_kneeling.json").read_text(encoding="utf-8"))
KEY = {"set": "F3", "push-off": "F4", "release": "F5", "landing": "F6"}


class Driller(Coach):
    """A coach at a film of a drill: the keys go to its picture."""

    def __init__(self, coach: Coach) -> None:
        super().__init__(coach.qtbot, coach.window)
        self.place = coach.window.plan_workspace
        self.page = self.place.drill_film
        self.pane, self.view = self.page.pane, self.page.pane.view

    @property
    def film(self):
        (film,) = self.bench.project.drill_films.values()
        return film

    def see(self, frame: int) -> None:
        self.pane.go_to(frame)
        self.wait_for(frame)


@pytest.fixture
def driller(coach, small, monkeypatch):
    """At a day with a planned throw, its film just added."""
    assert coach.window.open_path(project_on(small))
    planned = PlannedDrill("p", "kneeling-throw", Block.TARGETED, 1, 5, 60.0, cue="hips first")
    day = DayPlan("day", "2026-03-06", (), None, (planned,))
    coach.bench.edit(Command("day", (Change(Kind.DAY, day.id, None, day),)))
    coach.press("Ctrl+3")
    monkeypatch.setattr(asking, "film_to_open", lambda *_: THROW)
    one = Driller(coach)
    one.place.tree.shown.emit("kneeling-throw")
    coach.press("Ctrl+Shift+D", on=one.place.tree)
    one.qtbot.waitUntil(lambda: one.page.film is not None and one.pane.shown >= 0)
    return one


def cut_and_tag(driller: Driller, rep: dict) -> None:
    driller.see(rep["first"])
    driller.press("F2")
    for event in rep["events"]:
        driller.see(event["frame"])
        driller.press(KEY[event["event"]])
    driller.see(rep["last"])
    driller.press("F2")


def test_a_film_of_a_planned_drill_is_no_sprint(driller):
    before = [run for run in driller.bench.project.runs.values() if not run.of_drill]
    assert driller.film.kind is DrillKind.THROW
    assert driller.bench.run.of_drill
    assert driller.bench.run.conditions.day == "2026-03-06"
    names = [driller.window.run_chooser.itemText(n) for n in range(driller.window.run_chooser.count())]
    assert names == [run.name for run in before]
    driller.press("Ctrl+W")
    assert driller.bench.run == before[0]
    driller.press("Ctrl+2", on=driller.place.tree)
    assert driller.bench.run == before[0]
    assert_accessible(driller.window)


def test_an_event_that_can_t_come_there_is_refused_in_words(driller):
    rep = SHEET["reps"][0]
    cut_and_tag(driller, rep)
    before = driller.film
    driller.see(rep["first"])
    driller.press("F5")  # the ball can't leave the hands before the set position
    assert driller.film == before
    assert "set comes before release" in driller.notice
    driller.press("F6")
    assert driller.film == before


def test_nobody_asks_whether_a_drill_was_filmed_in_slow_motion(driller):
    """In a throw nobody runs past the camera, however right the film's times are."""
    panel = driller.window.run_workspace.facts.film
    slow = Finding("pace", False, 0.4, "The athlete moves slowly.")
    panel._known[film_panel._key(driller.bench.film)] = (slow,)
    panel.found.emit()
    assert panel.findings == ()
    assert not driller.window.run_workspace.question.isVisibleTo(driller.window.run_workspace)
    assert "slowly" not in panel.words.text()


def test_reps_are_cut_and_tagged_by_one_key_each_and_undone(driller):
    for rep in SHEET["reps"]:
        cut_and_tag(driller, rep)
    for rep, wanted in zip(driller.film.reps, SHEET["reps"], strict=True):
        assert (rep.first, rep.last) == (wanted["first"], wanted["last"])
        assert [(e.value, f) for e, f in rep.events] == [(e["event"], e["frame"]) for e in wanted["events"]]
    assert [(rep.set_number, rep.number, rep.cue) for rep in driller.film.reps] == [
        (1, 1, "hips first"),
        (1, 2, "hips first"),
    ]
    driller.press("Ctrl+Z")
    assert driller.film.reps[1].last == driller.pane.film.frames - 1
    driller.press("Ctrl+Z")
    assert driller.film.reps[1].frame_of(DrillEvent.LANDING) is None
    driller.press("Ctrl+Shift+Z", times=2)
    driller.see(0)
    driller.press("F8")
    driller.wait_for(36)
    driller.press("F3")  # the same key on the same frame takes the event back
    assert driller.film.reps[0].frame_of(DrillEvent.SET) is None
    assert_accessible(driller.window)


def test_a_key_that_does_not_fit_says_why(driller):
    driller.see(20)
    driller.press("F5")
    assert "No rep is cut" in driller.notice
    driller.press("F2")
    driller.page.kind.setCurrentIndex(driller.page.kind.findData(DrillKind.JUMP))
    driller.page.kind.activated.emit(driller.page.kind.currentIndex())
    driller.press("F5")
    assert "no release" in driller.notice


def test_marks_and_clicks_make_the_numbers_that_stand_in_the_table(driller):
    for rep in SHEET["reps"]:
        cut_and_tag(driller, rep)
    driller.see(0)
    driller.press("M")
    for mark in SHEET["marks"]:
        driller.mark(mark["u"], mark["v"], mark["x_m"], mark["y_m"])
    clicks = {(p["frame"], p["name"]): (p["u"], p["v"]) for p in SHEET["points"]}
    driller.press("F9")
    for _ in range(20):
        driller.wait_for_picture()
        driller.click(*clicks[driller.bench.frame, "implement"])
    assert len([p for p in driller.bench.run.points if p.name == "implement"]) == 20
    driller.press("Shift+F9")
    for _ in range(len(_left(driller))):
        driller.wait_for_picture()
        driller.click(*clicks[driller.bench.frame, _asked(driller)])
    assert not _left(driller)
    reading = driller.page.readings.one(driller.film)
    for one, truth in zip(reading.reps, _truth(), strict=True):
        for name, true in truth["measures"].items():
            found = one.result(MeasureKey(name))
            assert not isinstance(found, NoValue), found.reason
            assert found.low <= true <= found.high, name
    table = driller.page.measures.table
    assert [table.horizontalHeaderItem(n).text() for n in range(2)] == ["set 1, rep 1", "set 1, rep 2"]
    assert "differs" in table.item(1, 1).text()


def _left(driller):
    run = driller.bench.run
    return missing(run, body_stops(driller.film, run))


def _asked(driller):
    return next(stop.name for stop in _left(driller) if stop.frame == driller.bench.frame)


def _truth():
    return json.loads((FOLDER / "throw_kneeling.truth.json").read_text(encoding="utf-8"))["reps"]


def test_sets_and_cues_are_typed_and_two_sets_get_a_view_of_their_own(driller):
    for rep in SHEET["reps"]:
        cut_and_tag(driller, rep)
    table = driller.page.reps
    driller.page.beside.setCurrentWidget(table)
    table.setFocus()
    table.setCurrentCell(1, 0)
    driller.press("2", on=table)
    editor = table.findChild(QLineEdit)
    assert editor.text() == "2"
    driller.qtbot.keyClick(editor, Qt.Key.Key_Return)
    driller.qtbot.waitUntil(lambda: driller.film.reps[1].set_number == 2)
    choice = driller.page.measures.choice
    assert [choice.itemText(n) for n in range(choice.count())] == [
        "Within set 1, rep by rep",
        "Within set 2, rep by rep",
        "Across the sets",
    ]
    table.setCurrentCell(1, table.columnCount() - 1)
    table.item(1, table.columnCount() - 1).setText("throw flat")
    assert driller.film.reps[1].cue == "throw flat"
    table.setCurrentCell(0, 0)
    driller.press("Del", on=table)
    assert len(driller.film.reps) == 1


def test_reps_stand_in_a_row_at_the_same_event_and_a_click_goes_there(driller):
    for rep in SHEET["reps"]:
        cut_and_tag(driller, rep)
    row = driller.page.row
    driller.qtbot.waitUntil(lambda: len(row.tiles) == 2 and not row.working)
    assert [tile.frame for tile in row.tiles] == [92, 260]
    driller.qtbot.waitUntil(lambda: all(tile.picture is not None for tile in row.tiles))
    driller.qtbot.mouseClick(row.tiles[0], Qt.MouseButton.LeftButton)
    driller.wait_for(92)
    assert row.tiles[0].here


def test_a_day_with_films_is_not_removed_and_a_film_goes_with_its_marks(driller):
    driller.see(5)
    driller.press("F2")
    driller.press("Ctrl+W")
    actions = driller.window.actions_table
    actions["remove_day"].trigger()
    assert "still has films" in driller.notice
    driller.place.tree.shown.emit("kneeling-throw")
    actions["remove_drill_film"].trigger()
    assert not driller.bench.project.drill_films
    assert not [run for run in driller.bench.project.runs.values() if run.of_drill]
    driller.press("Ctrl+Z", on=driller.place.tree)
    assert len(driller.film.reps) == 1


def test_no_key_of_a_drill_holds_outside_its_film(coach, small):
    assert coach.window.open_path(project_on(small))
    coach.press("Ctrl+3")
    actions = coach.window.actions_table
    assert not any(actions[name].isEnabled() for name in ("cut_rep", "tag_release", "leave_drill_film"))


def test_back_from_a_drill_film_the_run_stands_on_the_frame_where_it_was_left(coach):
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.window.run_chooser.setFocus()
    coach.press("Down", on=coach.window.run_chooser)
    coach.qtbot.waitUntil(lambda: coach.bench.run.name == "wing_day2")
    coach.wait_for_picture()
    coach.go_to(214)
    coach.press("Ctrl+3")
    driller = Driller(coach)
    film = next(iter(coach.bench.project.drill_films.values()))
    driller.place.open_film(film.id)
    driller.qtbot.waitUntil(lambda: driller.pane.shown >= 0)
    driller.press("Right", 3)
    driller.press("Ctrl+W")
    coach.press("Ctrl+1", on=driller.place.tree)
    assert coach.bench.run.name == "wing_day2"
    coach.wait_for(214)
