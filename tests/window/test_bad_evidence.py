"""What can't be meant so stands in words beside the film; what does not hang on it goes on being shown."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

from analysis.film import open_film
from analysis.store import SUFFIX, ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import run_changes
from analysis.values.run import Footfall, Side
from tests.helpers.films import FRAMES, GROUND_PX, marked_run


@pytest.fixture
def demo(coach, window):
    """The demo project, on show."""
    assert window.open_demo()
    coach.wait_for_picture()
    return coach


def shown(coach) -> str:
    """The words of the tab Reading, as they stand on the screen."""
    summary = coach.workspace.summary
    return "\n".join(label.text() for label in summary.findChildren(QLabel) if label.isVisibleTo(summary))


def contacts(coach) -> list:
    return [step.contact_s for step in coach.bench.reading.steps]


def test_a_distance_typed_twice_is_refused_where_it_is_typed(marked):
    before = marked.bench.run.marks
    question = marked.workspace.toolbox.question
    marked.press("M")
    marked.click(220.0, GROUND_PX)
    marked.qtbot.waitUntil(question.isVisible)
    question.along.selectAll()
    marked.qtbot.keyClicks(question.along, "5")
    marked.qtbot.keyClick(question.along, Qt.Key.Key_Return)
    assert "Two marks stand at 5 m" in marked.notice
    assert marked.bench.run.marks == before


def test_a_negative_distance_among_the_others_is_questioned(demo):
    before = contacts(demo)
    table = demo.workspace.marks.table
    demo.workspace.panels.show_panel(demo.workspace.marks)
    last = max(range(table.rowCount()), key=lambda row: float(table.item(row, 0).text()))
    table.item(last, 0).setText("-13")
    assert "check their distances" in shown(demo)
    assert contacts(demo) == before
    demo.press("Ctrl+Z")
    assert "check their distances" not in shown(demo)


def test_marks_one_above_the_other_and_one_outside_are_questioned(demo):
    bench, before = demo.bench, contacts(demo)
    poles = [m for m in bench.run.marks if m.x_m == 5.0]
    assert len(poles) == 2
    others = [Change(Kind.MARK, m.id, m, None, bench.run.id) for m in bench.run.marks if m not in poles]
    bench.edit(Command("only the poles", tuple(others)))
    assert "one above the other" in shown(demo)
    out = replace(poles[0], id="out", x_m=20.0, u=2500.0)
    bench.edit(Command("far out", (Change(Kind.MARK, "out", None, out, bench.run.id),)))
    assert "Outside the picture: the mark at 20 m" in shown(demo)
    assert contacts(demo) == before


def test_two_frames_a_second_are_doubted(demo):
    demo.workspace.facts.rate.setValue(2.0)
    demo.qtbot.waitUntil(lambda: demo.bench.reading.capture_rate_hz < 3)
    demo.wait_for_picture()
    assert "slow motion" in shown(demo).lower()
    assert demo.workspace.steps.model().rowCount() == 10


def test_a_split_that_nobody_ran_to_says_what_is_missing(demo, qtbot):
    field = demo.workspace.facts.places
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "5, 40")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert "At 40 m" in shown(demo)
    assert any(split.x_m == 40.0 for split in demo.bench.reading.splits)
    tips = {label.toolTip() for label in demo.workspace.summary.findChildren(QLabel)}
    assert any("past 40 m" in words for words in tips | {shown(demo)})


def test_a_curve_that_does_not_hold_says_so_in_the_place_of_its_numbers(demo):
    """Hips stand 300 pixels beside the runner on every second frame."""
    bench, before = demo.bench, contacts(demo)
    off = [
        Change(Kind.POINT, p.id, p, replace(p, u=p.u + 300.0 * (p.frame % 2)), bench.run.id)
        for p in bench.run.points
        if p.name.endswith("_hip")
    ]
    bench.edit(Command("hips aside", tuple(off)))
    words = shown(demo)
    assert "does not hold" in words or "No acceleration curve fits" in words
    assert contacts(demo) == before


def test_a_film_cut_in_the_middle_of_the_run_says_what_lies_beyond_it(coach, window, small):
    run = marked_run("film")
    beyond = Footfall("late", Side.RIGHT, FrameNumber(FRAMES + 5), FrameNumber(FRAMES + 40))
    run = replace(run, footfalls=(*run.footfalls, beyond), last_frame=FrameNumber(FRAMES + 60))
    path = small.with_suffix(SUFFIX)
    entry = FilmEntry("film", str(small), open_film(small).fingerprint)
    with ProjectFile.create(path) as file:
        file.commit(Command("", (Change(Kind.FILM, "film", None, entry), *run_changes(run))))
    assert window.open_path(path)
    coach.wait_for(20)
    assert "beyond the film's last frame" in shown(coach)
    assert coach.workspace.steps.model().rowCount() == 4
    assert coach.bench.reading.steps[0].contact_s.value == pytest.approx(40 / 240, abs=1e-3)
    coach.press(".", 12)
    coach.wait_for_picture()
    coach.press(",", 3)
    coach.wait_for_picture()
    assert coach.bench.frame < FRAMES
