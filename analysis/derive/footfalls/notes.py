"""What a coach is told about a film in which footfalls were looked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls.body import BodyPath
from analysis.derive.footfalls.canvas import Canvas
from analysis.values.camera import CameraKind, CameraPath
from analysis.values.run import StartPush
from analysis.values.words import tr

_CUT_LEVELS = 14.0
_CUT_TIMES = 6.0
_SECOND = 0.45
_AROUND_S, _BETWEEN_S, _JUMP_TIMES, _JUMP_WIDTHS = 0.25, 0.07, 3.0, 1.5
"""Before and after a frame a camera's own speed is looked at, but for so much next to it; it jumps at so many
times that speed, and so many of its picture's widths a second, more.
"""
_GONE_S, _AT_EDGE = 0.05, 0.6
"""So long before the film's end nothing moves any more, last within so many body heights of the picture's
edge, where the runner has left it.
"""


def cut_frames(looks: npt.NDArray[np.uint8]) -> tuple[int, ...]:
    """Frames that show another scene than the one before; ``looks``: a very small picture of each frame."""
    away = np.abs(np.diff(looks.astype(np.float32), axis=0)).mean(axis=(1, 2))
    usual = float(np.median(away)) if len(away) else 0.0
    return tuple(int(k) + 1 for k in np.flatnonzero(away > max(_CUT_LEVELS, _CUT_TIMES * usual)))


def camera_jumps(canvas: Canvas, rate_hz: float) -> tuple[tuple[int, int], ...]:
    """Stretches of frames, first and last, in which a followed camera goes on much faster than before and
    after: what was filmed between is cut out of its film. The frames between mapped ones are interpolated.
    """
    if canvas.maps is None:
        return ()
    seen = np.flatnonzero(canvas.sees[:, 0] <= canvas.sees[:, 1])
    middle = canvas.sees[seen].mean(axis=1)
    steps = np.abs(np.diff(middle)) / np.maximum(np.diff(seen), 1)
    around, beside = max(3, round(_AROUND_S * rate_hz)), max(1, round(_BETWEEN_S * rate_hz))
    width = float(np.median(canvas.sees[seen, 1] - canvas.sees[seen, 0]))
    fast = np.zeros(len(steps), np.bool_)
    for k in range(len(steps)):
        near = np.r_[steps[max(0, k - around) : max(0, k - beside)], steps[k + beside : k + around]]
        usual = float(np.quantile(near, 0.9)) if len(near) >= around // 2 else np.inf
        fast[k] = steps[k] > _JUMP_TIMES * usual + _JUMP_WIDTHS * width / rate_hz
    at = np.flatnonzero(fast)
    parts = np.split(at, np.flatnonzero(np.diff(at) > beside) + 1) if len(at) else []
    return tuple((int(seen[part[0]]), int(seen[part[-1] + 1])) for part in parts)


def cut_near(looks: npt.NDArray[np.uint8], first: int, last: int) -> int:
    """The frame with which another part of the film begins, one from ``first`` to ``last``."""
    first = max(1, first)
    few = looks[first - 1 : last + 1].astype(np.float32) + 1.0
    light = np.median(few[1:] / few[:-1], axis=(1, 2), keepdims=True)
    return first + int(np.argmax(((few[1:] / light - few[:-1]) ** 2).mean(axis=(1, 2))))


def notes_on_camera(camera: CameraPath, *, untold: bool = False) -> tuple[str, ...]:
    """Sentences about a camera that was carried along, and about frames that it can't be tied to. ``untold``:
    it was taken as still where nothing in the picture tells.
    """
    out = []
    if untold:
        out.append(
            tr(
                "Nothing in the background shows whether the camera stood still; the draft takes it so. If "
                "it moved, the footfalls are wrong."
            )
        )
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
    *,
    together: bool = False,
) -> tuple[str, ...]:
    """Sentences about what was not found, and why. ``together``: two run close to each other."""
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
    if together:
        out.append(
            tr("Two people run here, close together: the draft may mix their footfalls. Look at each one.")
        )
    elif body.second > _SECOND:
        out.append(tr("More than one body runs here; the footfalls of the one that moves most were drafted."))
    if found == 0:
        out.append(
            tr("A body moves, but no foot was seen to stand on the ground line. Tag this run by hand.")
        )
    if canvas is not None and seconds is not None:
        out += _on_the_end(body, canvas, seconds, cut=bool(cuts))
    return tuple(out)


def _on_the_end(body: BodyPath, canvas: Canvas, seconds: npt.NDArray[np.float64], *, cut: bool) -> list[str]:
    """Whether the runner leaves the picture, or the film ends first; where it is cut that is said already."""
    moving = np.flatnonzero(body.there)
    shown = np.flatnonzero(canvas.sees[:, 0] <= canvas.sees[:, 1])
    last, end = int(moving[-1]), int(shown[-1])
    if seconds[end] - seconds[last] <= _GONE_S:
        if cut and end < len(seconds) - 1:
            return []
        words = tr("The film ends at {time:.2f} s, before the runner leaves the picture.")
        return [words.format(time=float(seconds[end]))]
    edge = min(body.u[last] - canvas.sees[last, 0], canvas.sees[last, 1] - body.u[last])
    if edge < _AT_EDGE * body.height_px:
        words = tr("The runner leaves the picture at {time:.2f} s; later footfalls can't be seen.")
        return [words.format(time=float(seconds[last]))]
    return []


def notes_on_start(start: StartPush) -> tuple[str, ...]:
    """A sentence about what of the start was not found."""
    if start == StartPush():
        return (tr("No start push was found; where the film shows one, tag it by hand."),)
    lost = {
        tr("the first movement"): start.first_movement,
        tr("the rear foot's toe-off"): start.rear_toe_off,
        tr("the front foot's toe-off"): start.front_toe_off,
    }
    names = [name for name, frame in lost.items() if frame is None]
    if not names:
        return ()
    words = tr("Not found of the start: {events}. Tag it by hand where the film shows it.")
    return (words.format(events=", ".join(names)),)
