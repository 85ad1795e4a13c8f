"""The reading in a side column."""

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton

from analysis.report import sections
from analysis.values.conditions import AgeGroup
from analysis.values.estimate import NoValue
from analysis.values.run import Athlete
from app.run.summary import SummaryPanel
from app.theme.apply import apply_theme
from app.theme.tokens import THEMES
from tests.app.rail.invented import NO_PLACE, a_reading, a_run, number


@pytest.fixture
def panel(qtbot):
    panel = SummaryPanel()
    qtbot.addWidget(panel)
    panel.resize(340, 700)
    panel.show()
    return panel


def words_of(panel):
    return [label.text() for label in panel.findChildren(QLabel) if label.isVisibleTo(panel)]


def test_splits_speeds_start_and_notes_stand_there(panel):
    run = a_run()
    panel.show_reading(run, a_reading(run))
    words = words_of(panel)
    for text in (
        "At 5 m",
        "1.514 ± 0.011 s",
        "6.16 ± 0.16 m/s",
        "6.09 ± 0.10 m/s",
        "cannot be told apart from the nearby steps; 0.07 m/s between them",
        "155 ± 9 ms",
        "240 ± 9 ms",
        "51 ± 2°",
        "Two of three differences cannot be told apart.",
    ):
        assert text in words


def test_a_place_that_can_t_be_read_says_why_once(panel):
    run = a_run()
    panel.show_reading(run, a_reading(run))
    assert words_of(panel).count(NO_PLACE) == 1


def test_empty_states_say_what_to_do_next(panel):
    assert "Open a film and begin a run to read it." in words_of(panel)
    run = replace(a_run(), marks=(), lines=())
    missing = NoValue("Tag the first movement.")
    reading = a_reading(run)
    start = replace(
        reading.start,
        rear_foot_push_s=missing,
        front_foot_push_s=missing,
    )
    panel.show_reading(run, replace(reading, lines=(), start=start, notes=()))
    words = words_of(panel)
    assert "Mark two things of known distance to read places." in words
    assert "Mark the first movement and each foot's toe-off to read the start." in words
    assert "Draw a trunk or shin line on the film to read its angle." in words
    assert "Notes" not in words


def test_the_two_ways_of_a_speed_are_compared_in_words():
    speed = a_reading(a_run()).speeds[0]
    untold = "cannot be told apart from the nearby steps; 0.07 m/s between them"
    assert sections.agreement(speed) == untold
    told = replace(speed, ways_told_apart=True)
    assert sections.agreement(told) == "0.07 m/s lower than from the nearby steps"
    higher = replace(told, model_m_s=number(6.30, 0.1))
    assert sections.agreement(higher) == "0.14 m/s higher than from the nearby steps"
    assert sections.agreement(replace(speed, model_m_s=speed.local_m_s)) == "the same both ways"
    assert sections.agreement(replace(speed, local_m_s=NoValue("no"))) == ""


def test_the_last_step_s_mean_stands_in_where_a_speed_is_missing():
    speed = a_reading(a_run()).speeds[0]
    assert [r.name for r in sections.speed_rows(speed)] == ["Speed, nearby steps", "Speed, whole run"]
    rows = sections.speed_rows(replace(speed, local_m_s=NoValue("The film ends too early.")))
    assert rows[-1].name == "Mean of the last whole step"
    assert rows[-1].text == "5.76 ± 0.14 m/s"


RULE = "nearly 8 m/s"
"""Common practice, no source."""


@pytest.mark.parametrize(
    ("sex", "age", "stands"),
    [
        ("male", AgeGroup.ADULT, True),
        ("female", AgeGroup.ADULT, False),
        ("male", AgeGroup.YOUTH, False),
        ("male", None, False),
        (None, AgeGroup.ADULT, False),
    ],
)
def test_the_rule_of_thumb_stands_at_10_m_for_a_man_only(panel, sex, age, stands):
    run = a_run()
    reading = a_reading(run)
    (at_5_m, *_) = reading.speeds
    at_10_m = replace(at_5_m, x_m=10.0, local_m_s=number(7.4, 0.1), model_m_s=number(7.5, 0.1))
    athlete = Athlete("a", "W7", sex=sex, age=age)
    panel.show_reading(run, replace(reading, speeds=(at_5_m, at_10_m)), athlete)
    said = [words for words in words_of(panel) if RULE in words]
    assert len(said) == stands
    assert all("no verdict" in words and "no source" in words for words in said)
    panel.show_reading(run, replace(reading, speeds=(at_5_m,)), athlete)
    assert not any(RULE in words for words in words_of(panel))


def test_without_a_speed_at_10_m_there_is_no_rule_of_thumb():
    speed = replace(a_reading(a_run()).speeds[0], x_m=10.0)
    man = Athlete("a", "W7", sex="male", age=AgeGroup.ADULT)
    assert RULE in sections.rule_of_thumb(speed, man)
    assert not sections.rule_of_thumb(speed, None)
    unread = replace(speed, local_m_s=NoValue("No."), model_m_s=NoValue("No."))
    assert not sections.rule_of_thumb(unread, man)


def test_a_line_goes_to_its_frame(qtbot, panel):
    run = a_run()
    panel.show_reading(run, a_reading(run))
    line = next(b for b in panel.findChildren(QPushButton) if b.isVisibleTo(panel))
    assert line.text() == "Shin left, frame 41"
    with qtbot.waitSignal(panel.frame_requested) as caught:
        qtbot.mouseClick(line, Qt.MouseButton.LeftButton)
    assert caught.args == [41]


def test_lines_of_the_frame_that_is_shown_stand_first(panel):
    run = a_run()
    panel.show_reading(run, a_reading(run))
    panel.set_frame(40)
    assert "Lines on this frame" not in words_of(panel)
    panel.set_frame(41)
    assert "Lines on this frame" in words_of(panel)
    panel.set_frame(42)
    assert "Lines on this frame" not in words_of(panel)


def test_a_number_tells_its_interval_to_a_screen_reader(panel):
    run = a_run()
    panel.show_reading(run, a_reading(run))
    label = next(w for w in panel.findChildren(QLabel) if w.text() == "155 ± 9 ms")
    assert label.accessibleName() == "Push, rear foot 155 ± 9 ms, 95 % interval 146 to 164 ms"
    assert label.toolTip() == "95 % interval 146 to 164 ms"


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize(("scale", "width"), [(1.0, 300), (1.0, 380), (2.0, 300), (2.0, 380)])
def test_nothing_is_cut_in_a_narrow_column(qapp, qtbot, theme, scale, width):
    apply_theme(qapp, theme, scale)
    panel = SummaryPanel()
    qtbot.addWidget(panel)
    run = a_run()
    panel.show_reading(run, a_reading(run))
    panel.resize(width, 700)
    with qtbot.waitExposed(panel):
        panel.show()
    qtbot.waitUntil(lambda: panel.widget().width() <= panel.viewport().width())
    for label in panel.findChildren(QLabel):
        if not label.isVisibleTo(panel) or label.width() == 0:
            continue
        widest = max(label.fontMetrics().horizontalAdvance(word) for word in label.text().split())
        needed = widest if label.wordWrap() else label.fontMetrics().horizontalAdvance(label.text())
        assert label.width() >= needed, label.text()
        right = label.mapTo(panel.viewport(), label.rect().topRight()).x()
        assert right <= panel.viewport().width(), label.text()


def test_showing_the_same_reading_again_builds_nothing(panel):
    run = a_run()
    reading = a_reading(run)
    panel.show_reading(run, reading)
    before = {id(label) for label in panel.findChildren(QLabel) if label.isVisibleTo(panel)}
    panel.show_reading(run, a_reading(run))
    after = {id(label) for label in panel.findChildren(QLabel) if label.isVisibleTo(panel)}
    assert before == after
