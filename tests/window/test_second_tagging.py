"""The same run tagged a second time the first tags out of sight, and what that tells of the coach."""

import math
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.jobs.runs import find_run
from analysis.store import ProjectFile
from analysis.values.command import Kind
from tests.helpers.films import FOOTFALLS

SHIFTS = (1, -1, 0, 1, -2, 0)
"""By how many frames each event of the three footfalls is tagged otherwise the second time."""


def tag_footfalls(coach, shifts=SHIFTS) -> None:
    """Touchdown and toe-off of every contact, by keys."""
    each = iter(shifts)
    for _, _, down, off in FOOTFALLS:
        coach.go_to(down + next(each))
        coach.press("D")
        coach.go_to(off + next(each))
        coach.press("F")


def bar(coach):
    return coach.workspace.again.bar


def test_the_second_tagging_shows_nothing_of_the_first(marked):
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    workspace, run = marked.workspace, marked.bench.run
    assert run.retags is not None
    assert "0 of 9 events" in bar(marked).words.text()
    assert bar(marked).isVisible()
    assert not run.footfalls
    assert not run.points
    assert workspace.steps.model().rowCount() == 0
    assert workspace.pane.strip._stretches == ()
    assert workspace.pane.strip._ticks == ()
    marked.go_to(90)
    assert {dot.kind for dot in marked.view._scene.dots} == {Kind.MARK}
    assert {stroke.kind for stroke in marked.view._scene.strokes} <= {Kind.MARK}
    marked.press(".")
    assert "No event" in marked.notice
    marked.press("Ctrl+D")
    assert "by eye alone" in marked.notice


def test_tagging_again_gives_the_coach_s_own_error_and_can_be_taken_back(marked):
    bench, first = marked.bench, marked.bench.run
    before = bench.reading.steps[0].contact_s.u
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    tag_footfalls(marked)
    assert "6 of 9 events" in bar(marked).words.text()
    marked.press("Ctrl+T")
    # the standard deviation of the differences over sqrt(2) (Hopkins 2000), and d / sqrt(12) of the frame
    s = float(np.std(SHIFTS, ddof=1)) / 240 / math.sqrt(2)
    assert bench.run == first
    assert [r.id for r in bench.project.runs.values()] == [first.id]
    (sample,) = bench.project.tagging.values()
    assert (sample.error.s_s, sample.error.pairs) == (pytest.approx(s, rel=1e-3), 6)
    assert f"{1e3 * s:.1f} ms, from 6 events" in marked.notice
    few = 2.571 / 1.960  # Student's t of five degrees of freedom at 97.5 % (published tables; from memory)
    one_event = math.hypot(s * few, 1 / 240 / math.sqrt(12))
    assert bench.reading.steps[0].contact_s.u == pytest.approx(one_event * math.sqrt(2), rel=1e-3)
    assert any("Your own tagging error" in note for note in bench.reading.notes)
    marked.workspace.panels.show_panel(marked.workspace.facts)
    box = marked.workspace.facts.tagging
    assert f"{1e3 * s:.1f} ms" in box.words.text()
    marked.press("Ctrl+Z")
    assert not bench.project.tagging
    assert bench.reading.steps[0].contact_s.u == pytest.approx(before)
    assert "5 ms" in box.words.text()
    marked.press("Ctrl+T")  # the second tagging is there again, with all its tags
    marked.wait_for_picture()
    assert len(marked.bench.run.footfalls) == 3


def test_the_usual_doubt_is_taken_again(marked, qtbot):
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    tag_footfalls(marked)
    qtbot.mouseClick(bar(marked).buttons[0], Qt.MouseButton.LeftButton)
    assert marked.bench.project.tagging
    marked.workspace.panels.show_panel(marked.workspace.facts)
    qtbot.mouseClick(marked.workspace.facts.tagging.forget, Qt.MouseButton.LeftButton)
    assert not marked.bench.project.tagging
    assert not marked.workspace.facts.tagging.forget.isVisible()
    marked.press("Ctrl+Z")
    assert marked.bench.project.tagging


def test_too_few_tags_are_said_and_nothing_is_lost(marked):
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    marked.go_to(90)
    marked.press("D")
    marked.press("Ctrl+T")
    assert "Only 1 event was tagged both times" in marked.notice
    assert len(marked.bench.run.footfalls) == 1


def test_it_is_given_up_and_brought_back(marked, qtbot):
    first = marked.bench.run
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    marked.go_to(90)
    marked.press("D")
    qtbot.mouseClick(bar(marked).buttons[1], Qt.MouseButton.LeftButton)
    assert marked.bench.run == first
    assert not bar(marked).isVisible()
    assert len(marked.bench.project.runs) == 1
    marked.press("Ctrl+Z")
    assert len(marked.bench.project.runs) == 2


def test_a_run_without_tags_has_nothing_to_be_held_against(coach, window, small):
    assert window.open_path(small)
    coach.wait_for_picture()
    coach.press("Ctrl+T")
    assert "at least 6 events" in coach.notice
    assert len(coach.bench.project.runs) == 1


def test_every_second_tag_is_in_the_file_at_once(marked):
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    marked.go_to(90)
    marked.press("D")
    run, path = marked.bench.run, marked.bench.path
    marked.bench.close()
    with ProjectFile.open(path) as file:
        assert file.project.runs[run.id].retags == run.retags
        assert [f.touchdown for f in file.project.runs[run.id].footfalls] == [90]


def test_a_second_tagging_is_no_run_to_compare_or_to_open(marked):
    first = marked.bench.run
    marked.press("Ctrl+T")
    marked.wait_for_picture()
    second = marked.bench.run
    marked.bench.choose_run(first.id)
    marked.press("Ctrl+2")
    chooser = marked.window.compare_workspace.upper_side.chooser
    assert [chooser.itemData(n) for n in range(chooser.count())] == [first.id]
    marked.press("Ctrl+1", on=marked.window)
    marked.bench.choose_run(second.id)
    film = marked.bench.film.path
    assert marked.window.open_path(Path(film))
    assert marked.bench.run.id == first.id
    assert find_run(marked.bench.project, None).id == first.id
