"""All that a drill says, as rich text."""

from __future__ import annotations

from html import escape

from analysis.plan.wording import BLOCK_WORDS, PART_WORDS, dose_words
from analysis.values.drill import Drill
from analysis.values.questions import QUESTION_NAMES
from analysis.values.words import tr
from app.theme.tokens import Theme


def drill_words(drill: Drill, theme: Theme) -> str:
    """A page on one drill."""
    serves = tr("serves {questions}; stands in {blocks}").format(
        questions=", ".join(QUESTION_NAMES[one] for one in drill.questions),
        blocks=", ".join(BLOCK_WORDS[one].lower() for one in drill.blocks),
    )
    parts = ", ".join(PART_WORDS[one] for one in drill.parts)
    out = [
        f"<h3>{escape(drill.name)}</h3>",
        f'<p style="color:{theme.muted}">{escape(serves)}<br>{escape(parts)}</p>',
        f"<p>{escape(drill.purpose)}</p>",
        _said(tr("Set-up"), drill.set_up),
        _said(tr("Dose"), f"{dose_words(drill.dose)} ({drill.dose.source})"),
        _listed(tr("Look for"), drill.look_for),
        _listed(tr("Common faults"), drill.faults),
        _said(tr("Easier"), drill.easier),
        _said(tr("Harder"), drill.harder),
        _listed(tr("Mind"), drill.cautions),
        _said(tr("Who leaves it out"), drill.defer),
    ]
    return "".join(out)


def _said(head: str, words: str) -> str:
    return f"<p><b>{escape(head)}</b><br>{escape(words)}</p>" if words.strip() else ""


def _listed(head: str, lines: tuple[str, ...]) -> str:
    if not lines:
        return ""
    return f"<p><b>{escape(head)}</b></p><ul>{''.join(f'<li>{escape(one)}</li>' for one in lines)}</ul>"
