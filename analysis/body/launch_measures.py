"""Did the push from the set position send the hips forwards: the measures of the launch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from analysis.body.places import BodyPlaces, Moment, on_frame
from analysis.body.posture_measures import Asking, Measure, angle_of, wrapped
from analysis.ground.carried import Carried, combine, weighed
from analysis.values.estimate import NoValue
from analysis.values.run import Side
from analysis.values.words import tr

LEAD_M = 0.05
"""The trunk lead is read when mid-hip is so far forward of its rest, m."""
USUAL_M = 0.6
"""How far the hips usually go until the front toe-off, m (own assumption, for where to ask first)."""
CLOSE_M = 0.10
"""The frames on either side of that lie at most so far apart in the hips' travel, m: over more the trunk
does not turn evenly (own assumption)."""
REACH_M = 0.02
"""Frames on which the hips are so far away from there tell how fast the trunk turns as they pass, m (own
assumption): over less, a point's own error is as large as its travel."""


_NOT_FORWARD = "The hips don't go 5 cm forward before the front toe-off. Check the points."


@dataclass(frozen=True)
class _Passing:
    """As the hips pass: how far they have ``gone``, m, the ``trunk``, deg, and how fast they turn it."""

    gone: Carried
    trunk: Carried
    turning_deg_m: float


def _rest(asking: Asking, frames: Sequence[int]) -> tuple[Carried, Carried] | None:
    """Mean place of mid-hip along the run, m, and trunk angle at rest, over frames that hold hip and
    shoulder; those are asked for on the last of them where none does.
    """
    body = asking.body
    held = _held(body, frames)
    if not held:
        moment = on_frame(frames[-1], body.seconds)
        asking.middle("hip", moment)
        asking.middle("shoulder", moment)
        return None
    at = np.array(held, dtype=np.int64)
    hip, shoulder = body.mean_middle("hip", at), body.mean_middle("shoulder", at)
    assert hip is not None
    assert shoulder is not None
    for joint in ("hip", "shoulder"):
        asking.one_sided(joint, held[::-1])
    asking.frames.update(held)
    asking.partial |= hip.partial or shoulder.partial
    return hip.x, angle_of(hip, shoulder)


def _held(body: BodyPlaces, frames: Sequence[int]) -> list[int]:
    """Those of the frames on which either side's hip and either side's shoulder are placed."""
    at = np.array(frames, dtype=np.int64)
    there = np.ones(len(at), np.bool_)
    for joint in ("hip", "shoulder"):
        lines = [line for side in Side if (line := body.lines.get(f"{side}_{joint}")) is not None]
        there &= np.any([line.holds(at) for line in lines], axis=0) if lines else False
    found: list[int] = at[there].tolist()
    return found


def _hips_x(body: BodyPlaces, frames: Sequence[int]) -> list[float]:
    """Where mid-hip is along the run on frames that hold a hip, m."""
    at = np.array(frames, dtype=np.int64)
    total, count = np.zeros(len(at)), np.zeros(len(at))
    for side in Side:
        line = body.lines.get(f"{side}_hip")
        if line is not None:
            there = line.holds(at)
            total[there] += line.xy[line.rows(at[there]), 0]
            count += there
    found: list[float] = (total / count).tolist()
    return found


def trunk_lead(body: BodyPlaces, rest: Sequence[int], until: int) -> Measure:
    """Trunk angle when mid-hip is 0.05 m forward of rest - trunk angle at rest, deg; positive: the trunk
    opens before the hips go. ``rest``: frames before the first movement; ``until``: frame of the front
    toe-off.

    The moment is that at which a straight line between the two frames on either side crosses; its error is
    that of the hips' travel, and turns the trunk as fast as it turns with that travel about there. Where the
    two lie too far apart, a frame between is asked for.
    """
    if body.no_scale is not None:
        return body.no_scale
    asking = Asking(body)
    at_rest = _rest(asking, rest)
    if at_rest is None:
        _asks_on_the_way(asking, rest[-1], until)
        return asking.result(None)
    rest_x, rest_trunk = at_rest
    passed = _passing(asking, rest_x, rest, until)
    if isinstance(passed, NoValue):
        return passed
    if passed is None:
        return asking.result(None)
    late = passed.gone - float(passed.gone.nominal_value)
    # hips that were read too far forward cross too early, at a trunk that has opened less
    return asking.result(wrapped(passed.trunk - passed.turning_deg_m * late - rest_trunk))


def _passing(asking: Asking, rest_x: Carried, rest: Sequence[int], until: int) -> _Passing | NoValue | None:
    """Where mid-hip is far enough forward; None where points are missing."""
    body, every = asking.body, range(rest[0], until + 1)
    held = _held(body, every)
    line = float(rest_x.nominal_value) + LEAD_M
    hips = _hips_x(body, held)
    crossed = next((n for n, x in enumerate(hips) if x >= line), None)
    if crossed is None:
        wanted = _asks(asking, until) if held[-1] > rest[-1] else _asks_on_the_way(asking, rest[-1], until)
        return None if wanted else NoValue(tr(_NOT_FORWARD))
    if crossed == 0:
        return NoValue(tr("The hips are forward at once: place hip and shoulder on a frame at rest."))
    before, now = held[crossed - 1], held[crossed]
    if now - before > 1:
        gone_now, trunk = _far_between(asking, before, now, rest_x)
    else:
        gone_now, trunk = _between(asking, now, rest_x)
    if asking.missing:
        return None
    asking.frames.update((before, now))
    return _Passing(gone_now, trunk, _turning_deg_m(asking, held, hips, crossed, rest_x))


def _between(asking: Asking, now: int, rest_x: Carried) -> tuple[Carried, Carried]:
    """How far mid-hip is forward, m, and the trunk's angle, deg, as the hips pass between a frame and the one
    before: read there, since a point that was followed is off on neighbouring frames alike, and two errors
    would make less of it.
    """
    seconds, rest = asking.body.seconds, float(rest_x.nominal_value)
    share = _share(*(_seen(asking.body, frame)[0] - rest for frame in (now - 1, now)))
    time = (1 - share) * float(seconds[now - 1]) + share * float(seconds[now])
    return _gone(asking, Moment(now, combine(time, {})), rest_x)


def _far_between(asking: Asking, before: int, now: int, rest_x: Carried) -> tuple[Carried, Carried]:
    """The same between two frames that do not follow each other; too far apart, one between is asked for."""
    ends = [_gone(asking, on_frame(frame, asking.body.seconds), rest_x) for frame in (before, now)]
    gone = [float(end[0].nominal_value) for end in ends]
    if gone[1] - gone[0] > CLOSE_M:
        _asks(asking, _passes(before, now, *gone))
    share = _share(*gone)
    of_gone, of_trunk = zip(*ends, strict=True)
    return weighed((1 - share, share), of_gone), weighed((1 - share, share), of_trunk)


def _share(gone_before_m: float, gone_now_m: float) -> float:
    """How far along between two frames the hips pass."""
    return (LEAD_M - gone_before_m) / (gone_now_m - gone_before_m)


def _turning_deg_m(
    asking: Asking, held: Sequence[int], hips: Sequence[float], crossed: int, rest_x: Carried
) -> float:
    """How fast the trunk turns with the hips' travel about where they pass, deg/m.

    Between two neighbouring frames of a quick camera hips travel no farther than their points are off, and
    half or twice as fast a turn would come of it.
    """
    body = asking.body
    line = float(rest_x.nominal_value) + LEAD_M
    places = list(zip(held, hips, strict=True))
    begin = next((f for f, x in reversed(places[:crossed]) if x <= line - REACH_M), held[0])
    end = next((f for f, x in places[crossed:] if x >= line + REACH_M), held[-1])
    one, other = (_seen(body, f) for f in (begin, end))
    return (other[1] - one[1]) / (other[0] - one[0])


def _seen(body: BodyPlaces, frame: int) -> tuple[float, float]:
    """Where mid-hip is on a frame that holds hip and shoulder, m, and the trunk's angle there, deg."""
    ends = []
    for joint in ("hip", "shoulder"):
        lines = [body.lines.get(f"{side}_{joint}") for side in Side]
        there = [line.xy[row] for line in lines if line and (row := line.row(frame)) is not None]
        if len(there) == len(lines):
            ends.append((there[0] + there[1]) / 2)
        else:
            place = body.middle(joint, on_frame(frame, body.seconds))
            assert place is not None
            ends.append(np.array([place.x.nominal_value, place.y.nominal_value]))
    forward, up = (ends[1] - ends[0]).tolist()
    return float(ends[0][0]), math.degrees(math.atan2(up, forward))


def _asks_on_the_way(asking: Asking, first: int, until: int) -> bool:
    """Ask for hip and shoulder at the front toe-off and about where the hips pass; whether one is missing."""
    if until - first > 1:
        _asks(asking, _passes(first, until, 0.0, USUAL_M))
    return _asks(asking, until)


def _asks(asking: Asking, frame: int) -> bool:
    """Ask for hip and shoulder on a frame; whether one is missing."""
    moment = on_frame(frame, asking.body.seconds)
    asking.middle("hip", moment)
    asking.middle("shoulder", moment)
    return bool(asking.missing)


def _gone(asking: Asking, moment: Moment, rest_x: Carried) -> tuple[Carried, Carried]:
    """How far mid-hip is forward of its rest at a moment, m, and the trunk's angle, deg."""
    hip, shoulder = asking.middle("hip", moment), asking.middle("shoulder", moment)
    assert hip is not None
    assert shoulder is not None
    return hip.x - rest_x, angle_of(hip, shoulder)


def _passes(before: int, now: int, gone_before_m: float, gone_now_m: float) -> int:
    """About on which frame between two the hips pass, as a push does that grows evenly from rest."""
    at = np.cbrt(max(0.0, gone_before_m))
    share = (np.cbrt(LEAD_M) - at) / (np.cbrt(gone_now_m) - at)
    return int(min(now - 1, max(before + 1, round(before + share * (now - before)))))


def trunk_opening(body: BodyPlaces, rest: Sequence[int], front_toe_off: Moment) -> Measure:
    """Trunk angle at front toe-off - at rest, deg."""
    asking = Asking(body)
    at_rest = _rest(asking, rest)
    hip, shoulder = asking.middle("hip", front_toe_off), asking.middle("shoulder", front_toe_off)
    if at_rest is None or hip is None or shoulder is None:
        return asking.result(None)
    return asking.result(wrapped(angle_of(hip, shoulder) - at_rest[1]))


def hip_share(body: BodyPlaces, rest: Moment, front_toe_off: Moment) -> Measure:
    """|forward travel of mid-hip| / (|that| + |travel of mid-shoulder relative to mid-hip|), from rest to
    front toe-off; 1 when the body moves as one.
    """
    if body.no_scale is not None:
        return body.no_scale
    asking = Asking(body)
    hip0, shoulder0 = asking.middle("hip", rest), asking.middle("shoulder", rest)
    hip1, shoulder1 = asking.middle("hip", front_toe_off), asking.middle("shoulder", front_toe_off)
    if hip0 is None or shoulder0 is None or hip1 is None or shoulder1 is None:
        return asking.result(None)
    forward = hip1.x - hip0.x
    across = (shoulder1.x - hip1.x) - (shoulder0.x - hip0.x)
    up = (shoulder1.y - hip1.y) - (shoulder0.y - hip0.y)
    dx, dy = float(across.nominal_value), float(up.nominal_value)
    size = math.hypot(dx, dy)
    if size + abs(forward.nominal_value) < 1e-6:
        return NoValue(tr("Neither hips nor shoulders move between rest and toe-off. Check the points."))
    turned = (across * dx + up * dy) / size if size > 0 else combine(0.0, {})
    went = -forward if forward.nominal_value < 0 else forward
    return asking.result(went / (went + turned))


def feet_apart(body: BodyPlaces, at: Moment) -> Measure:
    """Distance between the two shoe tips along the run in the set position, m."""
    if body.no_scale is not None:
        return body.no_scale
    asking = Asking(body)
    left, right = asking.point("left_toe", at), asking.point("right_toe", at)
    if left is None or right is None:
        return asking.result(None)
    apart = left.x - right.x
    return asking.result(-apart if apart.nominal_value < 0 else apart)
