"""What a reading says of its scale."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.ground.camera import Camera, DistanceFrom
from analysis.ground.homography import Homography
from analysis.ground.line_map import LineMap
from analysis.ground.marks import MapKind, mark_name
from analysis.ground.residuals import Residual
from analysis.values.run import Direction, GroundMark, Run
from analysis.values.words import tr


def ground_notes(
    run: Run,
    kind: MapKind,
    used: Sequence[GroundMark],
    camera: Camera,
) -> list[str]:
    """Sentences about the scale: how far it can be trusted and what would make it better."""
    notes = []
    if kind is MapKind.SCALE:
        notes.append(
            tr(
                "Two marks give one scale: places are right only along that line and for a level camera "
                "that looks straight across. A third mark on the line would show whether it does."
            )
        )
    if len(used) < len(run.marks):
        left_out = [mark_name(m) for m in run.marks if m not in used]
        notes.append(
            tr("Not used for the scale: {names}. Four marks with no three in a line would use them.").format(
                names="; ".join(left_out)
            )
        )
    if camera.source is DistanceFrom.TYPICAL:
        notes.append(
            tr(
                "The camera's distance was not measured: about {distance:.0f} m is taken from a phone's "
                "usual field of view. Give the measured distance to place left and right feet better."
            ).format(distance=camera.distance_m)
        )
    return notes


def ground_doubts(
    run: Run,
    used: Sequence[GroundMark],
    plane: Homography | LineMap,
    wide: Sequence[Residual],
    width: int,
    height: int,
) -> list[str]:
    """Sentences that question the marks: those that disagree with the others, and their direction."""
    names = {m.id: mark_name(m) for m in used}
    doubts = [
        tr(
            "The mark at {name} lies {sigmas:.0f} times its error from where the other marks put it. Is "
            "it on the right spot, and is its distance right?"
        ).format(name=names[residual.mark_id], sigmas=residual.sigmas)
        for residual in wide
    ]
    if _runs_backwards(run, plane, width, height):
        doubts.append(
            tr("The marks' distances rise against the direction of the run. Is the direction set right?")
        )
    return doubts


def _runs_backwards(run: Run, plane: Homography | LineMap, width: int, height: int) -> bool:
    middle = np.array([[width / 2 - 1, height / 2], [width / 2 + 1, height / 2]])
    rise = float(np.diff(plane.metres(middle)[:, 0])[0])
    return rise < 0 if run.direction is Direction.RIGHT else rise > 0
