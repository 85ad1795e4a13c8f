"""A small net that tells from a foot's close-up how likely each moment is its touchdown or its toe-off."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Levels = npt.NDArray[np.float32]
Weights = Mapping[str, Levels]

BEFORE = 3
"""Each picture is held against the one so many earlier."""
FAR = 12.0
"""Moments from the middle one that count as far."""
_FILE = Path(__file__).with_name("event_net.npz")


def chances(weights: Weights, pictures: Levels, stands: Levels) -> Floats:
    """How likely each moment is, 1 together, from ``pictures`` (t, rows, columns) and how the foot ``stands``
    (rows, columns), as ``CloseUp`` has them: (t - 18,), as moments at the ends can't be looked around.

    Three layers look at each picture, at how it changed and at how it differs from the stand; two at how
    what they saw goes on in time.
    """
    before = np.concatenate([np.repeat(pictures[:1], BEFORE, axis=0), pictures[:-BEFORE]])
    seen = np.stack([pictures, pictures - before, pictures - stands], axis=-1)
    for name, stride in (("1", 2), ("2", 1), ("3", 2)):
        seen = np.maximum(_looked(seen, weights["w" + name], stride) + weights["b" + name], 0)
    found = np.maximum((seen.reshape(len(seen), 1, -1) @ weights["wd"])[:, 0] + weights["bd"], 0)
    found = np.maximum(_in_time(found, weights["wt"]) + weights["bt"], 0)
    scores = _in_time(found, weights["wo"])[:, 0].astype(np.float64)
    off = (np.arange(len(scores)) - len(scores) // 2) / FAR
    scores += weights["far"][0] * off + weights["far"][1] * off**2
    out: Floats = np.exp(scores - scores.max())
    out /= out.sum()
    return out


def _looked(seen: Levels, weights: Levels, stride: int) -> Levels:
    """A layer over rows and columns: ``seen`` (t, rows, columns, c), ``weights`` (3, 3, c, d)."""
    windows = np.lib.stride_tricks.sliding_window_view(seen, weights.shape[:2], axis=(1, 2))
    windows = windows[:, ::stride, ::stride]
    # picture by picture: products so small are not shared out among threads, which cost more than they save
    flat = windows.reshape(len(windows), -1, weights.shape[2] * weights.shape[0] * weights.shape[1])
    out: Levels = flat @ weights.transpose(2, 0, 1, 3).reshape(flat.shape[2], -1)
    return out.reshape(*windows.shape[:3], -1)


def _in_time(seen: Levels, weights: Levels) -> Levels:
    """A layer over time: ``seen`` (t, c), ``weights`` (n, c, d)."""
    windows = np.lib.stride_tricks.sliding_window_view(seen, len(weights), axis=0)
    out: Levels = windows.reshape(len(windows), -1) @ weights.transpose(1, 0, 2).reshape(-1, weights.shape[2])
    return out


def save(nets: Mapping[str, Weights]) -> None:
    """Set the nets that serve anew; by kind of event."""
    held = {
        f"{kind} {name}": one.astype(np.float16) for kind, net in nets.items() for name, one in net.items()
    }
    np.savez_compressed(_FILE, **held)  # type: ignore[arg-type]


@cache
def nets() -> dict[str, dict[str, Levels]]:
    """The nets that serve, by kind of event."""
    out: dict[str, dict[str, Levels]] = {}
    with np.load(_FILE) as held:
        for key in held:
            kind, name = key.split(" ")
            out.setdefault(kind, {})[name] = held[key].astype(np.float32)
    return out
