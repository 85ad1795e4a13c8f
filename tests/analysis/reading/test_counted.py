"""Drafts count only by the coach's word, and then the reading says so."""

from dataclasses import replace

from analysis.reading import read
from analysis.values.estimate import Estimate
from analysis.values.evidence import Evidence
from analysis.values.film import FilmFacts, FrameNumber, FrameTimes
from analysis.values.run import Footfall, Run, Side


def evidence(count_drafts):
    """At 100 frames a second, by hand: a contact of 0.12 s, a flight of 0.10 s, then a draft."""
    falls = (
        Footfall("a", Side.LEFT, FrameNumber(40), FrameNumber(52)),
        Footfall("b", Side.RIGHT, FrameNumber(62), FrameNumber(73), draft=True, confidence=0.8),
    )
    run = Run("r", "f", "", FrameNumber(0), FrameNumber(99), footfalls=falls, count_drafts=count_drafts)
    return Evidence(run, FilmFacts(FrameTimes.from_seconds([n / 100 for n in range(100)]), 640, 360))


def test_a_draft_counts_only_where_the_coach_says_so_and_it_is_said():
    without, with_it = read(evidence(False)), read(evidence(True))
    assert [s.footfall_id for s in without.steps] == ["a"]
    assert not any("draft" in note for note in without.notes)
    assert [s.footfall_id for s in with_it.steps] == ["a", "b"]
    assert isinstance(with_it.steps[1].contact_s, Estimate)
    assert abs(with_it.steps[1].contact_s.value - 0.11) < 1e-6
    assert "1 draft counts in this reading though nobody has confirmed it." in with_it.notes


def test_with_every_draft_confirmed_nothing_is_said():
    given = evidence(True)
    confirmed = tuple(replace(f, draft=False) for f in given.run.footfalls)
    found = read(replace(given, run=replace(given.run, footfalls=confirmed)))
    assert not any("draft" in note for note in found.notes)
