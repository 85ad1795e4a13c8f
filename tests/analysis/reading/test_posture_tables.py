"""Posture as JSON and CSV, against the truth beside a rendered clip; the renderer shares no code."""

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read, reading_to_json
from analysis.reading.posture_tables import curves_to_csv, posture_to_csv
from tests.analysis.reading.runs import followed_truth


@pytest.fixture(scope="module")
def followed():
    return followed_truth("wing_day1")


@pytest.fixture(scope="module")
def reading(followed):
    return read(followed[0])


def table(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_json_is_plain_and_holds_every_row_and_curve(reading):
    out = json.loads(json.dumps(reading_to_json(reading), allow_nan=False))
    assert len(out["posture"]) == len(reading.posture) > 100
    for row in out["posture"]:
        number = row["number"]
        assert (number["value"] is None) == ("reason" in number)
        assert row["moment"] in {"set", "push", "touchdown", "toe_off", "flight"}
    for series in out["series"]:
        lengths = {len(series[key]) for key in ("frames", "value", "u", "guessed")}
        assert lengths == {720}


def test_posture_at_touchdown_is_the_truths(followed, reading):
    _, truth, _ = followed
    rows = table(posture_to_csv(reading))
    for step in truth["steps"]:
        found = [r for r in rows if r["step"] == str(step["step"]) and r["moment"] == "touchdown"]
        distance = next(r for r in found if r["measure"] == "touchdown_distance_m")
        assert (
            float(distance["value_m_low"]) <= step["touchdown_distance_m"] <= float(distance["value_m_high"])
        )
        assert distance["side"] == step["side"]
        assert distance["frames"].split()
        assert distance["reason"] == ""


def test_curves_are_the_truths(followed, reading):
    """A thigh in the renderer's metres, x forwards and y up; points there have no error."""
    _, _, held = followed
    rows = table(curves_to_csv(reading))
    assert [int(row["frame"]) for row in rows] == list(range(720))
    names = list(held["names"])
    span = held["metres"][:, names.index("right_hip"), :2] - held["metres"][:, names.index("right_knee"), :2]
    true = np.degrees(np.arctan2(span[:, 1], span[:, 0]))
    read_off = np.array([float(row["right_thigh_deg"]) for row in rows])
    # the hip is 9 cm nearer to the camera than the plane: half a degree
    assert np.abs(read_off - true).max() < 1.5
    assert all(float(row["right_thigh_deg_u"]) > 0 for row in rows)
    com = np.array([(float(row["com_x_m"]), float(row["com_y_m"])) for row in rows])
    assert np.abs(com - held["com_m"][:, :2]).max() < 0.03


def test_without_a_scale_places_are_null_and_angles_stay(followed):
    evidence, _, _ = followed
    bare = replace(evidence, run=replace(evidence.run, marks=()), athlete=None)
    out = json.loads(json.dumps(reading_to_json(read(bare)), allow_nan=False))
    assert set(out["mass_path"]["x_m"]) == {None}
    assert all(isinstance(u, float) for u in out["mass_path"]["u_px"])
    assert table(curves_to_csv(read(bare)))[300]["com_x_m"] == ""


def test_what_is_missing_names_its_points(followed):
    evidence, _, _ = followed
    out = reading_to_json(read(replace(evidence, tracks=None)))
    lead = next(row for row in out["posture"] if row["measure"] == "touchdown_distance_m")
    assert lead["number"]["value"] is None
    assert lead["wanted"]
    assert {"frame", "name"} == set(lead["wanted"][0])
