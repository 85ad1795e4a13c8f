"""The guards notice what they are there to notice."""

import logging
import re

import pytest

LEAVES_BEHIND = {
    "log": ("import logging\ndef test(): logging.getLogger('x').warning('odd')", "unexpected in the log"),
    "thread": (
        "import threading\ndef test(): threading.Thread(target=threading.Event().wait, daemon=True).start()",
        "threads left running",
    ),
    "window": (
        (
            "from PySide6.QtWidgets import QWidget\nkept = []\n"
            "def test(qapp):\n    kept.append(QWidget())\n    kept[0].show()"
        ),
        "windows left behind",
    ),
    "timer": (
        (
            "from PySide6.QtCore import QTimer\nkept = []\n"
            "def test(qapp):\n    kept.append(QTimer())\n    kept[0].start(50)"
        ),
        "timers still active",
    ),
    "qt warning": (
        "from PySide6.QtCore import qWarning\ndef test(qapp): qWarning('bad paint')",
        "bad paint",
    ),
    "warning": ("import warnings\ndef test(): warnings.warn('old way')", "old way"),
    "slot": (
        (
            "from PySide6.QtCore import QTimer\ndef boom(): raise ValueError('in a slot')\n"
            "def test(qtbot):\n    QTimer.singleShot(0, boom)\n    qtbot.wait(20)"
        ),
        "in a slot",
    ),
}


SKIPS = "from tests.helpers.programs import need\ndef test(): need('no-such-program')\ndef test_two(): pass"


def run_inner(run, folder, sources, **environment):
    """Runs test files under the project's own configuration, in a process of its own."""
    for name, source in sources.items():
        (folder / f"test_{name.replace(' ', '_')}.py").write_text(source)
    options = ["-p", "no:xdist", "--rootdir=.", "-c", "pyproject.toml", "-p", "tests.conftest"]
    return run("-m", "pytest", *options, str(folder), **environment)


@pytest.fixture(scope="module")
def careless(run_python, tmp_path_factory):
    sources = {kind: source for kind, (source, _) in LEAVES_BEHIND.items()}
    done = run_inner(run_python, tmp_path_factory.mktemp("careless"), sources)
    assert done.returncode == 1, done.stdout + done.stderr
    return done.stdout


@pytest.mark.parametrize("kind", LEAVES_BEHIND)
def test_what_a_test_leaves_behind_fails_it(kind, careless):
    summary = careless[careless.index("short test summary info") :]
    assert re.search(rf"(FAILED|ERROR) \S*test_{kind.replace(' ', '_')}\.py::test", summary)
    assert LEAVES_BEHIND[kind][1] in careless


def test_an_announced_record_passes(expect_log):
    with expect_log("nothing to follow"):
        logging.getLogger("x").warning("nothing to follow on frame 3")


def test_a_missing_program_is_named_and_skipped(tmp_path, run_python):
    done = run_inner(run_python, tmp_path, {"inner": SKIPS}, CINDERLANE_NO_SKIPS="")
    assert done.returncode == 0
    assert "no-such-program: 1 test skipped" in done.stdout


def test_a_skip_fails_a_run_that_allows_none(tmp_path, run_python):
    done = run_inner(run_python, tmp_path, {"inner": SKIPS}, CINDERLANE_NO_SKIPS="1")
    assert done.returncode == 1
    assert "needs the program no-such-program" in done.stdout
