"""Two runs whose films are still being read, or raise a question: each side shows and answers its own."""

import pytest
from PySide6.QtCore import Qt

from analysis.film import open_film
from analysis.store import SUFFIX, ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.finding import Finding
from analysis.values.project import run_changes
from app.run import film_panel
from tests.analysis.film.making import Kind as FilmKind
from tests.analysis.film.making import make
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import RATE_HZ, SIZE, marked_run
from tests.window.comparing import ComparingCoach
from tests.window.test_opening import SlowDisk


@pytest.fixture
def project(tmp_path):
    """Two runs, each on a film of its own."""
    path = tmp_path / f"two{SUFFIX}"
    with ProjectFile.create(path) as file:
        for frames, name in ((300, "first"), (310, "second")):
            film = make(tmp_path / f"{name}.mp4", FilmKind(frames=frames, rate=RATE_HZ, size=SIZE))
            entry = FilmEntry(name, str(film), open_film(film).fingerprint)
            file.commit(Command("", (Change(Kind.FILM, name, None, entry),)))
            file.commit(Command("", run_changes(marked_run(name, f"run {name}", name))))
    return path


@pytest.fixture
def reading(qtbot, window, project, monkeypatch):
    """Side by side while a slow disk gives neither film, and the disk."""
    disk = SlowDisk(monkeypatch)
    window.open_paths([project])
    coach = ComparingCoach(qtbot, window)
    qtbot.waitUntil(window.isActiveWindow)
    coach.press("Ctrl+2", on=coach.view)
    for side in (coach.upper, coach.lower):
        qtbot.waitUntil(side.film_place.isVisible)
    return coach, disk


def test_each_side_says_which_film_it_waits_for(reading, qtbot):
    coach, disk = reading
    assert "first.mp4" in coach.upper.film_place.words.text()
    assert "second.mp4" in coach.lower.film_place.words.text()
    qtbot.waitUntil(lambda: coach.upper.film_place.bar.value() > 0)
    assert_accessible(coach.window)
    disk.open.set()
    assert coach.frames() == (20, 20)
    assert not coach.upper.film_place.isVisible()
    assert not coach.lower.film_place.isVisible()


@pytest.mark.parametrize("given_up", ["upper", "lower"])
def test_one_film_is_given_up_and_the_other_comes(reading, qtbot, given_up):
    coach, disk = reading
    side, other = getattr(coach, given_up), coach.lower if given_up == "upper" else coach.upper
    qtbot.mouseClick(side.film_place.stop, Qt.MouseButton.LeftButton)
    assert coach.compare.active is side  # whatever is clicked on a side is done to its film
    assert not side.film_place.isVisible()
    disk.open.set()
    qtbot.waitUntil(lambda: other.pane.shown >= 0)
    assert side.pane.film is None
    assert "was not opened" in side.look.trouble
    place = side.chooser.currentIndex()
    side.chooser.activated.emit(place)
    qtbot.waitUntil(lambda: side.pane.shown >= 0)


def test_a_question_stands_over_the_film_that_it_is_about(qtbot, window, project):
    """By its check the lower film is slow motion; the upper one is not. The answer is for the lower one."""
    assert window.open_path(project)
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    panel = window.run_workspace.facts.film
    slow = Finding("pace", False, 0.4, "The athlete moves slowly.")
    panel._known[film_panel._key(coach.lower.look.film)] = (slow,)
    assert not coach.lower.question.isVisible()
    coach.press("A")
    assert coach.lower.question.isVisible()
    assert not coach.upper.question.isVisible()
    assert_accessible(window)
    coach.press("A")
    assert not coach.lower.question.isVisible()
    coach.press("A")
    upper = coach.upper.look.facts.times
    qtbot.mouseClick(coach.lower.question.buttons[1], Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: coach.lower.look.film.capture_rate_hz == 120)
    assert not coach.lower.question.isVisible()
    assert coach.lower.look.facts.times.interval_before(1) == pytest.approx(1 / 120, rel=0.01)
    assert coach.upper.look.facts.times == upper


def test_a_film_that_lies_elsewhere_asks_on_its_own_side(qtbot, window, project):
    (project.parent / "second.mp4").unlink()
    assert window.open_path(project)
    coach = ComparingCoach(qtbot, window)
    qtbot.waitUntil(window.isActiveWindow)
    coach.press("Ctrl+2", on=coach.view)
    qtbot.waitUntil(lambda: coach.upper.pane.shown >= 0)
    assert not coach.upper.question.isVisible()
    coach.press("A")
    assert [button.text() for button in coach.lower.question.buttons] == ["Find the film…"]
    assert coach.lower.question.isVisible()
