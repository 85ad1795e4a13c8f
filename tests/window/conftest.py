"""The real window in a home of its own, with a small film to work on."""

import shutil

import pytest

from analysis.jobs import child
from app.demo import demo_project
from app.main_window import MainWindow
from app.run.film_panel import FilmPanel
from app.settings import Settings
from tests.helpers.films import project_on, small_film
from tests.window.coach import Coach
from tests.window.comparing import ComparingCoach


@pytest.fixture(autouse=True)
def _no_film_check(monkeypatch):
    """No check of films beside what a test looks at; tests of the check ask for it."""
    monkeypatch.setattr(FilmPanel, "begin_after_ms", -1)


@pytest.fixture(autouse=True)
def _long_work_in_turn(monkeypatch):
    """Long work beside the window has its share of the processors: put last, as it is for a coach, it waits
    for every other test that runs. That it is put last is tested where it is started.
    """
    monkeypatch.setattr(child, "LAST", 0)


@pytest.fixture(scope="session")
def _demo_made_once(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "home"  # as deep as a test's: films are found from the project
    folder.mkdir()
    return demo_project(folder)


@pytest.fixture
def home(home, _demo_made_once):
    """A home in which the demo project lies as it was made."""
    shutil.copy(_demo_made_once, home)
    return home


@pytest.fixture
def open_window(qtbot, home):
    """Opens a main window with nothing in it; as often as a test starts the program."""
    windows = []

    def opened() -> MainWindow:
        window = MainWindow(Settings(home / "settings.json"), home)
        windows.append(window)
        window.resize(1440, 900)
        window.show()
        qtbot.waitUntil(window.isActiveWindow)  # keys reach commands only then
        return window

    yield opened
    for window in windows:
        window.close()
        window.deleteLater()


@pytest.fixture
def window(open_window):
    """The main window, on show, with nothing open."""
    return open_window()


@pytest.fixture
def coach(qtbot, window):
    """A coach at the window."""
    return Coach(qtbot, window)


@pytest.fixture(scope="session")
def clip(tmp_path_factory):
    """A small film, made once."""
    return small_film(tmp_path_factory.mktemp("clip") / "clip.mp4")


@pytest.fixture
def small(clip, tmp_path):
    """The small film in a folder of its own."""
    path = tmp_path / "rep.mp4"
    path.write_bytes(clip.read_bytes())
    return path


@pytest.fixture
def marked(coach, window, small):
    """A coach in front of a small film whose run is marked already; the first movement is on show."""
    assert window.open_path(project_on(small))
    coach.wait_for(20)
    return coach


@pytest.fixture
def two(qtbot, window):
    """The demo project's two runs, side by side."""
    assert window.open_demo()
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    return coach


@pytest.fixture
def twice(qtbot, window, small):
    """Two runs on one small film, side by side."""
    assert window.open_path(project_on(small, 2))
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    return coach
