"""Two pictures at one scale in metres, the same metre at the same place across. Only views; no Qt here."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.reading.lane import Lane
from app.film.mapping import LARGEST, SMALLEST, ViewMapping

_GROUND_AT = 0.8
"""Where in a view's height the running line lies, where the view shows less than the whole picture."""

Place = tuple[float, float]
Size = tuple[float, float]


@dataclass(frozen=True)
class Stretch:
    """Two places of the running line in one picture: at ``from_m`` and at ``to_m``."""

    begin: Place
    end: Place


def common(one: Lane, two: Lane) -> tuple[Stretch, Stretch] | None:
    """The stretch of the lane that both pictures show, in each of them; None where there is none."""
    low, high = max(one.from_m, two.from_m), min(one.to_m, two.to_m)
    if not high - low > 0.1:
        return None
    first, second = (Stretch(lane.pixel(low), lane.pixel(high)) for lane in (one, two))
    return first, second


def across(picture: Size, view: Size, stretch: Stretch, plain: ViewMapping) -> ViewMapping:
    """The whole width of the picture, with the running line low in the view; ``plain`` where that is all."""
    scale = min(LARGEST, max(SMALLEST, view[0] / picture[0]))
    if picture[1] * scale <= view[1]:
        return plain
    middle_u, ground_v = (picture[0] - 1) / 2, (stretch.begin[1] + stretch.end[1]) / 2
    shown = plain.scaled_so(scale, (middle_u, ground_v), (view[0] / 2, view[1] * _GROUND_AT))
    top = min(0.0, max(view[1] - picture[1] * scale, shown.top))
    return shown.moved(0.0, top - shown.top)


def matched(
    held: ViewMapping, own: Stretch, other: Stretch, plain: ViewMapping, taller: float = 0.0
) -> ViewMapping:
    """The other picture so that its stretch lies across as the held one's does. ``plain``: any mapping of the
    other view; whether it is mirrored stays. ``taller``: by how much the other view is higher, in points.
    """
    held = held.moved(0.0, taller * _GROUND_AT)
    begin, end = held.to_widget(*own.begin), held.to_widget(*own.end)
    unit = plain.scaled_so(1.0, other.begin, (0.0, 0.0))
    reach = unit.to_widget(*other.end)[0]
    wanted = end[0] - begin[0]
    if abs(reach) < 1e-6:
        return plain
    scale = min(LARGEST, max(SMALLEST, abs(wanted / reach)))
    if wanted * reach > 0:
        return plain.scaled_so(scale, other.begin, begin)
    # they run to opposite sides: the same scale, about the same middle
    middle = ((begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2)
    halfway = ((other.begin[0] + other.end[0]) / 2, (other.begin[1] + other.end[1]) / 2)
    return plain.scaled_so(scale, halfway, middle)
