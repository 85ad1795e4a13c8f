"""Films of a runner in patterned clothes on rough grass before a crowd that moves, filmed by a rolling hand.

A third figure and scenery: tapered limbs, bent shoes with a sole of their own, soft shadows, strong
compression. Gait and camera path come from ``capsule_runs``.
"""

from __future__ import annotations

import cv2
import numpy as np

from tests.helpers.capsule_runs import FINE, CapsuleFilm

ROLL = 0.003
PATCHES = 7
CROWD = 14


class MeadowFilm(CapsuleFilm):
    """Draws the frames of a run."""

    def __init__(self, run) -> None:
        super().__init__(run)
        own = np.random.default_rng([run.seed, 123])
        base = np.array(run.legs, float)
        self._cloth = {
            part: [
                tuple(float(c) for c in np.clip(base * own.uniform(0.5, 1.6) + own.normal(0, 25, 3), 5, 250))
                for _ in range(PATCHES)
            ]
            for part in ("thigh0", "thigh1", "shin0", "shin1", "arm", "trunk")
        }
        self._sole = tuple(float(c) for c in own.uniform(60, 255, 3))
        self._crowd = own.uniform([-2, 0.9, 0.2, 0, 0, 0, 0], [16, 1.3, 2.0, 6.3, 255, 255, 255], (CROWD, 7))

    def turn(self, t):
        """As the other figure's, rolled a little by the hand."""
        plain = super().turn(t)
        if not self.run.shake_px:
            return plain
        angle = ROLL * (np.sin(2 * np.pi * 0.6 * t) - np.sin(0.0))
        c, s = np.cos(angle), np.sin(angle)
        u, v = self.run.width / 2, self.run.height / 2
        return np.array([[c, -s, u - c * u + s * v], [s, c, v - s * u - c * v], [0, 0, 1.0]]) @ plain

    @property
    def _scene(self):
        if not hasattr(self, "_grown"):
            self._grown = self._grass(CapsuleFilm._scene.func(self))
        return self._grown

    def _grass(self, scene):
        own = np.random.default_rng([self.run.seed, 124])
        top = int(self.run.horizon * self.run.height) + 30
        blades = own.standard_normal((scene.shape[0] - top, scene.shape[1])).astype(np.float32)
        blades = cv2.GaussianBlur(blades, (0, 0), sigmaX=0.7, sigmaY=1.6)
        scene[top:] += 16 * (blades / blades.std())[..., None] * np.float32([0.6, 1.0, 0.7])
        scene *= np.linspace(0.85, 1.15, scene.shape[1], dtype=np.float32)[None, :, None]
        return np.clip(scene, 0, 255)

    def _draw(self, picture, t):
        for x, y, pace, phase, *tone in self._crowd:
            foot = self.pixel((x + 0.25 * np.sin(pace * t + phase), y), t)
            head = self.pixel((x + 0.30 * np.sin(pace * t + phase + 0.3), y + 0.75), t)
            hand = self.pixel((x + 0.30, y + 0.55 + 0.25 * np.sin(4 * pace * t + phase)), t)
            middle = 0.3 * foot + 0.7 * head
            for a, b, thick in ((foot, head, 0.16), (middle, hand, 0.06)):
                ends = tuple(round(c * 8) for c in a), tuple(round(c * 8) for c in b)
                width = max(1, round(thick * self.run.scale))
                cv2.line(picture, *ends, [c * self.run.light for c in tone], width, cv2.LINE_AA, 3)
        super()._draw(picture, t)

    def _shade(self, picture, pose, t):
        before = picture.copy()
        super()._shade(picture, pose, t)
        ratio = cv2.GaussianBlur((picture + 1) / (before + 1), (0, 0), 2.0)
        picture[:] = before * ratio

    def _figure(self, pose, low, w, h):
        k = self.run.scale * self.run.stature / 1.8
        canvas = np.zeros((h * FINE, w * FINE, 3), np.uint8)
        mask = np.zeros((h * FINE, w * FINE), np.uint8)

        def fill(corners, colour):
            corners = np.round((np.asarray(corners) - low + 0.5) * FINE * 16 - 8).astype(np.int32)
            cv2.fillPoly(canvas, [corners], colour, cv2.LINE_8, 4)
            cv2.fillPoly(mask, [corners], 255, cv2.LINE_8, 4)

        def limb(a, b, wide, narrow, part):
            one, two = pose[a], pose[b]
            across = np.array([-(two - one)[1], (two - one)[0]]) / max(1e-6, float(np.hypot(*(two - one))))
            for n, colour in enumerate(self._cloth[part]):
                s, e = n / PATCHES, (n + 1.3) / PATCHES
                at = [one + (two - one) * q for q in (s, min(1.08, e))]
                half = [0.5 * k * (wide + (narrow - wide) * q) for q in (s, e)]
                corners = [at[0] - across * half[0], at[0] + across * half[0]]
                fill([*corners, at[1] + across * half[1], at[1] - across * half[1]], colour)

        for foot in (0, 1):
            limb("neck", f"elbow{foot}", 0.09, 0.07, "arm")
            limb(f"elbow{foot}", f"hand{foot}", 0.07, 0.05, "arm")
            limb("hip", f"knee{foot}", 0.19, 0.12, f"thigh{foot}")
            limb(f"knee{foot}", f"ankle{foot}", 0.13, 0.07, f"shin{foot}")
            self._shoe(fill, pose[f"heel{foot}"], pose[f"tip{foot}"], k, 0.8 if foot == 0 else 1.0)
            if foot == 0:
                limb("hip", "neck", 0.24, 0.32, "trunk")
        round_head = [
            pose["head"] + 0.1 * k * np.array([np.cos(a), np.sin(a)]) for a in np.linspace(0, 6.3, 16)
        ]
        fill(round_head, (110.0, 140.0, 180.0))
        size = (int(w), int(h))
        cover = cv2.resize(mask, size, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        colour = cv2.resize(canvas, size, interpolation=cv2.INTER_AREA).astype(np.float32)
        return cv2.GaussianBlur(colour, (0, 0), 0.6), cv2.GaussianBlur(cover, (0, 0), 0.6)

    def _shoe(self, fill, heel, tip, k, dim):
        """A sole that bends at the ball, so that the toes lie flat while the heel rises, and an upper."""
        ball = 0.68 * tip + 0.32 * heel
        ball[1] += 0.6 * (tip[1] - ball[1])
        up = np.array([0.0, -1.0])
        turned = np.array([-(ball - heel)[1], (ball - heel)[0]]) / max(1e-6, float(np.hypot(*(ball - heel))))
        turned = turned if turned[1] < 0 else -turned
        shoe = [c * dim for c in self.run.shoes]
        thick = 0.025 * k
        fill([heel, ball, tip, tip + up * 0.04 * k, ball + turned * 0.07 * k, heel + turned * 0.10 * k], shoe)
        sole = [c * dim for c in self._sole]
        fill([heel, ball, tip, tip + up * thick, ball + turned * thick, heel + turned * thick], sole)
