"""Runs of the sample renderer from other seeds, marked as a coach marks them, with the truth beside them.

The renderer shares no code with a reading. Events are tagged on their true frames; marks, points and the ends
of lines are off by a click's usual error. A film whose camera turns is drawn, and its background followed.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from analysis.background import follow_background
from analysis.background.saving import load_path, save_path
from analysis.film import open_film
from analysis.ground.lens_fit import lens_from_lines
from analysis.sheet import read_sheet
from analysis.values.camera import CameraPath, Lens
from analysis.values.evidence import Evidence
from sample_clips.camera import Camera, _shake, cameras_of
from sample_clips.encode import write_film
from sample_clips.film import Film
from sample_clips.scenario import CameraKind, Scenario, Side
from sample_clips.scenarios import drawn
from sample_clips.truth import truth_of

Floats = npt.NDArray[np.float64]
Json = dict[str, Any]

SECONDS = 3.3
"""Long enough for the slowest of them to be a whole step past 10 m."""

TURNING = ("panning", "handheld")
STRAIGHT = ((0.0, 1.2), (0.0, -1.2), (3.4, -4.0))
"""Height and depth of three straight things along the hall, m: edges of the lane, an edge of the wall."""


@dataclass(frozen=True)
class Wish:
    """A film: from which seed, at how many frames a second, to which side, filmed how. ``arm_m``: how far the
    camera is from the axis about which a body turns with it; ``sway_m``: how far the hands move it.
    """

    seed: int
    fps: float
    direction: Side
    camera: CameraKind
    k1: float = 0.0
    width: int = 1280
    arm_m: float = 0.0
    sway_m: float = 0.0

    @property
    def name(self) -> str:
        """In words, for a table."""
        lens = " through a wide lens" if self.k1 else ""
        kind = {"wide": "wide lens", "handheld": "hand-held"}.get(self.camera, self.camera)
        if self.arm_m:
            kind += f" in the hands, {self.width} px wide"
        return f"{self.seed}: {kind}{lens}, {self.fps:g}, to the {self.direction}"


WISHES = (
    Wish(31, 240, "right", "still"),
    Wish(32, 60, "left", "still"),
    Wish(33, 120, "right", "tilted"),
    Wish(34, 240, "left", "tilted"),
    Wish(35, 60, "right", "wide"),
    Wish(36, 240, "left", "wide"),
    Wish(37, 120, "right", "panning"),
    Wish(38, 60, "left", "panning"),
    Wish(39, 240, "left", "panning"),
    Wish(40, 120, "right", "handheld"),
    Wish(41, 60, "left", "handheld"),
    Wish(42, 60, "right", "panning", -0.05),
    Wish(43, 60, "right", "panning", width=960, arm_m=0.3),
    Wish(44, 60, "left", "panning", width=960, arm_m=0.3, sway_m=0.02),
)
HANDS_DEG = 0.3
"""How far the hands turn a camera that they hold."""


class InHands(Film):
    """A film whose camera does not turn about itself: carried about the axis of a body, and swayed."""

    def __init__(self, scenario: Scenario, arm_m: float, sway_m: float) -> None:
        super().__init__(replace(scenario, camera=replace(scenario.camera, shake_deg=HANDS_DEG)))
        self._arm_m, self._sway_m = arm_m, sway_m

    @cached_property
    def cameras(self) -> list[Camera]:
        held = cameras_of(self.scenario, self.times_s, self.pose.points["mid_hip"][:, 0])
        sway = self._sway_m * _shake(np.random.default_rng([self.scenario.seed, 91]), self.times_s, 1.0)
        return [
            replace(
                camera,
                x=camera.x + (-1.0 if camera.mirrored else 1.0) * float(self._arm_m * np.sin(pan) + along),
                height=camera.height + float(up),
                distance=camera.distance + float(self._arm_m * (1.0 - np.cos(pan)) + away),
            )
            for camera, pan, (along, away, up) in zip(
                held, np.radians([camera.pan for camera in held]), sway, strict=True
            )
        ]


class Rendered:
    """One run as filmed. ``folder``: where films that must be drawn are kept."""

    def __init__(self, wish: Wish, folder: Path | None = None) -> None:
        self.wish, self._folder = wish, folder
        scenario = drawn(wish.seed, wish.fps, wish.direction, wish.camera)
        picture = replace(
            scenario.picture,
            frames=round(SECONDS * wish.fps),
            width=wish.width,
            height=wish.width * 9 // 16,
        )
        camera = replace(scenario.camera, k1=wish.k1 or scenario.camera.k1)
        scenario = replace(scenario, camera=camera, picture=picture)
        self._film = InHands(scenario, wish.arm_m, wish.sway_m) if wish.arm_m else Film(scenario)
        with np.errstate(divide="ignore"):  # marks beyond the film's end are never passed
            truth = truth_of(self._film)
        self.sheet: Json = truth.sheet
        self.numbers: Json = truth.numbers

    def evidence(self, error_px: float, chance: int, marks_alone: bool = False) -> Evidence:
        """What a coach has marked whose clicks are off by ``error_px`` (standard deviation, each axis);
        ``marks_alone``: those of the marks, while all others are exact.
        """
        rng = np.random.default_rng([self.wish.seed, chance])
        sheet = shaken(self.sheet, error_px, rng)
        found = read_sheet({**self.sheet, "marks": sheet["marks"]} if marks_alone else sheet, Path())
        assert found.facts is not None
        # The maps of a film hold for the lens with which it was followed.
        lens = self._lens(error_px, rng) if self.path is None else self.path.lens
        return Evidence(found.run, found.facts, found.athlete, self.path, lens)

    def pixels_per_m(self, x_m: float) -> float:
        """Of the first frame's camera, at a place on the running line."""
        return float(self._film.cameras[0].scale(np.array([x_m, 0.0, 0.0])))

    @cached_property
    def path(self) -> CameraPath | None:
        """Where every frame looks, found from the drawn film; None where the camera doesn't turn."""
        if self.wish.camera not in TURNING:
            return None
        assert self._folder is not None
        arm = f"_{self.wish.arm_m:g}_{self.wish.sway_m:g}" if self.wish.arm_m else ""
        film = self._folder / f"{self._film.scenario.name}_{self.wish.k1:g}_{self.wish.width}{arm}.mp4"
        kept = film.with_suffix(".npz")
        if not film.exists():
            part, picture = film.with_suffix(".part.mp4"), self._film.scenario.picture
            frames = (self._film.frame(i) for i in range(picture.frames))
            write_film(part, frames, picture.width, picture.height, picture.fps, picture.crf)
            part.rename(film)
        if not kept.exists():
            opened = open_film(film)
            lens = self._lens(0.0, np.random.default_rng(0))
            save_path(follow_background(opened, 0, opened.frames - 1, lens=lens), kept)
        return load_path(kept)

    def _lens(self, error_px: float, rng: np.random.Generator) -> Lens | None:
        """From twelve clicks along each of three straight things, on the frame in the middle."""
        camera = self._film.cameras[len(self._film.cameras) // 2]
        if not camera.k1:
            return None
        along, plain = np.linspace(-12.0, 24.0, 3000), replace(camera, k1=0.0)
        rows = []
        for height, depth in STRAIGHT:
            line = np.column_stack([along, np.full(len(along), height), np.full(len(along), depth)])
            seen, size = camera.project(line), np.array([camera.width, camera.height_px])
            inside = (seen > 5).all(axis=1) & (seen < size - 5).all(axis=1)
            # Far outside, the lens's one term folds the world back into the picture.
            seen = seen[inside & (np.abs(plain.project(line) - camera.centre) < size).all(axis=1)]
            chosen = seen[np.linspace(0, len(seen) - 1, 12).astype(int)]
            rows.append(chosen + rng.normal(0, error_px, chosen.shape))
        return lens_from_lines(rows, camera.width, camera.height_px).lens


def shaken(sheet: Json, error_px: float, rng: np.random.Generator) -> Json:
    """The sheet with every mark, point and end of a line off by a normal error."""
    moved = copy.deepcopy(sheet)
    for item in (*moved["marks"], *moved["points"]):
        item["u"] += rng.normal(0, error_px)
        item["v"] += rng.normal(0, error_px)
    for line in moved["lines"]:
        for end in ("from", "to"):
            line[end] = [float(p + rng.normal(0, error_px)) for p in line[end]]
    return moved
