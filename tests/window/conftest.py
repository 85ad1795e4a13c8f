"""The real window in a home of its own."""

import pytest

from app.main_window import MainWindow
from app.settings import Settings
from tests.window.coach import Coach


@pytest.fixture
def open_window(qtbot, home):
    """Opens a main window with nothing in it; as often as a test starts the program."""
    windows = []

    def opened() -> MainWindow:
        window = MainWindow(Settings(home / "settings.json"), home)
        windows.append(window)
        window.resize(1440, 900)
        window.show()
        qtbot.waitExposed(window)
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
