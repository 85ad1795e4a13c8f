"""The table of differences beside both demo films: the readings' numbers, and a click goes to the step."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from analysis import cli
from analysis.reading.compare import compare
from analysis.reading.key_names import key_name
from analysis.report.words import unit_shown
from analysis.values.bands import Band, BandOrigin, BandTable, Better
from analysis.values.command import Change, Kind, command
from analysis.values.comparison import Claim, MeasureKey, PublishedError
from analysis.values.posture import Moment
from analysis.values.project import run_changes
from analysis.values.questions import Overruling, Question
from analysis.values.words import capital
from app.marking.placing import change_run
from tests.helpers.accessible import assert_accessible


@pytest.fixture
def pair(coach):
    """A coach at both runs of the demo project, with the differences beside the films."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    coach.press("Ctrl+2")
    place = coach.window.compare_workspace
    sides = (place.upper_side, place.lower_side)
    coach.qtbot.waitUntil(lambda: all(s.look is not None and s.look.reading for s in sides))
    coach.press("Ctrl+I", on=place.active.pane.view)
    assert place.beside.currentWidget() is place.beside.differences
    return coach


def readings(coach):
    place = coach.window.compare_workspace
    return [side.look.reading for side in (place.upper_side, place.lower_side)]


def test_what_differs_stands_in_the_table_and_two_runs_never_change_an_athlete(pair):
    panel = pair.window.compare_workspace.beside.differences
    upper, lower = readings(pair)
    rows = compare([upper], [lower]).rows
    differing = [row for row in rows if row.claim is Claim.DIFFERS]
    assert differing  # the second demo run was made without the faults of the first
    assert panel.table.rows.rowCount() == len(differing)
    assert "The runs differ" in panel.changed.text()
    assert all(row.change is None for row in rows)
    assert_accessible(panel)


def test_what_cannot_be_told_apart_is_shown_when_asked_for(pair):
    panel = pair.window.compare_workspace.beside.differences
    upper, lower = readings(pair)
    whole = len(compare([upper], [lower]).rows)
    assert panel.table.held_back == whole - panel.table.rows.rowCount() > 0
    assert f"{panel.table.held_back} numbers were compared" in panel.table._when_empty()
    pair.qtbot.mouseClick(panel.every, Qt.MouseButton.LeftButton)
    if not panel.every.isChecked():
        pair.press("Space", on=panel.every)
    assert panel.table.rows.rowCount() == whole
    assert "Mark and tag" in panel.table._when_empty()


def test_a_row_goes_to_its_step_on_the_film_in_hand(pair):
    place = pair.window.compare_workspace
    table = place.beside.differences.table
    row = next(n for n in range(table.rows.rowCount()) if table.rows.row(n).key.step == 3)
    table.setFocus()
    table.setCurrentIndex(table.rows.index(row, 0))
    pair.press("Return", on=table)
    touchdown = next(s.touchdown for s in place.active.look.reading.steps if s.step == 3)
    pair.qtbot.waitUntil(lambda: place.active.pane.shown == touchdown)


def test_the_table_is_copied_for_a_spreadsheet(pair):
    table = pair.window.compare_workspace.beside.differences.table
    table.setFocus()
    pair.press("Ctrl+C", on=table)
    lines = QApplication.clipboard().text().strip().split("\n")
    assert len(lines) == table.rows.rowCount() + 1
    assert {line.count("\t") for line in lines} == {8}


def said(panel):
    """The table line by line, and how it ends."""
    table = panel.table.rows
    lines = [(one.key, one.numbers, one.said) for one in map(table.row, range(table.rowCount()))]
    return lines, table.heads, panel.changed.text(), panel.held.text(), panel.next.text()


def set_day(coach, name, day):
    run = next(one for one in coach.bench.project.sprints if one.name == name)
    noted = replace(run, conditions=replace(run.conditions, day=day))
    coach.bench.edit(change_run(run, noted, ""))


def test_the_later_day_is_what_came_after_whichever_film_lies_above(pair):
    place = pair.window.compare_workspace
    panel = place.beside.differences
    before = said(panel)
    assert before[1] == ("wing_day1", "wing_day2", "difference")
    assert "split, 10 m faster" in panel.changed.text()
    assert "trunk opens" not in panel.next.text()  # day 2 was rendered without day 1's faults
    assert "later day" not in panel.notes.text()
    pair.press("Y", on=place.active.pane.view)
    assert place.upper_side.look.run.name == "wing_day2"
    assert said(panel) == before
    assert "The upper film is of the later day" in panel.notes.text()


@pytest.mark.parametrize("day", ["", "2026-03-20"])
def test_where_days_do_not_say_which_run_came_first_the_films_stand_as_they_lie_and_it_is_said(pair, day):
    place = pair.window.compare_workspace
    panel = place.beside.differences
    set_day(pair, "wing_day1", day)
    before = panel.table.rows.row(0)
    assert "the lower film counts as what came after" in panel.notes.text()
    pair.press("Y", on=place.active.pane.view)
    assert panel.table.rows.heads[:2] == ("wing_day2", "wing_day1")
    after = panel.table.rows.row(0)
    assert after.key == before.key
    assert after.numbers[2].value == pytest.approx(-before.numbers[2].value)
    assert "split, 10 m slower" in panel.changed.text()
    assert "The trunk opens" in panel.next.text()


def test_bands_of_the_later_run_count_whichever_film_lies_above(pair):
    """A band for runs that began from a split stance says which way is better; the later run has it alone."""
    band = Band("hip_share", Moment.PUSH, 0, 0, 0.6, 1.0, "the coach", Better.HIGHER)
    later = next(one for one in pair.bench.project.sprints if one.name == "wing_day2")
    table = BandTable("own", "own", 1, BandOrigin.OWN_PATTERN, (band,), athlete_id="w2")
    other = replace(pair.bench.project.athletes[later.athlete_id], id="w2", code="W8")
    pair.bench.edit(command("", (Change(Kind.ATHLETE, "w2", None, other),)))
    pair.bench.edit(change_run(later, replace(later, athlete_id="w2"), ""))
    pair.bench.edit(command("", (Change(Kind.BANDS, table.id, None, table),)))
    place = pair.window.compare_workspace
    panel = place.beside.differences
    for _ in range(2):
        assert table in panel._bands()
        pair.press("Y", on=place.active.pane.view)


@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_what_can_be_said_stands_in_sight(pair, size):
    pair.window.resize(*size)
    QApplication.processEvents()
    table = pair.window.compare_workspace.beside.differences.table
    assert table.columnViewportPosition(3) + table.columnWidth(3) <= table.viewport().width()


def three_reps_of_two_days(coach):
    """Copies of both demo runs, as reps of their days: three runs a day that are read alike."""
    project = coach.bench.project
    for run in project.sprints:
        for rep in (2, 3):
            other = replace(
                run, id=f"{run.id}-{rep}", name=f"{run.name}-{rep}",
                conditions=replace(run.conditions, rep=rep),
            )  # fmt: skip
            coach.bench.edit(command("", run_changes(other)))


def turn_to_several(coach):
    panel = coach.window.compare_workspace.beside.differences
    panel.of.setFocus()
    coach.press("Down", on=panel.of)
    coach.qtbot.waitUntil(lambda: not panel.readings.to_go)
    return panel


def test_runs_of_two_days_stand_beside_each_other_and_the_athlete_changed(pair):
    three_reps_of_two_days(pair)
    panel = turn_to_several(pair)
    assert len(panel.runs.chosen) == 6
    heads = panel.table.rows.heads
    assert heads[:3] == ("last day\nless first", "mean of 3\n2026-03-06", "mean of 3\n2026-03-20")
    assert heads[3] == "wing_day1\n2026-03-06"
    assert len(heads) == 9
    assert panel.table.rows.said_at == 0
    line = next(panel.table.rows.row(n) for n in range(panel.table.rows.rowCount()))
    # reps that are read alike spread by nothing but what measuring does
    assert line.said.startswith("changed: ")
    assert "6 runs on two days" in line.why
    assert "The athlete changed" in panel.changed.text()
    assert "how runs of one day differ" in panel.notes.text()  # and two days tell of no more
    assert "Held, to less than would count as a change: " in panel.held.text()
    assert_accessible(panel)


def test_the_command_line_says_what_the_window_says(pair, tmp_path, capfd):
    """By the athlete's other days, a band with a direction and a published typical error too."""
    three_reps_of_two_days(pair)
    first = next(one for one in pair.bench.project.sprints if one.name == "wing_day1")
    for rep in (1, 2):
        noted = replace(first.conditions, day="2026-03-13", rep=rep)
        between = replace(first, id=f"between-{rep}", name=f"between-{rep}", conditions=noted)
        pair.bench.edit(command("", run_changes(between)))
    band = Band("hip_share", Moment.PUSH, 0, 0, 0.6, 1.0, "the coach", Better.HIGHER)
    table = BandTable("own", "own", 1, BandOrigin.COACH, (band,))
    pair.bench.edit(command("", (Change(Kind.BANDS, table.id, None, table),)))
    error = PublishedError("hip_share", 0.005, "invented")
    pair.bench.edit(command("", (Change(Kind.PUBLISHED_ERROR, error.id, None, error),)))
    panel = turn_to_several(pair)
    sides = [
        [one.name for one in pair.bench.project.sprints if one.conditions.day == day]
        for day in ("2026-03-06", "2026-03-20")
    ]
    assert len(panel.runs.chosen) == 6
    asked = ["compare", str(pair.bench.path), "--before", *sides[0], "--after", *sides[1]]
    capfd.readouterr()
    assert cli.main(asked) == 0
    told = json.loads(capfd.readouterr().out)
    assert [told[key] for key in ("changed", "held", "next")] == [
        part.text() for part in (panel.changed, panel.held, panel.next)
    ]
    assert " ".join(told["notes"]) == panel.notes.text()
    rows = {key_name(row.key): row for row in panel._comparison.rows}
    assert {row["name"] for row in told["measures"]} == rows.keys()
    for row in told["measures"]:
        shown = rows[row["name"]]
        assert (row["claim"], row["change"], row["rests_on"]) == (shown.claim, shown.change, shown.rests_on)
        assert row["least_change"] == pytest.approx(shown.least)
    changes = {row["measure"]: row["change"] for row in told["measures"]}
    assert changes["hip_share"] == "better"  # by the band and the published error
    assert any(row["rests_on"] == "spread between 3 days" for row in told["measures"])


def test_the_measure_at_hand_stands_in_a_chart_of_all_runs_with_their_intervals(pair):
    panel = pair.window.compare_workspace.beside.differences
    assert not panel.chart.isVisible()
    three_reps_of_two_days(pair)
    turn_to_several(pair)
    panel.table.setFocus()
    pair.press("Down", on=panel.table)
    line, shown = panel.table.rows.row(panel.table.currentIndex().row()), panel.chart.shown
    assert panel.chart.isVisible()
    assert shown.title == capital(key_name(line.key))
    factor = unit_shown(line.key.measure).factor
    numbers = line.numbers[3:]  # the difference and two means stand before the runs
    assert [point.number for point in shown.points] == [number.scaled(factor) for number in numbers]
    assert [day.name for day in shown.days] == ["2026-03-06", "2026-03-20"]
    assert [day.mean for day in shown.days] == [number.scaled(factor) for number in line.numbers[1:3]]
    # a change that counts lies outside what is shaded, and only such a one
    low, high = shown.held
    assert line.said.startswith("changed") is not (low <= shown.days[1].mean.value <= high)
    last = shown.points[-1]
    panel.chart.setFocus()
    pair.press("Up", on=panel.chart)
    assert last.words in panel.chart.accessibleDescription()
    pair.press("Return", on=panel.chart)
    place = pair.window.compare_workspace
    assert place.active.look.run.id == last.run_id


@pytest.mark.parametrize(("size", "runs"), [((1280, 800), 1), ((1920, 1080), 4)])
def test_of_several_runs_the_numbers_stand_in_sight_and_the_window_grows_for_none(pair, size, runs):
    pair.window.resize(*size)
    three_reps_of_two_days(pair)
    panel = turn_to_several(pair)
    QApplication.processEvents()
    table = panel.table
    assert (pair.window.width(), pair.window.height()) == size
    last = 2 + 2 + runs - 1  # what can be said, the difference, two means and so many runs
    assert table.columnViewportPosition(last) + table.columnWidth(last) <= table.viewport().width()
    names = [table.rows.name(row) for row in range(table.rows.rowCount())]
    longest = max(range(len(names)), key=lambda row: len(names[row]))
    assert table.verticalHeader().width() < table.viewport().width() / 2
    hint = table.rows.headerData(longest, Qt.Orientation.Vertical, Qt.ItemDataRole.ToolTipRole)
    assert hint == names[longest]  # a name that is cut short is told whole


def test_of_several_runs_the_last_known_day_says_what_is_next(pair):
    """A run of no known day stands last in the table, and in no comparison."""
    three_reps_of_two_days(pair)
    run = next(one for one in pair.bench.project.sprints if one.name == "wing_day1")
    undated = replace(run, id="undated", name="undated", conditions=replace(run.conditions, day="", rep=None))
    pair.bench.edit(command("", run_changes(undated)))
    panel = turn_to_several(pair)
    row = next(n for n in range(panel.runs.count()) if "undated" in panel.runs.item(n).text())
    panel.runs.setFocus()
    panel.runs.setCurrentRow(row)
    pair.press("Space", on=panel.runs)
    pair.qtbot.waitUntil(lambda: panel.table.rows.heads[-1].startswith("undated"), timeout=20_000)
    assert "trunk opens" not in panel.next.text()  # day 2 was rendered without day 1's faults
    last = next(one for one in pair.bench.project.sprints if one.name == "wing_day2-3")
    word = replace(last, overruled=Overruling(Question.RHYTHM, "The third contact is long."))
    pair.bench.edit(change_run(last, word, ""))
    pair.qtbot.waitUntil(lambda: "third contact is long" in panel.next.text(), timeout=20_000)


def test_a_run_that_is_taken_out_leaves_the_table(pair):
    three_reps_of_two_days(pair)
    panel = turn_to_several(pair)
    panel.runs.setFocus()
    panel.runs.setCurrentRow(0)
    pair.press("Space", on=panel.runs)
    pair.qtbot.waitUntil(lambda: len(panel.table.rows.heads) == 8)
    assert len(panel.runs.chosen) == 5
    assert "mean of 2\n2026-03-06" in panel.table.rows.heads


def test_a_published_typical_error_is_asked_with_its_source_and_named(pair):
    panel = pair.window.compare_workspace.beside.differences
    form = panel.published
    pair.qtbot.mouseClick(form.open, Qt.MouseButton.LeftButton)
    form.measure.setCurrentIndex(form.measure.findData("step_length_m"))
    pair.qtbot.keyClicks(form.error, "0,02")
    pair.press("Return", on=form.error)
    assert "source" in form.trouble.text()
    assert form.chosen == {}
    pair.qtbot.keyClicks(form.source, "Somebody 2031, 20 runners")
    pair.press("Return", on=form.source)
    assert form.chosen["step_length_m"].typical_error == pytest.approx(0.02)
    assert pair.bench.project.published_errors == form.chosen  # kept with the project
    line = next(
        panel.table.rows.row(n)
        for n in range(panel.table.rows.rowCount())
        if panel.table.rows.row(n).key == MeasureKey("step_length_m", step=3)
    )
    assert line.said == "changed: lower"
    assert "Somebody 2031" in line.why
    assert "Somebody 2031" in panel.notes.text()
    (back,) = form._back
    pair.qtbot.mouseClick(back, Qt.MouseButton.LeftButton)
    assert "Somebody" not in panel.notes.text()
    pair.press("Ctrl+Z", on=panel.table)
    assert "Somebody 2031" in panel.notes.text()
    assert len(form._back) == 1


def test_other_conditions_are_allowed_by_the_coach_and_the_verdict_says_so(pair):
    panel = pair.window.compare_workspace.beside.differences
    run = pair.bench.run
    noted = replace(run.conditions, surface="grass")
    pair.bench.edit(change_run(run, replace(run, conditions=noted), ""))
    assert "Not compared" in panel.notes.text()
    assert panel.table.rows.rowCount() == 0
    pair.qtbot.mouseClick(panel.others, Qt.MouseButton.LeftButton)
    if not panel.others.isChecked():
        pair.press("Space", on=panel.others)
    assert panel.table.rows.row(0).said == "differs (other conditions)"
    assert "(other conditions)" in panel.changed.text()


def test_a_retest_on_the_same_day_says_so(pair):
    panel = pair.window.compare_workspace.beside.differences
    run = pair.bench.run
    noted = replace(run.conditions, day="2026-03-20")
    pair.bench.edit(change_run(run, replace(run, conditions=noted), ""))
    assert panel.table.rows.row(0).said == "differs (same day)"
    assert "warm-up and practice" in panel.notes.text()


def test_bands_of_the_later_run_say_which_way_is_better(pair):
    """A band of the coach's that states a direction, for a measure that differs between the demo runs."""
    band = Band("hip_share", Moment.PUSH, 0, 0, 0.6, 1.0, "the coach", Better.HIGHER)
    table = BandTable("own", "own", 1, BandOrigin.COACH, (band,))
    pair.bench.edit(command("", (Change(Kind.BANDS, table.id, None, table),)))
    three_reps_of_two_days(pair)
    panel = turn_to_several(pair)
    lines = [panel.table.rows.row(n) for n in range(panel.table.rows.rowCount())]
    assert next(line.said for line in lines if line.key.measure == "hip_share") == "changed: better"
