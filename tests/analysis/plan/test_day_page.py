"""A day on paper: all that is done stands on it, and hostile words stand there as they were written."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser

from analysis.plan.day_page import Room, day_page
from analysis.plan.library import common_drills
from analysis.plan.proposing import propose
from tests.analysis.plan.plans import Ids, day

HOSTILE = '=cmd() <b>"push"</b> & \u05e9\u05dc\u05d5\u05dd \U0001f3c3'


class _Text(HTMLParser):
    """The words of a page, as a browser reads them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.words = ""
        self.feed(page)

    def handle_data(self, data: str) -> None:
        self.words += data


def test_every_drill_stands_on_the_page_with_its_counts():
    drills = common_drills()
    plan = propose(day(minutes=60), drills, Ids())
    text = _Text(day_page(plan, drills, {"w7": "W7"}, "60 min", ["Mind the wall."])).words
    for one in plan.drills:
        assert f"{drills[one.drill_id].name}: {one.sets} × {one.reps}, rest {one.rest_s:g} s" in text
    for words in (plan.date, "W7", "works on swap", "60 min", "Mind the wall."):
        assert words in text


def test_words_of_the_coach_are_shown_as_written_and_do_no_harm():
    drills = common_drills()
    plan = propose(day(), drills, Ids())
    first = replace(plan.drills[0], cue=HOSTILE, load=HOSTILE, loads=(("w7", HOSTILE), ("gone", "left")))
    codes = {"w7": HOSTILE, "gone": "W9"}
    page = day_page(replace(plan.with_drill(first), notes=HOSTILE), drills, codes, "", [])
    assert "left" not in page  # a load of who is not on this day
    assert _Text(page).words.count(HOSTILE) == 6  # cue, load, own load after its code, notes, head
    assert '<b>"push"' not in page


def test_a_shorter_page_keeps_every_drill_and_caution_and_says_what_it_leaves_out():
    drills = common_drills()
    plan = propose(day(minutes=60), drills, Ids())
    told = plan, drills, {"w7": "W7"}, "60 min", ["Mind the wall."]
    pages = [_Text(day_page(*told, room)).words for room in Room]
    assert sorted(map(len, pages), reverse=True) == list(map(len, pages))
    assert len(set(map(len, pages))) == len(Room)
    for text in pages:
        for one in plan.drills:
            drill = drills[one.drill_id]
            assert f"{drill.name}: {one.sets} × {one.reps}, rest {one.rest_s:g} s" in text
            assert all(words in text for words in drill.cautions)
            assert drill.defer in text
        assert "Mind the wall." in text
    looks = [words for one in plan.drills for words in drills[one.drill_id].look_for]
    assert looks
    assert all(words in text for words in looks for text in pages[:3])
    assert not any(words in pages[3] for words in looks)
    assert ["Left out" in text for text in pages] == [False, False, False, True]
    assert [all(drills[one.drill_id].set_up in text for one in plan.drills) for text in pages] == [
        True,
        False,
        False,
        False,
    ]
