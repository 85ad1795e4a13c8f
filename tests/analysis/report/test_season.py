"""Seasons and squads: what is said of invented changes whose size is known, and what never is."""

import math
import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from analysis.reading.closing import closing
from analysis.reading.compare import compare
from analysis.reading.days import RunsOfDay, days_of
from analysis.report.content import Table
from analysis.report.page import as_html
from analysis.report.page_season import season_content
from analysis.report.page_squad import coming_words, squad_content
from analysis.report.pdf import as_pdf
from analysis.report.season import Season, Since, Standing, alike_groups, since_last, standing
from analysis.values.answers import FirstCause, InPart
from analysis.values.comparison import Change
from analysis.values.day_plan import Done
from analysis.values.estimate import Estimate, NoValue
from analysis.values.questions import Overruling, Question
from analysis.values.reading import SpeedReading, SplitReading
from tests.analysis.reading.compared_runs import reading
from tests.analysis.report.pages import HOSTILE
from tests.analysis.report.seasons import DAYS, REPS, run_on, season, squad_of
from tests.analysis.report.test_page import Page
from tests.analysis.report.test_pdf import Read


def split(since):
    return since.headlines[0]


def test_a_change_beyond_the_spread_is_one_and_a_smaller_is_none():
    """Two days of three runs each: t(.975, 4) TE sqrt(2/3), TE 6 ms by hand (Hopkins 2000), where reps lie
    wider apart than the error of measuring. Split and speed are asked together on the squad's page: each at
    2.5 % (Bonferroni)."""
    wide = tuple(4 * one for one in REPS)
    typical = 4 * 0.006
    least = stats.t.ppf(0.975, 4) * typical * math.sqrt(2 / 3)
    changed, held = season("A", 0, -1.05 * least, reps=wide), season("B", 0, -0.95 * least, reps=wide)
    row = split(since_last(changed))
    assert (row.key.measure, row.key.x_m) == ("split_from_first_movement_s", 10.0)
    assert row.least == pytest.approx(least, rel=1e-6)
    assert row.change is Change.LOWER
    assert standing(since_last(changed)) is Standing.HELD
    together = stats.t.ppf(0.9875, 4) * typical * math.sqrt(2 / 3)
    for share, said in ((-1.05, Standing.CHANGED), (-0.95, Standing.HELD)):
        assert standing(since_last(season("C", 0, share * together, reps=wide))) is said
    assert split(since_last(held)).change is None
    assert standing(since_last(held)) is Standing.HELD


def test_without_a_true_change_the_squads_page_calls_at_most_one_of_twenty_changed():
    """Split and speed, each with errors of its own, of 400 athletes: 5 % and two standard errors of it. Each
    asked by itself calls some 10 %.
    """
    rng = np.random.default_rng(21)
    changed = by_itself = 0
    for _ in range(400):
        sides = []
        for date in DAYS[:2]:
            off = rng.normal(0, 1, (3, 2)) * (0.02, 0.12)
            sides.append([numbers_on(date, 2.0 + split, 7.0 + speed) for split, speed in off])
        compared = compare(*sides)
        since = Since(
            RunsOfDay(DAYS[0], sides[0]), RunsOfDay(DAYS[1], sides[1]), compared, closing(compared, ())
        )
        changed += standing(since) is Standing.CHANGED
        by_itself += any(row.change is not None for row in since.headlines)
    most = 400 * 0.05 + 2 * math.sqrt(400 * 0.05 * 0.95)
    assert changed <= most < by_itself


def numbers_on(date, split, speed):
    """A run that has nothing but a split and a speed at 10 m."""
    none = NoValue("not marked")
    one, two = (Estimate(v, u, v - 1.96 * u, v + 1.96 * u) for v, u in ((split, 0.005), (speed, 0.03)))
    splits, speeds = (
        SplitReading(10.0, one, none, True),
        SpeedReading(10.0, two, none, none, None, None, none, False),
    )
    return replace(reading(0.6, day=date, measures=()), splits=(splits,), speeds=(speeds,))


def test_where_a_change_rests_on_two_tests_the_squads_page_says_what_a_third_settles():
    two, three = season("A", 0, -0.1), season("A", 0, 0.001, -0.1)
    said = "how much the athlete's days differ by themselves"
    assert said in Page(as_html(squad_content([two]))).text
    assert said not in Page(as_html(squad_content([three]))).text


def test_what_can_not_be_told_says_why():
    one_run, one_day = season("A", 0, -0.1, reps=(0.0,)), season("B", 0)
    nothing = Season("C", "C")
    assert [standing(since_last(one)) for one in (one_run, one_day, nothing)] == [Standing.UNTOLD] * 3
    text = Page(as_html(squad_content([one_run, one_day, nothing]))).text
    assert "1 against 1 runs are too few" in text
    assert "There is no earlier test of another day." in text
    assert "No run of this athlete has a day" in text


def test_other_conditions_are_said():
    sprint = run_on("A", DAYS[0], 0, 0.0, load_kg=0.0)
    sled = run_on("A", DAYS[1], 0, 0.5, load_kg=20.0)
    found = Season("A", "A", (sprint, sled))
    assert standing(since_last(found)) is Standing.UNTOLD
    assert "No earlier test was run under the same conditions." in Page(as_html(squad_content([found]))).text


def test_a_loaded_run_never_stands_among_the_sprints():
    plain = season("A", 0, -0.1)
    sled = tuple(run_on("A", DAYS[1], 10 + n, 0.5, load_kg=20.0) for n in range(3))
    mixed = replace(plain, readings=(*plain.readings, *sled))
    unloaded = tuple(
        replace(one, about=replace(one.about, conditions=replace(one.about.conditions, load_kg=0.0)))
        for one in plain.readings
    )
    mixed = replace(mixed, readings=(*unloaded, *sled))
    assert [len(one.runs) for one in alike_groups(days_of(mixed.readings)[1])] == [3, 3]
    assert split(since_last(mixed)).after == split(since_last(plain)).after
    assert standing(since_last(mixed)) is Standing.CHANGED


def test_the_squad_stands_on_one_side_with_every_name_once():
    squad = squad_of(24)
    page = squad_content(squad)
    found = Read(as_pdf(page))
    assert len(found.pictures) == 1
    names = [line.name for block in page.blocks if isinstance(block, Table) for line in block.lines]
    assert sorted(names) == sorted(one.code for one in squad)
    assert "Changed (6)" in found.text
    assert "No change that can be told (6)" in found.text
    assert "Cannot be told (12)" in found.text


def test_what_is_trained_next_is_the_plan_after_the_last_test():
    plain = season("A", 0, -0.1)
    assert plain.next_plan.date == "2026-04-07"
    assert coming_words(plain) == "2026-04-07: Strike"
    assert coming_words(replace(plain, plans=())).startswith("not planned; departs first: ")
    assert coming_words(Season("C", "C")) == "nothing planned"


@pytest.mark.parametrize(
    ("cause", "words"),
    [
        (None, "nothing could be judged"),
        (FirstCause(None, False, "", (), (), tuple(Question), ()), "nothing could be judged"),
        (FirstCause(Question.STRIKE, False, "", (), (), (), ()), "Strike"),
        (FirstCause(Question.STRIKE, True, "", (), (), (Question.SWAP,), ()), "Strike, first readable"),
        (
            FirstCause(Question.STRIKE, False, "", (), (), (), (), Overruling(Question.SWAP, "Look again.")),
            "Swap, by the coach's own word",
        ),
        (
            FirstCause(Question.STRIKE, False, "", (), (), (), (), Overruling(None, "The shoe slipped.")),
            "nothing went wrong, by the coach's own word",
        ),
        (FirstCause(None, False, "", (), (), (), ()), "none that can be told"),
        (
            FirstCause(
                None,
                False,
                "",
                (),
                (),
                (Question.SWAP,),
                (),
                in_part=(InPart(Question.LAUNCH, ("trunk lead",)),),
            ),
            "none that can be told; not cleared: launch and swap",
        ),
    ],
)
def test_what_could_not_be_judged_is_passed_over_on_neither_page(cause, words):
    plain = replace(season("W7", 0), plans=())
    plain = replace(plain, readings=tuple(replace(one, first_cause=cause) for one in plain.readings))
    assert coming_words(plain) == f"not planned; departs first: {words}"
    blocks = season_content(plain).blocks
    tests = next(block for block in blocks if isinstance(block, Table) and block.title == "Tests")
    assert tests.lines[0].numbers[-1].text == words


def test_what_one_run_of_a_test_shows_stands_on_both_pages():
    """The last run of the day shows no departure; the one before it does."""
    plain = replace(season("W7", 0), plans=())
    nothing = FirstCause(None, False, "No departure can be told.", (), (), (), ())
    strike = FirstCause(Question.STRIKE, False, "First cause: strike.", (), (), (), ())
    causes = (nothing, strike, nothing)
    runs = tuple(replace(r, first_cause=c) for r, c in zip(plain.readings, causes, strict=True))
    mixed = replace(plain, readings=runs)
    assert coming_words(mixed) == "not planned; departs first: Strike, 1 of 3 runs"
    text = Page(as_html(season_content(mixed))).text
    assert "First cause: strike." in text
    assert "No departure can be told." not in text


def test_the_coachs_word_and_reason_stand_beside_what_remains():
    plain = season("W7", 0)
    word = Overruling(Question.SWAP, "Look again.")
    said = FirstCause(Question.STRIKE, False, "First cause: strike.", (), (), (), (), word)
    runs = tuple(replace(one, first_cause=said) for one in plain.readings)
    text = Page(as_html(season_content(replace(plain, readings=runs)))).text
    assert "First cause: strike." in text
    assert "The coach's own word: Look again." in text


def test_a_season_holds_tests_changes_plans_and_what_remains():
    found = season("W7", 0, -0.1, -0.12)
    page = Page(as_html(season_content(found)))
    for day in (*DAYS, "2026-03-10", "2026-03-14"):
        assert day in page.text
    assert "2026-04-07: Strike" in page.text
    assert found.readings[-1].first_cause.sentence in page.text
    assert page.tags.count("svg") == 3  # split, speed, gates at 5 m
    assert "Gate time, 5 m: dots are runs" in page.text
    assert "is not called its cause" in page.text
    assert "without a mark nobody said" in page.text
    assert page.text.count("not marked") == 2
    assert "Begun and not marked as done" not in page.text
    assert not {"because", "thanks to", "led to", "worked"} & set(page.text.lower().split())
    values = {key: value for key, value, _ in page.numbers}
    assert values["gate_s:2026-03-06:5"] == pytest.approx(1.62)
    middle = sum(run.splits[1].time_s.value for run in found.readings[:3]) / 3
    assert values["split_from_first_movement_s:10:2026-03-06"] == pytest.approx(middle)
    assert values["difference:split_from_first_movement_s:10:2026-03-20"] == pytest.approx(-0.1)
    assert "no ground to select" in page.text


def test_what_was_done_and_what_was_left_over_stands_on_the_page():
    plain = season("W7", 0, -0.1)
    plan = plain.plans[0]
    first, second = plan.drills
    went = replace(first, done=Done("2026-03-10T17:30", "heels stayed low"))
    begun = replace(plain, plans=(replace(plan, drills=(went, second)), *plain.plans[1:]))
    text = Page(as_html(season_content(begun))).text
    assert ", done: heels stayed low)" in text
    assert "1 of" in text
    assert f"2026-03-10: {plain.drills[second.drill_id].name}" in text
    both = replace(plan, drills=(went, replace(second, done=Done("2026-03-10T17:50"))))
    text = Page(as_html(season_content(replace(plain, plans=(both, *plain.plans[1:]))))).text
    assert "all done" in text
    assert "Begun and not marked as done" not in text


@pytest.mark.parametrize("name", HOSTILE)
def test_names_do_no_harm_and_are_shown_as_written(name):
    one = replace(season("W7", 0), code=name)
    for content in (squad_content([one]), season_content(one)):
        page = Page(as_html(content))
        assert " ".join(name.split()) in page.text
        assert not {"script", "img"} & set(page.tags)
        assert page.tags.count("style") == 1


def test_an_athlete_with_nothing_has_a_season_too():
    page = Page(as_html(season_content(Season("C", "C"))))
    assert "It takes tests of two days" in page.text
    assert "No day is planned" in page.text
    assert not page.numbers


def test_reps_that_were_filmed_stand_beside_what_was_planned():
    plain = season("W7", 0, -0.1)
    plan = plain.plans[0]
    filmed = replace(
        plain, filmed={(plan.id, plan.drills[0].drill_id): 6, (plan.id, plan.drills[1].drill_id): 1}
    )
    text = Page(as_html(season_content(filmed))).text
    assert ", 6 reps filmed)" in text
    assert ", 1 rep filmed)" in text
    assert "filmed)" not in Page(as_html(season_content(plain))).text


@pytest.mark.parametrize(
    "content", [squad_content, lambda squad: season_content(squad[0])], ids=["squad", "season"]
)
def test_the_pdf_holds_every_number_of_the_page(content):
    page = content([season("W7", 0, -0.1, -0.12), season("W9", 0, 0.001), season("B2", 0)])
    text = Read(as_pdf(page)).text
    parts = re.compile(r"\N{MINUS SIGN}?\d[\d.]*")
    wanted = Counter(part for one in page.numbers for part in parts.findall(one.text))
    found = Counter(parts.findall(text))
    assert wanted.total() >= 20
    assert not {part: (n, found[part]) for part, n in wanted.items() if found[part] < n}
