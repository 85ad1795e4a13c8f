"""Lens, camera place and a camera that turned: by clicks and keys in the tab Camera and the question bar."""

import json
from dataclasses import asdict

import av
import numpy as np
import pytest
from PySide6.QtCore import Qt

from analysis.jobs.board import BoardJob
from analysis.jobs.chequerboard import BoardFit
from analysis.jobs.child import JobState
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.command import Kind
from analysis.values.film import FrameNumber
from app import asking
from app.marking.camera import set_path
from app.run.film_panel import FilmPanel
from tests.helpers.films import GROUND_PX

SIZE = (320, 180)


@pytest.fixture
def camera(marked):
    """The tab Camera on show beside a marked film."""
    marked.workspace.panels.show_panel(marked.workspace.camera)
    marked.qtbot.waitUntil(marked.workspace.camera.isVisible)
    return marked.workspace


def press(qtbot, button) -> None:
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


# lens


def bent_row(k1: float, v: float) -> list[tuple[float, float]]:
    """Where a lens shows a level straight line: x' = x (1 + k1 r^2) (OpenCV, calib3d)."""
    centre, focal = np.array([(SIZE[0] - 1) / 2, (SIZE[1] - 1) / 2]), 0.85 * max(SIZE)
    straight = np.array([(u, v) for u in np.linspace(20, 300, 7)])
    x = (straight - centre) / focal
    seen = centre + focal * x * (1 + k1 * (x**2).sum(axis=1, keepdims=True))
    return [(float(a), float(b)) for a, b in seen]


def test_clicks_along_a_straight_line_measure_the_lens(marked, camera, qtbot):
    k1 = -0.3
    press(qtbot, camera.lens.along)
    assert camera.toolbox.in_hand.id == "straight_tool"
    for u, v in bent_row(k1, 16.0):
        marked.click(u, v)
    marked.press("Return")
    lens = marked.bench.project.film_cameras[marked.bench.run.film_id].lens
    assert lens.k1 == pytest.approx(k1, abs=0.01)
    assert "Bent by" in marked.notice
    rows = {row.name for row in camera.lens.numbers._section.rows}
    assert {"Row of marks bent, before", "Row of marks bent, after"} <= rows
    press(qtbot, camera.lens.off)
    assert not marked.bench.project.film_cameras
    marked.press("Ctrl+Z", 2)
    assert not marked.bench.project.film_cameras


def test_too_few_clicks_are_said_and_escape_leaves(marked, camera, qtbot):
    press(qtbot, camera.lens.along)
    marked.click(20.0, 20.0)
    marked.click(300.0, 20.0)
    marked.press("Return")
    assert "3 clicks" in marked.notice
    marked.press("Esc")
    assert camera.toolbox.in_hand.id == "straight_tool"
    marked.press("Esc")
    assert camera.toolbox.in_hand.id == "select_tool"
    assert marked.bench.stack.count() == 0


def board_film(path):
    """A chequerboard held at five slants by a pinhole camera, each for five frames."""
    from tests.analysis.jobs.test_chequerboard import HEIGHT, SLANTS, WIDTH, picture

    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "8"})
        stream.width, stream.height, stream.pix_fmt = WIDTH, HEIGHT, "yuv420p"
        for slant in SLANTS:
            grey = picture(*slant)
            for _ in range(5):
                frame = av.VideoFrame.from_ndarray(np.repeat(grey[:, :, None], 3, axis=2), "rgb24")
                container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return path


def test_a_film_of_a_chequerboard_gives_the_lens(marked, camera, qtbot, tmp_path, monkeypatch):
    from tests.analysis.jobs.test_chequerboard import FOCAL, K1

    film = board_film(tmp_path / "board.mp4")
    monkeypatch.setattr(asking, "boards_to_open", lambda parent: [film])
    press(qtbot, camera.lens.board)
    assert camera.lens.work.isVisible()
    qtbot.waitUntil(lambda: not camera.lens.work.busy)
    lens = marked.bench.project.film_cameras[marked.bench.run.film_id].lens
    # this film is half as wide as that of the board
    assert lens.k1 == pytest.approx(K1, abs=0.015)
    assert lens.focal_px == pytest.approx(FOCAL / 2, rel=0.02)
    assert "found in" in marked.notice
    marked.press("Ctrl+Z")
    assert not marked.bench.project.film_cameras


def test_looking_for_a_board_can_be_stopped(marked, camera, qtbot, tmp_path, monkeypatch):
    film = board_film(tmp_path / "board.mp4")
    monkeypatch.setattr(asking, "boards_to_open", lambda parent: [film])
    press(qtbot, camera.lens.board)
    child = camera.lens.work._watch._job._process
    press(qtbot, camera.lens.work.cancel)
    assert child.poll() is not None
    assert not camera.lens.work.isVisible()
    assert marked.bench.stack.count() == 0


def test_a_picture_that_is_none_is_said(marked, camera, qtbot, tmp_path, monkeypatch):
    nothing = tmp_path / "board.png"
    nothing.write_bytes(b"no picture")
    monkeypatch.setattr(asking, "boards_to_open", lambda parent: [nothing])
    press(qtbot, camera.lens.board)
    qtbot.waitUntil(lambda: not camera.lens.work.busy)
    assert "can't be read as a picture" in marked.notice


# films that look somewhere


def hall(path, offset_of, frames=12, seed=3):
    """A wide textured wall of which each frame shows the part that begins at ``offset_of(frame)``, px."""
    rng = np.random.default_rng(seed)
    import cv2

    wall = cv2.resize(rng.integers(40, 215, (60, 260), np.uint8), (1040, 240), interpolation=cv2.INTER_CUBIC)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "8"})
        stream.width, stream.height, stream.pix_fmt = 320, 180, "yuv420p"
        for number in range(frames):
            left = round(offset_of(number))
            part = wall[20:200, 100 + left : 420 + left]
            picture = np.ascontiguousarray(np.repeat(part[:, :, None], 3, axis=2))
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, "rgb24")))
        container.mux(stream.encode())
    return path


def turned(path, frames=32):
    """A far wall, filmed by a camera that turns by 0.4 degrees a frame about its upright axis."""
    import cv2

    wall = np.random.default_rng(4).integers(40, 215, (60, 260), np.uint8)
    wall = cv2.resize(wall, (1040, 240), interpolation=cv2.INTER_CUBIC)
    on_wall = np.array([[1.0, 0, 200], [0, 1.0, 30], [0, 0, 1.0]])
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "8"})
        stream.width, stream.height, stream.pix_fmt = 320, 180, "yuv420p"
        for number in range(frames):
            through = on_wall @ to_first(number)
            part = cv2.warpPerspective(wall, through, SIZE, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
            picture = np.ascontiguousarray(np.repeat(part[:, :, None], 3, axis=2))
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, "rgb24")))
        container.mux(stream.encode())
    return path


def to_first(number):
    """Pixels of a frame to those of the first: K R K^-1 (Hartley and Zisserman, Multiple View Geometry, 2nd
    ed., section 8.4: cameras that share a centre)."""
    lens = np.array([[272.0, 0, 159.5], [0, 272.0, 89.5], [0, 0, 1.0]])
    angle = np.radians(0.4 * number)
    about = np.array([[np.cos(angle), 0, np.sin(angle)], [0, 1, 0], [-np.sin(angle), 0, np.cos(angle)]])
    return lens @ about @ np.linalg.inv(lens)


def seen_on(number, u, v):
    """Where a frame shows what the first shows at (u, v)."""
    x, y, w = np.linalg.inv(to_first(number)) @ np.array([u, v, 1.0])
    return x / w, y / w


def mark_three(coach) -> None:
    """Marks at 0, 5 and 10 m on the frame on show."""
    coach.press("M")
    for along, u in ((0.0, 40.0), (5.0, 160.0), (10.0, 280.0)):
        coach.mark(u, GROUND_PX, along)
    coach.press("Esc")


@pytest.fixture
def shared(coach, window, tmp_path, qtbot):
    """A camera place, made by the window of the marks of one film."""
    assert window.open_path(hall(tmp_path / "one.mp4", lambda n: 0))
    coach.wait_for_picture()
    mark_three(coach)
    place = coach.workspace.place
    coach.workspace.panels.show_panel(coach.workspace.camera)
    qtbot.waitUntil(place.isVisible)
    qtbot.keyClicks(place.name, "lane 4")
    press(qtbot, place.make)
    return coach


def use_on(coach, path):
    """Open another film and choose the camera place for it, by the keyboard."""
    window, place = coach.window, coach.workspace.place
    assert window.open_path(path)
    coach.wait_for_picture()
    place.which.setFocus()
    coach.qtbot.keyClick(place.which, Qt.Key.Key_Down)
    if coach.workspace.place.which.view().isVisible():
        coach.qtbot.keyClick(place.which.view(), Qt.Key.Key_Return)
    coach.qtbot.waitUntil(lambda: not place.work.busy)
    return place


def test_a_place_is_made_of_the_marks_and_its_reading_stays(shared):
    bench = shared.bench
    (place,) = bench.project.camera_places.values()
    assert (place.name, [m.x_m for m in place.marks]) == ("lane 4", [0.0, 5.0, 10.0])
    assert bench.run.marks == ()
    assert len(bench.reading.marks) == 3
    assert [dot.label for dot in shared.view._scene.dots] == ["0 m", "5 m", "10 m"]
    shared.press("Ctrl+Z")
    assert not bench.project.camera_places
    assert len(bench.run.marks) == 3


def test_a_place_without_a_name_or_marks_is_refused(coach, window, tmp_path, qtbot):
    assert window.open_path(hall(tmp_path / "one.mp4", lambda n: 0))
    coach.wait_for_picture()
    place = coach.workspace.place
    coach.workspace.panels.show_panel(coach.workspace.camera)
    press(qtbot, place.make)
    assert "name" in coach.notice
    qtbot.keyClicks(place.name, "lane 4")
    press(qtbot, place.make)
    assert "Set marks" in coach.notice


def test_a_shifted_camera_is_corrected_and_said(shared, tmp_path):
    # the wall begins 12 px farther right: what stood at u now stands at u - 12
    use_on(shared, hall(tmp_path / "two.mp4", lambda n: 12))
    bench = shared.bench
    assert bench.run.camera_place_id is not None
    assert "shifted" in shared.notice
    dots = [dot for dot in shared.view._scene.dots if dot.kind is Kind.MARK]
    assert [dot.u for dot in dots] == pytest.approx([28.0, 148.0, 268.0], abs=1.0)
    shared.press("Ctrl+Z")
    assert bench.run.camera_place_id is None
    assert not bench.project.film_cameras


def test_another_place_is_asked_about_and_refused(shared, tmp_path, qtbot):
    use_on(shared, hall(tmp_path / "two.mp4", lambda n: 0, seed=8))
    bench, question = shared.bench, shared.workspace.question
    assert bench.run.camera_place_id is None
    assert "can't be told" in question.words.text()
    press(qtbot, question.buttons[1])
    assert bench.run.camera_place_id is None
    assert not question.isVisible()
    assert "Set marks on this film" in shared.notice


def test_the_coach_knows_better_and_leaves_it_again(shared, tmp_path, qtbot):
    place = use_on(shared, hall(tmp_path / "two.mp4", lambda n: 0, seed=8))
    bench = shared.bench
    press(qtbot, shared.workspace.question.buttons[0])
    assert bench.run.camera_place_id is not None
    assert len(bench.reading.marks) == 3
    place.which.setFocus()
    qtbot.keyClick(place.which, Qt.Key.Key_Up)
    assert bench.run.camera_place_id is None
    assert not bench.project.film_cameras


def test_a_mark_of_the_place_is_changed_for_all_its_films(shared, qtbot):
    table = shared.workspace.marks.table
    shared.workspace.panels.show_panel(shared.workspace.marks)
    table.setCurrentCell(2, 0)
    table.item(2, 0).setText("11")
    (place,) = shared.bench.project.camera_places.values()
    assert [m.x_m for m in place.marks] == [0.0, 5.0, 11.0]
    qtbot.keyClick(table, Qt.Key.Key_Delete)
    (place,) = shared.bench.project.camera_places.values()
    assert len(place.marks) == 2
    shared.press("Ctrl+Z", 2)
    (place,) = shared.bench.project.camera_places.values()
    assert [m.x_m for m in place.marks] == [0.0, 5.0, 10.0]


# a camera that turns


@pytest.fixture
def turning(coach, window, tmp_path, qtbot, monkeypatch, _no_film_check):
    """A film whose camera turns, checked by the window, with the question about it."""
    monkeypatch.setattr(FilmPanel, "begin_after_ms", 0)
    assert window.open_path(turned(tmp_path / "pan.mp4"))
    coach.wait_for_picture()
    qtbot.waitUntil(lambda: len(coach.workspace.question.buttons) == 2)
    assert "Follow the background?" in coach.workspace.question.words.text()
    return coach


def test_a_background_is_followed_and_marks_move_with_it(turning, qtbot):
    bench, work = turning.bench, turning.workspace.following
    mark_three(turning)
    press(qtbot, turning.workspace.question.buttons[0])
    assert work.isVisible()
    assert not turning.workspace.question.isVisible()
    qtbot.waitUntil(lambda: not work.busy)
    path = bench.project.film_cameras[bench.run.film_id].path
    assert path.kind is CameraKind.TURNING
    assert "turned" in turning.workspace.background.words.text()
    turning.go_to(20)
    marks = [dot for dot in turning.view._scene.dots if dot.kind is Kind.MARK]
    wanted = [seen_on(20, u, GROUND_PX) for u in (40.0, 160.0, 280.0)]
    assert [dot.u for dot in marks] == pytest.approx([u for u, _ in wanted], abs=1.5)
    assert [dot.v for dot in marks] == pytest.approx([v for _, v in wanted], abs=1.5)
    turning.press("Ctrl+Z")
    assert bench.run.film_id not in bench.project.film_cameras


def test_a_mark_is_dragged_on_the_frame_where_it_is_seen(turning, qtbot):
    mark_three(turning)
    press(qtbot, turning.workspace.question.buttons[0])
    qtbot.waitUntil(lambda: not turning.workspace.following.busy)
    turning.go_to(20)
    u, v = seen_on(20, 160.0, GROUND_PX)
    turning.drag((u, v), (u + 10, v))
    moved = next(m for m in turning.bench.run.marks if m.x_m == 5.0)
    assert moved.frame == 20
    assert moved.u == pytest.approx(u + 10, abs=1.5)


def test_who_does_not_want_it_is_not_asked_again(turning, qtbot):
    press(qtbot, turning.workspace.question.buttons[1])
    assert not turning.workspace.question.isVisible()
    assert turning.bench.stack.count() == 0


def test_following_can_be_stopped(turning, qtbot):
    press(qtbot, turning.workspace.question.buttons[0])
    child = turning.workspace.following._watch._job._process
    press(qtbot, turning.workspace.following.cancel)
    assert child.poll() is not None
    assert not turning.workspace.following.isVisible()
    assert turning.bench.stack.count() == 0


def test_a_camera_that_walked_is_refused_in_words(marked, camera):
    bench = marked.bench
    path = CameraPath(CameraKind.WALKING, FrameNumber(0), FrameNumber(0), np.tile(np.eye(3), (3, 1, 1)),
                      np.full(3, np.inf))  # fmt: skip
    bench.edit(set_path(bench.project, bench.run.film_id, path))
    assert "carried along" in camera.background.words.text()
    assert any("walked" in note for note in bench.reading.notes)
    press(marked.qtbot, camera.background.forget)
    assert bench.run.film_id not in bench.project.film_cameras


def test_frames_that_can_not_be_tied_are_hatched_on_the_strip(marked, camera):
    bench, error = marked.bench, np.full(60, 0.2)
    error[10:20] = np.inf
    path = CameraPath(
        CameraKind.TURNING, FrameNumber(5), FrameNumber(5), np.tile(np.eye(3), (60, 1, 1)), error
    )
    bench.edit(set_path(bench.project, bench.run.film_id, path))
    assert camera.pane.strip._lost == ((15, 24),)
    assert "10 of 60 frames" in camera.background.words.text()
    assert "could not be followed" in camera.pane.strip.toolTip()
    marked.press("Ctrl+Z")
    assert camera.pane.strip._lost == ()


def test_a_board_comes_back_from_its_job_as_it_was(tmp_path):
    found = {
        "fit": asdict(BoardFit(Lens(-0.1, 500.0, (3.0, 4.0), 0.01), (0, 2), 0.2)),
        "size": [64, 36],
        "of": 3,
    }
    file = tmp_path / "lens.json"
    file.write_text(json.dumps(found))
    job = BoardJob([tmp_path / "none.mp4"], 9, 6)
    try:
        assert job._read(file).fit == BoardFit(Lens(-0.1, 500.0, (3.0, 4.0), 0.01), (0, 2), 0.2)
        job._process.wait(timeout=60)
        assert job.poll() is JobState.FAILED
    finally:
        job.close()


def test_another_lens_asks_to_follow_again_and_the_lens_goes_along(turning, qtbot):
    bench, work, question = turning.bench, turning.workspace.following, turning.workspace.question
    mark_three(turning)
    press(qtbot, question.buttons[0])
    qtbot.waitUntil(lambda: not work.busy)
    assert bench.reading.camera.drift_px is not None
    assert not question.isVisible()
    turning.workspace.panels.show_panel(turning.workspace.camera)
    press(qtbot, turning.workspace.lens.along)
    for u, v in bent_row(-0.05, 16.0):
        turning.click(u, v)
    turning.press("Return")
    turning.press("Esc")
    lens = bench.project.film_cameras[bench.run.film_id].lens
    assert "another one" in question.words.text()
    assert "not followed yet" in turning.workspace.background.words.text()
    assert any("another lens" in note for note in bench.reading.notes)
    press(qtbot, question.buttons[0])
    qtbot.waitUntil(lambda: not work.busy)
    assert bench.project.film_cameras[bench.run.film_id].path.lens == lens
    assert not question.isVisible()
    assert not any("another lens" in note for note in bench.reading.notes)
    turning.press("Ctrl+Z", 2)  # the path, then the lens: the first path serves again
    assert bench.project.film_cameras[bench.run.film_id].path.serves(None)
    assert not question.isVisible()
