"""A camera's path as a file, to be handed from one process to another."""

from __future__ import annotations

from dataclasses import astuple
from pathlib import Path

import numpy as np

from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.film import FrameNumber


def save_path(path: CameraPath, file: Path) -> None:
    """Write a path as .npz; it stands there whole or not at all."""
    part = file.with_name("part-" + file.name)
    np.savez(
        part,
        kind=np.array(path.kind.value),
        frames=np.array([path.reference, path.first]),
        maps=path.maps,
        error_px=path.error_px,
        parallax_px=np.array(path.parallax_px),
        lens=np.array([] if path.lens is None else np.hstack(astuple(path.lens))),
    )
    part.replace(file)


def load_path(file: Path) -> CameraPath:
    """Read what ``save_path`` wrote."""
    with np.load(file, allow_pickle=False) as kept:
        reference, first = (FrameNumber(int(n)) for n in kept["frames"])
        return CameraPath(
            CameraKind(str(kept["kind"])),
            reference,
            first,
            kept["maps"],
            kept["error_px"],
            float(kept["parallax_px"]),
            _lens(kept["lens"].tolist()),
        )


def _lens(numbers: list[float]) -> Lens | None:
    if not numbers:
        return None
    k1, focal, u, v, k1_u = numbers
    return Lens(k1, focal, (u, v), k1_u)
