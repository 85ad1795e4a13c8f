"""The draft as JSON, and the sentences about what can't be read."""

import json

import numpy as np
import pytest

from analysis import cli
from analysis.derive.footfalls import Draft, DraftFootfall
from analysis.jobs.draft import as_json, read_marks
from analysis.values.errors import MarkError
from analysis.values.film import FrameTimes
from analysis.values.run import Direction, Side
from tests.helpers.hard_runs import write_frames

TIMES = FrameTimes.from_seconds([k / 240 for k in range(100)])


def footfall(**changes):
    facts = {"x_m": 1.25, "touchdown": 20, "toe_off": 50}
    facts |= changes
    return DraftFootfall(
        Side.LEFT, facts["touchdown"], facts["toe_off"], 30, 101.26, 200.0, facts["x_m"], 0.912
    )


def test_times_lie_half_an_interval_before_their_frames():
    held = as_json(Draft((footfall(),), direction=Direction.RIGHT), TIMES)
    (one,) = held["footfalls"]
    assert one["touchdown_s"] == pytest.approx(19.5 / 240, abs=1e-6)
    assert one["toe_off_s"] == pytest.approx(49.5 / 240, abs=1e-6)
    wanted = {"side", "touchdown_s", "toe_off_s", "touchdown_frame", "toe_off_frame", "x_m", "confidence"}
    assert wanted <= set(one)


def test_an_event_outside_the_film_is_null_and_a_place_without_marks_is_left_out():
    (one,) = as_json(Draft((footfall(toe_off=None, x_m=None),)), TIMES)["footfalls"]
    assert one["toe_off_s"] is None
    assert one["toe_off_frame"] is None
    assert "x_m" not in one
    assert one["u"] == 101.3


@pytest.mark.parametrize(
    "text",
    [
        "no json",
        "[]",
        '{"marks": 3}',
        '{"marks": [{"x_m": 0, "u": 1}]}',
        '{"marks": [{"x_m": 0, "u": 1, "v": "a"}, {"x_m": 1, "u": 2, "v": 3}]}',
        '{"marks": [{"x_m": 0, "u": 1, "v": 2}]}',
        '{"marks": [{"x_m": NaN, "u": 1, "v": 2}, {"x_m": 1, "u": 2, "v": 3}]}',
    ],
)
def test_marks_that_are_none_get_a_sentence(tmp_path, text):
    path = tmp_path / "marks.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(MarkError):
        read_marks(path)


def test_marks_that_are_not_there_get_a_sentence(tmp_path):
    with pytest.raises(MarkError, match="not there"):
        read_marks(tmp_path / "none.json")


def test_the_command_does_a_film_and_a_folder(tmp_path, capfdbinary):
    still = np.full((120, 160, 3), 90, np.uint8)
    write_frames(tmp_path / "a.mp4", [still] * 12)
    (tmp_path / "b.mp4").write_bytes(b"no film")
    assert cli.main(["draft", str(tmp_path / "a.mp4"), "--run-direction", "left"]) == 0
    one = json.loads(capfdbinary.readouterr().out)
    assert one["footfalls"] == []
    assert one["notes"]
    assert cli.main(["draft", "--batch", str(tmp_path)]) == 0
    both = json.loads(capfdbinary.readouterr().out)["films"]
    assert both["a.mp4"] == one
    assert "error" in both["b.mp4"]


def test_neither_film_nor_folder_is_said(capfdbinary):
    assert cli.main(["draft"]) == 2
    assert "folder" in capfdbinary.readouterr().err.decode()
