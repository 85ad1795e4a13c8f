"""Tables of gate times as people's spreadsheets write them."""

import csv
import io

import pytest

from analysis.sheet.gate_csv import gates_from_csv
from analysis.values.errors import GateError

GOOD = [("2026-03-06", "W7", 5.0, 1.62), ("2026-03-20", "W7", 10.0, 2.31)]


def read(text):
    return [(r.date, r.athlete, r.distance_m, r.time_s) for r in gates_from_csv(text).rows]


@pytest.mark.parametrize(
    "text",
    [
        "date,athlete,distance_m,time_s\r\n2026-03-06,W7,5,1.62\r\n2026-03-20,W7,10,2.31\r\n",
        "Date;Athlete;Distance (m);Time (s)\n6.3.2026;W7;5,0;1,62\n20.03.2026; W7 ;10;2,31",
        "\ufeffday\tcode\tdistance\ttime\n2026-03-06\tW7\t5 m\t1.62 s\n\n2026-03-20\tW7\t10\t2.31\n",
        'note,time [s],distance,athlete,date\nx,"1,62",5,W7,2026-03-06\n"a, b",2.31,10,W7,2026-03-20\n',
    ],
    ids=["RFC 4180", "semicolons and decimal commas", "tabs and units", "other order, quoted commas"],
)
def test_tables_are_read_as_they_come(text):
    assert read(text) == GOOD


def test_bad_lines_are_said_with_their_number_and_the_rest_is_read():
    text = (
        "date,athlete,distance_m,time_s\n"
        "2026-03-06,W7,5,1.62\n"
        "2026-02-30,W7,5,1.62\n"
        "2026-03-06,,5,1.62\n"
        "\n"
        "2026-03-06,W7,5,fast\n"
        "2026-03-06,W7,-5,1.62\n"
        "2026-03-06,W7,5\n"
        "2026-03-06,W7,10,0.5\n"
        "2026-03-20,W7,10,2.31\n"
    )
    table = gates_from_csv(text)
    assert [(r.date, r.athlete, r.distance_m, r.time_s) for r in table.rows] == GOOD
    assert [row.line for row in table.rows] == [2, 10]
    assert [sentence.partition(":")[0] for sentence in table.faults] == [
        f"Line {n}" for n in (3, 4, 6, 7, 8, 9)
    ]
    assert "is no day" in table.faults[0]
    assert "faster than anybody runs" in table.faults[-1]


def test_names_read_back_as_written():
    names = ['O\'Neil "the wing", no. 7', "جناح 7", "🤾‍♀️", "=cmd()|'/c calc'!A1", "<b>7</b>"]
    out = io.StringIO()
    csv.writer(out).writerows(
        [["date", "athlete", "distance_m", "time_s"], *([GOOD[0][0], n, 5, 1.6] for n in names)]
    )
    assert [row.athlete for row in gates_from_csv(out.getvalue()).rows] == names


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("date,athlete\n2026-03-06,W7", "no column distance_m, time_s"),
        ('date,athlete,distance_m,time_s\n"2026', "."),
    ],
)
def test_what_is_no_such_table_is_said(text, words):
    if words == ".":
        assert not gates_from_csv(text).rows
        return
    with pytest.raises(GateError, match=words):
        gates_from_csv(text)
