"""Groups by first cause; who is not certain stands apart."""

from __future__ import annotations

from analysis.plan.grouping import Standing, grouped, newest_run, standing_of, stations_for
from analysis.values.answers import FirstCause, InPart
from analysis.values.conditions import Conditions
from analysis.values.film import FrameNumber
from analysis.values.questions import Overruling, Question
from analysis.values.run import Run


def test_groups_stand_in_the_order_of_the_chain_and_the_doubtful_apart():
    standings = {
        "a": Standing(Question.STRIKE),
        "b": Standing(Question.LAUNCH),
        "c": Standing(Question.STRIKE),
        "d": Standing(Question.STRIKE, "launch was not judged"),
        "e": Standing(None),
        "f": Standing(None, "no run"),
    }
    groups = grouped(standings)
    assert list(groups.by_question.items()) == [(Question.LAUNCH, ("b",)), (Question.STRIKE, ("a", "c"))]
    assert groups.nothing == ("e",)
    assert groups.doubtful == ("d", "f")


def cause(question=None, first_readable=False, unread=(), coach=None, in_part=()) -> FirstCause:
    return FirstCause(question, first_readable, "", (), (), unread, (), coach, in_part=in_part)


def test_who_stands_where_by_the_first_cause():
    assert standing_of(cause(Question.SWAP)) == Standing(Question.SWAP)
    # what was not judged after the first cause changes nothing about it
    assert standing_of(cause(Question.SWAP, unread=(Question.STRIKE,))) == Standing(Question.SWAP)
    assert standing_of(cause()) == Standing(None)


def test_what_is_not_certain_says_why():
    begun_earlier = standing_of(cause(Question.STRIKE, True, (Question.LAUNCH, Question.SWAP)))
    assert begun_earlier.question is Question.STRIKE
    assert begun_earlier.doubt.endswith("Not judged, and so not cleared: launch and swap.")
    assert "not cleared: rhythm" in standing_of(cause(unread=(Question.RHYTHM,))).doubt
    assert "film was not found" in standing_of(None).doubt


def test_who_was_judged_in_part_is_doubtful_and_never_among_those_of_whom_nothing_departs():
    launch = (InPart(Question.LAUNCH, ("trunk lead",)),)
    found = standing_of(cause(in_part=launch))
    assert "Launch was judged without its trunk lead, and so is not cleared." in found.doubt
    assert grouped({"a": found}).doubtful == ("a",)
    # after the first cause it changes nothing about that
    assert standing_of(cause(Question.LAUNCH, in_part=(InPart(Question.SWAP, ("knee gap",)),))).doubt == ""


def test_the_coachs_word_is_certain():
    nothing_wrong = Overruling(None, "slipped")
    assert standing_of(cause(Question.STRIKE, True, (Question.LAUNCH,), nothing_wrong)) == Standing(None)
    assert standing_of(cause(coach=Overruling(Question.SWAP, "seen"))) == Standing(Question.SWAP)


def run(name: str, day: str, rep: int | None = None, **other) -> Run:
    told = {"athlete_id": "a", **other}
    return Run(
        name, "film", name, FrameNumber(0), FrameNumber(9), conditions=Conditions(day, rep=rep), **told
    )


def test_the_newest_run_is_of_the_latest_day_and_repetition():
    runs = [
        run("z", ""),
        run("old", "2026-03-06"),
        run("second", "2026-03-20", 2),
        run("first", "2026-03-20", 1),
        run("again", "2026-03-20", 3, retags="second"),
        run("other", "2026-04-01", athlete_id="b"),
    ]
    assert newest_run("a", runs).name == "second"
    assert newest_run("nobody", runs) is None


def test_no_station_stands_empty():
    assert [stations_for(athletes) for athletes in (0, 1, 2, 7)] == [1, 1, 2, 2]
