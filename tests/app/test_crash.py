"""The watch over a start of the program: what is kept, what is said, and that nothing of it stays behind."""

import faulthandler
import logging
import sys
import threading

import pytest
from PySide6.QtCore import qInstallMessageHandler, qWarning

from analysis.values.errors import MarkError
from app.crash import Watch
from tests.helpers.privileges import as_ordinary_user, open_folder


class Said(list):
    """Collects sentences."""

    def tell(self, sentence: str) -> None:
        self.append(sentence)


@pytest.fixture
def said():
    return Said()


@pytest.fixture
def watch(tmp_path, said):
    watch = Watch(tmp_path, said.tell)
    watch.begin()
    yield watch
    watch.end()


def fail(error: BaseException) -> None:
    """As Python does it when nobody catches an error."""
    try:
        raise error
    except type(error) as caught:
        sys.excepthook(type(caught), caught, caught.__traceback__)


def reports(folder):
    return sorted(folder.glob("crash-*.txt"))


def log_of(folder) -> str:
    return (folder / "cinderlane.log").read_text(encoding="utf-8")


def test_an_unforeseen_error_is_reported_logged_and_said(watch, tmp_path, said, expect_log):
    with expect_log("Unforeseen error"):
        fail(ZeroDivisionError("cut into no parts"))
    (report,) = reports(tmp_path)
    text = report.read_text(encoding="utf-8")
    assert "cut into no parts" in text
    assert "Traceback" in text
    assert "cut into no parts" in log_of(tmp_path)
    assert len(said) == 1
    assert "What you marked is saved" in said[0]
    assert str(report) in said[0]
    assert "Traceback" not in said[0]


def test_what_fails_again_and_again_is_reported_once(watch, tmp_path, said, expect_log):
    with expect_log("Unforeseen error"):
        for _ in range(5):
            fail(ZeroDivisionError("at every repaint"))
        fail(ZeroDivisionError("another"))
    assert len(reports(tmp_path)) == len(said) == 2


def test_an_error_for_the_coach_is_only_said(watch, tmp_path, said):
    fail(MarkError("Two marks stand at 5 m. Move one."))
    assert said == ["Two marks stand at 5 m. Move one."]
    assert not reports(tmp_path)
    assert "MarkError" in log_of(tmp_path)
    assert "5 m" not in log_of(tmp_path)  # a sentence may name a file, and a file an athlete


def test_an_error_in_a_thread_is_caught_as_well(watch, tmp_path, said, expect_log):
    def work() -> None:
        raise ZeroDivisionError("on a thread")

    with expect_log("Unforeseen error"):
        thread = threading.Thread(target=work)
        thread.start()
        thread.join()
    assert "on a thread" in reports(tmp_path)[0].read_text(encoding="utf-8")
    assert len(said) == 1


def test_without_a_window_the_sentence_goes_to_the_terminal(tmp_path, capsys, expect_log):
    watch = Watch(tmp_path)
    watch.begin()
    try:
        with expect_log("Unforeseen error"):
            fail(ZeroDivisionError("cut into no parts"))
    finally:
        watch.end()
    err = capsys.readouterr().err
    assert "Something went wrong" in err
    assert "Traceback" not in err


def test_the_interrupt_key_still_interrupts(tmp_path, said, monkeypatch):
    seen = []
    monkeypatch.setattr(sys, "excepthook", lambda *args: seen.append(args[0]))
    watch = Watch(tmp_path, said.tell)
    watch.begin()
    fail(KeyboardInterrupt())
    watch.end()
    assert seen == [KeyboardInterrupt]
    assert not said


@pytest.mark.qt_log_ignore("a complaint of Qt")
def test_what_qt_says_goes_to_the_log(watch, tmp_path, qapp, capfd, expect_log):
    with expect_log("a complaint of Qt"):
        qWarning("a complaint of Qt")
    assert "WARNING qt a complaint of Qt" in log_of(tmp_path)
    assert "complaint" not in capfd.readouterr().err


def test_everything_is_put_back(tmp_path):
    heard = []

    def handler(kind, context, message) -> None:
        heard.append(message)

    root = logging.getLogger()
    outer = qInstallMessageHandler(handler)
    try:
        before = sys.excepthook, threading.excepthook, root.level, list(root.handlers)
        watched = faulthandler.is_enabled()
        watch = Watch(tmp_path)
        watch.begin()
        assert sys.excepthook is not before[0]
        assert faulthandler.is_enabled()
        watch.end()
        assert (sys.excepthook, threading.excepthook, root.level, list(root.handlers)) == before
        assert faulthandler.is_enabled() == watched
        qWarning("heard by whom it was before")
        assert heard == ["heard by whom it was before"]
    finally:
        qInstallMessageHandler(outer)


def test_a_folder_that_cannot_be_written_costs_the_log_only(said, expect_log):
    with open_folder() as folder, as_ordinary_user(folder):
        folder.chmod(0o555)
        watch = Watch(folder, said.tell)
        watch.begin()
        try:
            with expect_log("Unforeseen error"):
                fail(ZeroDivisionError("cut into no parts"))
        finally:
            watch.end()
            folder.chmod(0o755)
        assert list(folder.iterdir()) == []
    assert said == ["Something went wrong inside Cinderlane. What you marked is saved."]
