"""Tables of bands from CSV: what comes in, and every fault in words with its line."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.sheet import band_csv
from analysis.sheet.band_csv import bands_to_csv
from analysis.values.bands import Band, BandGroup, BandOrigin, BandTable, Better, counting, told_apart
from analysis.values.conditions import AgeGroup, Stance
from analysis.values.errors import BandError
from analysis.values.posture import Moment
from analysis.values.run import Sex
from analysis.values.starting_bands import starting_bands

SHORT = "measure,moment,first_step,last_step,low,high\n"
SOURCED = SHORT.strip() + ",source\n"
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
    own = replace(starting_bands(), origin=BandOrigin.COACH)
    assert band_csv.bands_from_csv(bands_to_csv([own]), "") == {own.group: own.bands}


def test_a_starting_band_comes_back_as_nothing_of_the_coachs_until_it_is_changed():
    start = starting_bands()
    text = bands_to_csv([start])
    assert band_csv.bands_from_csv(text, "club", [start]) == {}
    changed = text.replace("0,0,-5.0,8.0,", "0,0,-5.0,12.0,")
    ((group, (band,)),) = band_csv.bands_from_csv(changed, "club", [start]).items()
    assert (group, band.measure, band.high, band.source) == (start.group, "trunk_lead_deg", 12.0, "club")


def test_a_pattern_is_known_again_and_none_is_made_by_a_table():
    band = Band("knee_gap_m", Moment.TOUCHDOWN, 1, None, 0.0, 0.3, "five runs", None)
    pattern = BandTable("p", "p", 1, BandOrigin.OWN_PATTERN, (band,), athlete_id="a", runs=5)
    part = replace(pattern, bands=(replace(band, first_step=2, last_step=3),))
    for table in (pattern, part):
        assert band_csv.bands_from_csv(bands_to_csv([table]), "", [pattern]) == {}
    wider = replace(pattern, bands=(replace(band, first_step=1, high=0.5),))
    for text, there in ((bands_to_csv([pattern]), ()), (bands_to_csv([wider]), (pattern,))):
        with pytest.raises(BandError, match="Line 2, origin: there is no such pattern"):
            band_csv.bands_from_csv(text, "", there)


words = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Z")), min_size=1, max_size=8)
coach_bands = st.lists(
    st.builds(
        Band,
        st.sampled_from(["touchdown_distance_m", "knee_gap_m"]),
        st.just(Moment.TOUCHDOWN),
        st.integers(1, 4),
        st.none() | st.integers(4, 9),
        st.floats(-1, 0),
        st.none() | st.floats(0, 1),
        words,
        st.none() | st.sampled_from(Better),
    ),
    min_size=1,
    max_size=4,
).map(told_apart)
whose = st.builds(
    BandGroup,
    st.none() | st.sampled_from([sex.value for sex in Sex]),
    st.none() | words,
    st.none() | st.sampled_from(AgeGroup),
    st.none() | st.sampled_from(Stance),
)


@given(st.dictionaries(whose, coach_bands, max_size=3))
def test_saved_and_read_again_every_band_is_for_whom_it_was_and_the_others_count_as_they_did(own):
    tables = [
        BandTable(f"{n}", f"{n}", 1, BandOrigin.COACH, bands, group)
        for n, (group, bands) in enumerate(own.items())
    ]
    there = [*tables, starting_bands()]
    assert band_csv.bands_from_csv(bands_to_csv(counting(there)), "file", there) == own


def test_a_table_as_a_spreadsheet_saves_it():
    text = (
        "\ufeffMeasure;Moment;First_step;Last_step;Low;High\r\n"
        "knee_gap_m;touchdown;1;;-0,1;0,3\r\n;;;;;\r\ncontact_s;toe_off;2;3;;0.2\r\n"
    )
    knee, contact = bands_from_csv(text, "club, spring")
    assert (knee.low, knee.high, knee.last_step, knee.source) == (-0.1, 0.3, None, "club, spring")
    assert (contact.low, contact.high, contact.first_step, contact.last_step) == (None, 0.2, 2, 3)


def test_a_source_of_digits_is_one_where_no_comma_can_have_parted_a_number():
    (band,) = bands_from_csv(SOURCED + "knee_gap_m,touchdown,1,,0.0,0.6,2031\n", "club")
    assert (band.high, band.source) == (0.6, "2031")
    (band,) = bands_from_csv(SOURCED.replace(",", ";") + "knee_gap_m;touchdown;1;;0;1;2031\n", "club")
    assert (band.high, band.source) == (1.0, "2031")


def test_source_and_direction_of_a_row_are_kept():
    (band,) = bands_from_csv(HEADER + "contact_s,toe_off,2,4,0.1,0.2,own table,lower\n", "club")
    assert (band.source, band.better, band.moment) == ("own table", Better.LOWER, Moment.TOE_OFF)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("measure,moment\nknee_gap_m,touchdown\n", "no column first_step, last_step, low, high"),
        (HEADER, "names no band"),
        (
            HEADER + "knee_gap_m,touchdown,1,,-0,30,0,15,,\n",
            "Line 2, better: more cells .* has 10, .* 8 columns",
        ),
        (SHORT + "knee_gap_m,touchdown,1,,-0,30,0,15\n", "Line 2, high: more cells follow"),
        # 0 to 0,6 without a source, without a sport
        (SOURCED + "knee_gap_m,touchdown,1,,0,0,6\n", "Line 2, source: is 6, .* decimal comma"),
        (SHORT.strip() + ",sport\nknee_gap_m,touchdown,1,,0,0,6\n", "Line 2, sport: is 6, "),
        (SHORT + "knee_gap_m,touchdown,1,,0\n", "Line 2, high: is missing"),
        (SHORT + "knee_gap_m,touchdown,1,,0,1\nknee_gap_m,touchdown\n", "Line 3, first_step: is missing"),
        (
            "gender," + SHORT + "female,knee_gap_m,touchdown,1,,0,1\n",
            "Line 1, gender: no column is called so",
        ),
        ("," + SHORT + ",knee_gap_m,touchdown,1,,0,1\n", "Line 1, column 1: no column is called so"),
        ("low," + SHORT + "0,knee_gap_m,touchdown,1,,0,1\n", "Line 1, low: two columns"),
        (SHORT + "touchdown_distance_m,touchdown,0,,0,1\n", "Line 2, first_step: 0 is the start push"),
        (SHORT + "hip_share,push,1,1,0,1\n", "Line 2, first_step: must be 0"),
        (HEADER.strip() + ",origin\nknee_gap_m,touchdown,1,,0,1,,,mine\n", "Line 2, origin: must be one of"),
        (HEADER + "knee_gap,touchdown,1,,0,1,,\n", "Line 2, measure: must be one of"),
        (HEADER + "knee_gap_m,landing,1,,0,1,,\n", "Line 2, moment: must be one of"),
        (HEADER + "knee_gap_m,touchdown,,,0,1,,\n", "first_step: is empty"),
        (HEADER + "knee_gap_m,touchdown,one,,0,1,,\n", "first_step: must be the number of a step"),
        (HEADER + "knee_gap_m,touchdown,3,2,0,1,,\n", "last_step: comes before"),
        (HEADER + "\nknee_gap_m,touchdown,1,,,,,\n", "Line 3, low: and high are both empty"),
        (HEADER + "knee_gap_m,touchdown,1,,2,1,,\n", "low: lies above high"),
        (HEADER + "knee_gap_m,touchdown,1,,nan,1,,\n", "low: must be a number"),
        (HEADER + "knee_gap_m,touchdown,1,,0,1,x,faster\n", "better: must be one of"),
        (
            SHORT + "knee_gap_m,touchdown,1,,0,1\nknee_gap_m,touchdown,3,3,0,1\n",
            "Lines 2 and 3 both give a band for knee_gap_m at step 3",
        ),
        (HEADER + "knee_gap_m,touchdown,1,1,0,1,,\n" * 2001, "more than 2000"),
    ],
)
def test_a_fault_is_said_in_words(text, words):
    with pytest.raises(BandError, match=words):
        bands_from_csv(text, "")
