"""What holds for every test: a home of its own, and nothing left behind or complained about."""

import os
import sys

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("PYQTGRAPH_QT_LIB", "PySide6")

import pytest
from hypothesis import settings

from tests.helpers.guards import (  # noqa: F401  (fixtures)
    expect_log,
    no_leftover_threads,
    no_leftover_windows_or_timers,
    no_unexpected_log,
)
from tests.helpers.patience import PatientBot
from tests.helpers.skips import fail_on_skips, missing_programs

# A run on a busy machine must not fail because one example took long; and the same commit always tries the
# same examples.
settings.register_profile("house", deadline=None, derandomize=True, database=None)
settings.load_profile("house")


@pytest.fixture(scope="session", autouse=True)
def _home_of_the_session(tmp_path_factory):
    """Settings, log and demo project go to a temporary folder, never to the developer's own."""
    home = tmp_path_factory.mktemp("home")
    os.environ["CINDERLANE_HOME"] = str(home)
    return home


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A fresh, empty home for one test."""
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.setenv("CINDERLANE_HOME", str(folder))
    return folder


@pytest.fixture
def qtbot(qapp, request):
    """Drives widgets, and waits for them as long as a busy machine takes."""
    return PatientBot(request)


@pytest.fixture(autouse=True)
def _hooks_stay_as_they_were():
    """The app puts its own exception hook in place; no test may leave it there."""
    hooks = sys.excepthook, sys.unraisablehook
    yield
    sys.excepthook, sys.unraisablehook = hooks


def pytest_terminal_summary(terminalreporter):
    missing_programs(terminalreporter)


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session):
    fail_on_skips(session)
