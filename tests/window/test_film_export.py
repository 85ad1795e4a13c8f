"""The annotated film and the picture out of the window: asked for, written beside, given up."""

import av
import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import Qt

from analysis.report.other_body import Meet
from analysis.values.audience import Faces
from analysis.values.command import Change, Command, Kind
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber
from app import asking
from app.marking.events import EventRef, move_event
from tests.helpers.accessible import assert_accessible
from tests.helpers.films import SIZE, project_on


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Where the coach chooses to write, under the name "run"."""
    place = tmp_path / "out"
    place.mkdir()
    monkeypatch.setattr(asking.QFileDialog, "getSaveFileName", lambda *a, **kw: (str(place / "run"), ""))
    return place


def asked(qtbot, marked, speed, hold_s=0.0):
    """The dialog on show, a speed and a hold chosen."""
    marked.window.actions_table["export_film"].trigger()
    dialog = marked.workspace.film_export.dialog
    qtbot.waitUntil(dialog.isVisible)
    assert_accessible(dialog)
    dialog.speed.setCurrentIndex(dialog.speed.findData(speed))
    dialog.hold.setValue(hold_s)
    return dialog


def write(qtbot, marked, dialog):
    """Write it, and wait for that."""
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not marked.window.writing.busy)  # a whole film


def choose(box, words):
    box.setCurrentIndex(box.findText(words))
    assert box.currentText() == words


def texts(box):
    return [box.itemText(n) for n in range(box.count())]


def test_the_film_is_written_beside_with_the_chosen_pace(qtbot, marked, folder):
    dialog = asked(qtbot, marked, 1.0, 0.1)
    dialog.rail.setChecked(False)
    row = marked.window.writing
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    assert row.isVisible()
    qtbot.waitUntil(lambda: not row.busy)
    assert [path.name for path in folder.iterdir()] == ["run.mp4"]
    assert "run.mp4" in marked.notice
    with av.open(str(folder / "run.mp4")) as container:
        # 300 frames at 240 a second, every fourth at 60; three touchdowns held for a tenth of a second
        frames = list(container.decode(video=0))
        assert len(frames) == 300 / 4 + 3 * 6
        assert (frames[0].width, frames[0].height) == SIZE
    assert not row.isVisible()


def test_before_it_is_written_the_dialog_says_where_a_cover_may_be_large(qtbot, marked, folder):
    bench = marked.window.bench
    dialog = asked(qtbot, marked, 1.0)
    assert not dialog.covers.isVisible()
    places = tuple(FacePlace(FrameNumber(n), 60.0 + n, 40.0, 8.0, 8.0) for n in (0, 240))
    cover = FaceCover("c", bench.run.film_id, places)
    bench.edit(Command("", (Change(Kind.FACE_COVER, "c", None, cover),)))
    dialog = asked(qtbot, marked, 1.0)
    assert dialog.covers.isVisible()
    assert "If face 1 can't be followed, on frames" in dialog.covers.text()
    assert "place the face on frame 120" in dialog.covers.text()
    dialog.choice.faces.setCurrentIndex(dialog.choice.faces.findData(Faces.SHOWN))
    assert not dialog.covers.isVisible()


def test_a_stretch_from_event_to_event_with_the_rail(qtbot, marked, folder):
    dialog = asked(qtbot, marked, 1.0)
    choose(dialog.begin, "Touchdown 1")
    choose(dialog.end, "Touchdown 2")
    write(qtbot, marked, dialog)
    with av.open(str(folder / "run.mp4")) as container:
        frames = list(container.decode(video=0))
        # from frame 90 to 145 at 240 a second, every fourth
        assert len(frames) == 14
        assert frames[0].width > SIZE[0]


def test_a_public_version_asks_for_the_consent_before_it_asks_for_a_name(qtbot, marked, folder, monkeypatch):
    monkeypatch.setattr(
        asking.QFileDialog, "getSaveFileName", lambda *a, **kw: pytest.fail("asked for a name")
    )
    dialog = asked(qtbot, marked, 1.0)
    dialog.choice.public.setChecked(True)
    assert not dialog.choice.named.isEnabled()
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    assert "who ran" in marked.notice
    assert not marked.window.writing.busy
    assert list(folder.iterdir()) == []


def test_from_compare_the_run_that_stands_beside_is_offered(qtbot, coach, window, small):
    assert window.open_path(project_on(small, runs=2))
    window.actions_table["show_compare"].trigger()
    qtbot.waitUntil(lambda: window.bench.film is not None)
    other = window.compare_workspace.run_beside()
    assert other not in ("", window.bench.run.id)
    window.actions_table["export_film"].trigger()
    dialog = window.run_workspace.film_export.dialog
    assert dialog.beside.currentData() == other
    assert dialog.laid.isEnabled()
    dialog.reject()


def test_from_compare_the_other_runs_body_goes_into_the_film_where_the_window_shows_it(
    qtbot, coach, window, small, folder, monkeypatch
):
    assert window.open_path(project_on(small, runs=2))
    window.actions_table["show_compare"].trigger()
    qtbot.waitUntil(lambda: window.bench.film is not None)
    export, workspace, wishes = window.run_workspace.film_export, window.compare_workspace, []
    monkeypatch.setattr(export, "_start", lambda _path, wish, _words: wishes.append(wish))

    def write():
        window.actions_table["export_film"].trigger()
        qtbot.mouseClick(export.dialog.write, Qt.MouseButton.LeftButton)
        return wishes[-1]

    assert write().look.bodies == ()
    workspace.other.other_body.click()
    window.actions_table["other_body_toe"].trigger()
    look = write().look
    assert (look.bodies, look.meet) == ((1,), Meet.TOE)
    workspace.active.other_body.click()
    assert write().look.bodies == (0, 1)
    window.actions_table["show_run"].trigger()
    assert write().look.bodies == ()  # the other film is not on show any more


def test_while_the_dialog_is_on_show_it_offers_the_run_at_hand_and_keeps_what_was_chosen(
    qtbot, coach, window, small
):
    assert window.open_path(project_on(small, runs=2))
    coach.wait_for(20)
    dialog = asked(qtbot, coach, 1.0)
    choose(dialog.begin, "Touchdown 1")
    choose(dialog.end, "Touchdown 2")
    assert "first" not in texts(dialog.beside)
    coach.bench.edit(move_event(coach.bench.run, EventRef("a", "touchdown"), 95))
    assert (dialog.begin.currentText(), dialog.end.currentText()) == ("Touchdown 1", "Touchdown 2")
    coach.bench.choose_run("run1")
    assert texts(dialog.beside) == ["none", "first"]
    assert dialog.begin.currentText() == "Touchdown 1"
    dialog.reject()


def test_given_up_nothing_is_left(qtbot, marked, folder):
    dialog = asked(qtbot, marked, 0.1, 10.0)
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    row = marked.window.writing
    qtbot.waitUntil(lambda: any(folder.iterdir()))
    marked.window.actions_table["export_film"].trigger()
    assert "still being written" in marked.notice
    qtbot.mouseClick(row.cancel, Qt.MouseButton.LeftButton)
    assert not row.busy
    assert "nothing of it is left" in marked.notice
    assert list(folder.iterdir()) == []


def test_the_frame_on_show_as_a_picture_in_the_film_s_size(qtbot, marked, folder):
    marked.go_to(90)
    marked.window.actions_table["export_picture"].trigger()
    dialog = marked.workspace.film_export.picture_dialog
    assert_accessible(dialog)
    qtbot.mouseClick(dialog.write, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not marked.window.writing.busy)
    with Image.open(folder / "run.png") as picture:
        assert picture.size == SIZE
        assert not picture.info  # no day, no maker
        pixels = np.asarray(picture.convert("RGB")).astype(int)
    # the trunk of the run is a white line from (80, 100) to (110, 70)
    assert pixels[80:92, 89:101].min(axis=2).max() > 230
    assert "picture" in marked.notice


def test_a_public_picture_asks_for_the_consent_and_a_face_that_was_not_placed_stays_unseen(
    qtbot, marked, folder
):
    actions, export = marked.window.actions_table, marked.workspace.film_export
    for faces, public, said in ((Faces.PLACED, True, "who ran"), (Faces.ALL, False, "No face is covered")):
        actions["export_picture"].trigger()
        choice = export.picture_dialog.choice
        choice.faces.setCurrentIndex(choice.faces.findData(faces))
        choice.public.setChecked(public)
        qtbot.mouseClick(export.picture_dialog.write, Qt.MouseButton.LeftButton)
        qtbot.waitUntil(lambda said=said: said in marked.notice)
    assert list(folder.iterdir()) == []


def test_without_a_film_it_is_said(window):
    for name in ("export_film", "export_picture"):
        window.actions_table[name].trigger()
        assert "Open a film" in window.notice.text.text()
