"""Started without a display: a tour in a folder, or a sentence and an exit code."""

import gc
import json
import signal
import subprocess
import sys

import pytest
from PySide6.QtGui import QImage

from app import start
from app.main_window import MainWindow
from app.tour import SIZE, write_tour
from tests.helpers.films import project_on, small_film
from tests.helpers.privileges import as_ordinary_user, open_folder

PICTURES = ["1-run.png", "2-first-touchdown.png", "4-marks.png", "5-dark.png"]


@pytest.fixture(autouse=True)
def _interrupts_as_before():
    before = signal.getsignal(signal.SIGINT)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("clip") / "clip.mp4")


@pytest.fixture
def project(clip, tmp_path):
    film = tmp_path / "rep.mp4"
    film.write_bytes(clip.read_bytes())
    return project_on(film)


def test_the_tour_holds_pictures_and_the_tables_of_the_command_line(qapp, home, project, tmp_path, capsys):
    folder = tmp_path / "a" / "tour"
    assert write_tour(home, folder, project) == 0
    assert sorted(p.name for p in folder.iterdir()) == [*PICTURES, "reading.csv", "reading.json"]
    for name in PICTURES:
        assert QImage(str(folder / name)).size().toTuple() == SIZE
    assert len({(folder / name).read_bytes() for name in PICTURES}) == len(PICTURES)
    said = capsys.readouterr().out
    assert all(name in said for name in PICTURES)
    for ending, more in (("json", ()), ("csv", ("--format", "csv"))):
        read = subprocess.run(
            [sys.executable, "-m", "analysis", "read", str(project), *more],
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=True,
        ).stdout
        told = (folder / f"reading.{ending}").read_text(encoding="utf-8")
        if ending == "json":
            assert json.loads(told)["steps"] == json.loads(read)["steps"]
        else:
            assert told.split() == read.split()


def test_a_tour_of_the_demo_project(qapp, home, tmp_path):
    assert start.main(["--tour", str(tmp_path / "tour")]) == 0
    assert (tmp_path / "tour" / "3-rhythm.png").exists()
    opened = QImage(str(tmp_path / "tour" / "1-run.png"))
    # the hall of the sample clip, not the dark place where a film will stand: many colours along a row
    row = {opened.pixel(x, 250) for x in range(100, 700)}
    assert len(row) > 20
    assert not (tmp_path / "tour" / "settings.json").exists()


@pytest.mark.parametrize("name", ["none.mp4", "text.mp4", "none.cinderlane"])
def test_a_bad_path_gives_a_sentence_and_exit_code_2(qapp, home, tmp_path, capsys, name):
    (tmp_path / "text.mp4").write_text("no film")
    assert start.main(["--tour", str(tmp_path / "tour"), str(tmp_path / name)]) == 2
    err = capsys.readouterr().err
    assert len(err) > 20
    assert "Traceback" not in err


def test_a_film_gone_missing_is_toured_without_pictures_of_it(qapp, home, project, tmp_path):
    project.with_suffix(".mp4").unlink()
    assert write_tour(home, tmp_path / "tour", project) == 0
    assert (tmp_path / "tour" / "1-run.png").exists()


def test_a_folder_that_can_not_be_made_is_said(qapp, home, project, tmp_path, capsys):
    (tmp_path / "file").write_text("in the way")
    assert write_tour(home, tmp_path / "file" / "tour", project) == 2
    assert "can't be made" in capsys.readouterr().err


def test_a_home_that_can_not_be_made_is_said(monkeypatch, capsys):
    with open_folder() as folder, as_ordinary_user(folder):
        folder.chmod(0o555)
        monkeypatch.setenv("CINDERLANE_HOME", str(folder / "home"))
        assert start.main([]) == 2
        folder.chmod(0o755)
    err = capsys.readouterr().err
    assert "CINDERLANE_HOME" in err
    assert "Traceback" not in err


def test_a_start_with_a_window_opens_what_was_named_and_ends_clean(qapp, home, project, monkeypatch, qtbot):
    opened, brought_in = [], len(gc.get_objects())

    def instead() -> int:
        assert gc.get_freeze_count() > brought_in / 2  # the program is looked through no more
        window = next(w for w in qapp.topLevelWidgets() if isinstance(w, MainWindow))
        qtbot.waitUntil(lambda: window.bench.path == project)
        opened.append(window.bench.run.name)
        return 0

    monkeypatch.setattr(start.bootstrap, "has_display", lambda: True)
    monkeypatch.setattr(type(qapp), "exec", staticmethod(instead))
    assert start.main([str(project)]) == 0
    assert opened == ["first"]
    assert gc.get_freeze_count() < brought_in / 2
