"""What a coach is told about a film in which footfalls were looked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.words import tr

_CUT_LEVELS = 14.0
_CUT_TIMES = 6.0
_SECOND = 0.45


def cut_frames(looks: npt.NDArray[np.uint8]) -> tuple[int, ...]:
    """Frames that show another scene than the one before; ``looks``: a very small picture of each frame."""
    away = np.abs(np.diff(looks.astype(np.float32), axis=0)).mean(axis=(1, 2))
    usual = float(np.median(away)) if len(away) else 0.0
    return tuple(int(k) + 1 for k in np.flatnonzero(away > max(_CUT_LEVELS, _CUT_TIMES * usual)))


def notes_on_camera(camera: CameraPath) -> tuple[str, ...]:
    """Sentences about a camera that was carried along, and about frames that it can't be tied to."""
    out = []
    if camera.kind is CameraKind.WALKING:
        out.append(
            tr(
                "The camera was carried along, as far as its film tells: footfalls are drafted, but without "
                "places in metres."
            )
        )
    lost = np.flatnonzero(~camera.tied)
    if len(lost):
        words = tr("{count} frames were left out, from frame {frame} on: they can't be tied to the others.")
        out.append(words.format(count=len(lost), frame=int(camera.first) + int(lost[0])))
    return tuple(out)


def notes_on(
    cuts: Sequence[int],
    body: BodyPath | None,
    canvas: Canvas | None = None,
    found: int = 0,
    damaged: Sequence[int] = (),
    seconds: npt.NDArray[np.float64] | None = None,
) -> tuple[str, ...]:
    """Sentences about what was not found, and why."""
    out = []
    if cuts:
        out.append(
            tr("The film is cut at frame {frame}; only its longest part was looked at.").format(frame=cuts[0])
        )
    if damaged:
        out.append(
            tr("{count} frames are damaged; footfalls there may be missing.").format(count=len(damaged))
        )
    if body is None:
        return tuple(out)
    if body.second > _SECOND:
        out.append(tr("More than one body runs here; the footfalls of the one that moves most were drafted."))
    if found == 0:
        out.append(
            tr("A body moves, but no foot was seen to stand on the ground line. Tag this run by hand.")
        )
    if canvas is not None and seconds is not None:
        moving = np.flatnonzero(body.there)
        last = int(moving[-1])
        edge = min(body.u[last] - canvas.sees[last, 0], canvas.sees[last, 1] - body.u[last])
        if edge < 0.6 * body.height_px:
            out.append(
                tr("The runner leaves the picture at {time:.2f} s; later footfalls can't be seen.").format(
                    time=float(seconds[last])
                )
            )
    return tuple(out)
