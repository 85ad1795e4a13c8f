"""Opened and closed ten times: nothing of a window stays."""

import gc
import sys
import threading
import weakref
from contextlib import suppress
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from app.main_window import MainWindow
from app.settings import Settings
from tests.helpers.films import project_on
from tests.window.coach import Coach


def files() -> set[str]:
    """What this process has open, by name."""
    names = set()
    for handle in Path("/proc/self/fd").iterdir():
        with suppress(OSError):  # the one that lists them is gone by then
            names.add(str(handle.readlink()))
    return {name for name in names if name.startswith("/") and not name.startswith("/dev")}


@pytest.mark.skipif(sys.platform != "linux", reason="open files are listed in /proc on Linux alone")
def test_ten_windows_leave_nothing(qtbot, home, small):
    project = project_on(small)
    threads, before = set(threading.enumerate()), files()
    windows, widgets = [], len(QApplication.allWidgets())
    for _ in range(10):
        window = MainWindow(Settings(home / "settings.json"), home)
        windows.append(weakref.ref(window))
        window.show()
        assert window.open_path(project)
        coach = Coach(qtbot, window)
        coach.wait_for(20)
        assert str(small) in files()
        coach.press("Space")
        coach.press("M")
        coach.window.actions_table["keys"].trigger()
        window.close()
        assert set(threading.enumerate()) == threads
        window.deleteLater()
        del window, coach
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        assert not {name for name in files() - before if name.startswith(str(small.parent))}
    gc.collect()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert [note for note in windows if note() is not None] == []
    assert len(QApplication.allWidgets()) <= widgets + 5
