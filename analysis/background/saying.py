"""What a camera's path says, in words for the coach."""

from __future__ import annotations

import numpy as np

from analysis.values.camera import CameraKind, CameraPath
from analysis.values.words import tr

_DRIFTS_FROM_PX, _COARSE_FROM_PX = 0.15, 10.0


def sentences(path: CameraPath) -> tuple[str, ...]:
    """How the camera moved, how good its maps are, and which frames could not be tied."""
    known = np.isfinite(path.error_px)
    if path.kind is CameraKind.WALKING:
        return (
            tr(
                "The camera was carried along instead of turning in its place, so places and speeds can't be "
                "read from this film; times can. Stand still and turn with the athlete."
            ),
        )
    if path.kind is CameraKind.STILL:
        off = float(path.error_px.max(initial=0.0))
        if off < _DRIFTS_FROM_PX:
            return (tr("The camera stood still."),)
        return (tr("The camera stood still but for {off:.1f} pixels, which are counted.").format(off=off),)
    said = []
    if known.any():
        worst = float(path.error_px[known].max())
        said.append(
            tr("The camera turned; its background is followed to {worst:.1f} pixels or better.").format(
                worst=worst
            )
        )
        if worst > _COARSE_FROM_PX:
            said.append(
                tr(
                    "That is coarse: whether a camera is carried or zoomed a little while it turns can "
                    "hardly be seen. Places and speeds are as unsure as they say; stand still and turn with "
                    "the athlete, best on a stand."
                )
            )
        elif path.doubt:
            said.append(path.doubt)
    if not known.all():
        said.append(
            tr(
                "In {lost} of {frames} frames the background could not be followed; they are left out."
            ).format(lost=int((~known).sum()), frames=len(known))
        )
    return tuple(said)


def summary(path: CameraPath) -> dict[str, object]:
    """The path in a few plain numbers, for JSON."""
    known = path.error_px[np.isfinite(path.error_px)]
    return {
        "kind": path.kind.value,
        "first": int(path.first),
        "last": int(path.first) + len(path.maps) - 1,
        "reference": int(path.reference),
        "frames_tied": len(known),
        "frames_lost": len(path.error_px) - len(known),
        "error_px_median": round(float(np.median(known)), 3) if len(known) else None,
        "error_px_worst": round(float(known.max()), 3) if len(known) else None,
        "parallax_px": round(path.parallax_px, 3),
        "notes": list(sentences(path)),
    }
