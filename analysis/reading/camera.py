"""What the marks and the camera's path say of the camera, and what that does to the numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.ground.bend import bend_px
from analysis.ground.carried import combine, normal, result
from analysis.ground.ground import Ground
from analysis.ground.marks import on_the_line, sound_marks
from analysis.ground.tilt import roll_and_tilt
from analysis.ground.view import View
from analysis.reading.stages import stage
from analysis.values.estimate import NoValue
from analysis.values.reading import CameraReading, LineReading
from analysis.values.run import GroundMark, Run
from analysis.values.words import tr


def camera_reading(run: Run, ground: Ground | NoValue, view: View) -> CameraReading:
    """How the camera was held and where it stood, as far as the marks tell."""
    return replace(_held(run.marks, ground, view), drift_px=_drift(run, view))


@stage
def _held(marks: tuple[GroundMark, ...], ground: Ground | NoValue, view: View) -> CameraReading:
    """The same without the drift, which hangs on all that is placed."""
    bend = result(bend_px(on_the_line(sound_marks(marks)[0])))
    if isinstance(ground, NoValue):
        return CameraReading(ground, ground, ground, bend)
    centre = np.array([(view.width - 1) / 2, (view.height - 1) / 2])
    camera = ground.camera
    distance = combine(camera.distance_m, {normal(camera.distance_u): 1.0})
    roll, tilt = roll_and_tilt(ground.plane, ground.columns, camera, centre)
    return CameraReading(result(roll), result(tilt), result(distance), bend)


def camera_notes(run: Run, view: View) -> list[str]:
    """What a turning camera costs: how far its frames drift, and what stood on frames that can't be tied."""
    if not view.moves:
        return []
    notes = []
    drift = _drift(run, view)
    if drift is not None:
        notes.append(
            tr(
                "The camera turned: every frame is taken to one picture by its background, which adds up to "
                "{px:.1f} px (standard uncertainty) to places."
            ).format(px=drift)
        )
    if view.path is not None and view.path.doubt:
        notes.append(view.path.doubt)
    used = _frames(run)
    lost = int(np.count_nonzero(view.untied(used))) if used else 0
    if lost:
        notes.append(
            tr(
                "On {count} frames the background can't be tied to the other frames. What was placed there "
                "was left out; place it on frames beside them."
            ).format(count=lost)
        )
    return notes


def missing_notes(run: Run, ground: Ground | NoValue) -> list[str]:
    """Which numbers a run without a scale goes without, and for want of what."""
    if not isinstance(ground, NoValue) or not (run.footfalls or run.points):
        return []
    words = tr(
        "For want of a scale these are not read: place of every shoe, first-step and step lengths, step "
        "velocities, foot-to-foot speeds, splits and speeds. Times, angles and ratios are."
    )
    return [words if run.marks else f"{words} {ground.reason}"]


def with_lost_lines(run: Run, read: tuple[LineReading, ...]) -> tuple[LineReading, ...]:
    """The readings of all drawn lines, those on frames that can't be tied with a sentence for a number."""
    if len(read) == len(run.lines):
        return read
    known = {line.line_id: line for line in read}
    lost = NoValue(tr("The line stands on a frame that can't be tied to the others. Draw it on another."))
    return tuple(
        known.get(line.id, LineReading(line.id, line.frame, line.kind, line.side, lost)) for line in run.lines
    )


def _drift(run: Run, view: View) -> float | None:
    """The largest finite error that the path adds on frames that hold something, px."""
    if not view.moves:
        return None
    used = _frames(run)
    sizes = view.drift_px(used) if used else np.empty(0)
    sizes = sizes[np.isfinite(sizes)]
    return float(sizes.max()) if len(sizes) else None


def _frames(run: Run) -> list[int]:
    """Frames on which something was placed, rising."""
    return sorted({int(i.frame) for items in (run.marks, run.points, run.lines) for i in items})
