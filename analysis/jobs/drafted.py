"""What drafting a film gives to those who show it: proposals, what is said of them, the ground strip."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from analysis.ground.ground import read_ground
from analysis.values.errors import FilmError
from analysis.values.estimate import NoValue
from analysis.values.film import FrameNumber
from analysis.values.run import Direction, Run, Side, StartPush
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

TIP_ERROR_M, TIP_ERROR_PX = 0.045, 4.0
"""Standard uncertainty of a drafted shoe tip along the line: half of what 95 % of the rendered runs lie
within (docs/validation.md, Drafted footfalls); in pixels where no marks give a scale (own assumption)."""


@dataclass(frozen=True)
class Proposal:
    """A proposed contact. ``touchdown``, ``toe_off``: frames, None where it is not seen to begin or to end.
    ``column``: of the strip, where the shoe's tip stands. ``confidence``: 0 to 1.
    """

    side: Side
    touchdown: FrameNumber | None
    toe_off: FrameNumber | None
    column: float
    confidence: float


@dataclass(frozen=True, eq=False)
class StripPicture:
    """The band along the ground line. ``levels``: (frames, width) uint8, how much differs from bare ground.

    Column ``c`` is column ``left + c`` of the reference frame, its ground row ``slope c + offset`` there.
    ``maps``: (frames, 3, 3), pixels of each frame to the reference frame; None for a still camera.
    """

    levels: npt.NDArray[np.uint8]
    left: float
    slope: float
    offset: float
    maps: Floats | None = None

    def pixel(self, frame: int, column: float) -> tuple[float, float]:
        """Where a place of the strip lies on a frame, px."""
        u, v = column + self.left, self.slope * column + self.offset
        if self.maps is None:
            return u, v
        return _applied(np.linalg.inv(self.maps[min(max(frame, 0), len(self.maps) - 1)]), u, v)

    def column(self, frame: int, u: float, v: float) -> float:
        """The column of the strip under a pixel of a frame."""
        if self.maps is not None:
            u, v = _applied(self.maps[min(max(frame, 0), len(self.maps) - 1)], u, v)
        return u - self.left

    def tip_error_px(self, column: float, metres: Floats | None) -> float:
        """Standard uncertainty of a drafted tip, px. ``metres``: of every column, None without a scale."""
        if metres is None:
            return TIP_ERROR_PX
        at = min(max(round(column), 1), len(metres) - 2)
        per_px = abs(float(metres[at + 1] - metres[at - 1])) / 2
        return TIP_ERROR_M / per_px if per_px > 0 else TIP_ERROR_PX

    def metres(self, run: Run, size: tuple[int, int]) -> Floats | None:
        """Place along the line of every column, m, by the run's own marks; None where these give no scale.

        ``size``: width and height of the picture, px. Marks are taken in pixels of the film's first frame.
        """
        ground = read_ground(run, *size)
        if isinstance(ground, NoValue):
            return None
        ends = np.arange(self.levels.shape[1], dtype=float)
        places = ground.metres(np.array([self.pixel(0, column) for column in ends]))
        metres: Floats = np.asarray(places, float)[:, 0]
        return metres if np.isfinite(metres).any() else None


@dataclass(frozen=True, eq=False)
class Drafted:
    """``notes``: sentences about what was and was not found. ``direction``: of the run, None where nobody
    runs. ``strip``: None where there is none.
    """

    footfalls: tuple[Proposal, ...] = ()
    start: StartPush = field(default_factory=StartPush)
    direction: Direction | None = None
    notes: tuple[str, ...] = ()
    strip: StripPicture | None = None


def write_drafted(drafted: Drafted, path: Path) -> None:
    """Write what was drafted into a file of its own."""
    told = {
        "footfalls": [asdict(one) for one in drafted.footfalls],
        "start": asdict(drafted.start),
        "direction": drafted.direction,
        "notes": drafted.notes,
    }
    arrays: dict[str, npt.NDArray[np.generic]] = {"told": np.array(json.dumps(told))}
    strip = drafted.strip
    if strip is not None:
        arrays["levels"] = strip.levels
        arrays["line"] = np.array([strip.left, strip.slope, strip.offset])
        if strip.maps is not None:
            arrays["maps"] = strip.maps
    with path.open("wb") as out:
        np.savez(out, **arrays)  # type: ignore[arg-type]


def read_drafted(path: Path) -> Drafted:
    """Read what ``write_drafted`` wrote. Raises FilmError where it can't be read."""
    try:
        with np.load(path, allow_pickle=False) as held:
            told = json.loads(str(held["told"]))
            strip = None
            if "levels" in held:
                left, slope, offset = (float(one) for one in held["line"])
                maps = held.get("maps")
                strip = StripPicture(held["levels"], left, slope, offset, maps)
    except (OSError, ValueError, KeyError) as error:
        raise FilmError(tr("The draft can't be read. Draft the footfalls again.")) from error
    start = told["start"]
    front = None if start["front_side"] is None else Side(start["front_side"])
    return Drafted(
        tuple(Proposal(**(one | {"side": Side(one["side"])})) for one in told["footfalls"]),
        StartPush(**(start | {"front_side": front, "drafts": tuple(start["drafts"])})),
        None if told["direction"] is None else Direction(told["direction"]),
        tuple(told["notes"]),
        strip,
    )


def _applied(matrix: Floats, u: float, v: float) -> tuple[float, float]:
    x, y, w = matrix @ np.array([u, v, 1.0])
    return float(x / w), float(y / w)
