"""Resisted runs against the same day's runs without a load, and drills kept out of all else."""

from dataclasses import replace

import pytest

from analysis.jobs.runs import first_taggings
from analysis.plan.grouping import newest_run
from analysis.reading import read
from analysis.reading.compare import mean_of
from analysis.reading.drills import read_drill
from analysis.reading.drills.loads import load_of, unloaded_runs
from analysis.reading.numbers import numbers_of
from analysis.values.comparison import MeasureKey
from analysis.values.conditions import Conditions
from analysis.values.drill_film import DrillFilm, DrillKind, DrillRep
from analysis.values.estimate import NoValue
from analysis.values.project import Project
from tests.analysis.reading.runs import evidence_of, sample

DAY = "2026-03-06"


def loaded(name, kg, **more):
    evidence = evidence_of(sample(name)[0])
    run = replace(evidence.run, conditions=Conditions(DAY, load_kg=kg), **more)
    return replace(evidence, run=run)


@pytest.fixture(scope="module")
def sledge():
    """The first day's run as if a sledge of 21 kg had been pulled, and the second day's without one."""
    slow = loaded("wing_day1", 21.0, of_drill=True)
    free = read(loaded("wing_day2", None))
    rep = DrillRep("r", slow.run.first_frame, slow.run.last_frame)
    return read_drill(DrillFilm("f", "run", "day", "drill", DrillKind.RUN, (rep,)), slow, [free]), slow, free


def test_a_loaded_rep_has_the_steps_of_its_run_and_the_speed_that_the_load_took(sledge):
    reading, slow, free = sledge
    one, plain = reading.reps[0], numbers_of(read(slow))
    key = MeasureKey("contact_s", step=2)
    assert one.result(key).value == plain[key].value
    assert one.result(key).low == pytest.approx(plain[key].low, abs=1e-4)
    at = MeasureKey("local_m_s", x_m=10.0)
    lost = one.result(MeasureKey("speed_loss_percent", x_m=10.0))
    assert lost.value == pytest.approx(100 * (1 - plain[at].value / numbers_of(free)[at].value))
    # 100 |v/v0| hypot(u/v, u0/v0): JCGM 100:2008, 5.1.6, for a quotient
    u = [number.u / number.value for number in (plain[at], mean_of(at, [numbers_of(free)], [0]))]
    assert lost.u == pytest.approx((100 - lost.value) * (u[0] ** 2 + u[1] ** 2) ** 0.5, rel=1e-4)


def test_the_load_is_a_share_of_the_body(sledge):
    assert sledge[0].load.kg == 21.0
    assert sledge[0].load.percent == pytest.approx(100 * 21 / 84)
    assert load_of(sledge[1].run, None).percent is None
    assert load_of(replace(sledge[1].run, conditions=Conditions()), None) is None


def test_a_start_has_the_numbers_of_the_start_push_and_no_more():
    """Of a film of starts, against the truth that the renderer wrote: push times within a frame (1/240 s)."""
    sheet, truth = sample("wing_day1")
    evidence = evidence_of(sheet)
    run = evidence.run
    reps = (DrillRep("r", run.first_frame, run.last_frame),)
    (one,) = read_drill(DrillFilm("f", "run", "day", "drill", DrillKind.START, reps), evidence).reps
    for name in ("rear_foot_push_s", "front_foot_push_s", "first_flight_s"):
        found = one.result(MeasureKey(name, step=0))
        assert not isinstance(found, NoValue), found
        assert abs(found.value - truth["start"][name]) <= 1 / 240
    assert {key.step for key in one.numbers} == {0}
    assert one.sprint is not None


def test_without_a_run_of_that_day_the_loss_says_what_to_note(sledge):
    reading = read_drill(sledge[0].film, sledge[1])
    lost = reading.reps[0].result(MeasureKey("speed_loss_percent", x_m=10.0))
    assert isinstance(lost, NoValue)
    assert "without a load" in lost.reason


def test_which_runs_a_load_is_held_against():
    run = replace(loaded("wing_day1", 21.0).run, id="pulled", athlete_id="a", of_drill=True)
    free = replace(run, id="free", of_drill=False, conditions=Conditions(DAY))
    others = (
        replace(free, id="other day", conditions=Conditions("2026-03-20")),
        replace(free, id="other athlete", athlete_id="b"),
        replace(free, id="drill", of_drill=True),
        replace(free, id="again", retags="free"),
        replace(free, id="vest", conditions=Conditions(DAY, load_kg=8.0)),
    )
    assert [one.id for one in unloaded_runs((run, free, *others), run)] == ["free"]
    assert unloaded_runs((free,), replace(run, conditions=Conditions(load_kg=5.0))) == []


def test_a_drill_is_no_sprint():
    run = replace(loaded("wing_day1", None).run, athlete_id="a")
    drill = replace(run, id="drill", of_drill=True, conditions=Conditions("2027-01-01"))
    project = Project(runs={run.id: run, drill.id: drill})
    assert [one.id for one in project.sprints] == [run.id]
    assert [one.id for one in first_taggings(project)] == [run.id]
    assert newest_run("a", project.runs.values()).id == run.id
