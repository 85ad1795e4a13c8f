"""Which map a run's marks gave, why that one, and what stays unread for want of which mark."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.ground.camera import DistanceFrom
from analysis.ground.ground import Ground
from analysis.ground.marks import MapKind, line_marks, on_the_line
from analysis.reading.parts import ground_of
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.words import tr


@dataclass(frozen=True)
class ScaleWords:
    """``chosen``: the map that serves; ``why``: what stood that it could be this one; ``missing``: sentences,
    each with what is not read and the marks or the distance that would give it.
    """

    chosen: str
    why: str
    missing: tuple[str, ...] = ()


def scale_words(evidence: Evidence) -> ScaleWords:
    """What a coach is told of the scale of a run, in place of a formula."""
    _, ground = ground_of(evidence)
    if isinstance(ground, NoValue):
        return ScaleWords(
            tr("No scale: times, angles and ratios are read, places, lengths and speeds are not."),
            ground.reason,
        )
    chosen, why = _chosen(ground)
    return ScaleWords(chosen, why, tuple(_missing(evidence, ground)))


def _chosen(ground: Ground) -> tuple[str, str]:
    if ground.rough:
        return (
            tr("A rough scale from the athlete's stature."),
            tr(
                "There are no two marks, and the athlete stands upright on a frame with head and heel placed."
            ),
        )
    if ground.kind is MapKind.PLANE:
        return (
            tr("The whole upright plane of the run."),
            tr("Four marks or more stand with no three in a line."),
        )
    if ground.kind is MapKind.LINE:
        return (
            tr("The running line, with the camera's turn."),
            tr("Three marks or more stand on one line, and no four with no three in a line."),
        )
    return (
        tr("One scale along the line."),
        tr("Only two marks serve: right for a camera that stands level and looks straight across."),
    )


def _missing(evidence: Evidence, ground: Ground) -> list[str]:
    missing = []
    if ground.rough:
        missing.append(tr("Lengths to better than a few percent: set two marks of known distance."))
    elif ground.kind is MapKind.SCALE:
        missing.append(tr("The camera's turn: set a third mark on the line."))
    if ground.kind is not MapKind.PLANE:
        missing.append(
            tr("The camera's tilt and heights over the whole picture: set marks at a second height too.")
        )
    if len({round(m.x_m, 6) for m in line_marks(on_the_line(evidence.run.marks))}) < 3:
        missing.append(tr("Whether the lens bends straight lines: set three marks of one height."))
    if ground.camera.source is not DistanceFrom.COACH:
        missing.append(
            tr("Left and right feet at their true places: measure the distance from the camera to the line.")
        )
    if ground.shoes is None:
        missing.append(
            tr("How far beside the line each shoe lands: set four marks on the ground on both its sides.")
        )
    if not ground.has_start_line and not ground.rough:
        missing.append(tr("The first step's length without a shoe tip at the set: set a mark at 0 m."))
    return missing
