"""What a sheet says becomes values, and every fault a sentence that names its place."""

import copy
import json
import math
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from analysis.sheet import read_sheet
from analysis.sheet import text as sheet_text_of_file
from analysis.values.errors import SheetError
from analysis.values.run import Direction, LineKind, Side
from tests.helpers.sheets import sheet, without_times

BASE = Path("/sheets").absolute()
MISSING = object()


def changed(*path, value=MISSING):
    """The sound sheet with one value put in or taken out."""
    content = sheet()
    place = content
    for key in path[:-1]:
        place = place[key]
    if value is MISSING:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return content


def test_everything_arrives():
    read = read_sheet(sheet(), BASE)
    run = read.run
    assert (run.first_frame, run.last_frame, run.direction) == (0, 686, Direction.RIGHT)
    assert [(m.x_m, m.u, m.error_px) for m in run.marks] == [
        (0.0, 201.5, 1.5),
        (5.0, 640.25, 1.5),
        (10.0, 1077.75, 2.0),
    ]
    assert [(f.side, f.touchdown, f.toe_off, f.unsure_frames, f.draft) for f in run.footfalls] == [
        (Side.LEFT, 207, 250, None, False),
        (Side.RIGHT, 268, 308, 2, False),
        (Side.LEFT, 330, 366, 0, False),
        (Side.RIGHT, 391, None, None, False),
    ]
    assert (run.start.first_movement, run.start.front_side) == (84, Side.RIGHT)
    assert run.point(268, "right_toe").u == 330.7
    assert [(n.kind, n.side, n.lower, n.upper) for n in run.lines] == [
        (LineKind.SHIN, Side.LEFT, (236.0, 430.0), (252.0, 401.0)),
        (LineKind.TRUNK, None, (256.0, 371.0), (290.0, 330.5)),
    ]
    assert run.report_at_m == (5.0, 10.0)
    assert (read.athlete.code, read.athlete.sex, read.athlete.stature_m) == ("W7", "male", 1.82)
    assert read.film_path == BASE / "clip.mp4"
    assert (read.facts.frames, read.facts.width, read.facts.height) == (687, 1280, 720)
    assert read.facts.times.at(686) == pytest.approx(686 / 240, abs=1e-6)
    assert read.notes == ()


def test_a_sheet_of_the_needful_alone():
    read = read_sheet(
        {"format": "cinderlane run sheet", "version": 1, "film": {"path": "films/../clip.mp4"}}, BASE
    )
    assert read.film_path == BASE / "clip.mp4"
    assert read.facts is None
    assert read.athlete is None
    assert read.run.report_at_m == (5.0, 10.0)
    assert read.whole_film
    facts = read_sheet(sheet(), BASE).facts
    assert read.on(facts).run.last_frame == 686


def test_null_means_not_marked():
    content = without_times()
    for key in (
        "athlete",
        "direction",
        "stretch",
        "marks",
        "start",
        "footfalls",
        "points",
        "lines",
        "report_at_m",
    ):
        content[key] = None
    read = read_sheet(content, BASE)
    bare = read_sheet({k: v for k, v in content.items() if v is not None}, BASE)
    assert read == bare


def test_own_optional_keys():
    read = read_sheet(
        {**sheet(), "camera": {"distance_m": 12.5}, "name": "Third", "notes": "wet\nlane"}, BASE
    )
    assert (read.run.camera_distance_m, read.run.name, read.run.notes) == (12.5, "Third", "wet\nlane")


def test_unknown_keys_are_kept_and_said():
    content = {**sheet(), "weather": {"wind_m_s": 1.2}}
    content["footfalls"][1]["surface"] = "track"
    read = read_sheet(content, BASE)
    assert json.loads(read.run.unknown_keys) == {
        "": {"weather": {"wind_m_s": 1.2}},
        "footfalls/f0002": {"surface": "track"},
    }
    assert read.notes == (
        "footfalls, number 2: unknown keys are kept and not used: surface.",
        "the run sheet: unknown keys are kept and not used: weather.",
    )


def test_the_films_folder_is_the_sheets(tmp_path):
    path = tmp_path / "run.json"
    path.write_text("\ufeff" + json.dumps(sheet()), encoding="utf-8")
    assert read_sheet(path).film_path == tmp_path / "clip.mp4"
    assert read_sheet(str(path)) == read_sheet(sheet(), tmp_path)


def test_whole_numbers_written_with_a_point_are_whole():
    assert read_sheet(changed("footfalls", 0, "touchdown", value=207.0), BASE) == read_sheet(sheet(), BASE)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (changed("format"), "format: is missing"),
        (changed("format", value="something"), "another kind of file"),
        (
            changed("version", value=2),
            "version: the run sheet is of version 2, written by a newer program; this one reads version 1",
        ),
        (
            changed("version", value=0),
            "version: this program reads version 1, the sheet is of version 0. Mend",
        ),
        (changed("version", value="1"), "version: must be a whole number"),
        (changed("film"), "film: is missing"),
        (changed("film", value=[]), r"film: here must stand an object in braces, not \[\]"),
        (changed("film", value={"width": 3}), "film, path: is missing, and so is times_s"),
        (changed("film", "width"), "film, width: must be given in pixels beside times_s"),
        (changed("film", "times_s", value=[]), "film, times_s: The film holds no picture"),
        (changed("film", "times_s", value=[0, 1, 1]), "film, times_s: .* do not rise"),
        (changed("film", "times_s", value=[1, 2]), "film, times_s: the first time must be 0"),
        (changed("film", "times_s", value=[0, "1"]), 'film, times_s: must be a number in s, not "1"'),
        (changed("film", "times_s", value=[0, 10**400]), "film, times_s: must be a finite number"),
        (changed("athlete", "sex", value="man"), "athlete, sex: must be one of male, female"),
        (changed("athlete", "stature_m", value=182), "athlete, stature_m: 182 must be between 0.3 and 3 m"),
        (changed("athlete", "mass_kg", value=True), "athlete, mass_kg: must be a number in kg, not true"),
        (changed("direction", value="up"), "direction: must be one of left, right"),
        (changed("direction", value=["left"]), "direction: must be one of left, right"),
        (changed("stretch", value=[0]), "stretch: must hold two frame numbers"),
        (changed("stretch", value=[5, 4]), "stretch: the first frame comes after the last"),
        (
            changed("stretch", value=[0, 687]),
            "stretch: frame 687 is not in the film, which has frames 0 to 686",
        ),
        (changed("marks", value={}), r"marks: must be a list in brackets, not \{\}"),
        (changed("marks", 1, "x_m"), "marks, number 2, x_m: is missing"),
        (changed("marks", 1, "u", value=math.nan), "marks, number 2, u: must be a finite number in px"),
        (changed("marks", 1, "v", value=-math.inf), "marks, number 2, v: must be a finite number in px"),
        (changed("marks", 1, "error_px", value=0), "marks, number 2, error_px: 0 must be above 0 px"),
        (changed("marks", 1, "x_m", value=0.0), "marks: Two marks stand at 0 m"),
        (changed("marks", value=[{}] * 501), "marks: holds more than 500"),
        (
            changed("start", "rear_toe_off", value=-1),
            "start, rear_toe_off: must be a whole number from 0, not -1",
        ),
        (changed("start", "front_side", value="L"), "start, front_side: must be one of left, right"),
        (changed("start", "first_movement", value=150), "start: .*first movement"),
        (changed("footfalls", 2, "side"), "footfalls, number 3, side: is missing"),
        (
            changed("footfalls", 2, "touchdown", value=900),
            "footfalls, number 3, touchdown: frame 900 is not in",
        ),
        (
            changed("footfalls", 2, "touchdown", value=330.5),
            "footfalls, number 3, touchdown: must be a whole number",
        ),
        (changed("footfalls", 2, "toe_off", value=329), "footfalls, number 3: .*toe-off"),
        (
            changed("footfalls", 2, "touchdown", value=100),
            "footfalls, number 3, touchdown: .* in order of time",
        ),
        (changed("footfalls", 1, "side", value="left"), None),
        (changed("footfalls", 0, "toe_off", value=340), "footfalls, number 1 and footfalls, number"),
        (
            changed("footfalls", 3, "touchdown", value=None),
            "footfalls, number 4, touchdown: is missing, and so is",
        ),
        (changed("footfalls", 3, value=7), "footfalls, number 4: here must stand an object in braces, not 7"),
        (
            changed("footfalls", 0, "unsure_frames", value=-1),
            "footfalls, number 1, unsure_frames: must be a whole",
        ),
        (
            changed("points", 1, "name", value="nose"),
            "points, number 2, name: 'nose' is no body point; the names are",
        ),
        (changed("points", 1, "name", value=3), "points, number 2, name: must be text"),
        (
            changed("points", 2, "frame", value=207),
            "points, number 3, name: left_toe stands twice on frame 207",
        ),
        (changed("points", 1, "frame"), "points, number 2, frame: is missing"),
        (changed("lines", 0, "kind", value="arm"), "lines, number 1, kind: must be one of trunk, shin"),
        (changed("lines", 0, "to", value=[1.0]), "lines, number 1, to: must hold two numbers"),
        (
            changed("lines", 0, "to", value=[1.0, None]),
            "lines, number 1, to: must be a number in px, not null",
        ),
        (changed("lines", 0, "to", value=[236.0, 430.0]), "lines, number 1, to: is the same place as from"),
        (changed("report_at_m", value=[0.0]), "report_at_m: 0 must be above 0 m"),
        (changed("name", value="\ud800"), "name: holds characters that are no text"),
        (changed("notes", value=5), "notes: must be text in quotes, not 5"),
        (changed("odd", value=math.nan), "'odd': is unknown and holds what JSON can't keep"),
        (changed("odd", value={1, 2}), "something that JSON has no form for"),
        (changed("camera", value={"distance_m": -3}), "camera, distance_m: -3 must be above 0 m"),
    ],
)
def test_faults_name_their_place(content, sentence):
    if sentence is None:  # two contacts of one side in a row are unusual, not contradictory
        assert read_sheet(content, BASE).run.footfalls[1].side is Side.LEFT
        return
    with pytest.raises(SheetError, match=sentence) as caught:
        read_sheet(content, BASE)
    assert str(caught.value).endswith(".")


def test_contacts_of_one_foot_that_overlap():
    content = sheet()
    content["footfalls"] = [
        {"side": "left", "touchdown": 207, "toe_off": 250},
        {"side": "left", "touchdown": 240, "toe_off": 280},
    ]
    with pytest.raises(SheetError, match=r"footfalls, number 1 and footfalls, number 2: .*overlap"):
        read_sheet(content, BASE)


def test_frames_are_held_against_the_film_that_is_opened():
    read = read_sheet(without_times(), BASE)
    facts = read_sheet(sheet(), BASE).facts
    assert read.on(facts).run == read.run
    short = replace(facts, times=type(facts.times)(facts.times.pts[:390], facts.times.time_base))
    with pytest.raises(SheetError, match="stretch: frame 686 is not in the film, which has frames 0 to 389"):
        read.on(short)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "not JSON: line 1, column 1"),
        (b'{"format": 1,}', "not JSON: line 1, column"),
        (b"\xff\xfe{}", "not text in UTF-8"),
        (b"[]", "must hold one object"),
        (b"3", "must hold one object"),
        (b"[" * 100_000, "nested too deeply"),
        (b'{"a": ' + b"1" * 10_000 + b"}", "too many digits"),
        (b'{"film": {"path": "a", "path": "b"}}', "'path' stands twice"),
        (b"\x00\x01\x02\x03" * 100, "not JSON"),
    ],
)
def test_files_that_are_no_sheet(tmp_path, data, sentence):
    path = tmp_path / "run.json"
    path.write_bytes(data)
    with pytest.raises(SheetError, match=sentence):
        read_sheet(path)


def test_missing_folder_and_huge(tmp_path, monkeypatch):
    with pytest.raises(SheetError, match="There is no run sheet at"):
        read_sheet(tmp_path / "none.json")
    with pytest.raises(SheetError, match=r"There is no run sheet|can't be read"):
        read_sheet(tmp_path / "nul\0.json")
    with pytest.raises(SheetError, match="it is a folder"):
        read_sheet(tmp_path)
    path = tmp_path / "film.mp4"
    path.write_bytes(b" " * 2000)
    monkeypatch.setattr(sheet_text_of_file, "SIZE_LIMIT", 1000)
    with pytest.raises(SheetError, match="larger than any run sheet"):
        read_sheet(path)


def test_a_sheet_that_refers_to_itself():
    content = sheet()
    content["odd"] = content
    with pytest.raises(SheetError, match="refers to itself"):
        read_sheet(content, BASE)


ODD_VALUES = (
    None, True, False, 0, -1, 7, 10**30, 1e308, -0.0, 0.5, math.nan, math.inf, "", "left", "\ud800", "1e5",
    [], {}, [[]], [1, 2], {"a": 1}, {"path": 3}, "x" * 1000,
)  # fmt: skip


def _places(value, path=()):
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        if not (path and path[-1] == "times_s" and isinstance(key, int) and key > 5):
            yield from _places(item, (*path, key))


def test_three_hundred_mutations_are_sheets_or_sentences():
    random = Random(9)
    places = [path for path in _places(sheet()) if path]
    outcomes = {"read": 0, "refused": 0}
    for _ in range(300):
        content = copy.deepcopy(sheet(frames=687))
        for path in random.sample(places, random.choice([1, 1, 2, 5])):
            place = content
            try:
                for key in path[:-1]:
                    place = place[key]
                if random.random() < 0.2:
                    del place[path[-1]]
                else:
                    place[path[-1]] = random.choice(ODD_VALUES)
            except (KeyError, IndexError, TypeError):
                continue  # an earlier mutation took the place away
        try:
            read_sheet(content, BASE)
            outcomes["read"] += 1
        except SheetError:
            outcomes["refused"] += 1
    assert min(outcomes.values()) > 20


def test_bytes_turned_over_are_sheets_or_sentences(tmp_path):
    random = Random(10)
    whole = json.dumps(sheet(frames=687)).encode()
    path = tmp_path / "run.json"
    outcomes = {"read": 0, "refused": 0}
    for _ in range(100):
        data = bytearray(whole)
        for _ in range(random.choice([1, 3, 20])):
            data[random.randrange(len(data))] = random.randrange(256)
        if random.random() < 0.2:
            del data[random.randrange(len(data)) :]
        path.write_bytes(data)
        try:
            read_sheet(path)
            outcomes["read"] += 1
        except SheetError:
            outcomes["refused"] += 1
    assert outcomes["refused"] > 20
