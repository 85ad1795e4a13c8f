"""A question's measures as rows of words: pure, so that they can be tested without a window."""

from __future__ import annotations

from analysis.reading.wording import band_in_words
from analysis.report.answer_words import judged_words
from analysis.report.sections import Row, Section
from analysis.report.words import explanation, number_text, side_word, unit_shown
from analysis.values.answers import Answer, Judged
from analysis.values.estimate import NoValue
from analysis.values.words import capital, tr


def measures_section(answer: Answer) -> Section:
    """Every measure of a question with its number, its band and its verdict, each at its frame; then what is
    judged by its direction over the steps.
    """
    return Section(tr("Measures"), tuple(_row(one) for one in (*answer.measures, *answer.over_steps)))


def _row(one: Judged) -> Row:
    place = tr("step {step} {side}").format(step=one.step, side=side_word(one.side)).strip()
    name = capital(one.name)
    under = judged_words(one)
    if one.band is not None:
        under = tr("{verdict}, {band}").format(verdict=under, band=band_in_words(one.band))
    if one.step and one.side is not None:
        under = tr("{place}: {judged}").format(place=place, judged=under)
    unit = unit_shown(one.measure)
    if isinstance(one.result, NoValue):
        under = f"{under}. {one.result.reason}"
    else:
        under = f"{number_text(one.result, unit)}; {under}"
    frame = int(one.frames[0]) if one.frames else None
    return Row(name, "", explanation(one.result, unit), f"{name}, {under}", frame=frame, under=under)
