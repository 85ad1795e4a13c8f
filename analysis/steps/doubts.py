"""Sentences that question tags and marks, each with the step that it names."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from analysis.steps.naming import in_steps
from analysis.values.words import capital, tr

OF_START = 0
"""The step of a doubt about the start push."""


@dataclass(frozen=True)
class Doubt:
    """A sentence for the coach, and the first step that it names: ``OF_START`` for the start push, None for
    the marks.
    """

    step: int | None
    sentence: str


def by_step(doubts: Iterable[Doubt]) -> tuple[str, ...]:
    """The sentences in order of step, each once: the start push first, the marks last."""
    ordered = sorted(doubts, key=_place)
    return tuple(dict.fromkeys(doubt.sentence for doubt in ordered))


def of_steps(steps: Iterable[int], sentence: str) -> Doubt:
    """A sentence about frames, with the steps before it."""
    numbers = sorted(set(steps))
    named = in_steps(numbers)
    words = tr("{steps}: {sentence}").format(steps=capital(named), sentence=sentence)
    return Doubt(numbers[0], words)


def _place(doubt: Doubt) -> tuple[bool, int]:
    return (doubt.step is None, doubt.step or 0)
