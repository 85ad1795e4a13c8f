"""What the marks tell of how a film was framed: size, tilt, room past the last place.

For the coach's next film; no measure rests on it.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from analysis.ground.carried import combine, normal, result
from analysis.ground.ground import Ground
from analysis.ground.straightening import straight_marks
from analysis.ground.view import View
from analysis.reading.camera import camera_reading
from analysis.reading.parts import ground_of
from analysis.values.estimate import Estimate, NoValue, Result
from analysis.values.evidence import Evidence
from analysis.values.finding import GOOD_TILT_DEG, Finding
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

USUAL_STATURE_M = 1.75
"""How tall an athlete is taken to be of whom nobody said (own assumption)."""
GOOD_PIXEL_M = 0.0125
"""A pixel no larger than this: 1280 pixels across 16 m (own)."""
ROOM_M = 2.5
"""Past the last place: a step of some 2 m at 10 m (common practice, no source) and half a body (own)."""

_SAMPLES = 128
_ON_THE_LINE_M = 1e-3


def framing_findings(evidence: Evidence) -> tuple[Finding, ...]:
    """What the marks of a run say of its framing, each with what it costs and how to film better."""
    run = evidence.run
    view, ground = ground_of(evidence)
    if isinstance(ground, NoValue):
        sentence = tr(
            "The tilt of the ground line, the size of the athlete and the metres in view are known once the "
            "run has a scale. {reason}"
        ).format(reason=ground.reason)
        return (Finding("marks", False, None, sentence),)
    stature = evidence.athlete.stature_m if evidence.athlete is not None else None
    findings = []
    marked = np.array([(mark.u, mark.v) for mark in straight_marks(view, run.marks)])
    if len(marked):
        findings.append(_athlete(ground, marked, stature or USUAL_STATURE_M))
    roll = camera_reading(run, ground, view).roll_deg
    if isinstance(roll, Estimate) and not ground.rough:
        findings.append(_tilt(roll))
    last_m = max(run.report_at_m, default=10.0)
    reach = reach_m(ground, view)
    if isinstance(reach, Estimate):
        findings.append(_room(reach, last_m))
    return tuple(findings)


def reach_m(ground: Ground, view: View) -> Result:
    """The farthest place of the running line that the picture shows, m, its 95 % interval from the map's
    errors; NoValue for a camera that turned, or where the line does not leave the picture that way.
    """
    if view.moves:
        return NoValue(tr("The camera turned with the athlete: what it shows changes from frame to frame."))
    edges = _border(view.width, view.height)
    places = ground.metres(view.straight(np.zeros(len(edges), dtype=np.int64), edges))
    crossings = [
        _crossing(ground, view, edges[n], edges[n + 1])
        for n in range(len(edges) - 1)
        if np.isfinite(places[n : n + 2]).all() and (places[n, 1] < 0) != (places[n + 1, 1] < 0)
    ]
    beyond = [(x, pixel) for x, pixel in filter(None, crossings) if x >= ground.to_m - 0.5]
    if not beyond:
        return NoValue(tr("The running line does not leave the picture past the marks."))
    x, pixel = max(beyond, key=_place)
    move = ground.map_changes(pixel[None])[0, 0]
    return result(combine(x, {normal(float(np.linalg.norm(move))): 1.0}))


def _place(crossing: tuple[float, Floats]) -> float:
    return crossing[0]


def _border(width: int, height: int) -> Floats:
    """Pixels all around the picture, back to the first."""
    corners = np.array([(0, 0), (width - 1, 0), (width - 1, height - 1), (0, height - 1), (0, 0)], float)
    sides = [np.linspace(a, b, _SAMPLES, endpoint=False) for a, b in pairwise(corners)]
    return np.concatenate([*sides, corners[:1]])


def _crossing(ground: Ground, view: View, one: Floats, two: Floats) -> tuple[float, Floats] | None:
    """Where the running line crosses a short piece of the border: its place, m, and the straight pixel there;
    None where the height only jumps, as it does at the horizon.
    """
    below = _at(ground, view, one)[1] < 0
    for _ in range(40):
        middle = (one + two) / 2
        if (_at(ground, view, middle)[1] < 0) == below:
            one = middle
        else:
            two = middle
    x, y = _at(ground, view, one)
    return (float(x), _straight(view, one)) if abs(y) < _ON_THE_LINE_M else None


def _at(ground: Ground, view: View, pixel: Floats) -> Floats:
    out: Floats = ground.metres(_straight(view, pixel)[None])[0]
    return out


def _straight(view: View, pixel: Floats) -> Floats:
    out: Floats = view.straight(np.zeros(1, dtype=np.int64), pixel[None])[0]
    return out


def _athlete(ground: Ground, marked: Floats, stature_m: float) -> Finding:
    along, across = ground.pixel_changes(marked.mean(axis=0)[None])[:, 0]
    pixel_m = math.sqrt(abs(float(along[0] * across[1] - along[1] * across[0])))
    sentence = tr(
        "An athlete of {stature:.2f} m is some {tall:.0f} pixels tall: a click off by one pixel moves a "
        "place by {cm:.1f} cm."
    ).format(stature=stature_m, tall=stature_m / pixel_m, cm=100 * pixel_m)
    if pixel_m <= GOOD_PIXEL_M:
        return Finding("athlete", True, pixel_m, sentence)
    better = tr("Film with more pixels, or let the run fill the picture's width.")
    return Finding("athlete", False, pixel_m, f"{sentence} {better}")


def _tilt(roll: Estimate) -> Finding:
    sentence = tr("The ground line is tilted in the picture by {deg:.1f}° (95 %: {low:.1f}° to {high:.1f}°).")
    said = sentence.format(deg=abs(roll.value), low=_least(roll), high=max(abs(roll.low), abs(roll.high)))
    if abs(roll.value) <= GOOD_TILT_DEG:
        return Finding("tilt", True, roll.value, said)
    cost = tr(
        "While the marks stand, angles are measured against the line; without them every angle would be off "
        "by as much, and on a lane that slopes they are. Level the phone by its grid lines."
    )
    return Finding("tilt", False, roll.value, f"{said} {cost}")


def _least(roll: Estimate) -> float:
    return 0.0 if roll.low <= 0 <= roll.high else min(abs(roll.low), abs(roll.high))


def _room(reach: Estimate, last_m: float) -> Finding:
    room = reach.value - last_m
    said = tr("The picture reaches to {reach:.1f} m").format(reach=reach.value)
    if room >= 0:
        said = tr("{said}, {room:.1f} m past {last:g} m.").format(said=said, room=room, last=last_m)
    else:
        said = tr("{said}, not as far as {last:g} m.").format(said=said, last=last_m)
    if room >= ROOM_M:
        return Finding("room", True, room, said)
    cost = tr(
        "The speed there is read from hips up to a whole step past it, which needs some {need:.1f} m: with "
        "less, only the mean of the last whole step is given. Stand farther back, or turn the phone a little "
        "along the run."
    ).format(need=ROOM_M)
    return Finding("room", False, room, f"{said} {cost}")
