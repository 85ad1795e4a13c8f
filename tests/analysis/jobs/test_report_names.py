"""Names of files for runs and athletes, however these are called."""

import re

from analysis.jobs.report_names import file_names
from tests.analysis.report.pages import HOSTILE


def test_names_tell_day_athlete_and_run():
    found = file_names([("3f2a", ("2026-03-06", "W7", "rep 1, easy")), ("77aa", ("", "", ""))])
    assert found == {"3f2a": "2026-03-06-W7-rep_1_easy", "77aa": "77aa"}


def test_no_two_are_the_same():
    called = [
        ("aaaaaaaaaa", ("W7",)),
        ("bbbbbbbbbb", ("w7",)),
        ("bbbbbbbbcc", ("W7",)),
        ("?", ("!",)),
        ("!", ("?",)),
    ]
    names = list(file_names(called).values())
    assert len({name.casefold() for name in names}) == len(called)
    assert names[:2] == ["W7", "w7-bbbbbbbb"]


def test_no_name_leaves_the_folder_or_is_too_long():
    ids = [*HOSTILE, "../../etc/passwd", "C:\\x", "x" * 300, ".hidden", "a\nb", "con"]
    names = file_names((f"id{n}", (one,)) for n, one in enumerate(ids)).values()
    assert all(re.fullmatch(r"[\w-]{1,80}", name) for name in names)
    assert any("جناح" in name for name in names)
