"""Answers, rhythm and first cause as plain JSON."""

from __future__ import annotations

from typing import Any

from analysis.reading.cells import number_to_json
from analysis.values.answers import Answer, Departure, FirstCause, Judged, Rhythm, Settling

_Json = dict[str, Any]


def answer_to_json(answer: Answer) -> _Json:
    """One question with its measures."""
    return {
        "question": answer.question.value,
        "verdict": answer.verdict.value,
        "answer": answer.sentence,
        "beside": answer.beside,
        "frames": list(answer.frames),
        "measures": [_judged(one) for one in answer.measures],
        "over_steps": [_judged(one) for one in answer.over_steps],
    }


def _judged(one: Judged) -> _Json:
    return {
        "name": one.measure,
        "words": one.name,
        "moment": one.moment.value,
        "step": one.step,
        "side": None if one.side is None else one.side.value,
        "frames": list(one.frames),
        "number": number_to_json(one.result),
        "band": [None, None] if one.band is None else [one.band.low, one.band.high],
        "band_source": one.source,
        "verdict": one.verdict.value,
    }


def rhythm_to_json(rhythm: Rhythm) -> _Json:
    """Breaks, side differences and the course of every number."""
    return {
        "breaks": [
            {
                "measure": one.measure,
                "steps": [one.first_step, one.second_step],
                "difference": number_to_json(one.difference),
                "frames": list(one.frames),
            }
            for one in rhythm.breaks
        ],
        "sides": [
            {
                "measure": one.measure,
                "left_less_right": number_to_json(one.difference),
                "told_apart": one.told,
            }
            for one in rhythm.sides
        ],
        "courses": [
            {
                "measure": one.measure,
                "way": one.way.value,
                "departs": one.departs,
                "change_per_step": number_to_json(one.change),
                "ragged_s": one.ragged_s,
                "chance_s": one.chance_s,
            }
            for one in rhythm.courses
        ],
    }


def first_cause_to_json(cause: FirstCause | None) -> _Json:
    """Where it began."""
    if cause is None:
        return {"question": None, "sentence": ""}
    return {
        "question": None if cause.question is None else cause.question.value,
        "sentence": cause.sentence,
        "first_readable": cause.first_readable,
        "departures": [_departure(one) for one in cause.departures],
        "following": [_departure(one) for one in cause.following],
        "unread": [question.value for question in cause.unread],
        "in_part": [{"question": one.question.value, "without": list(one.without)} for one in cause.in_part],
        "taken_for_granted": [fact.value for fact in cause.unsaid],
        "would_change": [_settling(one) for one in cause.would_change],
        "overruled": None
        if cause.coach is None
        else {
            "question": None if cause.coach.question is None else cause.coach.question.value,
            "reason": cause.coach.reason,
        },
    }


def _departure(one: Departure) -> _Json:
    return {
        "question": one.question.value,
        "sentence": one.sentence,
        "steps": list(one.steps),
        "frames": list(one.frames),
    }


def _settling(one: Settling) -> _Json:
    wanted = [{"frame": frame, "name": name} for frame, name in one.wanted]
    return {
        "question": one.question.value,
        "sentence": one.sentence,
        "clicks": one.clicks,
        "wanted": wanted,
    }
