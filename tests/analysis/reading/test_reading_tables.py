"""A reading as JSON, as CSV and as a frame."""

import csv
import io
import json
from dataclasses import replace

import pytest

from analysis.reading import read, reading_to_csv, reading_to_json, step_table
from analysis.reading.cells import plain_text, safe_text
from analysis.values.estimate import Estimate
from analysis.values.film import FrameNumber
from analysis.values.run import Footfall, Side


def test_json_has_the_shape_of_the_run_sheet(reading):
    shown = reading_to_json(reading)
    assert json.loads(json.dumps(shown, allow_nan=False)) == shown
    assert list(shown) == [
        "film", "start", "steps", "splits", "speeds", "speed_band", "lines", "pairs", "camera", "posture",
        "series", "mass_path", "questions", "rhythm", "first_cause", "notes",
    ]  # fmt: skip
    assert shown["film"]["frames"] == 720
    assert shown["film"]["capture_rate_hz"] == pytest.approx(240.0)
    contact = shown["steps"][0]["contact_s"]
    assert set(contact) == {"value", "u", "low", "high"}
    assert contact["value"] == reading.steps[0].contact_s.value
    assert set(shown["steps"][-1]["contact_s"]) == {"value", "reason"}
    assert shown["steps"][-1]["contact_s"]["value"] is None
    assert shown["lines"][0]["kind"] == "trunk"
    assert [q["question"] for q in shown["questions"]] == ["launch", "swap", "strike", "rhythm"]
    assert shown["first_cause"]["sentence"].startswith("First readable departure: rhythm.")


def test_csv_is_rfc_4180_and_round_trips(reading):
    text = reading_to_csv(reading)
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    back = list(csv.DictReader(io.StringIO(text, newline="")))
    assert len(back) == len(reading.steps)
    for row, step in zip(back, reading.steps, strict=True):
        assert row["side"] == step.side
        if isinstance(step.contact_s, Estimate):
            assert float(row["contact_s"]) == step.contact_s.value
            assert float(row["contact_s_high"]) == step.contact_s.high
        else:
            assert row["contact_s"] == ""


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "\tx", "'=1", "'tis"])
def test_words_are_kept_from_being_formulas(text):
    assert safe_text(text) == "'" + text
    assert plain_text(safe_text(text)) == text
    assert safe_text("left") == plain_text("left") == "left"


def test_a_number_below_zero_stays_plain_in_csv(evidence):
    falls = (
        Footfall("a", Side.LEFT, FrameNumber(200), FrameNumber(290)),
        Footfall("b", Side.RIGHT, FrameNumber(280), FrameNumber(340)),
    )
    text = reading_to_csv(read(replace(evidence, run=replace(evidence.run, footfalls=falls))))
    row = next(csv.DictReader(io.StringIO(text, newline="")))
    assert float(row["flight_s"]) == pytest.approx(-10 / 240)


def test_step_table_as_a_frame(reading):
    table = step_table(reading)
    assert len(table) == 10
    assert table["contact_s"].notna().sum() == 9
    assert table.loc[0, "contact_s_u"] == reading.steps[0].contact_s.u
