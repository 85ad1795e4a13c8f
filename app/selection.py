"""What is selected: an event, or a thing drawn on the picture."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.values.command import Kind
from app.marking.events import EventRef


@dataclass(frozen=True)
class PartRef:
    """A mark, point or line; ``end`` is "lower" or "upper" where one end of a line is meant."""

    kind: Kind
    id: str
    end: str = ""


Selected = EventRef | PartRef
