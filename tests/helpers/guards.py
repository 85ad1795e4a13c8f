"""Fixtures that fail a test for what it leaves behind: log records, threads, timers, windows.

Warnings fail through `filterwarnings = error`, Qt's own messages through `qt_log_level_fail`, and exceptions
in a thread or in `__del__` through pytest itself.
"""

import contextlib
import gc
import logging
import re
import sys
import threading
import time
import weakref

import pytest

PATIENCE_S = 2.0


class _Collector(logging.Handler):
    def __init__(self):
        super().__init__(logging.WARNING)
        self.records: list[logging.LogRecord] = []

    def emit(self, record):
        self.records.append(record)


@pytest.fixture(autouse=True)
def no_unexpected_log():
    """Fails on any record of WARNING or above that the test did not announce with `expect_log`."""
    collector = _Collector()
    root = logging.getLogger()
    root.addHandler(collector)
    yield collector
    root.removeHandler(collector)
    said = [f"{record.levelname} {record.name}: {record.getMessage()}" for record in collector.records]
    assert not said, "unexpected in the log:\n" + "\n".join(said)


@pytest.fixture
def expect_log(no_unexpected_log):
    """`with expect_log("no frames"):` allows, and demands, a record whose words match."""

    @contextlib.contextmanager
    def expect(pattern, level=logging.WARNING):
        yield
        kept, met = [], 0
        for record in no_unexpected_log.records:
            fits = record.levelno >= level and re.search(pattern, record.getMessage())
            met += bool(fits)
            if not fits:
                kept.append(record)
        no_unexpected_log.records[:] = kept
        assert met, f"nothing in the log says {pattern!r}"

    return expect


def _wait_until(done):
    end = time.monotonic() + PATIENCE_S
    while not done() and time.monotonic() < end:
        time.sleep(0.01)
    return done()


@pytest.fixture(autouse=True)
def no_leftover_threads():
    """Fails when a thread that the test started is still running after it."""
    before = set(threading.enumerate())
    yield

    def left():
        # execnet's are pytest-xdist's own
        return [t for t in threading.enumerate() if t not in before and "execnet" not in repr(t)]

    assert _wait_until(lambda: not left()), f"threads left running: {left()}"


class _Started:
    """Weak notes of every object of a Qt class whose `start` was called."""

    def __init__(self, qt_class):
        self._notes: list[weakref.ref[object]] = []
        original = qt_class.start

        def start(obj, *args):
            self._notes.append(weakref.ref(obj))
            return original(obj, *args)

        qt_class.start = start

    def still(self, running):
        from shiboken6 import isValid

        objects = [note() for note in self._notes]
        left = [obj for obj in objects if obj is not None and isValid(obj) and running(obj)]
        self._notes = [weakref.ref(obj) for obj in left]
        return left


_started: dict[str, _Started] = {}


def _watch_qt():
    """Watches QThread and QTimer from the first test on that could use them."""
    if not _started and "PySide6.QtCore" in sys.modules:
        from PySide6.QtCore import QThread, QTimer

        _started["threads"] = _Started(QThread)
        _started["timers"] = _Started(QTimer)


def _top_level_windows():
    widgets = sys.modules.get("PySide6.QtWidgets")
    if widgets is None or widgets.QApplication.instance() is None:
        return []
    windows = widgets.QApplication.topLevelWidgets()
    # a chart keeps its context menu without a parent: only an open one counts
    return [w for w in windows if w.isVisible() or not isinstance(w, widgets.QMenu)]


def _let_qt_finish():
    core = sys.modules.get("PySide6.QtCore")
    if core is not None and core.QCoreApplication.instance() is not None:
        core.QCoreApplication.sendPostedEvents(None, core.QEvent.Type.DeferredDelete)
        core.QCoreApplication.processEvents()


@pytest.fixture(autouse=True)
def no_leftover_windows_or_timers():
    """Fails on a window, a running QThread or an active QTimer that the test did not put away."""
    _watch_qt()
    before = _top_level_windows()
    yield
    _let_qt_finish()
    left = [window for window in _top_level_windows() if window not in before]
    if left and not any(window.isVisible() for window in left):
        # hidden and unowned: alive only until Python clears its cycles, unless something still holds it
        del left
        gc.collect()
        _let_qt_finish()
        left = [window for window in _top_level_windows() if window not in before]
    assert not left, f"windows left behind (qtbot.addWidget puts them away): {left}"
    if _started:
        threads = _started["threads"]
        running = _wait_until(lambda: not threads.still(lambda thread: thread.isRunning()))
        assert running, "a QThread is still running"
        timers = _started["timers"].still(lambda timer: timer.isActive())
        assert not timers, (
            f"timers still active: {[(t.objectName(), t.interval(), t.parent()) for t in timers]}"
        )
