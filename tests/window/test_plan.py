"""A day is planned with keys and mouse; what stands on it is in the project at once."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from pypdfium2 import raw
from PySide6.QtCore import QDate, QMimeData, QPointF, QRect, Qt
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication, QStyle, QStyleOptionViewItem

from analysis.plan.library import common_drills
from analysis.values.command import Change, Command, Kind
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill import Block
from analysis.values.questions import Question
from analysis.values.run import Athlete
from analysis.values.typed import now
from app import asking
from app.plan.day_tree import FIELDS
from app.plan.drill_list import DRILL_MIME
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import project_on
from tests.window.coach import Coach


@pytest.fixture
def planner(coach, small):
    """A coach at the plan of a project with one run."""
    assert coach.window.open_path(project_on(small))
    coach.press("Ctrl+3")
    return Planner(coach)


class Planner:
    def __init__(self, coach: Coach) -> None:
        self.coach, self.bench = coach, coach.bench
        self.place = coach.window.plan_workspace
        self.tree = self.place.tree

    def begin(self, question: Question = Question.SWAP) -> None:
        self.coach.qtbot.mouseClick(self.place.begin, Qt.MouseButton.LeftButton)
        field = self.place.form.question
        while field.currentData() != question:
            self.coach.press("Down", on=field)
        self.coach.press("Ctrl+Shift+P", on=self.tree)

    @property
    def day(self):
        (day,) = self.bench.project.days.values()
        return day

    def ids(self, block: Block) -> list[str]:
        return [one.drill_id for one in self.day.of_block(block)]

    def take(self, block: Block, place: int, field: str = "name") -> str:
        """Put the focus on a drill of the day."""
        item = self.tree.topLevelItem(list(Block).index(block)).child(place)
        self.tree.setFocus()
        self.tree.setCurrentItem(item, FIELDS.index(field))
        return self.tree.current

    def drop(self, drill_id: str, block: Block, place: int) -> None:
        """Let a drill of the library go over the upper half of a drill of the day."""
        item = self.tree.topLevelItem(list(Block).index(block)).child(place)
        where = self.tree.visualItemRect(item).topLeft()
        data = QMimeData()
        data.setData(DRILL_MIME, drill_id.encode())
        event = QDropEvent(
            QPointF(where.x() + 5, where.y() + 2),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        self.tree.dropEvent(event)


def test_a_day_is_begun_and_filled_for_its_question(planner):
    assert "No day is planned yet" in planner.place.empty.text()
    planner.begin(Question.STRIKE)
    assert planner.day.question is Question.STRIKE
    assert planner.day.of_block(Block.TARGETED)
    assert "min without the warm-up" in planner.place.sums.text()
    assert "licensed practitioner" in planner.place.minds.text()
    assert_accessible(planner.place)


def test_counts_are_changed_by_key_or_typed_and_a_wrong_one_is_said(planner):
    planner.begin()
    own = planner.take(Block.TARGETED, 0, "sets")
    before = next(one for one in planner.day.drills if one.id == own).sets
    planner.coach.press("+", on=planner.tree)
    assert next(one for one in planner.day.drills if one.id == own).sets == before + 1
    planner.coach.press("-", times=2, on=planner.tree)
    assert next(one for one in planner.day.drills if one.id == own).sets == before - 1
    planner.coach.press("F2", on=planner.tree)
    editor = QApplication.focusWidget()
    planner.coach.qtbot.keyClicks(editor, "3.5")
    planner.coach.qtbot.keyClick(editor, Qt.Key.Key_Return)
    planner.coach.qtbot.waitUntil(lambda: "whole number" in planner.coach.notice)
    assert next(one for one in planner.day.drills if one.id == own).sets == before - 1


def test_drills_move_by_key_from_block_to_block(planner):
    planner.begin()
    first, second = planner.ids(Block.TARGETED)
    planner.take(Block.TARGETED, 0)
    planner.coach.press("Alt+Down", on=planner.tree)
    assert planner.ids(Block.TARGETED) == [second, first]
    planner.coach.press("Alt+Down", on=planner.tree)
    assert planner.ids(Block.SPRINT)[0] == first
    planner.coach.press("Alt+Up", on=planner.tree)
    assert planner.ids(Block.TARGETED) == [second, first]
    planner.coach.press("Del", on=planner.tree)
    assert planner.ids(Block.TARGETED) == [second]
    planner.coach.press("Ctrl+Z", on=planner.tree)
    assert planner.ids(Block.TARGETED) == [second, first]


def test_a_drill_is_found_taken_and_dropped(planner):
    planner.begin()
    drills = planner.place.drills
    planner.coach.qtbot.keyClicks(drills.search, "uphill")
    assert drills.list.count() == 1
    drills.list.setCurrentRow(0)
    assert "uphill" in planner.place.words.toPlainText()
    planner.coach.press("Return", on=drills.list)
    assert planner.ids(Block.SPRINT)[-1] == "hill-start"
    planner.drop("march", Block.FOUNDATION, 0)
    assert planner.ids(Block.FOUNDATION)[0] == "march"


def test_a_drill_is_done_by_a_key_or_a_click_and_the_day_when_all_are(planner):
    planner.begin()
    first = planner.take(Block.FOUNDATION, 0)
    before = now()
    planner.coach.press("Space", on=planner.tree)
    (done,) = planner.day.done
    assert done.id == first
    assert before <= done.done.at <= now()
    parts = [
        f"{block.value} {int(block is Block.FOUNDATION)} of {len(planner.ids(block))}" for block in Block
    ]
    assert f"done: {', '.join(parts)}" in planner.place.sums.text()
    click_the_tick(planner, Block.TARGETED, 0)
    assert len(planner.day.done) == 2
    planner.coach.press("Ctrl+Z", on=planner.tree)
    assert planner.day.done == (done,)
    for block in Block:
        for place in range(len(planner.ids(block))):
            if planner.take(block, place) != first:
                planner.coach.press("Ctrl+K", on=planner.tree)
    assert planner.day.all_done
    assert "all done" in planner.place.sums.text()
    assert planner.place.days.currentText().endswith("done")
    planner.coach.press("Space", on=planner.tree)
    assert not planner.day.all_done


def click_the_tick(planner, block: Block, place: int) -> None:
    item = planner.tree.topLevelItem(list(Block).index(block)).child(place)
    option = QStyleOptionViewItem()
    option.initFrom(planner.tree)
    option.rect = planner.tree.visualItemRect(item)
    option.features = QStyleOptionViewItem.ViewItemFeature.HasCheckIndicator
    box = planner.tree.style().subElementRect(
        QStyle.SubElement.SE_ItemViewItemCheckIndicator, option, planner.tree
    )
    planner.coach.qtbot.mouseClick(planner.tree.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
    QApplication.processEvents()


def test_the_names_of_drills_have_room_beside_their_boxes(planner):
    planner.begin(Question.LAUNCH)
    assert_names_have_room(planner.tree)


def assert_names_have_room(tree):
    """On one line or on several."""
    drills = [drill for place in range(3) for drill in _children(tree.topLevelItem(place))]
    assert len(drills) > 2
    for drill in drills:
        index = tree.indexFromItem(drill)
        option = QStyleOptionViewItem()
        tree.initViewItemOption(option)
        tree.itemDelegate().initStyleOption(option, index)
        option.rect = tree.visualRect(index)
        words = tree.style().subElementRect(QStyle.SubElement.SE_ItemViewItemText, option, tree)
        edge = tree.style().pixelMetric(QStyle.PixelMetric.PM_FocusFrameHMargin, option, tree) + 1
        room = QRect(0, 0, words.width() - 2 * edge, 1000)
        taken = option.fontMetrics.boundingRect(room, Qt.TextFlag.TextWordWrap, drill.text(0))
        assert taken.width() <= room.width(), drill.text(0)
        assert taken.height() <= words.height(), drill.text(0)


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900), (1920, 1080)])
def test_how_a_drill_went_is_in_sight_with_all_else_of_its_row(planner, size):
    planner.begin(Question.LAUNCH)
    tree, window = planner.tree, planner.coach.window
    window.resize(*size)
    planner.coach.qtbot.waitUntil(lambda: window.size().toTuple() == size)
    planner.take(Block.TARGETED, 0, "load")
    planner.coach.qtbot.waitUntil(lambda: tree.horizontalScrollBar().maximum() == 0)
    note = tree.fontMetrics().horizontalAdvance("stopped after two sets")
    assert tree.header().sectionSize(FIELDS.index("went")) > note
    assert_names_have_room(tree)


def _children(item):
    return [item.child(place) for place in range(item.childCount())]


def test_how_a_drill_went_is_typed_and_what_was_done_is_not_proposed_away(planner):
    planner.begin()
    own = planner.take(Block.TARGETED, 0, "went")
    type_load(planner, "stopped after two sets")
    planner.coach.qtbot.waitUntil(lambda: bool(planner.day.done))
    (done,) = planner.day.done
    assert (done.id, done.done.note) == (own, "stopped after two sets")
    planner.coach.press("Ctrl+Shift+P", on=planner.tree)
    assert "done already" in planner.coach.notice
    assert planner.day.done == (done,)


def test_minutes_that_are_too_few_are_said(planner):
    planner.begin()
    form = planner.place.form
    form.minutes.setFocus()
    form.minutes.selectAll()
    planner.coach.qtbot.keyClicks(form.minutes, "5")
    planner.coach.qtbot.keyClick(form.minutes, Qt.Key.Key_Return)
    assert planner.day.minutes == 5
    assert "16 min, and 5 are there. What fits: without “" in planner.place.minds.text()
    form.date.setDate(QDate(2026, 3, 20))
    assert planner.day.date == "2026-03-20"


def test_a_jump_in_sprinting_is_said_with_the_athletes_whose_it_is(planner):
    planner.begin()
    planner.place.form.date.setDate(QDate(2026, 3, 20))
    name_two(planner)
    minds = planner.place.minds
    assert minds.text().count("No earlier sprinting is noted") == 1
    assert "W7, W9: No earlier sprinting is noted" in minds.text()
    today = planner.day
    sprint = next(one for one in today.drills if _metres(one) > 0)
    before = DayPlan("before", "2026-03-13", ("a",), None, drills=(replace(sprint, sets=1, reps=1),))
    planner.bench.edit(Command("", (Change(Kind.DAY, before.id, None, before),)))
    most, metres = (sum(map(_metres, day.drills)) for day in (before, today))
    said = f"W7: {metres:.0f} m flat out; the most in the 28 days before was {most:.0f} m"
    assert said in minds.text()
    assert "W9: No earlier sprinting is noted" in minds.text()


def _metres(one: PlannedDrill) -> float:
    """What a drill of a day comes to flat out, by hand: sets, repetitions and metres."""
    return one.sets * one.reps * common_drills()[one.drill_id].sprint_m


def test_no_key_tags_a_film_that_is_not_in_sight(planner):
    planner.begin()
    before = planner.bench.run
    for key in ("D", "F", "Q", "Space", "Ctrl+D"):
        planner.coach.press(key, on=planner.place.words)
    assert planner.bench.run == before
    planner.coach.press("Ctrl+1", on=planner.place)
    planner.coach.press("Q")
    assert planner.bench.run.start.first_movement is not None


def test_what_was_planned_is_there_when_the_project_opens_again(planner, open_window):
    planner.begin()
    day, path = planner.day, planner.bench.path
    planner.coach.window.close()
    window = open_window()
    assert window.open_path(path)
    assert window.bench.project.days == {day.id: day}


def test_the_day_is_written_on_one_page_however_long_it_is(planner, tmp_path, monkeypatch):
    planner.begin()
    path = tmp_path / "day.pdf"
    monkeypatch.setattr(asking, "place_to_save", lambda *_: path)
    planner.coach.window.actions_table["print_day"].trigger()
    assert str(path) in planner.coach.notice
    assert pages_of(path) == 1
    planner.place.drills.list.setCurrentRow(0)
    for _ in range(12):
        planner.coach.press("Return", on=planner.place.drills.list)
    planner.coach.window.actions_table["print_day"].trigger()
    assert pages_of(path) == 1


def test_a_proposed_day_of_a_large_group_fits_on_a_page_that_can_be_read(planner, tmp_path, monkeypatch):
    """24 athletes, each with a load of their own in each drill; no type below 8 points."""
    planner.begin()
    athletes = [Athlete(f"a{n}", f"W{n:02}") for n in range(24)]
    planner.bench.edit(Command("", tuple(Change(Kind.ATHLETE, one.id, None, one) for one in athletes)))
    loads = tuple((one.id, "vest of 8 kg") for one in athletes)
    before = planner.day
    drills = tuple(replace(one, loads=loads, cue="push the ground away") for one in before.drills)
    after = replace(before, athlete_ids=tuple(one.id for one in athletes), drills=drills)
    planner.bench.edit(Command("", (Change(Kind.DAY, before.id, before, after),)))
    assert len(drills) == 5
    path = tmp_path / "day.pdf"
    monkeypatch.setattr(asking, "place_to_save", lambda *_: path)
    planner.coach.window.actions_table["print_day"].trigger()
    assert pages_of(path) == 1
    assert planner.coach.notice == f"The day is in {path}."
    words, smallest = on_paper(path)
    assert words.count("vest of 8 kg") == 24 * 5
    assert smallest >= 8 - 72 / 1200  # whole dots of a printer with 1200 to the inch


def test_a_day_of_more_than_a_page_says_so(planner, tmp_path, monkeypatch):
    planner.begin()
    path = tmp_path / "day.pdf"
    monkeypatch.setattr(asking, "place_to_save", lambda *_: path)
    before = planner.day
    drills = tuple(replace(before.drills[0], id=str(n)) for n in range(120))
    planner.bench.edit(Command("", (Change(Kind.DAY, before.id, before, replace(before, drills=drills)),)))
    planner.coach.window.actions_table["print_day"].trigger()
    assert pages_of(path) > 1
    assert f"more drills than one page holds: {pages_of(path)} pages" in planner.coach.notice


def test_a_day_that_cannot_be_written_is_said(planner, tmp_path, monkeypatch):
    planner.begin()
    monkeypatch.setattr(asking, "place_to_save", lambda *_: tmp_path / "missing" / "day.pdf")
    planner.coach.window.actions_table["print_day"].trigger()
    assert "day.pdf can't be written" in planner.coach.notice


def test_notes_stand_on_the_day(planner):
    planner.begin()
    field = planner.place.form.notes
    field.setFocus()
    planner.coach.qtbot.keyClicks(field, "bring cones")
    planner.coach.press("Return", on=field)
    assert planner.day.notes == "bring cones"
    planner.coach.press("Ctrl+Z", on=planner.tree)
    assert (planner.day.notes, field.text()) == ("", "")


def name_two(planner) -> None:
    """Two athletes train on the day."""
    athletes = [Athlete("a", "W7"), Athlete("b", "W9")]
    made = Command("", tuple(Change(Kind.ATHLETE, one.id, None, one) for one in athletes))
    planner.bench.edit(made)
    menu = planner.place.form.athletes.menu()
    for code in ("W7", "W9"):
        next(action for action in menu.actions() if action.text() == code).trigger()


def loads_of(planner, planned_id: str) -> tuple[tuple[str, str], ...]:
    return next(one for one in planner.day.drills if one.id == planned_id).loads


def type_load(planner, words: str) -> None:
    planner.coach.press("F2", on=planner.tree)
    editor = QApplication.focusWidget()
    editor.selectAll()
    planner.coach.press("Del", on=editor)
    planner.coach.qtbot.keyClicks(editor, words)
    planner.coach.qtbot.keyClick(editor, Qt.Key.Key_Return)


def test_each_athlete_of_a_group_has_a_load_of_their_own(planner):
    planner.begin()
    assert planner.tree.topLevelItem(0).child(0).childCount() == 0
    name_two(planner)
    assert planner.day.athlete_ids == ("a", "b")
    own = planner.take(Block.TARGETED, 0)
    planner.coach.press("Right", on=planner.tree)  # unfolds the athletes
    planner.coach.press("Down", times=2, on=planner.tree)
    assert planner.tree.currentItem().text(0) == "W9"
    planner.tree.setCurrentItem(planner.tree.currentItem(), FIELDS.index("load"))
    type_load(planner, "3 kg")
    planner.coach.qtbot.waitUntil(lambda: loads_of(planner, own) == (("b", "3 kg"),))
    planner.coach.qtbot.waitUntil(planner.tree.hasFocus)
    assert planner.tree.currentItem().text(FIELDS.index("load")) == "3 kg"
    planner.coach.press("Del", on=planner.tree)  # the row of an athlete is no drill to take off
    assert own in [one.id for one in planner.day.drills]
    type_load(planner, "")
    planner.coach.qtbot.waitUntil(lambda: loads_of(planner, own) == ())


def done_of(planner, planned_id: str):
    return next(one for one in planner.day.drills if one.id == planned_id).done


def test_each_athlete_of_a_group_is_ticked_for_themselves(planner):
    planner.begin()
    name_two(planner)
    own = planner.take(Block.TARGETED, 0)
    planner.coach.press("Right", on=planner.tree)  # unfolds the athletes
    planner.coach.press("Down", on=planner.tree)
    assert planner.tree.currentItem().text(0) == "W7"
    planner.coach.press("Space", on=planner.tree)
    assert done_of(planner, own).left_out == ("b",)
    assert planner.place.sums.text().endswith(", not all of it by everyone")
    assert planner.tree.currentItem().text(0) == "W7"
    assert planner.tree.currentItem().checkState(0) is Qt.CheckState.Checked
    drill = planner.tree.currentItem().parent()
    assert drill.checkState(0) is Qt.CheckState.PartiallyChecked
    assert drill.child(1).checkState(0) is Qt.CheckState.Unchecked
    planner.coach.press("Down", on=planner.tree)
    planner.coach.press("Ctrl+K", on=planner.tree)
    assert done_of(planner, own).left_out == ()
    assert "not all of it" not in planner.place.sums.text()
    for name in ("W9", "W7"):
        assert planner.tree.currentItem().text(0) == name
        planner.coach.press("Space", on=planner.tree)
        planner.coach.press("Up", on=planner.tree)
    assert done_of(planner, own) is None  # nobody did it


def on_paper(path: Path) -> tuple[str, float]:
    """The words of a PDF's first page, and its smallest type in points, by another program's eyes."""
    with pypdfium2.PdfDocument(path.read_bytes()) as document:
        page = document[0].get_textpage()
        matrix = raw.FS_MATRIX()
        sizes = [
            raw.FPDFText_GetFontSize(page, place) * abs(matrix.d)
            for place in range(page.count_chars())
            if raw.FPDFText_GetUnicode(page, place) > ord(" ") and raw.FPDFText_GetMatrix(page, place, matrix)
        ]
        return " ".join(page.get_text_range().split()), min(sizes)


def pages_of(path: Path) -> int:
    """Pages of a PDF, by its page objects (ISO 32000-1, 7.7.3.3)."""
    content = path.read_bytes()
    assert content.startswith(b"%PDF")
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", content))
