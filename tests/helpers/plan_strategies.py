"""Hypothesis strategies for drills and planned days."""

from __future__ import annotations

from hypothesis import strategies as st

from analysis.values.day_plan import DayPlan, Done, PlannedDrill
from analysis.values.drill import Block, Dose, Drill, Part, RestAfter, Span
from analysis.values.drill_film import DrillEvent, DrillFilm, DrillKind, DrillRep
from analysis.values.questions import Question

ids = st.text("abcdef0123456789", min_size=4, max_size=12)
texts = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20)
_many = st.lists(texts, max_size=3).map(tuple)
_spans = st.tuples(st.floats(1, 300), st.floats(1, 300)).map(lambda ends: Span(*sorted(ends)))


def _some(kind: type, least: int = 0) -> st.SearchStrategy:
    return st.lists(st.sampled_from(kind), min_size=least, unique=True).map(tuple)


drills = st.builds(
    Drill,
    id=ids,
    name=texts.map(lambda words: f"{words}."),
    blocks=_some(Block, 1),
    questions=_some(Question),
    parts=_some(Part),
    purpose=texts,
    set_up=texts,
    dose=st.builds(Dose, _spans, _spans, _spans, st.sampled_from(RestAfter), texts, texts),
    rep_s=st.floats(0.1, 600),
    sprint_m=st.floats(0, 100).map(lambda x: x + 0.0),
    look_for=_many,
    faults=_many,
    easier=texts,
    harder=texts,
    cautions=_many,
    defer=texts,
    experienced=st.booleans(),
    own=st.just(True),
)

planned_drills = st.builds(
    PlannedDrill,
    ids,
    ids,
    st.sampled_from(Block),
    st.integers(1, 9),
    st.integers(1, 99),
    st.floats(0, 900).map(lambda x: x + 0.0),
    texts,
    texts,
    st.lists(st.tuples(ids, texts), max_size=3).map(tuple),
    st.none() | st.builds(Done, texts, texts),
)

days = st.builds(
    DayPlan,
    ids,
    texts,
    st.just(()),
    st.none() | st.sampled_from(Question),
    st.lists(planned_drills, max_size=4).map(tuple),
    st.none() | st.floats(0, 600).map(lambda x: x + 0.0),
    st.integers(1, 5),
    texts,
)

_frames = st.integers(0, 5000)
_reps = st.tuples(_frames, _frames).flatmap(
    lambda ends: st.builds(
        DrillRep,
        ids,
        st.just(min(ends)),
        st.just(max(ends)),
        st.integers(1, 9),
        st.integers(1, 99),
        texts,
        st.lists(st.tuples(st.sampled_from(DrillEvent), _frames), max_size=4).map(tuple),
    )
)


def drill_films(run_ids: list[str], day_ids: list[str]) -> st.SearchStrategy:
    """Films of drills of these runs and days."""
    reps = st.lists(_reps, max_size=3, unique_by=lambda rep: rep.id).map(tuple)
    owners = st.sampled_from(run_ids), st.sampled_from(day_ids)
    return st.builds(DrillFilm, ids, *owners, ids, st.sampled_from(DrillKind), reps)
