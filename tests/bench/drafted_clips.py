"""Films for judging drafts of footfalls, with their events: six renderers, colours and light varied."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

import numpy as np

from sample_clips.encode import write_film
from sample_clips.events import schedule_of
from sample_clips.film import Film
from sample_clips.scenario import CameraKind, Scenario
from sample_clips.scenarios import drawn
from tests.helpers.capsule_runs import CapsuleFilm, drawn_run, events_of, write_run
from tests.helpers.hall_runs import HallFilm
from tests.helpers.meadow_runs import MeadowFilm
from tests.helpers.track_runs import TrackFilm
from tests.helpers.walked_runs import WalkedFilm, walked_run
from tests.helpers.worn_frames import Worn

SEEN_PX = 10.0
"""Pixels between a shoe that counts as seen and the picture's edge."""


@dataclass(frozen=True)
class Wish:
    """A film to be drawn: by which renderer, from which seed, how filmed; ``worn``: as by a poor phone."""

    renderer: str
    seed: int
    fps: float
    camera: str
    worn: bool = False

    @property
    def name(self) -> str:
        """Of its files."""
        return f"{self.renderer}_{self.seed}" + ("_worn" if self.worn else "")


@dataclass(frozen=True)
class Clip:
    """A film and its truth. ``events``: touchdown and toe-off in s, u of the shoe in px, x in m, of each
    contact seen whole. ``marks``: x in m and pixel in the first frame. ``beside``: touchdown and toe-off in s
    of contacts at the ends of film or picture, which may be drafted or not.
    """

    name: str
    path: str
    fps: float
    camera: str
    events: list[tuple[float, float, float, float]]
    marks: list[tuple[float, float, float]]
    beside: list[tuple[float, float]] = field(default_factory=list)


_RATES = (240.0, 120.0, 60.0, 240.0)
_CAMERAS = ("still", "panning", "still", "hand-held")
_SAMPLE_CAMERAS: tuple[CameraKind, ...] = ("still", "panning", "tilted", "handheld")
_MEADOW_S, _TRACK_S, _HALL_S, _WALKED_S = 1.8, 2.2, 2.0, 2.2


def _wishes(renderer: str, seeds: range, worn: bool = False) -> list[Wish]:
    return [Wish(renderer, seed, _RATES[seed % 4], _CAMERAS[seed // 4 % 4], worn) for seed in seeds]


HELD_OUT = [
    *_wishes("hall", range(9661, 9673)),
    *_wishes("capsule", range(9261, 9266)),
    *_wishes("meadow", range(9366, 9371)),
    *_wishes("track", range(9473, 9478)),
    *_wishes("hall", range(9681, 9683), worn=True),
    *_wishes("capsule", range(9283, 9284), worn=True),
    *_wishes("meadow", range(9381, 9382), worn=True),
    *_wishes("track", range(9485, 9486), worn=True),
    *(Wish("walked", seed, _RATES[seed % 4], "walking") for seed in range(9701, 9705)),
]
"""Runs that nobody had looked at when they were first drafted. Since then they belong to development."""

DEVELOPMENT = [
    *_wishes("capsule", range(541, 557)),
    *(Wish("sample", seed, _RATES[(seed // 2) % 4], _SAMPLE_CAMERAS[seed % 4]) for seed in range(911, 915)),
    *_wishes("meadow", range(81, 93)),
    *(Wish("track", 2000 + k, _RATES[k % 4], _CAMERAS[k // 4 % 4]) for k in range(7)),
    *(Wish("meadow", 3000 + k, _RATES[(k + 1) % 4], _CAMERAS[k // 3 % 4], True) for k in range(6)),
    *(Wish("capsule", 4000 + k, _RATES[(k + 2) % 4], _CAMERAS[k // 3 % 4], True) for k in range(7)),
    *(Wish("track", 2100 + k, _RATES[(k + 3) % 4], _CAMERAS[k // 4 % 4], True) for k in range(6)),
    *_wishes("capsule", range(7101, 7109)),
    *_wishes("capsule", range(7117, 7120), worn=True),
    *_wishes("meadow", range(7201, 7208)),
    *_wishes("meadow", range(7217, 7220), worn=True),
    *_wishes("track", range(7303, 7310)),
    *_wishes("hall", range(8601, 8617)),
    *_wishes("hall", range(8621, 8624), worn=True),
    *(Wish("walked", seed, _RATES[seed % 4], "walking") for seed in range(7711, 7717)),
]
"""Runs to look at."""

SURENESS = [
    *DEVELOPMENT[::5],
    *(Wish("hall", seed, 240.0, "panning") for seed in (9508, 9511)),
    Wish("track", 9315, 240.0, "still"),
    Wish("track", 9316, 240.0, "panning"),
]
"""Runs that tell how sure a draft is: every fifth of those, and four that once judged drafts and were then
looked at.
"""


def made(wish: Wish, folder: Path) -> Clip:
    """The film, drawn where it is not there already."""
    path = folder / f"{wish.name}.mp4"
    facts = path.with_suffix(".json")
    if not (path.exists() and facts.exists()):
        draw: dict[str, Callable[[Wish, Path], Clip]] = {
            "capsule": _capsule,
            "sample": _sample,
            "meadow": _meadow,
            "track": _track,
            "hall": _hall,
            "walked": _walked,
        }
        facts.write_text(json.dumps(asdict(draw[wish.renderer](wish, path))), encoding="utf-8")
    return Clip(**json.loads(facts.read_text(encoding="utf-8")) | {"path": str(path)})


def _capsule(wish: Wish, path: Path) -> Clip:
    return _drawn(wish, path, CapsuleFilm, None, 18)


def _meadow(wish: Wish, path: Path) -> Clip:
    return _drawn(wish, path, MeadowFilm, _MEADOW_S, 26)


def _track(wish: Wish, path: Path) -> Clip:
    return _drawn(wish, path, TrackFilm, _TRACK_S, 23)


def _hall(wish: Wish, path: Path) -> Clip:
    return _drawn(wish, path, HallFilm, _HALL_S, 24, "libx265" if wish.seed % 3 == 0 else "libx264")


def _walked(wish: Wish, path: Path) -> Clip:
    chance = np.random.default_rng([wish.seed, 92])
    run = walked_run(wish.seed, wish.fps, _WALKED_S)
    grass, follow = bool(chance.random() < 0.7), float(chance.uniform(0.5, 0.95))
    film = WalkedFilm(run, float(chance.uniform(0.4, 1.6)), follow, grass=grass)
    write_run(run, path, film)
    return _clip(wish, path, film)


def _drawn(
    wish: Wish,
    path: Path,
    figure: type[CapsuleFilm],
    seconds: float | None,
    crf: int,
    codec: str = "libx264",
) -> Clip:
    pan, shake, window = (wish.camera == one for one in ("panning", "hand-held", "window"))
    run = drawn_run(wish.seed, wish.fps, pan=pan, shake=shake, seconds=seconds, window=window)
    film = figure(run)
    worn = Worn(wish.seed) if wish.worn else None
    write_run(run, path, film, crf=crf if worn is None else worn.crf, changed=worn, codec=codec)
    return _clip(wish, path, film)


def _clip(wish: Wish, path: Path, film: CapsuleFilm) -> Clip:
    run = film.run
    name = run.name.replace("capsule", wish.renderer) + (" worn" if wish.worn else "")
    if wish.camera == "walking":
        name = name.replace("panning", "walking")
    events = events_of(run, film=film)
    judged = {on for on, _, _, _ in events}
    beside = [(on, off) for on, off in run.contacts if on not in judged and on < run.seconds]
    return Clip(name, str(path), run.fps, wish.camera, events, film.marks, beside)


def _sample(wish: Wish, path: Path) -> Clip:
    """The sample clips' athlete in other colours and light, at half the size."""
    chance = np.random.default_rng([wish.seed, 9])
    way = "left" if wish.seed % 3 == 0 else "right"
    scenario = drawn(wish.seed, wish.fps, way, wish.camera)
    dark = chance.random() < 0.4

    def colour(low: float, high: float) -> tuple[float, float, float]:
        red, green, blue = (float(n) for n in chance.uniform(low, high, 3))
        return red, green, blue

    athlete = replace(
        scenario.athlete,
        shoes=colour(0.02, 0.15) if dark else colour(0.2, 0.95),
        shorts=colour(0.05, 0.6),
        socks=colour(0.05, 0.9),
    )
    picture = replace(
        scenario.picture,
        light=float(chance.uniform(0.6, 1.1)),
        noise=float(chance.uniform(1, 4)),
        crf=18,
        width=960,
        height=540,
    )
    scenario = replace(scenario, athlete=athlete, picture=picture)
    film = Film(scenario)
    worn = Worn(wish.seed) if wish.worn else lambda one: one
    frames = (worn(film.frame(i)) for i in range(picture.frames))
    write_film(path, frames, picture.width, picture.height, picture.fps, picture.crf)
    name = scenario.name.replace("run", "sample") + (" worn" if wish.worn else "")
    seen, marks = _seen(scenario, film), _marks(scenario, film)
    return Clip(name, str(path), picture.fps, _camera(wish.camera), seen, marks)


def _camera(kind: str) -> str:
    return {"tilted": "still", "handheld": "hand-held"}.get(kind, kind)


def _seen(scenario: Scenario, film: Film) -> list[tuple[float, float, float, float]]:
    picture, out = scenario.picture, []
    for contact in schedule_of(scenario).contacts[2:]:
        on, off = contact.on_s + scenario.rest_s, contact.off_s + scenario.rest_s
        if off > (picture.frames - 1) / picture.fps - 0.02:
            continue
        frames = [round(t * picture.fps) for t in (on, (on + off) / 2, off)]
        tip = film.pose.points[f"{contact.side}_toe"][frames[1]]
        places = [float(film.cameras[min(i, picture.frames - 1)].project(tip)[0]) for i in frames]
        shoe = 0.25 * float(film.cameras[frames[1]].scale(tip))
        if all(SEEN_PX + shoe <= u < picture.width - SEEN_PX - shoe for u in places):
            out.append((on, off, places[1], float(tip[0])))
    return out


def _marks(scenario: Scenario, film: Film) -> list[tuple[float, float, float]]:
    places = (0.0, 1.0, 2.5, 4.0) if scenario.camera.kind == "panning" else (0.0, 2.5, 5.0, 10.0, 13.0)
    out = []
    for x_m in places:
        u, v = (float(n) for n in film.cameras[0].project(np.array([x_m, 0.0, 0.0])))
        if 0 < u < scenario.picture.width - 1:
            out.append((x_m, u, v))
    return out
