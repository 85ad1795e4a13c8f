"""Tables of bands from CSV: what comes in, and every fault in words with its line."""

import pytest

from analysis.sheet import band_csv
from analysis.sheet.band_csv import bands_to_csv
from analysis.values.bands import BandGroup, Better
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.errors import BandError
from analysis.values.posture import Moment
from analysis.values.starting_bands import starting_bands

HEADER = "measure,moment,first_step,last_step,low,high,source,better\n"


def bands_from_csv(text, source):
    """The bands of a table for everyone."""
    groups = band_csv.bands_from_csv(text, source)
    assert set(groups) == {BandGroup()}
    return groups[BandGroup()]


def test_bands_of_a_group_stand_apart():
    text = (
        "measure,moment,first_step,last_step,low,high,sex,sport,age,stance\n"
        "trunk_lead_deg,push,0,0,-5,10,,,,\ntrunk_lead_deg,push,0,0,-5,12,female,handball,youth,split\n"
        "knee_gap_m,touchdown,1,,0,0.4,female,handball,youth,split\n"
    )
    groups = band_csv.bands_from_csv(text, "club")
    narrow = BandGroup("female", "handball", AgeGroup.YOUTH, Stance.SPLIT)
    assert [band.high for band in groups[BandGroup()]] == [10.0]
    assert [band.high for band in groups[narrow]] == [12.0, 0.4]
    for column, word in (("sex", "girl"), ("age", "old"), ("stance", "standing")):
        head = f"measure,moment,first_step,last_step,low,high,{column}\n"
        with pytest.raises(BandError, match=f"Line 2, {column}: must be one of"):
            band_csv.bands_from_csv(head + f"knee_gap_m,touchdown,1,,0,1,{word}\n", "")


def test_what_is_written_is_read_again():
    bands = starting_bands().bands
    assert bands_from_csv(bands_to_csv(bands), "") == bands


def test_a_table_as_a_spreadsheet_saves_it():
    text = (
        "\ufeffMeasure;Moment;First_step;Last_step;Low;High\r\n"
        "knee_gap_m;touchdown;1;;-0,1;0,3\r\n;;;;;\r\ncontact_s;toe_off;2;3;;0.2\r\n"
    )
    knee, contact = bands_from_csv(text, "club, spring")
    assert (knee.low, knee.high, knee.last_step, knee.source) == (-0.1, 0.3, None, "club, spring")
    assert (contact.low, contact.high, contact.first_step, contact.last_step) == (None, 0.2, 2, 3)


def test_source_and_direction_of_a_row_are_kept():
    (band,) = bands_from_csv(HEADER + "contact_s,toe_off,2,4,0.1,0.2,own table,lower\n", "club")
    assert (band.source, band.better, band.moment) == ("own table", Better.LOWER, Moment.TOE_OFF)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("measure,moment\nknee_gap_m,touchdown\n", "no column first_step, last_step, low, high"),
        (HEADER + "knee_gap,touchdown,1,,0,1\n", "Line 2, measure: must be one of"),
        (HEADER + "knee_gap_m,landing,1,,0,1\n", "Line 2, moment: must be one of"),
        (HEADER + "knee_gap_m,touchdown,,,0,1\n", "first_step: is empty"),
        (HEADER + "knee_gap_m,touchdown,one,,0,1\n", "first_step: must be the number of a step"),
        (HEADER + "knee_gap_m,touchdown,3,2,0,1\n", "last_step: comes before"),
        (HEADER + "\nknee_gap_m,touchdown,1,,,\n", "Line 3, low: and high are both empty"),
        (HEADER + "knee_gap_m,touchdown,1,,2,1\n", "low: lies above high"),
        (HEADER + "knee_gap_m,touchdown,1,,nan,1\n", "low: must be a number"),
        (HEADER + "knee_gap_m,touchdown,1,,0,1,x,faster\n", "better: must be one of"),
        (
            HEADER + "knee_gap_m,touchdown,1,,0,1\nknee_gap_m,touchdown,3,3,0,1\n",
            "Lines 2 and 3 both give a band for knee_gap_m at step 3",
        ),
        (HEADER + "knee_gap_m,touchdown,1,1,0,1\n" * 2001, "more than 2000"),
    ],
)
def test_a_fault_is_said_in_words(text, words):
    with pytest.raises(BandError, match=words):
        bands_from_csv(text, "")
