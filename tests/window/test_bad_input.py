"""What a coach may get wrong: each gets a sentence, none a traceback, and nothing marked is lost."""

import shutil
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication

from app import asking
from app.actions import TABLE
from app.keys import KeysDialog
from app.main_window import MainWindow
from app.settings import Settings
from tests.helpers.films import project_on
from tests.helpers.privileges import as_ordinary_user, open_folder
from tests.window.coach import Coach


def drop(window, *urls: QUrl) -> None:
    """Carry files over the window and let go."""
    data = QMimeData()
    data.setUrls(list(urls))
    copy, button, keys = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(QPoint(400, 300), copy, data, button, keys)
    QApplication.sendEvent(window, entering)
    assert entering.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(400, 300), copy, data, button, keys))


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("text.mp4", b"no film at all"),
        ("empty.mp4", b""),
        ("gone.mp4", None),
        ("p.cinderlane", b"no project"),
    ],
)
def test_what_can_not_be_opened_is_said_and_leaves_nothing_behind(coach, window, tmp_path, name, content):
    path = tmp_path / "films" / name
    path.parent.mkdir()
    if content is not None:
        path.write_bytes(content)
    assert not window.open_path(path)
    assert len(coach.notice) > 20
    assert "Traceback" not in coach.notice
    assert coach.bench.path is None
    stays = coach.view._empty  # the notice goes after a while
    assert coach.notice in stays
    assert "Open a film" in stays
    assert [p.name for p in path.parent.iterdir()] == ([name] if content is not None else [])


def test_a_folder_is_no_film(coach, window, tmp_path):
    drop(window, QUrl.fromLocalFile(str(tmp_path)))
    coach.qtbot.waitUntil(lambda: len(coach.notice) > 20)
    assert coach.bench.path is None


def test_what_was_open_stays_open(marked, tmp_path):
    before, path = marked.bench.run, marked.bench.path
    bad = tmp_path / "bad.mp4"
    bad.write_text("no film")
    assert not marked.window.open_path(bad)
    assert (marked.bench.run, marked.bench.path) == (before, path)
    assert not marked.window.open_path(tmp_path / "none.cinderlane")
    assert (marked.bench.run, marked.bench.path) == (before, path)
    marked.press("Right")
    marked.wait_for(21)


def test_a_film_is_dropped(coach, window, small):
    drop(window, QUrl.fromLocalFile(str(small)))
    coach.wait_for_picture()
    assert coach.bench.film.path == str(small)
    assert coach.bench.path == small.with_suffix(".cinderlane")
    drop(window, QUrl("https://example.org/film.mp4"))
    assert "Only files of this machine" in coach.notice


def test_a_film_opened_twice_goes_on_with_its_run(coach, window, small):
    assert window.open_path(small)
    coach.wait_for_picture()
    coach.press("D")
    run = coach.bench.run
    assert window.open_path(small)
    coach.wait_for_picture()
    assert coach.bench.run == run
    assert len(coach.bench.project.runs) == 1


def test_a_film_beside_which_a_project_lies_goes_on_in_it(coach, window, small):
    project = project_on(small)
    assert window.open_path(small)
    coach.wait_for_picture()
    assert coach.bench.path == project
    assert len(coach.bench.run.footfalls) == 3


def test_a_file_that_is_no_project_beside_the_film_is_left_alone(coach, window, small):
    other = small.with_suffix(".cinderlane")
    other.write_text("something else")
    assert not window.open_path(small)
    assert len(coach.notice) > 20
    assert other.read_text() == "something else"


def test_a_film_that_went_missing_leaves_its_marks_and_says_so(coach, window, small):
    project = project_on(small)
    small.unlink()
    assert window.open_path(project)
    assert "is not there any more" in coach.notice
    assert "is not there any more" in coach.view._empty
    assert len(coach.bench.run.footfalls) == 3
    assert coach.workspace.marks.table.rowCount() == 3
    for keys in ("Right", "Space", ".", "D", "L", "R", "Home", "M", "Esc", "X", "Esc", "Ctrl+=", "0", "Del"):
        coach.press(keys)
    assert len(coach.bench.run.footfalls) == 3
    coach.window.grab()


def test_every_key_is_harmless_with_nothing_open(coach, window):
    asks = {"open_film", "open_project", "new_project", "save_copy", "find_film", "open_demo", "quit"}
    for spec in TABLE:
        if spec.id not in asks:
            window.actions_table[spec.id].trigger()
            window.grab()
    assert coach.bench.path is None
    window.findChild(KeysDialog).close()


@pytest.mark.parametrize(
    ("frames_and_keys", "sentence", "footfalls"),
    [
        ([(90, "D"), (90, "D")], "already on this frame", [(90, None)]),
        ([(90, "D"), (60, "F")], "", [(60,), (90, None)]),
        ([(90, "D"), (130, "F"), (130, "F")], "already on this frame", [(90, 130)]),
    ],
    ids=["touchdown twice", "toe-off before touchdown", "toe-off twice"],
)
def test_events_that_contradict_each_other(coach, window, small, frames_and_keys, sentence, footfalls):
    assert window.open_path(small)
    coach.wait_for_picture()
    for frame, key in frames_and_keys:
        coach.go_to(frame)
        coach.press(key)
    assert sentence in coach.notice
    found = [(f.touchdown, f.toe_off) for f in coach.bench.run.footfalls]
    assert [pair if pair[0] is not None else pair[1:] for pair in found] == footfalls


def test_a_toe_off_does_not_move_before_its_touchdown(marked):
    marked.press(".", 4)
    marked.wait_for(130)
    marked.press("Ctrl+Left", 45)
    assert "does not come after its touchdown" in marked.notice
    assert marked.bench.run.footfalls[0].toe_off == 91


def test_contacts_of_one_foot_do_not_overlap(marked):
    marked.press(".", 5)
    marked.wait_for(145)
    marked.press("S")  # the right foot's contact becomes the left one's: it would touch the third
    run = marked.bench.run
    marked.press(".", 2)
    marked.wait_for(196)
    marked.press("Ctrl+Left", 40)
    assert "overlap" in marked.notice
    assert marked.bench.run.footfalls[2].touchdown == 181
    assert run.footfalls[1].side.value == "left"


def test_a_folder_that_can_not_be_written_keeps_the_marks_at_home(qtbot, clip):
    with open_folder() as folder:
        films, home = folder / "card", folder / "home"
        films.mkdir()
        home.mkdir()
        film = Path(shutil.copy(clip, films / "rep.mp4"))
        with as_ordinary_user(folder):
            films.chmod(0o555)
            window = MainWindow(Settings(home / "settings.json"), home)
            qtbot.addWidget(window)
            window.show()
            coach = Coach(qtbot, window)
            assert window.open_path(film)
            coach.wait_for_picture()
            assert coach.bench.path == home / "projects" / "rep.cinderlane"
            assert str(coach.bench.path) in coach.notice
            coach.press("D")
            assert len(coach.bench.run.footfalls) == 1
            window.close()
            films.chmod(0o755)
        assert [p.name for p in films.iterdir()] == ["rep.mp4"]


def test_a_project_that_can_not_be_written_is_shown_and_refuses_edits(coach, window, clip):
    with open_folder() as folder:
        film = folder / "rep.mp4"
        shutil.copy(clip, film)
        project = project_on(film)
        with as_ordinary_user(folder):
            project.chmod(0o444)
            folder.chmod(0o555)
            assert window.open_path(project)
            coach.wait_for(20)
            assert window.saved.text() == "Read only"
            before = coach.bench.run
            coach.press("Right")
            coach.wait_for(21)
            coach.press("D")
            assert len(coach.notice) > 20
            coach.press("C")
            coach.wait_for(20)
            coach.click(100, 100)
            assert coach.bench.run == before
            window.close()


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("rep", "rep.csv"), ("rep 2.5", "rep 2.5.csv"), ("rep.JSON", "rep.JSON"), ("rep.csv", "rep.csv")],
)
def test_the_reading_is_exported_under_the_ending_that_it_needs(marked, tmp_path, monkeypatch, typed, kept):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (str(tmp_path / typed), "")
    )
    marked.window.actions_table["export_table"].trigger()
    assert (tmp_path / kept).stat().st_size > 100
    assert kept in marked.notice


def test_a_copy_never_overwrites_and_can_be_opened(marked, tmp_path, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *args, **kw: (str(tmp_path / "copy 1.2"), "")
    )
    marked.window.actions_table["save_copy"].trigger()
    copy = tmp_path / "copy 1.2.cinderlane"
    assert copy.exists()
    content = copy.read_bytes()
    marked.window.actions_table["save_copy"].trigger()
    assert "already a file" in marked.notice
    assert copy.read_bytes() == content
    run = marked.bench.run
    assert marked.window.open_path(copy)
    assert marked.bench.run == run
    marked.wait_for_picture()
