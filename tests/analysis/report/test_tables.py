"""Tables read back by a general library (pandas, openpyxl) are the reading, whatever the names are."""

import csv
import io
import json
from dataclasses import replace
from datetime import datetime

import numpy as np
import pandas as pd
import pytest
from openpyxl import load_workbook

from analysis.jobs.report import told_of
from analysis.reading import read
from analysis.reading.cells import plain_text
from analysis.report.tables import WHOSE, tables, workbook
from analysis.values.conditions import Conditions
from analysis.values.estimate import Estimate
from analysis.values.project import Project
from analysis.values.run import Athlete
from tests.analysis.reading.runs import SAMPLES, evidence_of
from tests.analysis.report.seasons import DAYS, season

NAMES = (
    "=cmd()|'/c calc'!A1",
    "+1, -2",
    "-dash",
    "@at",
    "'quoted'",
    "''=twice",
    'O\'Neil "the wing", no. 7',
    "<b>bold</b>",
    "جناح 7",
    "🤾‍♀️ wing",
    "two\nlines",
    "\ttab",
)
DAY_COLUMNS = ("day", "since_day")
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""OWASP, "CSV Injection": cells that begin so may be taken for a formula (a line end besides, own)."""


def told_as(name, sheet="wing_day1.clicked"):
    evidence = evidence_of(json.loads((SAMPLES / f"{sheet}.json").read_text(encoding="utf-8")))
    run = replace(evidence.run, id=name, name=name, conditions=Conditions(day="2026-03-20"))
    evidence = replace(evidence, run=run, athlete=Athlete("x", name))
    return told_of(Project(), evidence, read(evidence), None)


@pytest.fixture(scope="module")
def told():
    """Two runs of different days and points, one of them with a name that could do harm."""
    return [told_as(NAMES[0]), told_as("second", "wing_day2.clicked")]


@pytest.fixture(scope="module")
def found(told):
    return {table.name: table for table in tables(told, [season("W7", 0, -0.1)])}


def frame_of(table):
    """The CSV as a script reads it; words as docs/run-sheet.md says."""
    frame = pd.read_csv(io.StringIO(table.csv, newline=""), converters=dict.fromkeys(WHOSE, plain_text))
    assert list(frame.columns) == list(table.header)
    return frame


ENDINGS = {"_m_s": "m/s", "_deg_s": "deg/s", "_hz": "Hz", "_deg": "deg", "_m": "m", "_s": "s", "": ""}
"""How units stand at the end of a measure's name (docs/measures.md), and as they are written (the SI
Brochure, 9th edition, with deg for a degree)."""


def column_of(stem, measure):
    """Where a number of a measure belongs."""
    ending = next(one for one in ENDINGS if measure.endswith(one))
    return f"{stem}{ending or '_ratio'}"


def test_no_number_has_its_unit_in_another_column(found):
    """The unit that the dictionary says of a column is at its name's end; what has none is a ratio, a count
    or words."""
    for table, column, unit, words in found["dictionary"].rows:
        bare = column.removesuffix("_u").removesuffix("_low").removesuffix("_high")
        if bare in ("partial", "guessed", "frames", "runs", "step") or table == "dictionary":
            continue
        assert "measure's unit" not in words
        if unit in ENDINGS.values() and unit:
            assert ENDINGS[column_of("", bare)] == unit
    for name in ("posture", "history"):
        header = found[name].header
        for place, column in enumerate(header):
            numbers = [row[place] for row in found[name].rows if isinstance(row[place], float)]
            bare = column.removesuffix("_u").removesuffix("_low").removesuffix("_high")
            assert not numbers or bare.endswith(("_ratio", "_kg", *filter(None, ENDINGS))), column


def test_steps_read_back_to_the_readings_values(told, found):
    frame = frame_of(found["steps"])
    steps = [(one, step) for one in told for step in one.reading.steps]
    assert len(frame) == len(steps) > 15
    for row, (one, step) in zip(frame.to_dict("records"), steps, strict=True):
        assert (row["run"], row["step"], row["side"]) == (one.evidence.run.name, step.step, step.side.value)
        for name in ("contact_s", "step_length_m", "step_velocity_m_s", "shin_touchdown_deg"):
            number = getattr(step, name)
            if isinstance(number, Estimate):
                kept = row[name], row[f"{name}_u"], row[f"{name}_low"], row[f"{name}_high"]
                assert kept == (number.value, number.u, number.low, number.high)
            else:
                assert np.isnan(row[name])


def test_posture_and_curves_read_back(told, found):
    posture, frames = frame_of(found["posture"]), frame_of(found["frames"])
    rows = [row for one in told for row in one.reading.posture]
    wanted = [row.result.value if isinstance(row.result, Estimate) else np.nan for row in rows]
    columns = [column_of("value", row.measure) for row in rows]
    cells = posture[sorted(set(columns))].to_dict("records")
    here = [each[column] for each, column in zip(cells, columns, strict=True)]
    np.testing.assert_array_equal(here, wanted)
    for each, column in zip(cells, columns, strict=True):  # in the columns of other units nothing stands
        assert all(np.isnan(value) for name, value in each.items() if name != column)
    for one in told:
        here = frames[frames["run"] == one.evidence.run.name].set_index("frame")
        series = next(s for s in one.reading.series if s.measure == "trunk_deg")
        np.testing.assert_array_equal(here.loc[series.frames, "trunk_deg"].to_numpy(), series.value)
        seconds = one.evidence.film.times.seconds[here.index.to_numpy()]
        np.testing.assert_array_equal(here["time_s"].to_numpy(), seconds)


def test_points_and_the_speed_curve_read_back(told, found):
    points, speed = frame_of(found["points"]), frame_of(found["speed"])
    for one in told:
        run = one.evidence.run
        placed = points[(points["run"] == run.name) & (points["how"] == "placed")]
        assert set(zip(placed["frame"], placed["point"], placed["u_px"], placed["v_px"], strict=True)) == {
            (int(p.frame), p.name, p.u, p.v) for p in run.points
        }
        band = one.reading.speed_band
        np.testing.assert_array_equal(speed[speed["run"] == run.name]["v_m_s"].to_numpy(), band.v_m_s)


def test_the_history_reads_back_to_means_and_changes():
    one = season("W7", 0, -0.1)
    table = next(table for table in tables([], [one]) if table.name == "history")
    frame = pd.read_csv(io.StringIO(table.csv, newline=""), keep_default_na=False, na_values=[""])
    assert set(frame["day"]) == set(DAYS[:2])
    assert set(frame["runs"]) == {3}
    split = frame[(frame["measure"] == "split_from_first_movement_s") & (frame["place_m"] == 10.0)].set_index(
        "day"
    )
    for day, runs in zip(DAYS[:2], (one.readings[:3], one.readings[3:]), strict=True):
        values = [run.splits[1].time_s.value for run in runs]
        assert [float(part) for part in split.loc[day, "values_s"].split("; ")] == values
        assert split.loc[day, "mean_s"] == np.mean(values)
    assert {column_of("mean", measure) for measure in frame["measure"]} == {
        column
        for column in frame
        if column.startswith("mean_") and not column.endswith(("_u", "_low", "_high"))
    }
    below = frame[frame["mean_m"] < 0]
    assert len(below) > 3
    for listed, count in zip(below["values_m"], below["runs"], strict=True):
        assert len([float(part) for part in listed.split("; ")]) == count  # no sign before them
    alone = next(t for t in tables([], [season("W7", 0, reps=(0.0,))]) if t.name == "history")
    frame_of_one = pd.read_csv(io.StringIO(alone.csv, newline=""))
    for unit in ("s", "m", "deg"):
        values, means = (frame_of_one[f"{name}_{unit}"].dropna() for name in ("values", "mean"))
        assert list(values) == list(means) != []
    row = split.loc[DAYS[1]]
    assert row["since_day"] == DAYS[0]
    assert row["difference_from_before_s"] == pytest.approx(-0.1)
    assert (row["claim"], row["change"]) == ("differs", "lower")
    assert row["least_change_s"] > 0
    assert pd.isna(row["least_change_m"])
    assert pd.isna(split.loc[DAYS[0], "claim"])


def test_times_from_gates_read_back_beside_the_films():
    one = season("W7", 0, -0.1)
    table = next(table for table in tables([], [one]) if table.name == "gates")
    frame = pd.read_csv(io.StringIO(table.csv, newline=""))
    assert list(frame["gate_s"]) == pytest.approx([1.62, 1.62])
    assert list(frame["film_runs"]) == [3, 3]
    for day, row in enumerate(frame.to_dict("records")):
        film = np.mean([run.splits[0].time_s.value for run in one.readings[3 * day : 3 * day + 3]])
        assert row["difference_s"] == pytest.approx(1.62 - film)


@pytest.mark.parametrize("name", NAMES)
def test_names_do_no_harm_and_read_back_as_written(told, name):
    athlete = replace(told[0].evidence.athlete, code=name)
    run = replace(told[0].evidence.run, name=name)
    one = replace(told[0], evidence=replace(told[0].evidence, run=run, athlete=athlete))
    found = tables([one])
    steps = found[0]
    for row in csv.reader(io.StringIO(steps.csv, newline="")):
        assert not any(cell.startswith(FORMULA_STARTS) for cell in row[: len(WHOSE)])
    assert set(frame_of(steps)["run"]) == set(frame_of(steps)["athlete"]) == {name}
    named = tables([], [replace(season("W7", 0, -0.1), code=name)])
    for table in named:
        if table.name in ("history", "gates"):
            rows = list(csv.DictReader(io.StringIO(table.csv, newline="")))
            assert {plain_text(row["athlete"]) for row in rows} == {name}
            assert not any(row["athlete"].startswith(FORMULA_STARTS) for row in rows)
    sheet = load_workbook(io.BytesIO(workbook(found)))["steps"]
    assert sheet["B2"].value == sheet["C2"].value == name
    assert sheet["B2"].data_type == "s"


def test_the_csv_is_as_rfc_4180_has_it(found):
    for table in found.values():
        assert table.csv.endswith("\r\n")
        rows = list(csv.reader(io.StringIO(table.csv, newline=""), strict=True))
        assert {len(row) for row in rows} == {len(table.header)}


SHEETS = ("steps", "posture", "frames", "points", "speed", "history", "gates", "dictionary")


@pytest.fixture(scope="module")
def sheets(found):
    """The workbook as pandas reads it; words as they are, and only empty cells empty."""
    held = io.BytesIO(workbook(list(found.values())))
    return pd.read_excel(held, sheet_name=None, dtype=object, keep_default_na=False, na_values=[""])


@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_of_the_workbook_reads_back_to_what_the_table_holds(found, sheets, name):
    """Every cell of every row: numbers, words, days, and what is empty."""
    assert list(sheets) == list(found) == list(SHEETS)
    table, sheet = found[name], sheets[name]
    assert list(sheet.columns) == list(table.header)
    assert len(sheet) == len(table.rows) > 0
    for column, header in enumerate(table.header):
        for wanted, kept in zip((row[column] for row in table.rows), sheet[header], strict=True):
            place = name, header, wanted, kept
            if wanted is None or wanted == "":
                assert pd.isna(kept), place
            elif isinstance(wanted, str):
                day = f"{kept:%Y-%m-%d}" if header in DAY_COLUMNS else kept
                assert day == wanted, place
            elif np.isnan(wanted):
                assert pd.isna(kept), place
            else:
                # openpyxl writes 16 digits of a number, of which the last is rounded
                assert kept == pytest.approx(wanted, rel=1e-15, abs=0), place


def test_in_a_workbook_days_are_dates_columns_are_wide_enough_and_the_headings_stay(told):
    cells = load_workbook(io.BytesIO(workbook(tables(told))))["steps"]
    assert cells["D2"].value == datetime(2026, 3, 20)  # noqa: DTZ001 - a spreadsheet's day has no zone
    assert (cells["D2"].is_date, cells["D2"].number_format) == (True, "yyyy-mm-dd")
    assert (cells.freeze_panes, cells["A1"].font.bold, cells["A2"].font.bold) == ("A2", True, False)
    for letter in ("A", "D", "G"):
        assert cells.column_dimensions[letter].width >= len(str(cells[f"{letter}1"].value))
    said = replace(told[0].evidence.run, conditions=Conditions(day="a Friday"))
    odd = replace(told[0], evidence=replace(told[0].evidence, run=said))
    assert load_workbook(io.BytesIO(workbook(tables([odd]))))["steps"]["D2"].value == "a Friday"


def test_every_column_is_explained(found):
    rows = found["dictionary"].rows
    assert {(table, column) for table, column, _, _ in rows} == {
        (t.name, column) for t in found.values() if t.name != "dictionary" for column in t.header
    }
    assert not [column for _, column, _, words in rows if not words]
    units = {column: unit for _, column, unit, _ in rows}
    expected = {
        "contact_s_u": "s",
        "v_m_s": "m/s",
        "u_px": "px",
        "step_frequency_hz": "Hz",
        "trunk_deg": "deg",
    }
    assert {column: units[column] for column in expected} == expected
