"""Evidence that can't be read well says so in words, and the rest still reads."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.posture import Moment
from analysis.values.questions import Question
from analysis.values.run import BodyPoint
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample
from tests.bench.coverage_truth import simulate

MADE = simulate(5, 120).evidence


def test_two_frames_a_second():
    """Events a frame apart stand on half a second: numbers with honest, huge intervals, never a failure."""
    times = FrameTimes.from_seconds([n / 2 for n in range(MADE.film.frames)])
    reading = read(replace(MADE, film=FilmFacts(times, MADE.film.width, MADE.film.height)))
    contacts = [s.contact_s for s in reading.steps]
    assert all(isinstance(c, Estimate) and c.half_width > 0.35 for c in contacts)
    assert any("slow motion" in note.lower() for note in reading.notes)


def test_a_film_cut_in_the_middle_of_the_run():
    """The film ends before the last three footfalls: these say so, the others keep their numbers."""
    cut = MADE.run.footfalls[-3].touchdown
    times = FrameTimes.from_seconds(MADE.film.times.seconds[:cut].tolist())
    whole, part = read(MADE), read(replace(MADE, film=FilmFacts(times, MADE.film.width, MADE.film.height)))
    assert any("beyond the film's last frame" in note for note in part.doubts)
    for before, after in list(zip(whole.steps, part.steps, strict=True))[:-4]:
        assert after.contact_s.value == pytest.approx(before.contact_s.value)
        assert after.step_length_m.value == pytest.approx(before.step_length_m.value)
    assert isinstance(part.steps[-1].contact_s, NoValue)
    assert isinstance(part.speeds[1].local_m_s, NoValue)


def test_a_hip_far_off_spoils_the_curve_and_nothing_else():
    points = list(MADE.run.points)
    place = next(n for n, p in enumerate(points) if p.name.endswith("_hip") and p.frame > 150)
    points[place] = replace(points[place], u=points[place].u + 400.0)
    reading = read(replace(MADE, run=replace(MADE.run, points=tuple(points))))
    for number in (reading.speeds[0].model_m_s, reading.speeds[0].local_m_s):
        assert isinstance(number, NoValue)
        assert "Look at" in number.reason
    assert reading.speed_band is None
    assert isinstance(reading.steps[2].contact_s, Estimate)
    assert isinstance(reading.steps[2].step_length_m, Estimate)


def test_a_film_that_stops_short_gives_the_last_step_s_mean_and_names_it():
    last = MADE.run.footfalls[-4]
    run = replace(
        MADE.run,
        footfalls=MADE.run.footfalls[:-3],
        points=tuple(p for p in MADE.run.points if p.frame <= last.touchdown),
        last_frame=FrameNumber(last.touchdown + 1),
    )
    reading = read(replace(MADE, run=run))
    at_ten = reading.speeds[1]
    assert isinstance(at_ten.local_m_s, NoValue)
    assert isinstance(at_ten.last_step_m_s, Estimate)
    assert any("last whole step" in note for note in reading.notes)


def test_the_curve_of_speed_has_a_band_over_time_and_distance():
    band = read(MADE).speed_band
    assert len(band.time_s) == len(band.x_m) == len(band.v_m_s) == len(band.low_m_s) == len(band.high_m_s)
    assert all(b > a for a, b in zip(band.x_m, band.x_m[1:], strict=False))
    assert all(low < v < high for low, v, high in zip(band.low_m_s, band.v_m_s, band.high_m_s, strict=True))
    model = read(MADE).speeds[1].model_m_s
    near = min(range(len(band.x_m)), key=lambda n: abs(band.x_m[n] - 10.0))
    assert band.v_m_s[near] == pytest.approx(model.value, abs=0.15)
    assert band.high_m_s[near] - band.v_m_s[near] == pytest.approx(model.half_width, rel=0.15)


def _placed_about(frame, spoiled):
    """A sample clip whose whole body is placed on three frames, where the renderer has it; ``spoiled`` gives
    another place to a point of the middle one.
    """
    with np.load(SAMPLES / "wing_day1.truth.npz") as arrays:
        names, pixels = [str(n) for n in arrays["names"]], arrays["pixels"]
    points = []
    for at in (frame - 12, frame, frame + 12):
        body = dict(zip(names, pixels[at].astype(float), strict=True))
        if at == frame:
            body = {name: spoiled(name, body) for name in names}
        points += [BodyPoint(FrameNumber(at), name, *map(float, place)) for name, place in body.items()]
    evidence = evidence_of(sample("wing_day1")[0])
    return read(replace(evidence, run=replace(evidence.run, points=tuple(points), lines=())))


def _other_leg(name, body):
    side, _, part = name.partition("_")
    if part not in ("hip", "knee", "ankle", "heel", "toe"):
        return body[name]
    return body[f"{'left' if side == 'right' else 'right'}_{part}"]


def _long_shin(name, body):
    if name != "right_ankle":
        return body[name]
    return body["right_knee"] + 1.6 * (body["right_ankle"] - body["right_knee"])


@pytest.mark.parametrize("spoiled", [_other_leg, _long_shin])
def test_no_fault_is_found_in_a_leg_that_is_placed_as_no_leg_can_be(spoiled):
    """Placed well, step 2 is judged by its touchdown distance; else the frame to look at is said instead."""
    frame = evidence_of(sample("wing_day1")[0]).run.footfalls[1].touchdown

    def strike(reading):
        answer = next(a for a in reading.questions if a.question is Question.STRIKE)
        at = [
            m for m in answer.measures if (m.step, m.moment) == (2, Moment.TOUCHDOWN) and m.band is not None
        ]
        return answer, {m.measure: m.result for m in at}

    _, well = strike(_placed_about(frame, lambda name, body: body[name]))
    assert isinstance(well["touchdown_distance_m"], Estimate)
    reading = _placed_about(frame, spoiled)
    answer, badly = strike(reading)
    assert set(badly) == set(well)
    for result in badly.values():
        assert isinstance(result, NoValue)
        assert f"frame {frame}" in result.reason
    assert answer.departures == ()
    assert any(f"frame {frame}" in note for note in reading.notes)


def test_the_launch_is_not_judged_by_legs_changed_over_at_the_front_toe_off():
    """Trunk against shin reads as inside its band where the other leg's shin is taken."""
    evidence = evidence_of(sample("wing_day1")[0])
    frame = evidence.run.start.front_toe_off
    with np.load(SAMPLES / "wing_day1.truth.npz") as arrays:
        names, pixels = [str(n) for n in arrays["names"]], arrays["pixels"]
    body = dict(zip(names, pixels[frame].astype(float), strict=True))

    def match(of):
        points = [BodyPoint(FrameNumber(frame), name, *map(float, of(name, body))) for name in names]
        reading = read(replace(evidence, run=replace(evidence.run, points=tuple(points), lines=())))
        answer = next(a for a in reading.questions if a.question is Question.LAUNCH)
        judged = next(m.result for m in answer.measures if m.measure == "trunk_shin_match_deg")
        return judged, reading.notes

    well, _ = match(lambda name, body: body[name])
    assert isinstance(well, Estimate)
    badly, notes = match(_other_leg)
    assert isinstance(badly, NoValue)
    assert f"frame {frame}" in badly.reason
    assert any(f"On frame {frame} the" in note and "changed over" in note for note in notes)
