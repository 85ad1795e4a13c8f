"""Rail, table and chart tell of two steps what the reading says, and nothing of their own."""

from PySide6.QtCore import Qt

from analysis.report.rail_blocks import rail_content
from analysis.report.shifts import shifts_of
from analysis.report.step_columns import MEASURES
from analysis.values.reading import PairReading
from app.charts.rhythm_shown import rhythm_points
from app.run.step_model import FIRST_MEASURE, StepModel
from tests.app.rail.invented import a_film, a_reading, a_run, number

SENTENCES = {
    ("contact_s", 2): "Cannot be told apart from step 1.",
    ("contact_s", 3): "Longer than step 2: 21 ± 9 ms.",
    ("flight_s", 2): "Longer than step 1: 14 ± 9 ms.",
}


def test_the_sentences_are_those_of_the_pairs():
    assert {key: shift.sentence for key, shift in shifts_of(a_reading(a_run())).items()} == SENTENCES
    assert shifts_of(None) == {}


def test_lengths_and_velocities_are_told_in_their_own_unit():
    pairs = (
        PairReading("step_length_m", 1, 2, number(0.16, 0.05), True),
        PairReading("step_velocity_m_s", 1, 2, number(0.42, 0.21), True),
        PairReading("step_velocity_m_s", 2, 3, number(-0.42, 0.21), True, True),
    )
    assert [shift.sentence for shift in shifts_of(a_reading(a_run(), pairs)).values()] == [
        "Longer than step 1: 0.16 ± 0.05 m.",
        "Faster than step 1: 0.4 ± 0.2 m/s.",
        "Slower than step 2: \N{MINUS SIGN}0.4 ± 0.2 m/s.",
    ]


def test_every_view_says_the_same():
    run = a_run()
    reading = a_reading(run)
    content = rail_content(run, a_film(run), reading)
    table = StepModel()
    table.show_steps(reading.steps, shifts_of(reading))
    chart = {(p.measure, p.step): p.words for p in rhythm_points(reading)}
    fields = [column.field for column in MEASURES]
    for (field, step), sentence in SENTENCES.items():
        cell = table.index(step - 1, FIRST_MEASURE + fields.index(field))
        assert str(table.data(cell, Qt.ItemDataRole.ToolTipRole)).endswith(sentence)
        assert chart[field.removesuffix("_s"), step].endswith(sentence)
        owners = content.blocks if field == "contact_s" else content.gaps
        told = [o.shift.sentence for o in owners if o.shift is not None]
        assert sentence in told
    contact = FIRST_MEASURE + fields.index("contact_s")
    assert "step" not in str(table.data(table.index(0, contact), Qt.ItemDataRole.ToolTipRole))
