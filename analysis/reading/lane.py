"""Where places of the running line lie in the picture: for views at one scale, never for a measure."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from analysis.ground.straightening import straight_marks
from analysis.reading.parts import ground_of
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.run import GroundMark
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

_SAMPLES = 400


class Lane:
    """A line of the ground in the picture. ``from_m``, ``to_m``: as far as it is known."""

    def __init__(self, metres: Floats, pixels: Floats) -> None:
        self._metres, self._pixels = np.maximum.accumulate(metres), pixels
        self.from_m, self.to_m = float(self._metres[0]), float(self._metres[-1])

    def pixel(self, x_m: float) -> tuple[float, float]:
        """The picture place of a metre; of the nearer end beyond what is known."""
        u, v = (float(np.interp(x_m, self._metres, self._pixels[:, axis])) for axis in (0, 1))
        return u, v


def lane(evidence: Evidence, frame: int) -> Lane | NoValue:
    """The running line of a run as one frame of its film shows it, as far as its marks stand, or what is
    missing. Where the camera turned, every frame shows it elsewhere; a lens bends it.
    """
    view, ground = ground_of(evidence)
    if isinstance(ground, NoValue):
        return ground
    marks = sorted((m for m in straight_marks(view, evidence.run.marks) if abs(m.y_m) < 1e-9), key=_along)
    if not marks or marks[-1].x_m - marks[0].x_m < 1e-6:
        return NoValue(tr("Set two marks of known distance where they meet the ground."))
    first, last = (np.array([m.u, m.v]) for m in (marks[0], marks[-1]))
    straight = first + np.linspace(0.0, 1.0, _SAMPLES)[:, None] * (last - first)
    pixels = view.seen([frame] * _SAMPLES, straight)
    if not np.isfinite(pixels).all():
        return NoValue(tr("The background of this frame can't be tied to the others."))
    return Lane(ground.metres(straight)[:, 0], pixels)


def _along(mark: GroundMark) -> float:
    return mark.x_m
