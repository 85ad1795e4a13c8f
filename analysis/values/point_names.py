"""How the points of the body are called."""

from __future__ import annotations

from analysis.values.words import tr


def point_words(name: str) -> str:
    """The name of a body point for people: "left shoe tip"."""
    side, _, part = name.partition("_") if name.startswith(("left_", "right_")) else ("", "", name)
    part = {"toe": tr("shoe tip"), "mid_back": tr("mid-back")}.get(part, part)
    return f"{tr(side)} {part}" if side else part
