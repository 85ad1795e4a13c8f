"""Groups by first cause; who is not certain stands apart."""

from __future__ import annotations

from analysis.plan.grouping import FirstCause, grouped
from analysis.values.questions import Question


def test_groups_stand_in_the_order_of_the_chain_and_the_doubtful_apart():
    causes = {
        "a": FirstCause(Question.STRIKE, certain=True),
        "b": FirstCause(Question.LAUNCH, certain=True),
        "c": FirstCause(Question.STRIKE, certain=True),
        "d": FirstCause(Question.STRIKE, certain=False),
        "e": FirstCause(None, certain=True),
        "f": FirstCause(None, certain=False),
    }
    groups = grouped(causes)
    assert list(groups.by_question.items()) == [(Question.LAUNCH, ("b",)), (Question.STRIKE, ("a", "c"))]
    assert groups.nothing == ("e",)
    assert groups.doubtful == ("d", "f")
