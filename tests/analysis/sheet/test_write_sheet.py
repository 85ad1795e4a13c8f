"""What is written is what was read, and fits the published schema."""

import json
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from analysis.sheet import read_sheet, sheet_text, write_sheet
from analysis.values.camera import CameraKind
from analysis.values.command import FilmEntry
from analysis.values.errors import SheetError
from analysis.values.run import Footfall, Side
from tests.helpers.sheets import sheet, without_times
from tests.helpers.strategies import athletes, runs

BASE = Path("/sheets").absolute()
SCHEMA = json.loads(
    (Path(__file__).parents[3] / "docs" / "run-sheet.schema.json").read_text(encoding="utf-8")
)
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
FILM = FilmEntry("film", str(BASE / "clip.mp4"), "")


def written(read, film=FILM):
    return write_sheet(read.run, film, read.facts, read.athlete, BASE)


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("content", [sheet(), without_times()], ids=["with times", "without times"])
def test_read_and_written_again_is_the_same(content):
    VALIDATOR.validate(content)
    again = written(read_sheet(content, BASE))
    film = again["film"]
    if "times_s" not in content["film"]:
        film |= {"width": 1280, "height": 720}
    assert again == content
    assert list(again) == list(content)


def test_own_and_unknown_keys_come_back():
    content = {
        **sheet(),
        "camera": {"distance_m": 12.5, "tripod": "low"},
        "name": "Third",
        "notes": "wet",
        "odd": [1],
    }
    content["film"]["codec"] = "h264"
    content["points"][1]["seen"] = False
    content["marks"][2]["what"] = "cone"
    VALIDATOR.validate(content)
    assert written(read_sheet(content, BASE)) == content


def test_unknown_keys_stay_with_their_footfall_when_others_go():
    content = sheet()
    content["footfalls"][2]["surface"] = "wet"
    read = read_sheet(content, BASE)
    run = replace(read.run, footfalls=read.run.footfalls[1:])
    again = write_sheet(run, FILM, read.facts, read.athlete, BASE)
    assert [f.get("surface") for f in again["footfalls"]] == [None, "wet", None]


def test_drafts_are_left_out():
    read = read_sheet(sheet(), BASE)
    draft = Footfall("d", Side.LEFT, read.run.footfalls[0].touchdown, None, draft=True)
    run = replace(read.run, footfalls=(*read.run.footfalls, draft))
    assert write_sheet(run, FILM, read.facts, read.athlete, BASE) == sheet()


def test_a_film_beside_below_and_elsewhere():
    read = read_sheet(sheet(), BASE)
    for path, name in ((BASE / "a" / "b.mp4", "a/b.mp4"), (BASE / "b.mp4", "b.mp4")):
        assert written(read, replace(FILM, path=str(path)))["film"]["path"] == name
    elsewhere = str(Path("/films/b.mp4").absolute())
    assert written(read, replace(FILM, path=elsewhere))["film"]["path"] == elsewhere


def test_times_that_the_film_came_with():
    read = read_sheet(sheet(), BASE)
    again = write_sheet(read.run, replace(FILM, facts=read.facts), None, read.athlete, BASE)
    assert again == sheet()


def test_a_run_without_film_or_times():
    read = read_sheet(sheet(), BASE)
    with pytest.raises(SheetError, match="Choose its film"):
        write_sheet(read.run, None, None, None, BASE)


def test_text_is_json_with_a_line_for_each_part():
    text = sheet_text(sheet())
    assert json.loads(text) == sheet()
    assert sum(line.startswith('    {"side"') for line in text.splitlines()) == len(sheet()["footfalls"])
    with pytest.raises(ValueError, match="not JSON compliant"):
        sheet_text({"u": float("nan")})


@settings(max_examples=40, suppress_health_check=[HealthCheck.filter_too_much])
@given(runs(), athletes)
def test_any_run_comes_back(run, athlete):
    run = replace(
        run,
        start=type(run.start)(),
        footfalls=tuple(replace(f, draft=False) for f in run.footfalls),
        of_drill=False,  # a sheet holds a sprint: films of drills stand in projects only
    )
    content = json.loads(sheet_text(write_sheet(run, FILM, None, athlete, BASE)))
    VALIDATOR.validate(content)
    read = read_sheet(content, BASE)
    assert replace(read.athlete, id=athlete.id) == athlete
    again = replace(
        read.run,
        id=run.id,
        film_id=run.film_id,
        athlete_id=run.athlete_id,
        marks=_named(read.run.marks, run.marks),
        footfalls=_named(read.run.footfalls, run.footfalls),
        lines=_named(read.run.lines, run.lines),
    )
    assert again == run


def _named(read, first):
    """The parts that were read, with the ids that they had before; they stand in the same order."""
    return tuple(replace(part, id=old.id) for part, old in zip(read, first, strict=True))


CAMERA = {
    "distance_m": 12.0,
    "lens": {"k1": -0.08, "focal_px": 1088.0, "centre": [639.5, 359.5], "k1_u": 0.01},
    "path": {
        "kind": "turning",
        "reference": 3,
        "first": 2,
        "maps": [
            [1.0, 0.0, 4.5, 0.0, 1.0, 0.25, 1e-5, 0.0, 1.0],
            [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0],
        ],
        "error_px": [None, 0.4],
        "parallax_px": 0.7,
    },
}
MORE = {
    "camera": CAMERA,
    "lane": {"offset_m": 0.6, "offset_u_m": 0.1},
    "tagging": {"s_s": 0.004, "pairs": 22},
    "marks": [{"x_m": 5.0, "u": 500.0, "v": 400.0, "error_m": 0.1, "z_m": -1.5}],
}


def test_camera_lane_tagging_and_marks_of_every_kind_come_and_go():
    content = sheet() | MORE
    VALIDATOR.validate(content)
    found = read_sheet(content, BASE)
    assert found.camera.kind is CameraKind.TURNING
    assert found.camera.maps[0, 0, 2] == 4.5
    assert np.isinf(found.camera.error_px[0])
    assert (found.lens.k1_u, found.tagging.pairs, found.run.lane_offset_m) == (0.01, 22, 0.6)
    assert (found.run.marks[0].error_m, found.run.marks[0].z_m) == (0.1, -1.5)
    evidence = found.evidence(found.facts)
    assert (evidence.camera, evidence.lens, evidence.tagging) == (found.camera, found.lens, found.tagging)
    again = write_sheet(
        found.run, FILM, found.facts, found.athlete, BASE, found.camera, found.lens, found.tagging
    )
    VALIDATOR.validate(again)
    for key in ("camera", "lane", "tagging"):
        assert again[key] == content[key]
    assert MORE["marks"][0].items() <= again["marks"][0].items()


OTHER_LENS = {"k1": 0.02, "focal_px": 900.0, "centre": [639.5, 359.5], "k1_u": 0.0}


@pytest.mark.parametrize("own", [None, OTHER_LENS])
def test_a_path_says_with_which_lens_it_was_followed(own):
    """Left out it is the camera's; null is none."""
    content = sheet() | {"camera": CAMERA}
    assert read_sheet(content, BASE).camera.lens == read_sheet(content, BASE).lens
    content = sheet() | {"camera": CAMERA | {"path": CAMERA["path"] | {"lens": own}}}
    VALIDATOR.validate(content)
    found = read_sheet(content, BASE)
    assert (found.camera.lens is None) == (own is None)
    assert not found.camera.serves(found.lens)
    again = write_sheet(found.run, FILM, found.facts, found.athlete, BASE, found.camera, found.lens)
    assert again["camera"]["path"]["lens"] == own


def test_unknown_keys_of_the_camera_are_kept():
    content = sheet() | {
        "camera": {"tripod": "x", "lens": CAMERA["lens"] | {"name": "wide"}},
        "lane": {"n": 4},
    }
    found = read_sheet(content, BASE)
    again = write_sheet(found.run, FILM, found.facts, found.athlete, BASE, None, found.lens)
    assert again["camera"]["tripod"] == "x"
    assert again["camera"]["lens"]["name"] == "wide"
    assert again["lane"]["n"] == 4


@pytest.mark.parametrize(
    ("more", "place"),
    [
        ({"camera": {"lens": {"k1": 0.1, "focal_px": 0.0, "centre": [1, 2]}}}, "camera, lens, focal_px"),
        ({"camera": {"lens": {"k1": 0.1, "focal_px": 9.0, "centre": [1, 2], "k1_u": -1}}}, "k1_u"),
        ({"camera": {"path": {"kind": "flying"}}}, "camera, path, kind"),
        ({"camera": {"path": {"kind": "turning", "maps": [[1, 2]], "error_px": [1]}}}, "camera, path, maps"),
        ({"camera": {"path": {"kind": "turning", "maps": [], "error_px": [1]}}}, "camera, path, error_px"),
        ({"tagging": {"s_s": -0.1, "pairs": 3}}, "tagging, s_s"),
        ({"lane": {"offset_m": 0.1, "offset_u_m": -0.1}}, "lane, offset_u_m"),
        ({"marks": [{"x_m": 1.0, "u": 5.0, "v": 5.0, "error_m": -1.0}]}, "marks, number 1, error_m"),
    ],
)
def test_faults_name_their_place(more, place):
    with pytest.raises(SheetError, match=place):
        read_sheet(sheet() | more, BASE)
