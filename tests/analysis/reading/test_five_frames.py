"""A film of five frames around one touchdown: what it can tell is read, the rest says what is missing."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.reading import read
from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.posture import Moment
from analysis.values.run import BodyPoint, StartPush
from tests.analysis.reading.runs import SAMPLES, evidence_of, sample

BEFORE, FRAMES = 2, 5


@pytest.fixture(scope="module")
def made():
    """The second footfall of a sample clip with the renderer's whole body on each of the frames."""
    sheet, truth = sample("wing_day1")
    evidence = evidence_of(sheet)
    footfall = evidence.run.footfalls[1]
    with np.load(SAMPLES / "wing_day1.truth.npz") as arrays:
        names, pixels = [str(name) for name in arrays["names"]], arrays["pixels"]
    begin = footfall.touchdown - BEFORE
    run = replace(
        evidence.run,
        first_frame=FrameNumber(0),
        last_frame=FrameNumber(FRAMES - 1),
        marks=tuple(replace(mark, frame=FrameNumber(0)) for mark in evidence.run.marks),
        start=StartPush(),
        footfalls=(replace(footfall, touchdown=FrameNumber(BEFORE), toe_off=None),),
        points=tuple(
            BodyPoint(FrameNumber(frame), name, *map(float, pixels[begin + frame, column]))
            for frame in range(FRAMES)
            for column, name in enumerate(names)
        ),
        lines=(),
    )
    times = FrameTimes.from_seconds([frame / 240 for frame in range(FRAMES)])
    film = FilmFacts(times, evidence.film.width, evidence.film.height)
    return read(replace(evidence, run=run, film=film)), truth["steps"][1]


def test_posture_at_the_touchdown_is_the_renderers(made):
    reading, truth = made
    at = {row.measure: row.result for row in reading.posture if row.moment is Moment.TOUCHDOWN}
    for measure, key in (
        ("touchdown_distance_m", "touchdown_distance_m"),
        ("shin_deg", "shin_touchdown_deg"),
        ("trunk_deg", "trunk_touchdown_deg"),
        ("com_height_m", "com_height_touchdown_m"),
    ):
        found = at.get(measure)
        assert isinstance(found, Estimate), measure
        assert found.low <= truth[key] <= found.high, measure


def test_what_five_frames_cannot_tell_says_what_is_missing(made):
    reading, _ = made
    others = [row.result for row in reading.posture if row.moment is not Moment.TOUCHDOWN]
    assert others
    for result in others:
        assert isinstance(result, NoValue)
        assert result.reason.endswith(".")
        assert "not tagged" in result.reason
    assert all(isinstance(step.contact_s, NoValue) for step in reading.steps)
    cause = reading.first_cause
    assert cause is not None
    assert cause.question is None or cause.first_readable, (
        "the launch can't be read: nothing is named as first"
    )
