"""What a reading says of its scale."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from analysis.ground.bend import bend_note, bend_px
from analysis.ground.camera import Camera, DistanceFrom
from analysis.ground.ground_map import GroundMap
from analysis.ground.homography import Homography
from analysis.ground.line_map import LineMap
from analysis.ground.marks import MapKind, distinct, mark_name
from analysis.ground.residuals import Residual
from analysis.ground.stature import STATURE_SHARE_U, Standing
from analysis.ground.view import View
from analysis.values.run import Direction, GroundMark, Run
from analysis.values.words import signed, tr


def ground_notes(
    kind: MapKind,
    used: Sequence[GroundMark],
    marks: Sequence[GroundMark],
    camera: Camera,
    shoes: GroundMap | None,
    athlete_stands: Standing | None,
) -> list[str]:
    """Sentences about the scale: how far it can be trusted and what would make it better.

    ``used``: the marks that the map was fitted to, of all ``marks`` that could be.
    """
    notes = []
    if athlete_stands is not None:
        notes.append(
            tr(
                "The scale is rough: the athlete's stature on frame {frame}, good to {percent:.0f} %. "
                "Lengths and speeds are no better than that, and distances count from where the athlete "
                "stands there. Two marks of known distance would give a proper scale."
            ).format(frame=athlete_stands.frame, percent=100 * STATURE_SHARE_U)
        )
    elif kind is MapKind.SCALE:
        notes.append(
            tr(
                "Two marks give one scale: places are right only along that line and for a level camera "
                "that looks straight across. A third mark on the line would show whether it does."
            )
        )
    else:
        notes += _exact_fit(kind, len(distinct(used)))
    beside = shoes.plane if shoes is not None else None
    ids = {m.id for m in used}
    left_out = [mark_name(m) for m in marks if m.id not in ids and not (beside and abs(m.y_m) < 1e-6)]
    if left_out and athlete_stands is None:
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
    if shoes is not None:
        words = (
            tr("The marks beside the line place each shoe on the ground, to {cm:.0f} cm across the line.")
            if shoes.serves
            else tr(
                "The marks beside the line would place a shoe across the line to {cm:.0f} cm only, as the "
                "camera stands low: shoes are read from the running line instead. A higher camera would do "
                "better."
            )
        )
        notes.append(words.format(cm=100 * shoes.aside_u_m))
    if athlete_stands is None:
        notes += bend_note(bend_px(used))
    return notes


def _exact_fit(kind: MapKind, places: int) -> list[str]:
    """What is said where marks at so many ``places`` leave their map nothing to be checked by."""
    if kind is MapKind.LINE and places == 3:
        return [tr("Three marks on the line fit exactly: a wrong one would not show. Set a fourth on it.")]
    if kind is MapKind.PLANE and places == 4:
        return [
            tr("Four marks fit the plane exactly: a wrong one would not show. The more marks, the likelier.")
        ]
    return []


def ground_doubts(
    run: Run,
    used: Sequence[GroundMark],
    plane: Homography | LineMap,
    wide: Sequence[Residual],
    view: View,
    rough: bool = False,
) -> list[str]:
    """Sentences that question the marks: those that disagree with the map of all, that lie outside the
    picture, that stand one above the other, and their direction. ``rough``: ``used`` are the head and heel of
    an athlete who gives the scale, no marks that the coach set.
    """
    names = {m.id: mark_name(m) for m in used}
    doubts = [
        tr(
            "The mark at {name} lies {sigmas:.0f} times its error from where all marks together put it. "
            "Is it on the right spot, and is its distance right?"
        ).format(name=names[residual.mark_id], sigmas=residual.sigmas)
        for residual in wide
    ]
    outside = [
        mark_name(m) for m in run.marks if not (-1.0 <= m.u <= view.width and -1.0 <= m.v <= view.height)
    ]
    if outside:
        doubts.append(
            tr("Outside the picture: the mark at {names}. Was it meant?").format(names="; ".join(outside))
        )
    if not rough and len(used) > 1 and max(m.x_m for m in used) - min(m.x_m for m in used) < 1e-6:
        doubts.append(
            tr(
                "All marks stand at {x} m, one above the other: what lies along the line is read by their "
                "height. Set a mark at another distance along the line."
            ).format(x=signed(used[0].x_m))
        )
    if _runs_backwards(run, plane, view.width, view.height):
        doubts.append(
            tr("The marks' distances rise against the direction of the run. Is the direction set right?")
        )
    return doubts


def _runs_backwards(run: Run, plane: Homography | LineMap, width: int, height: int) -> bool:
    middle = np.array([[width / 2 - 1, height / 2], [width / 2 + 1, height / 2]])
    rise = float(np.diff(plane.metres(middle)[:, 0])[0])
    return rise < 0 if run.direction is Direction.RIGHT else rise > 0
