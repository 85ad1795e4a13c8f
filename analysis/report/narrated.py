"""What of a scene a stop of a narration shows, said once for the window and for written films."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from analysis.report.other_body import Meet
from analysis.report.posture_lines import Drawn, Layer
from analysis.report.scene import Dot, Scene, Stroke
from analysis.values.command import Kind
from analysis.values.film import FrameNumber
from analysis.values.narration import Overlay, Stop

USUAL = Stop("", FrameNumber(0)).drawn
"""What is drawn where no stop is at hand."""

BODIES = {Overlay.OTHER: Meet.HIPS, Overlay.OTHER_TOE: Meet.TOE}
"""The overlays that lay another run's body over a film, and what of both is together; one at a time."""

_LAYERS = {Overlay.LINES: {Layer.TRUNK, Layer.SHINS}, Overlay.PATH: {Layer.PATH}}


def layers_of(shown: Collection[Overlay]) -> Drawn:
    """What of posture has to be drawn for these overlays."""
    return Drawn(frozenset[Layer]().union(*(_LAYERS.get(one, set()) for one in shown)))


def meet_of(shown: Collection[Overlay]) -> Meet | None:
    """What of both bodies is together where the other run's lies over a film; None where it does not."""
    return next((meet for overlay, meet in BODIES.items() if overlay in shown), None)


def narrated(scene: Scene, shown: Collection[Overlay]) -> Scene:
    """The scene with these overlays alone; marks of place, which serve measuring, are never among them.

    The rail is not in a scene: it stands beside the picture or at its edge. Nor is another run's body:
    whoever knows that run lays it over; see ``meet_of``.
    """
    return replace(
        scene,
        strokes=tuple(stroke for stroke in scene.strokes if _of_stroke(stroke) in shown),
        dots=tuple(dot for dot in scene.dots if _of_dot(dot) in shown),
        handles=(),
        numbers=scene.numbers if Overlay.NUMBERS in shown else (),
        trails=scene.trails if Overlay.PATH in shown else (),
    )


def _of_stroke(stroke: Stroke) -> Overlay | None:
    if stroke.kind is Kind.LINE:
        return Overlay.LINES
    if stroke.kind is not Kind.POINT:
        return None
    if stroke.id.startswith("mass:"):
        return Overlay.PATH
    return Overlay.LINES if stroke.bold or (stroke.far and stroke.id.startswith("level:")) else Overlay.BODY


def _of_dot(dot: Dot) -> Overlay | None:
    if dot.kind is not Kind.POINT:
        return None
    return Overlay.PATH if dot.centre else Overlay.BODY
