"""Films of a runner made of capsules, drawn flat in front of a textured scene; every event is known.

A second figure beside ``sample_clips``: another body, gait, scenery, camera, and nothing shared with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from pathlib import Path

import av
import cv2
import numpy as np

FINE = 2
GROUNDS = ("grass", "boards", "tartan", "concrete", "plain")
SHADOWS = ("none", "long", "under")
LEAST_CONTRAST = 16.0


@dataclass(frozen=True)
class CapsuleRun:
    """What is drawn. Lengths in m, times in s, colours grey or blue-green-red 0 to 255.

    ``contacts``: (touchdown, toe-off) of each step, s of film time. ``feet_m``: place of each shoe's tip.
    ``rear_s``, ``front_s``: the toe-offs of the start push, None where the runner comes in running.
    ``pan``: share of the runner's travel that the camera follows. ``window``: it does not turn; a
    window moves over its wide picture.
    """

    seed: int
    width: int
    height: int
    fps: float
    seconds: float
    direction: str
    scale: float
    horizon: float
    ground_v: float
    roll: float
    stature: float
    contacts: tuple[tuple[float, float], ...]
    feet_m: tuple[float, ...]
    rear_s: float | None
    front_s: float | None
    rest_s: float
    ground: str
    shadow: str
    shoes: tuple[int, int, int]
    legs: tuple[int, int, int]
    shirt: tuple[int, int, int]
    stripes: bool
    noise: float
    light: float
    flicker: float
    people: int
    pan: float
    shake_px: float
    lift: float
    start_m: float
    window: bool = False

    @property
    def name(self) -> str:
        """What it is, for a table."""
        moves = "window" if self.window else "panning" if self.pan else "still"
        moves = "hand-held" if self.shake_px else moves
        size = f"{self.width}x{self.height}"
        return f"capsule {self.seed} {self.fps:g}/s {size} {moves} {self.direction} {self.ground}"

    @property
    def frames(self) -> int:
        return round(self.seconds * self.fps)


def drawn_run(
    seed: int,
    fps: float = 240.0,
    *,
    pan: bool = False,
    small: bool = False,
    shake: bool = False,
    direction: str | None = None,
    seconds: float | None = None,
    window: bool = False,
) -> CapsuleRun:
    """A run drawn from a seed; ``window``: followed as ``pan`` is, by a window over a wide picture."""
    pan = pan or window
    rng = np.random.default_rng([seed, 31])
    width, height = (640, 360) if small else ((1280, 720), (960, 540), (640, 360))[int(rng.integers(3))]
    stature = float(rng.uniform(1.6, 1.95))
    span = float(rng.uniform(6.5, 8.5)) if pan else float(rng.uniform(10.5, 14.5))
    scale = width / span
    standing = bool(rng.random() < 0.75)
    rest = float(rng.uniform(0.25, 0.7)) if standing else 0.0
    vmax, tau = float(rng.uniform(7.6, 9.3)), float(rng.uniform(0.9, 1.3))
    if not standing:
        tau = 0.02
        vmax = float(rng.uniform(6.0, 8.5))
    push_rear, push_front = float(rng.uniform(0.22, 0.32)), float(rng.uniform(0.42, 0.52))
    first = rest + push_front + float(rng.uniform(0.04, 0.07))
    t = first if standing else float(rng.uniform(0.05, 0.15))
    contacts = []
    for k in range(16):
        late = 1 - np.exp(-k / 2.5) if standing else 1.0
        contact = 0.195 - 0.08 * late + float(rng.normal(0, 0.004))
        flight = 0.055 + 0.06 * late + float(rng.normal(0, 0.004))
        contacts.append((t, t + contact))
        t += contact + flight
    start_m = 0.6 if standing else 0.4
    seconds = seconds or float(rng.uniform(2.2, 3.0))
    hip = _hips(rest, vmax, tau, start_m)
    feet = tuple(
        float(hip(a) + (0.10 + 0.22 * min(1.0, k / 4) + rng.normal(0, 0.02)) * stature / 1.8)
        for k, (a, _) in enumerate(contacts)
    )
    dark = bool(rng.random() < 0.3)
    colour = lambda low, high: tuple(int(c) for c in rng.integers(low, high, 3))  # noqa: E731
    return CapsuleRun(
        seed=seed,
        width=width,
        height=height,
        fps=fps,
        seconds=seconds,
        direction=direction or ("left" if rng.random() < 0.5 else "right"),
        scale=scale,
        horizon=float(rng.uniform(0.35, 0.55)),
        ground_v=float(rng.uniform(0.66, 0.85)) * height,
        roll=float(rng.normal(0, 0.008)),
        stature=stature,
        contacts=tuple(contacts),
        feet_m=feet,
        rear_s=rest + push_rear if standing else None,
        front_s=rest + push_front if standing else None,
        rest_s=rest,
        ground=GROUNDS[int(rng.integers(len(GROUNDS)))],
        shadow=SHADOWS[int(rng.integers(len(SHADOWS)))],
        shoes=colour(15, 50) if dark else colour(20, 250),
        legs=colour(10, 220),
        shirt=colour(10, 250),
        stripes=bool(rng.random() < 0.5),
        noise=float(rng.uniform(0.8, 4.0)),
        light=float(rng.uniform(0.55, 1.1)),
        flicker=float(rng.choice([0.0, 0.0, 0.01, 0.03])),
        people=int(rng.integers(0, 4)),
        pan=float(rng.uniform(0.75, 0.95)) if pan else 0.0,
        shake_px=float(rng.uniform(1.0, 3.0)) if shake else 0.0,
        lift=float(rng.uniform(0.3, 0.5)),
        start_m=start_m,
        window=window,
    )


def _hips(rest, vmax, tau, start):
    def at(t):
        s = np.maximum(np.asarray(t, float) - rest, 0.0)
        return start + vmax * (s - tau * (1 - np.exp(-s / tau)))

    at.vmax, at.tau = vmax, tau
    return at


class CapsuleFilm:
    """Draws the frames of a run."""

    def __init__(self, run: CapsuleRun) -> None:
        self.run = run
        rng = np.random.default_rng([run.seed, 31])  # the same first draws give the same path of the hips
        self._rng = np.random.default_rng([run.seed, 77])
        self.hip = self._hip_path()
        self._plans = [self._foot_plan(0), self._foot_plan(1)]
        del rng

    def _hip_path(self):
        """Through the mid-contact places, smooth; at rest before the start."""
        run = self.run
        mids = [(a + b) / 2 for a, b in run.contacts]
        tips = np.array(run.feet_m)
        hips = tips - 0.05 * run.stature
        if run.rear_s is None:
            times, places = np.array(mids), hips
        else:
            times = np.array([0.0, run.rest_s * 0.6, run.rest_s, *mids])
            places = np.array([run.start_m] * 3 + list(hips))
        from scipy.interpolate import PchipInterpolator

        curve = PchipInterpolator(times, places, extrapolate=True)
        first, last = times[0], times[-1]
        slope_in, slope_out = float(curve.derivative()(first)), float(curve.derivative()(last))
        early = slope_in if run.rear_s is None else 0.0
        if run.rear_s is None:
            early = (places[1] - places[0]) / (times[1] - times[0])
        return lambda t: float(
            places[0] + early * (t - first)
            if t < first
            else places[-1] + slope_out * (t - last)
            if t > last
            else curve(t)
        )

    def _foot_plan(self, foot):
        """Stances (on, off, tip) of one foot, those before the film included."""
        run = self.run
        stances = [
            (a, b, x)
            for k, ((a, b), x) in enumerate(zip(run.contacts, run.feet_m, strict=True))
            if k % 2 == foot
        ]
        if run.rear_s is not None:
            tip = run.start_m + (0.10 if foot else -0.32) * run.stature / 1.8
            stances.insert(0, (-9.0, run.front_s if foot else run.rear_s, tip))
        else:
            a, b, x = stances[0]
            period = stances[1][0] - a
            stances.insert(0, (a - period, b - period, x - (stances[1][2] - x)))
        return stances

    def foot(self, foot, t):
        """Tip (x, y) and pitch in rad of the foot (heel up positive)."""
        stances = self._plans[foot]
        for place, (on, off, x) in enumerate(stances):
            if t < on and place == 0:
                return x, 0.05, 0.3
            if on <= t <= off:
                span = off - max(on, off - 0.5)
                s = np.clip((t - (off - span)) / span, 0, 1)
                if on < -1:  # set position
                    s = np.clip((t - self.run.rest_s) / max(1e-6, off - self.run.rest_s), 0, 1)
                    return x, 0.0, 0.35 + 0.65 * s**2
                return x, 0.0, 0.10 * (1 - min(1, s / 0.2)) + 1.0 * max(0.0, (s - 0.35) / 0.65) ** 1.5
            following = stances[place + 1] if place + 1 < len(stances) else None
            if following and off < t < following[0]:
                s = (t - off) / (following[0] - off)
                lift = self.run.lift
                y = lift * np.sin(np.pi * s**0.75) ** 1.15
                # Hermite: leaves slowly, arrives with a little speed forwards.
                span, gap = following[0] - off, following[2] - x
                arrive = 1.4 * span
                h = (3 * s**2 - 2 * s**3) * gap + (s**3 - s**2) * arrive
                pitch = 1.0 * (1 - s) ** 2 + 1.1 * np.sin(np.pi * min(1, s * 1.3)) * (s < 0.77) + 0.10 * s
                return x + h, float(y), float(pitch)
        return stances[-1][2], 0.4, 0.8

    def points(self, t):
        """Joints in m at a time."""
        run = self.run
        k = run.stature / 1.8
        hip = np.array([self.hip(t), 0.93 * k])
        crouch = 1.0
        if run.rear_s is not None:
            crouch = np.clip((t - run.rest_s) / 1.2, 0, 1)
            hip[1] -= 0.14 * k * (1 - crouch) ** 2
        lean = np.radians(45 + 35 * crouch)
        out = {"hip": hip, "neck": hip + 0.52 * k * np.array([np.cos(lean), np.sin(lean)])}
        out["head"] = out["neck"] + 0.20 * k * np.array([np.cos(lean + 0.2), np.sin(lean + 0.2)])
        for foot in (0, 1):
            x, y, pitch = self.foot(foot, t)
            tip = np.array([x, y + 0.02 * k])
            heel = tip + 0.25 * k * np.array([-np.cos(pitch), np.sin(pitch)])
            ankle = heel + 0.08 * k * np.array([np.sin(pitch) + 0.3, np.cos(pitch)])
            out[f"tip{foot}"], out[f"heel{foot}"], out[f"ankle{foot}"] = tip, heel, ankle
            out[f"knee{foot}"] = _knee(hip, ankle, 0.45 * k, 0.46 * k)
            swing = np.sin(2 * np.pi * t / 0.5 + np.pi * foot) * 0.9 * (crouch if run.rear_s else 1)
            elbow = out["neck"] + 0.3 * k * np.array([np.sin(swing), -np.cos(swing)])
            out[f"elbow{foot}"] = elbow
            out[f"hand{foot}"] = elbow + 0.27 * k * np.array([np.sin(swing + 1.3), -np.cos(swing + 1.3)])
        return out

    def camera_x(self, t):
        """Left edge of the picture in m of the run."""
        run = self.run
        return run.pan * (self.hip(t) - self.hip(0.0)) if run.pan else 0.0

    @cached_property
    def _middle(self):
        """Column of the flat scene in front of the camera, and its focal length, px: a pan turns about it."""
        travel = self.camera_x(self.run.seconds) * self.run.scale
        return (self.run.width + travel) / 2, 1.4 * self.run.width

    def turn(self, t):
        """The turned camera's picture of the flat scene that the unturned one would see, (3, 3)."""
        run = self.run
        if not run.pan:
            return np.eye(3)
        if run.window:
            return np.array([[1, 0, -self.camera_x(t) * run.scale], [0, 1, 0], [0, 0, 1.0]])
        middle, focal = self._middle
        angle = np.arctan((self.camera_x(t) * run.scale + run.width / 2 - middle) / focal)
        c, s = np.cos(angle), np.sin(angle)
        rotation = np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])
        into = np.array([[1 / focal, 0, -middle / focal], [0, 1 / focal, -run.height / 2 / focal], [0, 0, 1]])
        out = np.array([[focal, 0, run.width / 2], [0, focal, run.height / 2], [0, 0, 1.0]])
        return out @ rotation @ into

    def shift(self, t):
        """How the hand moves the picture, px."""
        run = self.run
        if not run.shake_px:
            return 0.0, 0.0
        s = run.shake_px
        return s * np.sin(2 * np.pi * 0.7 * t) + 0.4 * s * np.sin(9 * t), 0.6 * s * np.sin(
            2 * np.pi * 0.5 * t + 1
        )

    def pixel(self, xy, t):
        """Pixels of the shown picture of a place in m at a time."""
        run = self.run
        du, dv = self.shift(t)
        u = xy[0] * run.scale
        v = run.ground_v - xy[1] * run.scale + run.roll * (u - run.width / 2)
        u, v, below = self.turn(t) @ [u, v, 1.0]
        u, v = u / below, v / below
        if run.direction == "left":
            u = run.width - 1 - u
        return np.array([u + du, v + dv])

    @cached_property
    def marks(self):
        """Marks on the line in the first frame: (x_m, u, v)."""
        reach = self.run.width / self.run.scale
        places = [round(share * reach, 1) for share in (0.06, 0.35, 0.65, 0.94)]
        return [(x, *map(float, self.pixel((x, 0.0), 0.0))) for x in places]

    @cached_property
    def _scene(self):
        run, rng = self.run, self._rng
        reach = self.camera_x(run.seconds) * run.scale
        w = int(run.width + reach + 60)
        h = run.height + 60
        top = int(run.horizon * run.height) + 30
        far = _texture(rng, h, w, 60, 25)
        picture = np.repeat(far[:, :, None], 3, 2) * np.array(rng.uniform(0.5, 1.0, 3)) + rng.uniform(20, 110)
        for _ in range(25):  # things in the background
            x, y = int(rng.integers(0, w)), int(rng.integers(0, top))
            cv2.rectangle(
                picture,
                (x, y),
                (x + int(rng.integers(10, 90)), top),
                [float(c) for c in rng.integers(0, 255, 3)],
                -1,
            )
        base = self._apart_from_shoes(rng)
        ground = np.zeros((h - top, w, 3)) + base
        amount = {"grass": 26, "boards": 6, "tartan": 10, "concrete": 7, "plain": 0}[run.ground]
        ground += (
            amount * rng.standard_normal((h - top, w, 1))
            + 0.8 * amount * _texture(rng, h - top, w, 14, 1)[:, :, None]
        )
        if run.ground == "boards":
            for x in range(0, w, 70):
                ground[:, x : x + 2] *= 0.7
        if run.ground in ("tartan", "boards", "plain"):
            for _ in range(4):
                y = int(rng.integers(4, h - top - 4))
                ground[y : y + 3] = rng.uniform(120, 250)
        picture[top:] = ground
        picture = cv2.GaussianBlur(picture, (0, 0), 0.8)
        for _ in range(run.people):
            self._bystander(picture, rng)
        return np.clip(picture * run.light, 0, 255).astype(np.float32)

    def _apart_from_shoes(self, rng):
        """A colour of the ground that the brightness of either shoe differs from, if only by a little."""
        weights = np.array([0.114, 0.587, 0.299])  # ITU-R BT.601 luma of blue, green, red
        shoes = [float(weights @ np.array(self.run.shoes) * dim) for dim in (0.75, 1.0)]
        while True:
            base = rng.uniform(30, 190, 3)
            if min(abs(float(weights @ base) - shoe) for shoe in shoes) > LEAST_CONTRAST:
                return base

    def _bystander(self, picture, rng):
        run = self.run
        size = run.scale * 1.7 * rng.uniform(0.5, 0.75)
        x, y = (
            float(rng.uniform(40, picture.shape[1] - 40)),
            run.ground_v + 30 - run.scale * rng.uniform(0.25, 0.6),
        )
        tone = [float(c) for c in rng.integers(0, 255, 3)]
        for dx in (-0.06, 0.06):
            cv2.line(
                picture,
                (int(x + dx * size), int(y)),
                (int(x), int(y - 0.5 * size)),
                tone,
                max(2, int(size * 0.09)),
                cv2.LINE_AA,
            )
        cv2.line(
            picture,
            (int(x), int(y - 0.5 * size)),
            (int(x), int(y - 0.8 * size)),
            tone[::-1],
            max(3, int(size * 0.2)),
            cv2.LINE_AA,
        )
        cv2.circle(
            picture,
            (int(x), int(y - 0.93 * size)),
            max(2, int(size * 0.08)),
            (120.0, 150.0, 190.0),
            -1,
            cv2.LINE_AA,
        )

    @cached_property
    def _noises(self):
        run = self.run
        return [
            self._rng.standard_normal((run.height + 40, run.width + 40), np.float32) * run.noise
            for _ in range(4)
        ]

    def frame(self, i):
        """Frame i as (height, width, 3) uint8, blue first."""
        run = self.run
        t = i / run.fps
        du, dv = self.shift(t)
        onto = self.turn(t) @ [[1, 0, -30], [0, 1, -30], [0, 0, 1.0]]
        if run.direction == "left":
            onto = np.array([[-1, 0, run.width - 1], [0, 1, 0], [0, 0, 1.0]]) @ onto
        onto = np.array([[1, 0, du], [0, 1, dv], [0, 0, 1.0]]) @ onto
        picture = cv2.warpPerspective(
            self._scene,
            onto,
            (run.width, run.height),
            flags=cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        self._draw(picture, t)
        rng = np.random.default_rng([run.seed, 5, i])
        dy, dx = (int(n) for n in rng.integers(0, 40, 2))
        gain = 1.0 + run.flicker * np.sin(2 * np.pi * 100.3 * t)
        picture = (
            picture * np.float32(gain) + self._noises[i % 4][dy : dy + run.height, dx : dx + run.width, None]
        )
        return np.clip(picture + 0.5, 0, 255).astype(np.uint8)

    def _draw(self, picture, t):
        run = self.run
        exposures = [t + e for e in np.array([-1, 0, 1]) * min(0.001, 0.2 / run.fps)]
        poses = [{n: self.pixel(p, e) for n, p in self.points(e).items()} for e in exposures]
        every = np.stack([p for pose in poses for p in pose.values()])
        pad = 0.35 * run.scale
        low = np.maximum(np.floor(every.min(0) - pad), 0).astype(int)
        high = np.minimum(np.ceil(every.max(0) + pad), [run.width, run.height]).astype(int)
        if np.any(high - low < 3):
            return
        if run.shadow != "none":
            self._shade(picture, poses[1], t)
        w, h = high - low
        part = picture[low[1] : high[1], low[0] : high[0]]
        total, cover = np.zeros((h, w, 3), np.float32), np.zeros((h, w), np.float32)
        for pose in poses:
            colour, mask = self._figure(pose, low, w, h)
            total += colour / len(poses)
            cover += mask / len(poses)
        part *= (1 - cover)[..., None]
        part += total * run.light

    def _shade(self, picture, pose, t):
        run = self.run
        shade = np.zeros(picture.shape[:2], np.uint8)
        way = 1.3 if run.seed % 2 else -0.8
        drop = 0.05 if run.seed % 3 else -0.06
        middle = self.pixel((self.hip(t), 0.0), t)
        foot_v = lambda u: middle[1] + (-1 if run.direction == "left" else 1) * run.roll * (u - middle[0])  # noqa: E731

        def down(p):
            height = max(0.0, foot_v(p[0]) - p[1])
            if run.shadow == "under":
                return p[0], foot_v(p[0]) + 0.01 * run.scale + 0.015 * height
            return p[0] + way * height * 0.6, foot_v(p[0]) + drop * height + 0.01 * run.scale

        for a, b, width in (
            ("hip", "neck", 0.12),
            ("hip", "knee0", 0.07),
            ("knee0", "ankle0", 0.05),
            ("hip", "knee1", 0.07),
            ("knee1", "ankle1", 0.05),
            ("heel0", "tip0", 0.04),
            ("heel1", "tip1", 0.04),
        ):
            one, two = down(pose[a]), down(pose[b])
            cv2.line(
                shade,
                tuple(round(c * 8) for c in one),
                tuple(round(c * 8) for c in two),
                255,
                max(1, round(width * run.scale * 0.5)),
                cv2.LINE_AA,
                3,
            )
        soft = cv2.GaussianBlur(shade, (0, 0), 1.2 if run.shadow == "long" else 2.5)
        picture *= 1 - 0.45 * (soft.astype(np.float32) / 255)[..., None]

    def _figure(self, pose, low, w, h):
        run = self.run
        k = run.scale * run.stature / 1.8
        canvas = np.zeros((h * FINE, w * FINE, 3), np.uint8)
        mask = np.zeros((h * FINE, w * FINE), np.uint8)

        def capsule(a, b, width, colour):
            one, two = ((pose[n] - low + 0.5) * FINE - 0.5 for n in (a, b))
            thick = max(1, round(width * k * FINE))
            ends = tuple(round(c * 16) for c in one), tuple(round(c * 16) for c in two)
            cv2.line(canvas, *ends, colour, thick, cv2.LINE_8, 4)
            cv2.line(mask, *ends, 255, thick, cv2.LINE_8, 4)

        for foot, dim in ((0, 0.75), (1, 1.0)):
            legs = tuple(int(c * dim) for c in run.legs)
            shoes = tuple(int(c * dim) for c in run.shoes)
            capsule(f"elbow{foot}", f"hand{foot}", 0.07, (110, 140, 180))
            capsule("neck", f"elbow{foot}", 0.08, run.shirt)
            capsule("hip", f"knee{foot}", 0.15, legs)
            capsule(f"knee{foot}", f"ankle{foot}", 0.10, legs if run.stripes else (115, 145, 190))
            capsule(f"heel{foot}", f"tip{foot}", 0.075, shoes)
            if run.stripes:
                pose["_a"], pose["_b"] = (
                    pose[f"heel{foot}"] * 0.6 + pose[f"tip{foot}"] * 0.4,
                    pose[f"heel{foot}"] * 0.4 + pose[f"tip{foot}"] * 0.6,
                )
                capsule("_a", "_b", 0.03, (235, 235, 235))
            if foot == 0:
                capsule("hip", "neck", 0.24, run.shirt)
        capsule("head", "head", 0.2, (110, 140, 180))
        size = (int(w), int(h))
        cover = cv2.resize(mask, size, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        colour = cv2.resize(canvas, size, interpolation=cv2.INTER_AREA).astype(np.float32)
        return cv2.GaussianBlur(colour, (0, 0), 0.5), cv2.GaussianBlur(cover, (0, 0), 0.5)


def _knee(hip, ankle, thigh, shin):
    way = ankle - hip
    reach = min(float(np.hypot(*way)), thigh + shin - 1e-6)
    along = (thigh**2 - shin**2 + reach**2) / (2 * reach)
    out = np.sqrt(max(thigh**2 - along**2, 0.0))
    unit = way / max(1e-9, float(np.hypot(*way)))
    return hip + along * unit + out * np.array([-unit[1], unit[0]])


def over_sole(along, direction):
    """From a shoe's sole to its upper, in pixels, however steep it stands; ``along``: from heel to tip."""
    turned = np.array([along[1], -along[0]])
    return turned if direction == "right" else -turned


def _texture(rng, h, w, blob, level):
    small = rng.standard_normal((max(2, h // blob + 2), max(2, w // blob + 2))).astype(np.float32)
    return cv2.resize(small, (w, h), interpolation=cv2.INTER_CUBIC) * level


def write_run(
    run: CapsuleRun,
    path: Path,
    film: CapsuleFilm | None = None,
    crf: int = 18,
    changed=None,
    codec: str = "libx264",
) -> Path:
    """Write the film, as H.264 unless told, a key frame every 60 frames; ``changed`` alters each."""
    film = film or CapsuleFilm(run)
    rate = Fraction(run.fps).limit_denominator(1001)
    with av.open(str(path), "w") as container:
        stream = container.add_stream(
            codec, rate=rate, options={"crf": str(crf), "preset": "veryfast", "g": "60"}
        )
        stream.width, stream.height, stream.pix_fmt = run.width, run.height, "yuv420p"
        for i in range(run.frames):
            picture = film.frame(i) if changed is None else changed(film.frame(i))
            frame = av.VideoFrame.from_ndarray(picture, format="bgr24")
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
    return path


def events_of(run: CapsuleRun, margin_px: float = 10.0, film: CapsuleFilm | None = None):
    """Contacts that are seen: (touchdown_s, toe_off_s, u of the tip), those within film and picture."""
    film, out = film or CapsuleFilm(run), []
    for (on, off), x in zip(run.contacts, run.feet_m, strict=True):
        u_on, u_off = film.pixel((x, 0.0), on)[0], film.pixel((x, 0.0), off)[0]
        heel = 0.25 * run.scale
        seen = all(margin_px + heel <= u < run.width - margin_px - heel for u in (u_on, u_off))
        if seen and on > 0.02 and off < run.seconds - 0.02:
            out.append((on, off, float(film.pixel((x, 0.0), (on + off) / 2)[0]), x))
    return out
