"""A film that looks like slow motion: the question over it, and what each answer does to its times."""

import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.values.finding import Finding
from app.run import film_panel
from tests.analysis.film.making import GOP, Kind, make


@pytest.fixture
def asked(coach, window, small, qtbot):
    """A film of which the check says that the athlete moves slower than a walk."""
    assert window.open_path(small)
    panel = window.run_workspace.facts.film
    slow = Finding("pace", False, 0.4, "The athlete moves slowly.")
    panel._known[film_panel._key(window.bench.film)] = (slow,)
    panel.found.emit()
    assert len(window.run_workspace.question.buttons) == 3
    return window


@pytest.mark.parametrize(("place", "rate_hz"), [(0, 240), (1, 120)])
def test_a_rate_that_was_named_is_the_rate_of_the_times(asked, qtbot, place, rate_hz):
    """Frames filmed at 240 a second lie 1/240 s apart, whatever the file plays at."""
    bench, question = asked.bench, asked.run_workspace.question
    qtbot.mouseClick(question.buttons[place], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not question.isVisible())
    assert np.median(np.diff(bench.facts.times.seconds)) == pytest.approx(1 / rate_hz, rel=0.01)
    bench.undo()
    qtbot.waitUntil(lambda: len(question.buttons) == 3)


def test_a_rate_that_is_right_stays_and_is_not_asked_again(asked, qtbot):
    bench, question = asked.bench, asked.run_workspace.question
    before = bench.facts.times.seconds.copy()
    qtbot.mouseClick(question.buttons[2], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bench.film is not None and not question.isVisible())
    assert bench.facts.times.seconds == pytest.approx(before)
    asked.run_workspace.facts.film.found.emit()
    assert not question.isVisible()


def test_both_rates_stand_over_the_film_and_beside_the_run(asked, qtbot):
    """By the file 240 frames a second; the coach knows that it was filmed at 480."""
    workspace = asked.run_workspace
    asked.bench.set_filming_rate(480.0)
    qtbot.waitUntil(lambda: "480" in asked.film_facts.text())
    for words in (asked.film_facts.text(), workspace.facts.rates.text()):
        assert "filmed at 480 frames a second, as you said" in words
        assert "plays at 240" in words


def test_a_variable_rate_is_shown_with_its_longest_gap(coach, window, tmp_path, qtbot):
    """Frame 6 comes 100 ms after frame 5 where the others follow by 33 ms."""
    kind = Kind(options=GOP, frames=12, times=lambda n: n * 3000 + (n > 5) * 6000)
    assert window.open_path(make(tmp_path / "gap.mp4", kind))
    coach.wait_for(0)
    for words in (window.film_facts.text(), window.run_workspace.facts.rates.text()):
        assert "30 frames a second, if it isn't slow motion" in words
        assert "variable, longest gap 100 ms" in words


def test_a_film_of_two_rates_is_shown_as_one(coach, window, tmp_path):
    """Ten frames at 240 a second, twenty at 30, ten at 240, as of a film slowed down in its middle."""
    kind = Kind(options=GOP, frames=40, times=lambda n: n * 375 + min(max(n - 10, 0), 20) * 2625)
    assert window.open_path(make(tmp_path / "ramp.mp4", kind))
    coach.wait_for(0)
    for words in (window.film_facts.text(), window.run_workspace.facts.rates.text()):
        assert "variable, 240 a second in places" in words
    assert any("from frame 0 to frame 10" in note for note in window.bench.film.notes)
