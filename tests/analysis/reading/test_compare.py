"""Two claims kept apart: that two runs differ, and that the athlete changed."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.reading.change import threshold
from analysis.reading.compare import compare
from analysis.reading.history import history, side_by_side
from analysis.reading.numbers import SPLITS
from analysis.values.bands import Band, BandOrigin, BandTable, Better
from analysis.values.comparison import Change, Claim, MeasureKey, PublishedError
from analysis.values.conditions import Stance
from analysis.values.posture import Moment
from analysis.values.run import Side
from tests.analysis.reading.compared_runs import KEY, day, reading
from tests.analysis.reading.runs import evidence_of, sample

FIRST, SECOND = "2031-05-01", "2031-06-01"
# within 0.02 of each other on a day, 0.3 apart between them
THREE = [day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.92], SECOND)]


def row(*sides, **more):
    return compare(*sides, **more).row(KEY)


def test_two_runs_differ_beyond_errors_of_measuring_and_nothing_is_said_of_the_athlete():
    found = row([reading(0.60)], [reading(0.70, day=SECOND)])
    assert (found.claim, found.change, found.least) == (Claim.DIFFERS, None, None)
    assert found.difference.value == pytest.approx(0.10)
    assert found.difference.u == pytest.approx(0.01 * math.sqrt(2))
    assert row([reading(0.60)], [reading(0.62)]).claim is Claim.UNTOLD


def test_the_athlete_changed_beyond_the_spread_between_runs():
    found = row(*THREE)
    assert (found.claim, found.change) == (Claim.DIFFERS, Change.HIGHER)
    # t(.975, 4) = 2.776 (any table); TE = 0.01 on both days; two sides of three runs
    assert found.least == pytest.approx(2.776 * 0.01 * math.sqrt(2 / 3), rel=1e-3)
    assert found.rests_on == "6 runs on two days"


def test_runs_that_scatter_differ_without_the_athlete_having_changed():
    found = row(day([0.50, 0.60, 0.70], FIRST), day([0.60, 0.70, 0.80], SECOND))
    assert (found.claim, found.change) == (Claim.DIFFERS, None)


def test_nobody_changed_where_the_runs_cannot_be_told_apart():
    """Farther apart than 1.96 sqrt(2) 0.02 = 0.055, and measured no better than to 0.05 each."""
    published = {"hip_share": PublishedError("hip_share", 0.02, "Somebody 2031")}
    found = row([reading(0.60, 0.05)], [reading(0.70, 0.05, day=SECOND)], published=published)
    assert found.difference.value > found.least
    assert (found.claim, found.change, found.sure) == (Claim.UNTOLD, None, False)


def test_better_and_worse_only_where_a_band_states_a_direction():
    def table(better):
        band = Band("hip_share", Moment.PUSH, 0, 0, 0.6, 1.0, "", better)
        return [BandTable("b", "b", 1, BandOrigin.COACH, (band,))]

    assert row(*THREE, bands=table(Better.HIGHER)).change is Change.BETTER
    assert row(*THREE, bands=table(Better.LOWER)).change is Change.WORSE
    assert row(*THREE, bands=table(None)).change is Change.HIGHER


def test_a_published_typical_error_serves_for_single_runs_and_is_named():
    published = {"hip_share": PublishedError("hip_share", 0.02, "Somebody 2031")}
    found = row([reading(0.60)], [reading(0.70)], published=published)
    assert (found.change, found.rests_on) == (Change.HIGHER, "Somebody 2031")
    assert found.least == pytest.approx(1.96 * math.sqrt(2) * 0.02, rel=1e-4)
    (note,) = (n for n in compare([reading(0.6)], [reading(0.7)], published=published).notes if "2031" in n)
    assert note == "Hip share: judged by a typical error of 0.02 (Somebody 2031), not by this athlete's own."


def test_a_published_typical_error_of_a_measure_that_nobody_has_is_not_named():
    published = {"contact_s": PublishedError("contact_s", 0.002, "Somebody 2031")}
    found = compare([reading(0.60)], [reading(0.70)], published=published)
    assert not any("Somebody" in note for note in found.notes)


def test_what_one_side_does_not_have_cannot_be_compared_and_says_why():
    found = row([reading(None)], [reading(0.7)])
    assert found.claim is Claim.NOT_COMPARED
    assert found.difference.reason == "not marked"


@pytest.mark.parametrize(
    ("one", "other", "name"),
    [
        ({"stance": Stance.SPLIT}, {"stance": Stance.BLOCKS}, "start stance"),
        ({"load_kg": 0.0}, {"load_kg": 10.0}, "load"),
        ({"surface": "hall"}, {"surface": "grass"}, "surface"),
        ({"shoe": "hall shoe"}, {"shoe": "spikes"}, "shoe"),
        ({"wind_m_s": -1.0}, {"wind_m_s": 1.5}, "wind"),
    ],
)
def test_other_conditions_are_compared_only_where_the_coach_allows_it_and_then_it_is_said(one, other, name):
    sides = [reading(0.6, **one)], [reading(0.8, **other)]
    barred, allowed = compare(*sides), compare(*sides, allow_other_conditions=True)
    assert barred.row(KEY).claim is Claim.NOT_COMPARED
    assert name in barred.notes[0]
    assert allowed.row(KEY).claim is Claim.DIFFERS
    assert (barred.despite, allowed.despite) == ((), (name,))
    assert allowed.verdict(allowed.row(KEY)) == "differs (other conditions, same day)"
    assert allowed.notes[0] == f"Compared although the conditions are others: {name}."
    unsaid = compare([reading(0.6)], sides[1])
    assert unsaid.row(KEY).claim is Claim.DIFFERS


def test_another_front_foot_is_another_condition():
    one, two = reading(0.6), reading(0.8)
    sides = [
        [replace(r, about=replace(r.about, front_side=side))]
        for r, side in ((one, Side.LEFT), (two, Side.RIGHT))
    ]
    assert "front foot" in compare(*sides).notes[0]


def test_two_athletes_are_said_and_neither_changed():
    other = day([0.9, 0.91, 0.92], SECOND, athlete="b")
    found = compare(THREE[0], other)
    assert found.row(KEY).claim is Claim.DIFFERS
    assert found.row(KEY).change is None
    assert any("two athletes" in note for note in found.notes)


def test_a_retest_on_the_same_day_says_that_warm_up_may_explain_it():
    found = compare(day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.92], FIRST))
    assert any("warm-up" in note for note in found.notes)
    assert found.same_day
    assert found.verdict(found.row(KEY)) == "changed: higher (same day)"
    assert not compare(*THREE).same_day
    assert not compare([reading(0.6, day="")], [reading(0.9, day="")]).same_day, "nobody said which day"


def test_fewer_than_four_degrees_of_freedom_give_no_verdict():
    assert threshold([1.0, 1.1], [2.0, 2.1], {}) is None
    assert threshold([1.0], [2.0, 2.1, 2.2, 2.3, 2.4, 2.5], {}) is None
    assert threshold([1.0, 1.1, 1.2], [2.0, 2.1, 2.2], {}) is not None


def changed(seed, runs, other_days=0, *, between=0.0, change=0.0, of_others=None):
    """Share of 2,000 athletes found to have changed: they spread by 0.02 from run to run, and errors of
    measuring are 0.012 (about as a contact time at 240 frames a second).
    """
    rng = np.random.default_rng(seed)
    count = 0
    for _ in range(2000):
        means = 0.7 + rng.normal(0, between, 2 + other_days) if between else np.full(2 + other_days, 0.7)
        means[1] += change
        days = [
            day(
                rng.normal(mean, math.hypot(0.02, 0.012), runs if n < 2 else of_others or runs),
                f"2031-05-{n + 1:02d}",
                u=0.012,
            )
            for n, mean in enumerate(means)
        ]
        history_of = [r for several in days[2:] for r in several]
        count += compare(days[0], days[1], history_of).row(KEY).change is not None
    return count / 2000


@pytest.mark.parametrize(("runs", "other_days"), [(3, 0), (3, 1), (2, 2), (2, 4), (3, 3)])
def test_without_a_true_change_the_athlete_changed_in_at_most_one_case_of_twenty(runs, other_days):
    assert changed(runs, runs, other_days) <= 0.05


def test_days_that_differ_by_themselves_are_no_change():
    """Spread between days alone, nothing for the floor to hold back: the rule's own 5 %, and 3 sigma of what
    chance makes of 2,000.
    """
    assert changed(2, 2, 4, between=0.03) <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 2000)


def test_other_days_of_more_runs_make_no_change():
    """Their means lie closer together than those of the two days of two runs: 3 sigma of 2,000 as above.
    Taken as they come they call 11 % of these a change.
    """
    assert changed(4, 2, 4, of_others=6) <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / 2000)


def test_a_change_between_two_days_alone_says_what_a_third_would_settle():
    said = "how runs of one day differ"
    assert any(said in note for note in compare(*THREE).notes)
    third = day([0.62, 0.60, 0.61], "2031-05-15")
    assert not any(said in note for note in compare(*THREE, third).notes)
    assert not any(said in note for note in compare(THREE[0][:1], THREE[1][:1]).notes), "nothing was judged"


def test_runs_that_happen_to_lie_close_are_no_more_certain_than_one_can_measure():
    close = day([0.600, 0.600, 0.600], FIRST), day([0.615, 0.615, 0.615], SECOND)
    found = row(*close)
    assert found.least == pytest.approx(2.776 * 0.01 * math.sqrt(2 / 3), rel=1e-3)
    assert found.change is None


def test_a_large_true_change_is_found():
    assert changed(5, 3, change=0.15) > 0.95


@pytest.mark.parametrize("before", [1, 2, 3, 4])
def test_a_change_that_lasts_is_found_beside_the_days_before_it(before):
    """Days of a baseline, then one that lies 20 times as far off as they differ: the change must not count as
    spread between days.
    """
    spots = 0.60 + 0.01 * np.resize([1, -1], before)
    history_of = [r for n, at in enumerate(spots) for r in day([at] * 3, f"2031-04-{n + 1:02}", u=0.001)]
    sides = day([0.60] * 3, FIRST, u=0.001), day([0.90] * 3, SECOND, u=0.001)
    assert row(*sides, history_of).change is Change.HIGHER
    assert row(*sides[::-1], history_of).change is Change.LOWER


def test_days_after_the_change_are_no_spread_of_those_before_it():
    sides = day([0.60, 0.61, 0.59], FIRST), day([0.90, 0.91, 0.89], SECOND)
    later = [r for n in range(2) for r in day([0.90, 0.91, 0.90], f"2031-07-{n + 1:02}")]
    found = row(*sides, later)
    assert found.change is Change.HIGHER
    assert row(*sides[::-1], later).least == pytest.approx(found.least)


def test_the_spread_is_that_within_either_side_pooled():
    """By hand: baseline 0.58 0.62 0.60, after it 0.90 0.94: squares 0.0008 and 0.0008 over 3; t(.975, 3) is
    3.182.
    """
    sides = day([0.60] * 2, FIRST, u=1e-4), day([0.90] * 2, SECOND, u=1e-4)
    others = [*day([0.58] * 2, "2031-04-01", u=1e-4), *day([0.62] * 2, "2031-04-02", u=1e-4)]
    others += day([0.94] * 2, "2031-07-01", u=1e-4)
    found = row(*sides, others)
    assert found.least == pytest.approx(3.182 * math.sqrt(0.0016 / 3) * math.sqrt(2), rel=1e-3)
    assert found.rests_on == "spread between 5 days"


def test_with_one_run_a_side_the_athlete_never_changed():
    assert changed(1, 1, change=0.5) == 0.0
    assert changed(1, 1, 6, change=0.5) == 0.0


def test_all_measures_of_two_runs_are_judged_together():
    """2.5 sigma apart: told alone, not among forty (Holm 1979)."""
    names = tuple(f"m{n}" for n in range(40))
    apart = 2.5 * math.sqrt(2) * 0.01
    assert row([reading(0.6)], [reading(0.6 + apart)]).claim is Claim.DIFFERS
    sides = [[reading([first, *[0.6] * 39], measures=names)] for first in (0.6, 0.6 + apart)]
    told = [r.claim for r in compare(*sides).rows if r.key.moment is not None]
    assert told == [Claim.UNTOLD] * 40


def test_the_two_sample_runs():
    one, two = (read(evidence_of(sample(name)[0])) for name in ("wing_day1", "wing_day2"))
    found = compare([one], [two])
    length = found.row(MeasureKey("step_length_m", step=2))
    assert length.before == one.steps[1].step_length_m
    assert length.difference.value == pytest.approx(
        two.steps[1].step_length_m.value - one.steps[1].step_length_m.value
    )
    long_contact = found.row(MeasureKey("contact_s", step=3))
    assert long_contact.claim is Claim.DIFFERS
    assert long_contact.difference.value == pytest.approx(-0.028, abs=0.006)  # 178 and 150 ms were drawn
    assert all(r.change is None for r in found.rows)
    table = side_by_side([one, two, one])
    assert table[MeasureKey("contact_s", step=3)] == (
        one.steps[2].contact_s, two.steps[2].contact_s, one.steps[2].contact_s,
    )  # fmt: skip


def test_a_history_has_day_means_and_the_smallest_detectable_change():
    runs = [*THREE[1], *THREE[0], reading(0.5, day="")]
    found = history(runs, KEY)
    assert [(d.day, len(d.values)) for d in found.days] == [(FIRST, 3), (SECOND, 3)]
    assert found.days[0].mean == pytest.approx(0.60)
    assert found.typical_error == pytest.approx(0.01)
    assert found.least_change == pytest.approx(1.96 * math.sqrt(2) * 0.01, rel=1e-4)  # Weir 2005
    assert history(THREE[0], KEY).least_change is None, "two degrees of freedom"


def test_splits_from_two_clocks_are_never_held_against_each_other():
    """One run's clock starts when the hips leave their rest, the other's at the tagged first movement."""
    sheet, _ = sample("wing_day1")
    made = read(evidence_of(sheet))
    hips, tag = (
        replace(made, splits=tuple(replace(split, from_hips=clock) for split in made.splits))
        for clock in (True, False)
    )
    rows = [row for row in compare([hips], [tag]).rows if row.key.measure in SPLITS]
    assert len(rows) == 2 * len(made.splits)
    assert all(row.claim is Claim.NOT_COMPARED for row in rows)
