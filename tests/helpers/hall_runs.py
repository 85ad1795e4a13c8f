"""Films of a runner in a sports hall: a shining floor that mirrors him, court lines, lamps that flicker,
people who sit and fidget.

A fifth figure and a third gait of the foot: it lands on the ball, sinks, rolls over the tip and leaves it
from rest. Camera path and rhythm come from ``capsule_runs``.
"""

from __future__ import annotations

import cv2
import numpy as np

from tests.helpers.capsule_runs import FINE, CapsuleFilm, over_sole

SITTING = 5
STRIPS = 5


class HallFilm(CapsuleFilm):
    """Draws the frames of a run."""

    def __init__(self, run) -> None:
        super().__init__(run)
        own = np.random.default_rng([run.seed, 517])
        self._land, self._leave = float(own.uniform(0.1, 0.35)), float(own.uniform(0.9, 1.3))
        self._heel_off, self._rolls_on = float(own.uniform(0.25, 0.5)), float(own.uniform(0.2, 0.7))
        self._up_m_s, self._in_m_s = float(own.uniform(0.1, 0.7)), own.uniform([0.4, -2.6], [2.6, -1.2])
        self._shines, self._lamps = float(own.uniform(0.1, 0.4)), float(own.choice([0.0, 0.01, 0.03]))
        self._skin = own.uniform([45, 70, 95], [160, 190, 230])
        self._sole, self._sock = own.uniform(20, 250, 3), own.uniform(20, 250, 3)
        self._light_from = float(own.uniform(-0.9, 0.9))
        self._bench = own.uniform([0, 0.55, 0, 0, 0, 0], [14, 0.75, 6.3, 255, 255, 255], (SITTING, 6))

    def foot(self, foot, t):
        """Tip (x, y) and pitch in rad of the foot (heel up positive)."""
        stances = self._plans[foot]
        for place, (on, off, x) in enumerate(stances):
            if on <= t <= off:
                return x, 0.0, self._rolls(t, on, off)
            following = stances[place + 1] if place + 1 < len(stances) else None
            if following and off < t < following[0]:
                return self._swings(x, following[2], t - off, following[0] - off, off - max(on, off - 0.4))
        return super().foot(foot, t)

    def _rolls(self, t, on, off):
        if on < -1:  # the set position
            s = np.clip((t - self.run.rest_s) / max(1e-6, off - self.run.rest_s), 0, 1)
            return 0.35 + (self._leave - 0.35) * s**1.6
        s = (t - on) / (off - on)
        sunk = self._land * (1 - min(1.0, s / 0.25)) ** 2 + 0.04
        return float(
            sunk + (self._leave - 0.04) * max(0.0, (s - self._heel_off) / (1 - self._heel_off)) ** 1.6
        )

    def _swings(self, x, to, after, span, stood):
        """From one place to the next: out of rest, up at a low speed, and on at the speed of its landing."""
        s = after / span
        into = self._in_m_s * span
        across = (3 * s**2 - 2 * s**3) * (to - x) + (s**3 - s**2) * into[0]
        high = 16 * self.run.lift * (s * (1 - s)) ** 2 + self._up_m_s * span * s * (1 - s) ** 5
        high -= (1 - s) * s**6 * into[1]
        rate = self._rolls_on * 1.6 * (self._leave - 0.04) / ((1 - self._heel_off) * stood) * span
        pitch = (2 * s**3 - 3 * s**2 + 1) * self._leave + (s**3 - 2 * s**2 + s) * rate
        pitch += (3 * s**2 - 2 * s**3) * (self._land + 0.04) + 0.5 * np.sin(np.pi * s) ** 2 * (1 - s)
        return x + float(across), float(high), float(pitch)

    @property
    def _scene(self):
        if not hasattr(self, "_built"):
            self._built = self._build(CapsuleFilm._scene.func(self))
        return self._built

    def _build(self, scene):
        own = np.random.default_rng([self.run.seed, 518])
        height, width = scene.shape[:2]
        top = int(self.run.horizon * self.run.height) + 30
        wall, floor = own.uniform(70, 220, 3), scene[top:].mean(axis=(0, 1))
        scene[:top] = wall * np.linspace(0.75, 1.05, top)[:, None, None]
        for u in range(0, width, int(own.integers(40, 130))):  # panels and wall bars
            cv2.line(scene, (u, 0), (u, top), [float(c) for c in wall * 0.8], 2)
        for _ in range(7):
            u, v = int(own.integers(0, width)), int(own.integers(0, max(1, top - 30)))
            far = u + int(own.integers(30, 160)), v + int(own.integers(15, 60))
            cv2.rectangle(scene, (u, v), far, [float(c) for c in own.uniform(0, 255, 3)], -1)
        rows = height - top
        deep = np.linspace(0.2, 1.0, rows)[:, None]
        planks = np.floor((np.arange(width)[None] - width / 2) / deep / 26).astype(int)
        tones = own.normal(1.0, 0.05, 4096)[planks % 4096]
        grain = cv2.GaussianBlur(own.standard_normal((rows, width)).astype(np.float32), (0, 0), 3, sigmaY=0.6)
        scene[top:] = floor * (tones * (1 + 0.12 * grain))[..., None]
        for _ in range(5):  # court lines and circles in paint
            middle = int(own.integers(0, width)), top + int(own.integers(0, rows))
            size = int(own.integers(60, 500)), int(own.integers(8, 60))
            tone = [float(c) for c in own.uniform(0, 255, 3)]
            cv2.ellipse(scene, middle, size, 0, 0, 360, tone, int(own.integers(2, 6)), cv2.LINE_AA)
        mirrored = scene[max(0, 2 * top - height) : top][::-1]
        scene[top : top + len(mirrored)] += self._shines * (mirrored - mirrored.mean(axis=(0, 1)))
        return np.clip(cv2.GaussianBlur(scene, (0, 0), 0.9), 0, 255)

    def _draw(self, picture, t):
        for x, y, phase, *tone in self._bench:
            sway = 0.06 * np.sin(1.7 * t + phase)
            seat, head = self.pixel((x, y), t), self.pixel((x + sway, y + 0.62), t)
            self._stroke(picture, seat, head, 0.26, tone)
            self._stroke(picture, seat, self.pixel((x + 0.3, y - 0.1), t), 0.13, tone[::-1])
        gain = 1 + self._lamps * np.sin(2 * np.pi * 100 * t + np.arange(len(picture))[:, None, None] / 90)
        super()._draw(picture, t)
        picture *= gain

    def _stroke(self, picture, one, two, thick, tone):
        ends = [tuple(round(c * 8) for c in end) for end in (one, two)]
        colour = [c * self.run.light for c in tone]
        cv2.line(picture, *ends, colour, max(1, round(thick * 0.8 * self.run.scale)), cv2.LINE_AA, 3)

    def _shade(self, picture, pose, t):
        """The floor's mirror of the runner, and a faint shadow about his feet."""
        super()._shade(picture, pose, t)
        ground = self.pixel((self.hip(t), 0.0), t)[1]
        below = {name: np.array([p[0], 2 * ground - p[1]]) for name, p in pose.items()}
        every = np.stack(list(below.values()))
        pad = 0.35 * self.run.scale
        low = np.maximum(np.floor(every.min(0) - pad), 0).astype(int)
        high = np.minimum(np.ceil(every.max(0) + pad), [self.run.width, self.run.height]).astype(int)
        if np.any(high - low < 3):
            return
        width, height = high - low
        colour, cover = self._figure(below, low, width, height, mirrored=True)
        part = picture[low[1] : high[1], low[0] : high[0]]
        cover = cv2.GaussianBlur(cover, (0, 0), 1.5)[..., None] * self._shines
        part *= 1 - cover
        part += cv2.GaussianBlur(colour, (0, 0), 1.5) * self._shines * self.run.light

    def _figure(self, pose, low, w, h, mirrored=False):
        k = self.run.scale * self.run.stature / 1.8
        canvas = np.zeros((h * FINE, w * FINE, 3), np.uint8)
        mask = np.zeros((h * FINE, w * FINE), np.uint8)

        def fill(corners, colour, lit=1.0):
            corners = np.round((np.asarray(corners) - low + 0.5) * FINE * 16 - 8).astype(np.int32)
            tone = [float(c) for c in np.clip(np.asarray(colour) * lit, 0, 255)]
            cv2.fillPoly(canvas, [corners], tone, cv2.LINE_8, 4)
            cv2.fillPoly(mask, [corners], 255, cv2.LINE_8, 4)

        def limb(a, b, widths, colour, begin=0.0, end=1.0):
            """Tapered, brighter towards the lamps; ``widths``: at its ends and in the middle."""
            one, two = pose[a] + (pose[b] - pose[a]) * begin, pose[a] + (pose[b] - pose[a]) * end
            along = (two - one) / max(1e-6, float(np.hypot(*(two - one))))
            across = np.array([-along[1], along[0]])
            shares = np.linspace(-0.06, 1.06, 9)
            half = 0.5 * k * np.interp(shares, [0, 0.45, 1], widths)
            middle = one + (two - one) * shares[:, None]
            for n in range(STRIPS):
                edges = [(-1 + 2 * q / STRIPS) * half[:, None] * across for q in (n, n + 1.2)]
                lit = 0.8 + 0.3 * (1 - abs((n + 0.5) / STRIPS * 2 - 1 - self._light_from) / 2)
                fill(np.concatenate([middle + edges[0], (middle + edges[1])[::-1]]), colour, lit)

        legs, shirt = np.array(self.run.legs, float), np.array(self.run.shirt, float)
        for foot, dim in ((0, 0.78), (1, 1.0)):
            limb("neck", f"elbow{foot}", (0.1, 0.09, 0.07), self._skin * dim)
            limb(f"elbow{foot}", f"hand{foot}", (0.07, 0.07, 0.05), self._skin * dim)
            limb("hip", f"knee{foot}", (0.18, 0.16, 0.11), self._skin * dim)
            limb("hip", f"knee{foot}", (0.2, 0.2, 0.2), legs * dim, -0.05, 0.6)
            limb(f"knee{foot}", f"ankle{foot}", (0.10, 0.12, 0.06), self._skin * dim)
            limb(f"knee{foot}", f"ankle{foot}", (0.10, 0.08, 0.07), self._sock * dim, 0.7, 1.0)
            self._shod(fill, pose[f"heel{foot}"], pose[f"tip{foot}"], k, dim, mirrored)
            if foot == 0:
                limb("hip", "neck", (0.22, 0.24, 0.3), shirt)
        turn = np.linspace(0, 2 * np.pi, 20)
        fill(pose["head"] + k * np.column_stack([0.095 * np.cos(turn), 0.12 * np.sin(turn)]), self._skin)
        size = (int(w), int(h))
        cover = cv2.resize(mask, size, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        colour = cv2.resize(canvas, size, interpolation=cv2.INTER_AREA).astype(np.float32)
        return cv2.GaussianBlur(colour, (0, 0), 0.45), cv2.GaussianBlur(cover, (0, 0), 0.45)

    def _shod(self, fill, heel, tip, k, dim, mirrored):
        """A rounded shoe with a rim; its tip is the place that stands."""
        along = (tip - heel) / max(1e-6, float(np.hypot(*(tip - heel))))
        up = over_sole(along, self.run.direction) * (-1 if mirrored else 1)
        length = float(np.hypot(*(tip - heel)))
        base = np.array([0.0, -0.02 * k if mirrored else 0.02 * k])

        def shape(points):
            return [heel + base + along * length * a + up * k * b for a, b in points]

        upper = [(-0.03, 0.02), (-0.05, 0.09), (0.12, 0.13), (0.35, 0.11), (0.6, 0.075), (0.85, 0.05)]
        fill(shape([*upper, (0.98, 0.03), (1.0, 0.01), (0.5, 0.0)]), np.array(self.run.shoes, float) * dim)
        rim = [(-0.05, 0.03), (-0.04, 0.0), (0.5, 0.0), (0.8, 0.0), (0.99, 0.005), (1.0, 0.02), (0.5, 0.022)]
        fill(shape(rim), self._sole * dim)
        fill(shape([(0.3, 0.04), (0.36, 0.04), (0.5, 0.085), (0.44, 0.09)]), self._sole * dim)
