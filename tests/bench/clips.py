"""Films for measuring speed: a hall with grain and a body that crosses it, large and quick as a phone's.

They are coded so finely that decoding them costs what it does for a phone's.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np

RATE_HZ = 240
TIME_BASE = Fraction(1, 90_000)

OPTIONS = {
    "libx264": {
        "preset": "veryfast",
        "g": "60",
        "keyint_min": "60",
        "sc_threshold": "0",
        "bf": "2",
        "crf": "20",
    },
    "libx265": {
        "preset": "ultrafast",
        "crf": "16",
        "x265-params": "keyint=60:min-keyint=60:scenecut=0:bframes=2:open-gop=0:log-level=0",
    },
}


def write_clip(
    path: Path, codec: str, frames: int, size: tuple[int, int] = (1920, 1080), rate_hz: int = RATE_HZ
) -> Path:
    """Write the film where it is not there already; a body a third as high as the picture crosses it."""
    if path.exists():
        return path
    width, height = size
    chance = np.random.default_rng(3)
    walls = (
        np.cumsum(chance.normal(0, 3, (height, width)), 1) % 60 + chance.normal(0, 4, (height, width)) + 100
    )
    grain = chance.normal(0, 2, (4, height, width))
    pictures = [np.clip(walls + noise, 0, 255).astype(np.uint8) for noise in grain]
    tints = np.clip(128 + chance.normal(0, 2, (4, 2, height // 2, width // 2)), 0, 255).astype(np.uint8)
    body = np.clip(walls[: height // 3, : width // 20] + 50, 0, 255).astype(np.uint8)
    part = path.with_name("part " + path.name)
    with av.open(str(part), "w") as container:
        stream = container.add_stream(codec, rate=rate_hz, options=dict(OPTIONS[codec]))
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.codec_context.time_base = TIME_BASE
        for number in range(frames):
            left = round((width - body.shape[1] - 1) * number / frames)
            top = height // 2 + round(8 * np.sin(number / 9))
            frame = _frame(pictures[number % 4], tints[number % 4], body, left, top)
            frame.pts, frame.time_base = round(number / rate_hz / TIME_BASE), TIME_BASE
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return part.rename(path)


def _frame(picture: np.ndarray, tints: np.ndarray, body: np.ndarray, left: int, top: int) -> av.VideoFrame:
    height, width = picture.shape
    frame = av.VideoFrame(width, height, "yuv420p")
    for plane, values in zip(frame.planes, (picture, *tints), strict=True):
        lines = np.frombuffer(plane, np.uint8).reshape(plane.height, plane.line_size)
        lines[:, : values.shape[1]] = values
    lines = np.frombuffer(frame.planes[0], np.uint8).reshape(height, frame.planes[0].line_size)
    lines[top : top + body.shape[0], left : left + body.shape[1]] = body
    return frame
