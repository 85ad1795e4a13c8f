"""What drafting a film gives to those who show it: proposals, what is said of them, the ground strip."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, replace
from io import BytesIO
from pathlib import Path
from typing import IO
from zipfile import BadZipFile

import numpy as np
import numpy.typing as npt

from analysis.ground.ground import read_ground
from analysis.ground.homography import apply_map, inverse
from analysis.ground.view import View
from analysis.values.errors import FilmError
from analysis.values.estimate import NoValue
from analysis.values.evidence import Evidence
from analysis.values.film import FrameNumber
from analysis.values.run import Direction, Side, StartPush
from analysis.values.words import tr

Floats = npt.NDArray[np.float64]

TIP_ERROR_M, TIP_ERROR_PX = 0.075, 4.0
"""Standard uncertainty of a drafted shoe tip along the line: half of what 95 % of the rendered runs lie
within (docs/validation.md, Drafted footfalls); in pixels where no marks give a scale (own assumption)."""


_FOOT_PX = 9


def right_within_frames(rate_hz: float) -> int:
    """Frames by which both events of a proposal that is called right may be off."""
    return max(1, round(2 * rate_hz / 240))


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

    def pixels(self, frame: int, columns: Floats) -> Floats:
        """Where places of the strip lie on a frame, px, (n, 2)."""
        places = np.column_stack([columns + self.left, self.slope * columns + self.offset])
        if self.maps is None:
            return places
        return apply_map(inverse(_map_of(self.maps, frame)), places)

    def pixel(self, frame: int, column: float) -> tuple[float, float]:
        """Where a place of the strip lies on a frame, px."""
        u, v = self.pixels(frame, np.array([column]))[0]
        return float(u), float(v)

    def column(self, frame: int, u: float, v: float) -> float:
        """The column of the strip under a pixel of a frame."""
        if self.maps is not None:
            u = float(apply_map(_map_of(self.maps, frame), np.array([[u, v]]))[0, 0])
        return u - self.left

    def tip_error_px(self, column: float, metres: Floats | None) -> float:
        """Standard uncertainty of a drafted tip, px. ``metres``: of every column, None without a scale."""
        if metres is None:
            return TIP_ERROR_PX
        at = min(max(round(column), 1), len(metres) - 2)
        per_px = abs(float(metres[at + 1] - metres[at - 1])) / 2
        return TIP_ERROR_M / per_px if per_px > 0 else TIP_ERROR_PX

    def standing_column(self, touchdown: int, toe_off: int) -> float:
        """Where most stands from touchdown to toe-off: the column of the contact's streak."""
        part = self.levels[max(touchdown, 0) : max(toe_off, touchdown + 1)].astype(np.float32)
        always = np.quantile(part, 0.2, axis=0) if len(part) else np.zeros(self.levels.shape[1])
        return float(np.argmax(np.convolve(always, np.ones(_FOOT_PX), mode="same")))

    def metres(self, evidence: Evidence) -> Floats | None:
        """Place along the line of every column, m, by the marks; None where these give no scale."""
        film, run, camera = evidence.film, evidence.run, evidence.camera
        view = View(film.width, film.height, evidence.lens, camera, film.times.median_rate_hz)
        ground = read_ground(run, film.width, film.height, view)
        if isinstance(ground, NoValue):
            return None
        frame = 0 if camera is None else int(camera.reference)
        pixels = self.pixels(frame, np.arange(self.levels.shape[1], dtype=float))
        places = ground.metres(view.straight([frame] * len(pixels), pixels))
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

    def beginning_with(self, first_side: Side) -> Drafted:
        """The same with that foot first."""
        if not self.footfalls or self.footfalls[0].side is first_side:
            return self
        other = tuple(replace(one, side=one.side.other) for one in self.footfalls)
        front = self.start.front_side
        start = replace(self.start, front_side=None if front is None else front.other)
        return replace(self, footfalls=other, start=start)


def write_drafted(drafted: Drafted, file: Path | IO[bytes]) -> None:
    """Write what was drafted as packed arrays."""
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
    np.savez_compressed(file, **arrays)  # type: ignore[arg-type]


def packed(drafted: Drafted) -> bytes:
    """What was drafted as bytes, for the project."""
    out = BytesIO()
    write_drafted(drafted, out)
    return out.getvalue()


def read_drafted(file: Path | IO[bytes]) -> Drafted:
    """Read what ``write_drafted`` wrote. Raises FilmError where it can't be read."""
    try:
        with np.load(file, allow_pickle=False) as held:
            told = json.loads(str(held["told"]))
            strip = None
            if "levels" in held:
                left, slope, offset = (float(one) for one in held["line"])
                maps = held.get("maps")
                strip = StripPicture(held["levels"], left, slope, offset, maps)
    except (OSError, ValueError, KeyError, BadZipFile) as error:
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


def _map_of(maps: Floats, frame: int) -> Floats:
    """A frame's map into the strip; the nearest one before the first and after the last."""
    found: Floats = maps[min(max(frame, 0), len(maps) - 1)]
    return found
