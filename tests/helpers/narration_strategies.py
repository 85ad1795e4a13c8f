"""Hypothesis strategies for narrations, and for what was spoken."""

from __future__ import annotations

from hypothesis import strategies as st

from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Overlay, Stop
from analysis.values.recording import PenPoint, PenStroke, Recording, Shown
from tests.helpers.plan_strategies import ids, texts

_frames = st.integers(0, 2000).map(FrameNumber)
_times = st.floats(0, 900).map(lambda x: x + 0.0)
_pixels = st.floats(-5000, 5000).map(lambda x: x + 0.0)
_zooms = st.none() | st.tuples(_pixels, _pixels, st.floats(1, 4000), st.floats(1, 4000))

stops = st.builds(
    Stop,
    ids,
    _frames,
    texts,
    st.lists(st.sampled_from(Overlay), unique=True).map(tuple),
    _zooms,
    st.floats(0, 60).map(lambda x: x + 0.0),
    st.floats(0.01, 1),
    st.none() | _frames,
    _zooms,
)


def narrations(run_ids: list[str]) -> st.SearchStrategy:
    """Narrations over one or two of these runs, with nothing spoken."""
    over = st.lists(st.sampled_from(run_ids), min_size=1, max_size=2).map(tuple)
    held = st.lists(stops, max_size=4, unique_by=lambda stop: stop.id).map(tuple)
    return st.builds(Narration, ids, texts, over, held)


recordings = st.builds(
    Recording,
    ids,
    st.binary(max_size=40),
    _times,
    st.lists(st.builds(Shown, _times, _frames, st.none() | _frames, ids), max_size=5).map(tuple),
    st.lists(
        st.builds(
            PenStroke,
            st.lists(st.builds(PenPoint, _times, _pixels, _pixels), max_size=4).map(tuple),
            st.none() | _times,
            st.booleans(),
        ),
        max_size=3,
    ).map(tuple),
)
