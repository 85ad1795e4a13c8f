"""What lens, sensor and software of a phone do to a picture: blur, haze, tint, sharp edges, smeared noise."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

Picture = npt.NDArray[np.uint8]


class Worn:
    """Changes the frames of one film in turn, each film otherwise by its ``seed``."""

    def __init__(self, seed: int) -> None:
        draw = np.random.default_rng([seed, 404])
        self.crf = int(draw.integers(20, 31))
        self._blur = float(draw.uniform(0.0, 1.3))
        self._sharpen = float(draw.choice([0.0, 0.5, 1.2]))
        self._smear = float(draw.choice([0.0, 0.0, 0.15, 0.3]))
        self._cloud = float(draw.uniform(0.0, 0.12))
        self._pace, self._phase = float(draw.uniform(0.5, 3.0)), float(draw.uniform(0, 6.3))
        gamma, haze = float(draw.uniform(0.75, 1.35)), float(draw.uniform(0, 45))
        grey = np.arange(256) / 255.0
        tint = draw.uniform(0.85, 1.0, 3)
        curve = (haze + (255 - haze) * grey**gamma)[:, None] * tint
        self._curve = np.clip(curve, 0, 255).astype(np.uint8)[None]
        self._edge = float(draw.uniform(0.0, 0.35))
        self._before: npt.NDArray[np.float32] | None = None
        self._dim: npt.NDArray[np.float32] | None = None
        self._number = 0

    def __call__(self, picture: Picture) -> Picture:
        """The next frame as it is written."""
        soft = np.asarray(cv2.LUT(np.ascontiguousarray(picture), self._curve), np.float32)
        if self._blur > 0.3:
            soft = np.asarray(cv2.GaussianBlur(soft, (0, 0), self._blur), np.float32)
        if self._sharpen:
            soft = soft + self._sharpen * (soft - np.asarray(cv2.GaussianBlur(soft, (0, 0), 1.5), np.float32))
        soft = soft * self._light(soft.shape)
        if self._before is not None and self._smear:
            still = np.abs(soft - self._before).max(axis=2, keepdims=True) < 14
            soft = np.where(still, soft + self._smear * (self._before - soft), soft).astype(np.float32)
        self._before = soft
        self._number += 1
        return np.clip(soft + 0.5, 0, 255).astype(np.uint8)

    def _light(self, shape: tuple[int, ...]) -> npt.NDArray[np.float32]:
        if self._dim is None:
            v, u = np.mgrid[-1 : 1 : shape[0] * 1j, -1 : 1 : shape[1] * 1j]
            self._dim = (1 - self._edge * (u**2 + v**2) / 2).astype(np.float32)[..., None]
        over = 1 + self._cloud * np.sin(self._pace * self._number / 60 + self._phase)
        return self._dim * np.float32(over)
