"""Keys act on what the coach sees: the frame on show, the event in sight, the foot that the prompt names."""

import shutil
from pathlib import Path

import pytest

from analysis.values.command import Kind
from analysis.values.errors import FootfallError
from analysis.values.estimate import Estimate
from app.demo import SAMPLES
from app.marking import placing
from app.selection import PartRef


@pytest.fixture
def opened(coach, window, tmp_path):
    """A sample clip in a folder of its own, nothing marked."""
    film = Path(shutil.copy(SAMPLES / "wing_day1.mp4", tmp_path / "wing.mp4"))
    assert window.open_path(film)
    coach.wait_for_picture()
    return coach


@pytest.fixture
def demo(coach, window):
    """The demo project, on show."""
    assert window.open_demo()
    coach.wait_for_picture()
    return coach


def test_a_tag_right_after_a_step_lands_on_the_frame_asked_for(opened, qtbot):
    opened.go_to(120)
    opened.press("Shift+Right", 3)
    opened.press("D")  # the picture of frame 150 is still on its way
    qtbot.waitUntil(lambda: len(opened.bench.run.footfalls) == 1)
    assert opened.bench.run.footfalls[0].touchdown == 150
    assert opened.bench.frame == 150


def test_an_event_out_of_sight_is_not_selected_any_more(opened):
    opened.go_to(150)
    opened.press("D")
    assert opened.bench.selected is not None
    opened.press("Shift+Right")
    opened.wait_for(160)
    assert opened.bench.selected is None
    opened.press("Del")
    assert len(opened.bench.run.footfalls) == 1
    assert "Select" in opened.window.notice.text.text()


def test_a_line_just_drawn_is_what_delete_takes(demo):
    first = demo.bench.run.footfalls[0]
    demo.press(".", 3)
    demo.wait_for(first.touchdown)
    lines = len(demo.bench.run.lines)
    demo.press("G")
    demo.drag((600.0, 300.0), (650.0, 250.0))
    demo.press("Escape")
    assert isinstance(demo.bench.selected, PartRef)
    assert demo.bench.selected.kind is Kind.LINE
    demo.press("Del")
    assert len(demo.bench.run.lines) == lines
    assert demo.bench.run.footfalls[0] == first
    assert "takes it back" in demo.window.notice.text.text()


def test_the_prompt_names_the_foot_of_the_frame_on_show(demo):
    run = demo.bench.run
    for point in [p for p in run.points if p.name.endswith("toe")]:
        demo.bench.edit(placing.delete_part(demo.bench.run, Kind.POINT, point.id))
    demo.press("X")
    for footfall in run.footfalls[:3]:
        demo.wait_for(footfall.touchdown)
        assert f"{footfall.side.value} shoe tip" in demo.view.accessibleDescription()
        demo.click(500.0, 400.0)
        assert demo.bench.run.point(footfall.touchdown, f"{footfall.side.value}_toe") is not None


@pytest.mark.parametrize(("action", "frames"), [("sure", 0), ("unsure", 1), ("usual_doubt", None)])
def test_how_sure_the_coach_is_of_a_footfall(demo, action, frames):
    demo.press(".", 3)
    footfall = demo.bench.run.footfalls[0]
    demo.wait_for(footfall.touchdown)
    other = {"sure": "unsure", "unsure": "sure", "usual_doubt": "sure"}[action]
    before = demo.bench.reading.steps[0].contact_s
    demo.window.actions_table[other].trigger()
    demo.window.actions_table[action].trigger()
    assert demo.bench.run.footfalls[0].unsure_frames == frames
    after = demo.bench.reading.steps[0].contact_s
    assert {"sure": after.u < before.u, "unsure": after.u > 0, "usual_doubt": after.u == before.u}[action]


def test_a_run_is_not_cut_so_that_an_event_falls_outside(demo):
    run = demo.bench.run
    with pytest.raises(FootfallError, match="beyond"):
        placing.cut(run, "first_frame", run.footfalls[0].touchdown + 1, "cut")
    demo.go_to(demo.pane.wanted + 10)
    demo.press("[")
    assert demo.bench.run.first_frame == 0
    assert "beyond" in demo.window.notice.text.text()


def test_without_its_film_a_run_still_reads(opened, window, tmp_path):
    opened.go_to(210)
    opened.press("D")
    opened.go_to(255)
    opened.press("F")
    reading = opened.bench.reading
    project = opened.bench.path
    (tmp_path / "wing.mp4").unlink()
    assert window.open_path(project)
    assert opened.bench.film is None
    assert isinstance(opened.bench.reading.steps[0].contact_s, Estimate)
    assert opened.bench.reading.steps == reading.steps
    opened.press("D")
    assert "Find the film" in window.notice.text.text()
