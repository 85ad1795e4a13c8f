"""The coach changes a drill, takes that back, and writes one of their own."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from analysis.plan.library import common_drills
from analysis.values.questions import Question
from app.plan.drill_dialog import DrillDialog
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import project_on


@pytest.fixture
def writer(coach, small):
    """A coach at the library of a project, one drill at hand."""
    assert coach.window.open_path(project_on(small))
    coach.press("Ctrl+3")
    coach.qtbot.keyClicks(coach.window.plan_workspace.drills.search, "uphill")
    coach.window.plan_workspace.drills.list.setCurrentRow(0)
    return coach


def form_of(coach, action: str) -> DrillDialog:
    coach.window.actions_table[action].trigger()
    dialog = coach.window.findChildren(DrillDialog)[-1]
    coach.qtbot.waitUntil(dialog.isVisible)
    return dialog


def type_over(coach, field, text: str) -> None:
    field.setFocus()
    field.selectAll()
    coach.qtbot.keyClicks(field, text)


def keep(coach, dialog) -> None:
    coach.qtbot.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)


def test_a_drill_is_changed_and_stands_again_as_it_came(writer):
    bench, place = writer.bench, writer.window.plan_workspace
    assert not writer.window.actions_table["drop_drill"].isEnabled()
    dialog = form_of(writer, "change_drill")
    assert_accessible(dialog)
    type_over(writer, dialog.name, "Hill start, short")
    type_over(writer, dialog.sets.most, "9")
    keep(writer, dialog)
    own = bench.project.drills["hill-start"]
    common = common_drills()["hill-start"]
    assert (own.name, own.dose.sets.most, own.own) == ("Hill start, short", 9.0, True)
    # nobody but the coach answers for the changed dose; what was not touched is as it was
    assert (own.dose.source, own.dose.reps, own.faults) == ("the coach", common.dose.reps, common.faults)
    assert (own.questions, own.blocks, own.parts) == (common.questions, common.blocks, common.parts)
    assert "Hill start, short" in place.words.toPlainText()
    writer.window.actions_table["drop_drill"].trigger()
    assert not bench.project.drills
    assert common.name in place.words.toPlainText()


def test_what_cannot_be_is_said_in_the_form_and_not_kept(writer):
    dialog = form_of(writer, "change_drill")
    type_over(writer, dialog.sets.least, "9")
    type_over(writer, dialog.sets.most, "2")
    keep(writer, dialog)
    assert "from less to more" in dialog.error.text()
    assert dialog.isVisible()
    type_over(writer, dialog.sets.least, "1")
    dialog.name.selectAll()
    writer.press("Del", on=dialog.name)
    keep(writer, dialog)
    assert "needs a name" in dialog.error.text()
    writer.press("Esc", on=dialog)
    assert not writer.bench.project.drills


def test_a_drill_of_the_coachs_own_is_written_found_and_removed(writer):
    place = writer.window.plan_workspace
    dialog = form_of(writer, "new_drill")
    type_over(writer, dialog.name, "Ladder of chalk lines")
    box = dialog.questions.boxes[Question.RHYTHM]
    dialog.area.ensureWidgetVisible(box)
    writer.press("Space", on=box)
    type_over(writer, dialog.look_for, "even beat")
    keep(writer, dialog)
    (own,) = writer.bench.project.drills.values()
    assert (own.name, own.questions, own.look_for) == (
        "Ladder of chalk lines",
        (Question.RHYTHM,),
        ("even beat",),
    )
    assert "Ladder of chalk lines" in place.words.toPlainText()
    type_over(writer, place.drills.search, "chalk lines")
    assert place.drills.list.item(0).text() == "Ladder of chalk lines *"
    place.drills.list.setCurrentRow(0)
    drop = writer.window.actions_table["drop_drill"]
    assert drop.text() == "Remove it"
    drop.trigger()
    assert place.drills.list.count() == 0
    writer.press("Ctrl+Z", on=place)
    assert place.drills.list.count() == 1
