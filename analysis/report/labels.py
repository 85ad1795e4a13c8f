"""Where labels stand beside what they name, so that none lies upon another or beyond the edge."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from analysis.values.run import Side

RINGS = 4
"""So many times farther away a place is looked for; what stands below its place stays near it."""


FAR_AWAY = 1.8
"""A label so many gaps away from its place is led to it by a thin line."""


class Where(Enum):
    """On which side of its place a label stands first of all."""

    BESIDE = "beside"
    BELOW = "below"


@dataclass(frozen=True)
class Rect:
    """Left, top, width and height."""

    x: float
    y: float
    width: float
    height: float

    def holds(self, x: float, y: float) -> bool:
        """Whether a place lies in it."""
        return self.x <= x <= self.x + self.width and self.y <= y <= self.y + self.height

    def overlap(self, other: Rect) -> float:
        """The area that both cover."""
        if (  # most of them lie apart, and this is asked a thousand times for a picture
            other.x >= self.x + self.width
            or self.x >= other.x + other.width
            or other.y >= self.y + self.height
            or self.y >= other.y + other.height
        ):
            return 0.0
        across = min(self.x + self.width, other.x + other.width) - max(self.x, other.x)
        down = min(self.y + self.height, other.y + other.height) - max(self.y, other.y)
        return across * down


@dataclass(frozen=True)
class Label:
    """A text of that size for a place; ``gap``: how far away it stands at least; ``side``: whose it is."""

    text: str
    x: float
    y: float
    width: float
    height: float
    gap: float
    where: Where = Where.BESIDE
    side: Side | None = None


def laid_out(labels: Sequence[Label], taken: Sequence[Rect], surface: Rect) -> list[Rect]:
    """A place for each label, in turn: the first that is free, else the one that covers least."""
    filled = list(taken)
    places = []
    for label in labels:
        # pushed back from the edge it must not lie upon the very thing that it names
        own = Rect(label.x - label.gap / 2, label.y - label.gap / 2, label.gap, label.gap)
        best = _freest((_inside(rect, surface) for rect in _around(label)), [own, *filled])
        filled.append(best)
        places.append(best)
    return places


def lead_of(label: Label, place: Rect) -> tuple[float, float] | None:
    """Where a line from what a label names meets it, as it stands far away; None for one that stands near."""
    x = min(max(label.x, place.x), place.x + place.width)
    y = min(max(label.y, place.y), place.y + place.height)
    far = math.hypot(x - label.x, y - label.y) > FAR_AWAY * label.gap
    return (x, y) if far else None


def _freest(tried: Iterable[Rect], covered: Sequence[Rect]) -> Rect:
    """The first place that is free, else the one that covers least."""
    best, least = None, math.inf
    for rect in tried:
        over = 0.0
        for other in covered:
            over += rect.overlap(other)
            if over >= least:
                break
        else:
            best, least = rect, over
        if least == 0:
            break
    assert best is not None, "there is always a place to try"
    return best


def _around(label: Label) -> Iterator[Rect]:
    """Places round a label's own, the preferred ones first, then farther away."""
    w, h = label.width, label.height
    for ring in range(RINGS if label.where is Where.BESIDE else 1):
        gap = label.gap + ring * h
        right, left = label.x + gap, label.x - gap - w
        above, middle, below = label.y - gap - h, label.y - h / 2, label.y + gap
        centre = label.x - w / 2
        beside = [(right, middle), (left, middle)]
        under = [(centre, below), (centre, above)]
        corners = [(right, above), (right, below), (left, above), (left, below)]
        first = [*under, *beside] if label.where is Where.BELOW else [*beside, *under]
        yield from (Rect(x, y, w, h) for x, y in [*first, *corners])


def _inside(rect: Rect, surface: Rect) -> Rect:
    """Moved so far that all of it is on the surface."""
    x = max(surface.x, min(rect.x, surface.x + surface.width - rect.width))
    y = max(surface.y, min(rect.y, surface.y + surface.height - rect.height))
    return Rect(x, y, rect.width, rect.height)
