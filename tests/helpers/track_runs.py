"""Films of a runner on a marked track: shaded round limbs, laced shoes that land on heel or ball, roll and
leave at speed, a walker behind, the shadow of a low sun.

A fourth figure and another gait of the foot. Camera path and rhythm come from ``capsule_runs``.
"""

from __future__ import annotations

import cv2
import numpy as np

from tests.helpers.capsule_runs import FINE, CapsuleFilm, over_sole

LANES = 5
LANDS_S, LEAVES_S = 0.09, 0.06


class TrackFilm(CapsuleFilm):
    """Draws the frames of a run."""

    def __init__(self, run) -> None:
        super().__init__(run)
        own = np.random.default_rng([run.seed, 311])
        self._land = float(own.choice([-0.25, -0.1, 0.12, 0.3]))  # pitch at touchdown: heel first, ball first
        self._leave = float(own.uniform(0.8, 1.25))
        self._heel_off = float(own.uniform(0.3, 0.55))
        self._in_m_s = own.uniform([1.0, -2.4], [4.0, -1.0])  # of the foot as it lands
        self._out_m_s = own.uniform([0.3, 0.5], [2.5, 1.6])
        self._lit = own.uniform(0.3, 0.8)
        self._upper, self._laces, self._sole = (
            tuple(float(c) for c in own.uniform(25, 250, 3)) for _ in range(3)
        )
        self._skin = tuple(float(c) for c in own.uniform([50, 75, 100], [150, 180, 225]))
        self._walks = own.uniform([0, 0.9, -1.5, 1.4], [9, 1.6, 1.5, 1.9])
        self._walk_tone = tuple(float(c) for c in own.uniform(10, 240, 3))
        self._drop = own.uniform([-1.6, -0.25], [1.6, 0.12])

    def foot(self, foot, t):
        """Tip (x, y) and pitch in rad of the foot (heel up positive)."""
        stances = self._plans[foot]
        for place, (on, off, x) in enumerate(stances):
            if on <= t <= off:
                if on < -1:
                    s = np.clip((t - self.run.rest_s) / max(1e-6, off - self.run.rest_s), 0, 1)
                    return x, 0.0, 0.3 + (self._leave - 0.3) * s**2
                s = (t - on) / (off - on)
                down = self._land * (1 - min(1.0, s / 0.15)) ** 2
                up = self._leave * max(0.0, (s - self._heel_off) / (1 - self._heel_off)) ** 1.8
                if down < 0:  # on the heel: the tip is in the air, and comes down about it
                    return x - 0.25 * (1 - np.cos(down)), 0.25 * np.sin(-down), float(down)
                return x, 0.0, float(down + up)
            following = stances[place + 1] if place + 1 < len(stances) else None
            if following and off < t < following[0]:
                return self._swing(x, following[2], t - off, following[0] - t)
        return super().foot(foot, t)

    def _swing(self, x, to, after, before):
        """From one place to the next; leaves and lands at the speeds of this runner."""
        span = after + before
        s = after / span
        gap = to - x
        out, into = self._out_m_s * span, self._in_m_s * span
        hermite = (s**3 - 2 * s**2 + s, s**3 - s**2)
        across = (3 * s**2 - 2 * s**3) * gap + hermite[0] * out[0] + hermite[1] * into[0]
        high = 16 * self.run.lift * (s * (1 - s)) ** 2 + s * (1 - s) ** 6 * out[1] - (1 - s) * s**6 * into[1]
        tip = max(0.0, -0.25 * np.sin(self._land)) if self._land < 0 else 0.0
        pitch = self._leave * (1 - s) ** 3 + 1.3 * np.sin(np.pi * s) ** 2 * (1 - s) + self._land * s**3
        across -= 0.25 * (1 - np.cos(self._land)) * s**4 * (self._land < 0)
        return x + across, float(high + tip * s**4), float(pitch)

    @property
    def _scene(self):
        if not hasattr(self, "_painted"):
            self._painted = self._paint(CapsuleFilm._scene.func(self))
        return self._painted

    def _paint(self, scene):
        own = np.random.default_rng([self.run.seed, 312])
        top = int(self.run.horizon * self.run.height) + 30
        rows, width = scene.shape[0] - top, scene.shape[1]
        grain = own.standard_normal((rows, width, 1)).astype(np.float32) * own.uniform(3, 14)
        scene[top:] += grain
        for lane in range(LANES):
            v = top + int(rows * (0.08 + 0.9 * (lane / LANES) ** 1.5))
            tone = float(own.uniform(150, 240)) * self.run.light
            slope = own.uniform(-0.01, 0.01) * width
            cv2.line(scene, (0, v), (width, int(v + slope)), (tone,) * 3, 2 + lane // 2, cv2.LINE_AA)
        for u in range(int(own.integers(20, 60)), width, int(own.integers(60, 180))):
            cv2.line(scene, (u, top), (u + 20, scene.shape[0]), (200.0 * self.run.light,) * 3, 1, cv2.LINE_AA)
        return np.clip(cv2.GaussianBlur(scene, (0, 0), 0.7), 0, 255)

    def _draw(self, picture, t):
        x, depth, pace, tall = self._walks
        foot = (x + pace * t, depth)
        hip = (foot[0], depth + 0.5 * tall)
        for way in (-1, 1):
            swing = 0.3 * way * np.sin(2 * np.pi * 0.9 * t)
            self._stroke(picture, hip, (foot[0] + swing, foot[1]), 0.13, t)
        self._stroke(picture, hip, (foot[0], foot[1] + 0.95 * tall), 0.28, t)
        super()._draw(picture, t)

    def _stroke(self, picture, a, b, thick, t):
        ends = [tuple(round(c * 8) for c in self.pixel(p, t)) for p in (a, b)]
        tone = [c * self.run.light for c in self._walk_tone]
        cv2.line(picture, *ends, tone, max(1, round(thick * 0.7 * self.run.scale)), cv2.LINE_AA, 3)

    def _shade(self, picture, pose, t):
        shade = np.zeros(picture.shape[:2], np.uint8)
        ground = self.pixel((self.hip(t), 0.0), t)[1]

        def down(p):
            over = max(0.0, ground - p[1])
            return tuple(round(8 * c) for c in (p[0] + self._drop[0] * over, ground + self._drop[1] * over))

        for a, b, width in (
            ("neck", "hip", 0.25), ("hip", "knee0", 0.15), ("hip", "knee1", 0.15), ("knee0", "ankle0", 0.1),
            ("knee1", "ankle1", 0.1), ("heel0", "tip0", 0.07), ("heel1", "tip1", 0.07),
        ):  # fmt: skip
            thick = max(1, round(width * self.run.scale * (0.3 + abs(self._drop[1]))))
            cv2.line(shade, down(pose[a]), down(pose[b]), 255, thick, cv2.LINE_AA, 3)
        soft = cv2.GaussianBlur(shade, (0, 0), 1.5).astype(np.float32) / 255
        picture *= 1 - 0.5 * soft[..., None]

    def _figure(self, pose, low, w, h):
        k = self.run.scale * self.run.stature / 1.8
        canvas = np.zeros((h * FINE, w * FINE, 3), np.uint8)
        mask = np.zeros((h * FINE, w * FINE), np.uint8)

        def at(p):
            return (np.asarray(p) - low + 0.5) * FINE - 0.5

        def limb(a, b, thick, colour):
            one, two = at(pose[a]), at(pose[b])
            for n, share in enumerate((1.0, 0.72, 0.42)):  # round: brighter along the side that is lit
                tone = [float(c) * (0.6 + 0.28 * n) for c in colour]
                off = np.array([self._lit, -0.5]) * (1 - share) * 0.4 * thick * k * FINE
                ends = (tuple(round(c * 16) for c in end + off) for end in (one, two))
                width = max(1, round(thick * share * k * FINE))
                start, stop = ends
                cv2.line(canvas, start, stop, tone, width, cv2.LINE_8, 4)
                if n == 0:
                    cv2.line(mask, start, stop, 255, width, cv2.LINE_8, 4)

        for foot, dim in ((0, 0.7), (1, 1.0)):
            skin = [c * dim for c in self._skin]
            legs = [c * dim for c in self.run.legs]
            limb("neck", f"elbow{foot}", 0.08, self.run.shirt)
            limb(f"elbow{foot}", f"hand{foot}", 0.06, skin)
            limb("hip", f"knee{foot}", 0.17, legs)
            limb(f"knee{foot}", f"ankle{foot}", 0.10, skin)
            self._shoe(canvas, mask, at, pose[f"heel{foot}"], pose[f"tip{foot}"], k, dim)
            if foot == 0:
                limb("hip", "neck", 0.26, self.run.shirt)
        limb("head", "head", 0.19, self._skin)
        size = (int(w), int(h))
        cover = cv2.resize(mask, size, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        colour = cv2.resize(canvas, size, interpolation=cv2.INTER_AREA).astype(np.float32)
        return cv2.GaussianBlur(colour, (0, 0), 0.5), cv2.GaussianBlur(cover, (0, 0), 0.5)

    def _shoe(self, canvas, mask, at, heel, tip, k, dim):
        """A thick sole that springs up at the toes, an upper higher at the heel, laces across."""
        along = (tip - heel) / max(1e-6, float(np.hypot(*(tip - heel))))
        up = over_sole(along, self.run.direction)
        base, length = 0.02 * k, float(np.hypot(*(tip - heel)))

        def shape(points, colour):
            corners = [at(heel + along * length * a + up * k * b + np.array([0, base])) for a, b in points]
            corners = np.round(np.array(corners) * 16).astype(np.int32)
            cv2.fillPoly(canvas, [corners], [c * dim for c in colour], cv2.LINE_8, 4)
            cv2.fillPoly(mask, [corners], 255, cv2.LINE_8, 4)

        shape(
            [(0, 0), (0.75, 0), (1.0, 0.012), (1.02, 0.05), (0.55, 0.10), (0.3, 0.15), (-0.02, 0.14)],
            self._upper,
        )
        shape([(-0.03, 0), (0.75, 0), (1.0, 0.012), (1.03, 0.035), (0.75, 0.03), (0, 0.04)], self._sole)
        for a in (0.45, 0.55, 0.65):
            shape([(a, 0.09), (a + 0.03, 0.085), (a + 0.07, 0.06), (a + 0.04, 0.06)], self._laces)
