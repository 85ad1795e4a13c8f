"""docs/run-sheet.md: its example is a sheet that reads, and its words are those of schema and program."""

import csv
import io
import json

import jsonschema
import pytest

from analysis import cli
from analysis.film import describe, open_film
from analysis.jobs.gates import gates_to_json
from analysis.reading import read, reading_to_csv, reading_to_json
from analysis.reading.compare import compare
from analysis.reading.comparison_tables import comparison_to_json
from analysis.reading.gates import gate_days
from analysis.reading.posture_tables import curves_to_csv, posture_to_csv
from analysis.sheet import read_sheet, write_sheet
from analysis.values.command import FilmEntry
from analysis.values.evidence import Evidence
from analysis.values.gate import GateTime
from analysis.values.run import Athlete
from tests.analysis.reading.runs import followed_truth
from tests.docs.pages import DOCS, ROOT, blocks, explained, keys, page

PAGE = page("run-sheet.md")
EXAMPLE = json.loads(blocks(PAGE, "json")[0])


@pytest.fixture(scope="module")
def schema():
    return json.loads((DOCS / "run-sheet.schema.json").read_text(encoding="utf-8"))


@pytest.fixture
def reading():
    found = read_sheet(EXAMPLE)
    assert found.notes == ()
    return read(Evidence(found.run, found.facts, found.athlete))


@pytest.fixture(scope="module")
def followed():
    """A whole body, followed over every frame."""
    return read(followed_truth("wing_day1")[0])


def test_the_example_fits_the_schema(schema):
    jsonschema.Draft202012Validator(schema).validate(EXAMPLE)


def test_the_example_reads(reading):
    """What the page says of it."""
    out = reading_to_json(reading)
    assert len(out["steps"]) == 7
    contact = out["steps"][0]["contact_s"]
    assert round(1000 * contact["value"]) == 167
    assert round(500 * (contact["high"] - contact["low"])) == 27
    times = [pair for pair in out["pairs"] if pair["measure"].endswith("t_s")]
    assert len(times) == 12
    assert not any(pair["told_apart"] for pair in times)
    for name in ("local_m_s", "model_m_s"):
        assert out["speeds"][0][name]["value"] is not None, out["speeds"][0][name]
    assert out["splits"][0]["time_s"]["value"] is not None


def test_the_page_shows_numbers_as_they_are(reading):
    number, none = json.loads(blocks(PAGE, "json")[1])
    out = reading_to_json(reading)
    assert number == {key: round(n, 4) for key, n in out["steps"][0]["contact_s"].items()}
    assert none == out["steps"][6]["contact_s"]


def test_the_example_is_written_back_as_it_came(tmp_path):
    """Only keys that it left out are added."""
    found = read_sheet(EXAMPLE, tmp_path)
    entry = FilmEntry("film", str(found.film_path), "")
    written = write_sheet(found.run, entry, found.facts, found.athlete, tmp_path)
    assert set(EXAMPLE) <= set(written)
    assert (written["film"], written["start"]) == (EXAMPLE["film"], EXAMPLE["start"])
    for many in ("marks", "footfalls", "points", "lines"):
        for came, went in zip(EXAMPLE[many], written[many], strict=True):
            assert came.items() <= went.items()


def test_every_key_of_the_schema_is_explained(schema):
    def properties(part):
        if isinstance(part, dict):
            yield from part.get("properties", {})
            for inner in part.values():
                yield from properties(inner)
        elif isinstance(part, list):
            for inner in part:
                yield from properties(inner)

    assert set(properties(schema)) <= explained(PAGE)


def test_every_key_of_the_reading_is_explained(reading):
    assert keys(reading_to_json(reading)) <= explained(PAGE)


def test_every_column_of_the_table_is_explained(reading):
    header = next(csv.reader(io.StringIO(reading_to_csv(reading))))
    named = explained(PAGE)
    for column in header:
        stem = next((column.removesuffix(end) for end in ("_u", "_low", "_high") if column.endswith(end)), "")
        assert column in named or stem in named, column


def test_every_key_and_column_of_posture_is_explained(followed):
    named = explained(PAGE) | explained(page("measures.md"))
    out = reading_to_json(followed)
    assert keys(out) <= named
    assert {row["measure"] for row in out["posture"]} <= named
    for text in (posture_to_csv(followed), curves_to_csv(followed)):
        for column in next(csv.reader(io.StringIO(text))):
            ends = column.removesuffix("_u").removesuffix("_low").removesuffix("_high")
            plain = ends.removeprefix("left_").removeprefix("right_")
            assert column in named or plain in named, column


def test_every_key_of_a_comparison_is_explained(reading):
    assert keys(comparison_to_json(compare([reading], [reading]), [reading])) <= explained(PAGE)


def test_every_key_of_gate_times_is_explained(reading):
    gates = [GateTime("g", "a", "2026-03-06", 5.0, 1.62)]
    found = gates_to_json(gate_days(gates, [reading]), {"a": Athlete("a", "W7")})
    assert keys(found) <= explained(PAGE)


def test_every_key_of_a_film_is_explained():
    film = open_film(ROOT / "tests" / "truth" / "data" / "phone" / "sample_android_slow_motion.mp4")
    assert keys(describe(film)) <= explained(PAGE)


def test_the_snippets_do_what_the_page_says(tmp_path, monkeypatch):
    """The one that reads the example, and the one that gives a film its times."""
    monkeypatch.chdir(tmp_path)
    reads, gives_times = (compile(source, "run-sheet.md", "exec") for source in blocks(PAGE, "python"))
    (tmp_path / "example.json").write_text(json.dumps(EXAMPLE), encoding="utf-8")
    names = {}
    exec(reads, names)
    assert len(names["table"]) == 7

    plays = {"container_rate_hz": 30.0, "times_s": [n / 30 for n in range(50)], "width": 1280, "height": 720}
    (tmp_path / "film.json").write_text(json.dumps(plays), encoding="utf-8")
    exec(gives_times, {})
    facts = read_sheet(tmp_path / "slow.json").facts
    assert facts.times.median_rate_hz == pytest.approx(240.0, rel=1e-6)  # times are written to the nanosecond


@pytest.mark.parametrize("command", ["film", "read", "add", "sheet", "report", "gates", "runs"])
def test_every_command_is_on_the_page(command, capfd):
    assert cli.main([command, "--help"]) == 0
    capfd.readouterr()
    assert f"python3 -m analysis {command} " in PAGE
