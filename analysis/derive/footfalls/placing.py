"""Where along the running line a drafted contact is, from the marks."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from analysis.derive.footfalls.proposals import DraftFootfall
from analysis.derive.footfalls.strip import GroundStrip
from analysis.derive.footfalls.timed import Timed
from analysis.ground.ground import Ground, read_ground
from analysis.ground.view import View
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.estimate import NoValue
from analysis.values.film import Film, FrameNumber
from analysis.values.run import Direction, GroundMark, Run, Side
from analysis.values.words import tr


class Placing:
    """Places contacts of a run by marks on any frames that the camera's path ties together."""

    def __init__(
        self,
        film: Film,
        marks: Sequence[GroundMark],
        direction: Direction,
        camera: CameraPath,
        lens: Lens | None,
    ) -> None:
        """``lens``: the film's; for a camera that turned the one with which it was followed goes first.

        ``notes``: why the marks give no places, where they don't.
        """
        self._last = film.frames - 1
        lens = lens if camera.serves(lens) else camera.lens
        self._view = View(*film.shown_size, lens, camera, film.facts.times.median_rate_hz)
        self.notes: tuple[str, ...] = ()
        self._ground = self._read(marks, direction)
        if isinstance(self._ground, NoValue) and camera.kind is not CameraKind.WALKING:
            words = tr("The marks give no places in metres: {reason}")
            self.notes = (words.format(reason=self._ground.reason),)

    def footfall(self, one: Timed, side: Side, strip: GroundStrip) -> DraftFootfall:
        """A contact with its pixel and, with marks, its place."""
        middle = FrameNumber(min(max((one.streak.begin + one.streak.end) // 2, 0), self._last))
        u, v = strip.pixel(middle, one.streak.tip)
        down = None if one.touchdown is None else FrameNumber(one.touchdown)
        up = None if one.toe_off is None else FrameNumber(one.toe_off)
        return DraftFootfall(side, down, up, middle, u, v, self._x_m(middle, u, v), one.confidence)

    def _x_m(self, frame: int, u: float, v: float) -> float | None:
        if self._ground is None or isinstance(self._ground, NoValue):
            return None
        straight = self._view.straight([frame], np.array([[u, v]]))
        x_m = float(self._ground.metres(straight)[0, 0])
        return x_m if math.isfinite(x_m) else None

    def _read(self, marks: Sequence[GroundMark], direction: Direction) -> Ground | NoValue | None:
        if len(marks) < 2:
            return None
        first, last = FrameNumber(0), FrameNumber(self._last)
        run = Run("draft", "film", "", first, last, direction, marks=tuple(marks))
        return read_ground(run, self._view.width, self._view.height, self._view)
