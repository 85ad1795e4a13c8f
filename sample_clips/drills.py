"""Films of drills: two reps of a throw from kneeling, two of a split jump, with marks, clicks and truth."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from sample_clips.body import POINT_NAMES, Array
from sample_clips.camera import Camera
from sample_clips.clicks import CLICK_ERROR_PX
from sample_clips.drill_motion import BALL_RADIUS_M, SplitJumpRep, ThrowRep
from sample_clips.encode import write_film
from sample_clips.film import Film, Picture32
from sample_clips.head import draw_outline
from sample_clips.motion import Motion, Pose
from sample_clips.scenario import CameraPlan, Picture
from sample_clips.scenarios import WING_DAY2
from sample_clips.shading import Canvas
from sample_clips.sheet import marks_of, tag
from sample_clips.truth import one_item_a_line

Json = dict[str, Any]
Rep = ThrowRep | SplitJumpRep

BALL_COLOUR = (0.62, 0.16, 0.20)
FLIGHT_CLICKS = 14
EXPOSED_S = 2e-3  # a frame's whole exposure is its own rep's
BODIES_IN_FLIGHT = 7


@dataclass(frozen=True)
class Drill:
    """A film of a drill. ``reps``: number within the set, the cue given, and the motion."""

    name: str
    kind: str
    seed: int
    reps: tuple[tuple[int, str, Rep], ...]
    camera: CameraPlan = field(default_factory=lambda: CameraPlan(distance_m=9.0, centre_x_m=2.5, span_m=6.4))
    picture: Picture = field(
        default_factory=lambda: Picture(width=960, height=540, fps=120.0, noise=0.5, crf=20)
    )


THROW_KNEELING = Drill(
    "throw_kneeling",
    "throw",
    81,
    (
        (1, "", ThrowRep()),
        (
            5,
            "hips first, then the hands",
            ThrowRep(
                hip_set_deg=126.0,
                hip_release_deg=74.0,
                trunk_set_deg=70.0,
                trunk_release_deg=66.0,
                push_s=0.165,
            ),
        ),
    ),
)
SPLIT_JUMP = Drill(
    "split_jump",
    "jump",
    82,
    (
        (1, "", SplitJumpRep()),
        (4, "push the floor away", SplitJumpRep(speed_x_m_s=1.15, speed_y_m_s=2.45, off_m=0.885)),
    ),
)
DRILLS: dict[str, Drill] = {drill.name: drill for drill in (THROW_KNEELING, SPLIT_JUMP)}


class _Motion(Motion):
    """The repetitions one after the other; the camera was stopped between them."""

    def __init__(self, reps: Sequence[Rep], begins: Sequence[float]) -> None:
        object.__setattr__(self, "scenario", WING_DAY2)
        object.__setattr__(self, "reps", tuple(reps))
        object.__setattr__(self, "begins", tuple(begins))

    def at(self, t: Array) -> Pose:
        """The pose at film times (n,)."""
        which = self.which(t)
        poses = [
            rep.at(t[which == n] - begin)
            for n, (rep, begin) in enumerate(zip(self.reps, self.begins, strict=True))  # type: ignore[attr-defined]
            if (which == n).any()
        ]
        points = {name: np.concatenate([p.points[name] for p in poses]) for name in poses[0].points}
        return Pose(t, points, np.concatenate([p.com for p in poses]), {})

    def which(self, t: Array) -> NDArray[np.int64]:
        """Which repetition a film time belongs to, (n,)."""
        return np.searchsorted(np.array(self.begins), t + EXPOSED_S, side="right").clip(1) - 1  # type: ignore[attr-defined]


class DrillFilm(Film):
    """Draws the frames of a drill."""

    def __init__(self, drill: Drill) -> None:
        self.drill = drill
        counts = [round(rep.ends_s * drill.picture.fps) for _, _, rep in drill.reps]
        self.firsts = [0, *np.cumsum(counts)[:-1].tolist()]
        self.count = sum(counts)
        picture = replace(drill.picture, frames=self.count)
        self.scenario = replace(
            WING_DAY2, name=drill.name, seed=drill.seed, camera=drill.camera, picture=picture
        )
        self.begins = [first / drill.picture.fps for first in self.firsts]
        self.motion = _Motion([rep for _, _, rep in drill.reps], self.begins)

    @cached_property
    def run_s(self) -> Array:
        return self.times_s

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """All frames in order."""
        return map(self.frame, range(self.count))

    def ball(self, i: int, exposure: float = 0.0) -> Array | None:
        """The ball's middle (3,) in m in a frame; None where there is none."""
        t = self.times_s[i]
        n = int(self.motion.which(np.array([t]))[0])
        rep = self.drill.reps[n][2]
        if not isinstance(rep, ThrowRep):
            return None
        return np.asarray(rep.ball_at(np.array([t + exposure - self.begins[n]]))[0])

    def _athlete(self, picture: Picture32, camera: Camera, i: int) -> None:
        ball = self.ball(i)
        n = int(self.motion.which(self.times_s[i : i + 1])[0])
        held = (
            ball is not None and self.times_s[i] - self.begins[n] < self.drill.reps[n][2].events_s["release"]
        )
        if ball is not None and held:
            self._ball(picture, camera, ball)  # the near hand lies over it
        super()._athlete(picture, camera, i)
        if ball is not None and not held:
            self._ball(picture, camera, ball)

    def _ball(self, picture: Picture32, camera: Camera, ball: Array) -> None:
        uv, scale = camera.project(ball), float(camera.scale(ball))
        radius = BALL_RADIUS_M * scale
        low = np.maximum(np.floor(uv - radius - 3).astype(int), 0)
        high = np.minimum(np.ceil(uv + radius + 4).astype(int), [camera.width, camera.height_px])
        if np.any(high - low < 2):
            return
        w, h = (int(a) for a in high - low)
        canvas = Canvas.blank(low.astype(float), w, h, 2)
        angle = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
        rim = uv + radius * np.stack([np.cos(angle), np.sin(angle)], -1)
        draw_outline(canvas, rim, BALL_COLOUR, 1.0, (uv, radius))
        colour = cv2.resize(canvas.colour, (w, h), interpolation=cv2.INTER_AREA)
        cover = cv2.resize(canvas.cover, (w, h), interpolation=cv2.INTER_AREA)
        part = picture[low[1] : high[1], low[0] : high[0]]
        part *= (1.0 - cover)[..., None]
        part += colour


def sheet_of(film: DrillFilm) -> Json:
    """What a coach marks on the film: repetitions with their events, marks, and clicks off by a little."""
    rng = np.random.default_rng([film.drill.seed, 9])
    reps, points = [], []
    for n, (number, cue, rep) in enumerate(film.drill.reps):
        first = film.firsts[n]
        last = (film.firsts[n + 1] if n + 1 < len(film.firsts) else film.count) - 1
        frames = {event: tag(film.times_s, film.begins[n] + s) for event, s in rep.events_s.items()}
        events = [{"event": event, "frame": frame} for event, frame in frames.items()]
        reps.append({"set": 1, "number": number, "cue": cue, "first": first, "last": last, "events": events})
        points += _clicks(film, rep, frames, last, rng)
    return {
        "format": "cinderlane drill sheet",
        "version": 1,
        "name": film.drill.name,
        "kind": film.drill.kind,
        "film": f"{film.drill.name}.mp4",
        "fps": film.drill.picture.fps,
        "camera_distance_m": film.drill.camera.distance_m,
        "marks": marks_of(film),
        "reps": reps,
        "points": sorted(points, key=lambda p: (p["frame"], p["name"])),
    }


def truth_of(film: DrillFilm) -> Json:
    """What is measured of each repetition, exactly, and when its events are, s of film time."""
    return {
        "name": film.drill.name,
        "seed": film.drill.seed,
        "reps": [
            {
                "number": number,
                "events_s": {event: film.begins[n] + s for event, s in rep.events_s.items()},
                "measures": rep.truth,
            }
            for n, (number, _, rep) in enumerate(film.drill.reps)
        ],
    }


def write_drill(folder: Path, drill: Drill) -> Path:
    """Writes the film, NAME.json with what is marked and NAME.truth.json."""
    film, p = DrillFilm(drill), drill.picture
    (folder / f"{drill.name}.json").write_text(one_item_a_line(sheet_of(film)), encoding="utf-8")
    words = json.dumps(truth_of(film), indent=1) + "\n"
    (folder / f"{drill.name}.truth.json").write_text(words, encoding="utf-8")
    path = folder / f"{drill.name}.mp4"
    write_film(path, film.frames(), p.width, p.height, p.fps, p.crf)
    return path


def _clicks(
    film: DrillFilm, rep: Rep, frames: dict[str, int | None], last: int, rng: np.random.Generator
) -> list[Json]:
    wanted: set[int] = set()
    for event, frame in frames.items():
        assert frame is not None
        wanted |= {frame} if event == "set" else {frame - 1, frame}
    found = []
    if isinstance(rep, ThrowRep):
        release = frames["release"]
        assert release is not None
        for frame in range(release, min(release + FLIGHT_CLICKS, last + 1)):
            ball = film.ball(frame)
            assert ball is not None
            found.append(_click(film, frame, "implement", ball, rng))
    else:
        off, down = frames["push-off"], frames["landing"]
        assert off is not None
        assert down is not None
        wanted |= set(np.linspace(off, down, BODIES_IN_FLIGHT + 2).round().astype(int).tolist())
    body = film.pose.points
    for frame in sorted(wanted):
        found += [_click(film, frame, name, body[name][frame], rng) for name in POINT_NAMES]
    return found


def _click(film: DrillFilm, frame: int, name: str, place: Array, rng: np.random.Generator) -> Json:
    u, v = film.cameras[frame].project(place) + rng.normal(0.0, CLICK_ERROR_PX, 2)
    return {
        "frame": frame,
        "name": name,
        "u": round(float(u), 2),
        "v": round(float(v), 2),
        "error_px": CLICK_ERROR_PX,
    }
