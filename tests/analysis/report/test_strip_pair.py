"""Two posture strips: matched by event, at one scale; held against the truth beside both rendered films."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from analysis.jobs.evidence import evidence_of_sheet
from analysis.reading.lock import EventKind, Moment
from analysis.reading.read import read
from analysis.report.ink import Ink
from analysis.report.scene import Scene
from analysis.report.strip_drawing import HEIGHT_PX, frame_picture, pair_picture, strip_picture
from analysis.report.strip_pair import StripPair, strip_pair
from analysis.values.run import Direction

SAMPLES = Path(__file__).resolve().parents[3] / "sample_clips"
CLIPS = ("wing_day1", "wing_day2")


@pytest.fixture(scope="module")
def both():
    evidence = [evidence_of_sheet(SAMPLES / f"{clip}.json")[0] for clip in CLIPS]
    return [(one, read(one)) for one in evidence]


@pytest.fixture(scope="module")
def pair(both):
    return strip_pair(*both)


@pytest.fixture(scope="module")
def truths():
    return [np.load(SAMPLES / f"{clip}.truth.npz") for clip in CLIPS]


def jpegs(pair):
    """A grey picture for every frame, of the size of the films."""
    out = io.BytesIO()
    Image.new("RGB", (1280, 720), "#808080").save(out, "JPEG")
    frames = [c.upper or c.lower for c in pair.columns] + [c.lower or c.upper for c in pair.columns]
    return ({int(f.frame): out.getvalue() for f in frames},) * 2


def test_every_event_stands_over_its_own(pair, both):
    for column in pair.columns:
        assert column.upper.moment == column.lower.moment == column.moment
    kinds = [c.moment.kind for c in pair.columns[:5]]
    assert kinds == [
        EventKind.FIRST_MOVEMENT,
        EventKind.REAR_TOE_OFF,
        EventKind.FRONT_TOE_OFF,
        EventKind.TOUCHDOWN,
        EventKind.TOE_OFF,
    ]
    frames = [int(c.upper.frame) for c in pair.columns]
    assert frames == sorted(frames)


def test_a_metre_is_as_long_in_every_frame_of_both(pair, truths):
    """The right thigh as it was drawn, in pixels and metres; 4 %: it is not in the plane of the hips."""
    assert pair.one_scale
    lengths = []
    for place, truth in enumerate(truths):
        rows = [list(truth["names"]).index(name) for name in ("right_hip", "right_knee")]
        for column in pair.columns:
            shown = (column.upper, column.lower)[place]
            seen, true = (
                np.linalg.norm(np.diff(truth[kind][shown.frame][rows], axis=0))
                for kind in ("pixels", "metres")
            )
            lengths.append(seen / true / shown.box.height)
    assert lengths == pytest.approx([np.median(lengths)] * len(lengths), rel=0.04)


def test_an_event_without_a_partner_leaves_a_gap(both):
    (one, _), other = both
    run = replace(one.run, footfalls=one.run.footfalls[:2])
    short = replace(one, run=run)
    pair = strip_pair((short, read(short)), other)
    assert len(pair.columns) > 8
    gap = next(c for c in pair.columns if c.moment == Moment(EventKind.TOUCHDOWN, 4))
    assert gap.upper is None
    assert gap.lower is not None
    picture = Image.open(io.BytesIO(pair_picture(pair, jpegs(pair), CLIPS)))
    assert np.asarray(picture)[100 + HEIGHT_PX // 2, -60].min() == 255, "nothing stands above the last one"


def test_without_a_scale_in_one_of_them_that_is_known(both):
    (one, _), other = both
    bare = replace(one, run=replace(one.run, marks=()))
    pair = strip_pair((bare, read(bare)), other)
    assert not pair.one_scale
    assert pair.columns


def test_where_one_run_has_nothing_to_show_the_other_stands_alone(both):
    (one, _), other = both
    bare = replace(one, run=replace(one.run, points=(), lines=()), tracks=None)
    pair = strip_pair((bare, read(bare)), other)
    assert pair.upper.reason
    assert all(c.upper is None for c in pair.columns)
    with pytest.raises(ValueError, match="Place hips"):
        pair_picture(StripPair(upper=pair.upper), ({}, {}), CLIPS)


def to_the_left(evidence):
    """The same run filmed so that it goes to the left: left for right across the picture."""
    width = evidence.film.width - 1
    run = replace(
        evidence.run,
        direction=Direction.LEFT,
        marks=tuple(replace(m, u=width - m.u) for m in evidence.run.marks),
        points=tuple(replace(p, u=width - p.u) for p in evidence.run.points),
        lines=(),
    )
    return replace(evidence, run=run)


def test_a_run_to_the_other_side_is_shown_mirrored(both):
    """A grey that rises across the film, and falls across the one that was filmed from the other side: both
    frames of an event show the same grey in the same place.
    """
    (one, reading), _ = both
    plain = replace(one, run=replace(one.run, lines=()))
    turned = to_the_left(one)
    pair = strip_pair((plain, reading), (turned, read(turned)))
    assert pair.mirrored
    assert not strip_pair((plain, reading), (plain, reading)).mirrored
    across = np.tile(np.linspace(0, 255, one.film.width), (one.film.height, 1)).astype(np.uint8)
    films = [Image.fromarray(grey).convert("RGB") for grey in (across, across[:, ::-1])]
    kept = []
    for film in films:
        out = io.BytesIO()
        film.save(out, "JPEG", quality=95)
        kept.append(out.getvalue())
    for column in pair.columns:
        upper, lower = (
            np.asarray(frame_picture(jpeg, replace(frame, scene=Scene()), 200, Ink(), mirrored=turn), float)
            for jpeg, frame, turn in zip(kept, (column.upper, column.lower), (False, True), strict=True)
        )
        assert upper.shape == lower.shape
        rising = upper[100, :, 0]
        assert rising[-1] > rising[0] + 20
        assert np.abs(upper - lower).mean() < 3
    two = Image.open(io.BytesIO(pair_picture(pair, jpegs(pair), CLIPS)))
    assert two.height > 2 * HEIGHT_PX


def test_the_picture_of_both_is_two_rows_of_one(pair):
    kept = jpegs(pair)
    two = Image.open(io.BytesIO(pair_picture(pair, kept, CLIPS)))
    one = Image.open(io.BytesIO(strip_picture(pair.upper, kept[0], CLIPS[0])))
    assert two.width == one.width
    assert two.height > 1.8 * one.height
