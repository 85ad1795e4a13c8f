"""What lies over a frame of a drill besides the body: the implement, and where it flew before."""

from __future__ import annotations

from dataclasses import replace

from analysis.reading.drills.whole import IMPLEMENT
from analysis.report.scene import Dot, Handle, Look, Scene
from analysis.values.command import Kind
from analysis.values.drill_film import DrillRep
from analysis.values.run import Run


def with_implement(scene: Scene, run: Run, frame: int, rep: DrillRep | None) -> Scene:
    """The scene with the implement of this frame, which can be taken hold of, and those of the rep's frames
    before it, fainter.
    """
    here = [p for p in run.points if p.name == IMPLEMENT and p.frame == frame]
    before = [
        p
        for p in run.points
        if p.name == IMPLEMENT and rep is not None and rep.holds(p.frame) and p.frame < frame
    ]
    dots = [Dot(Kind.POINT, "", None, p.u, p.v, "", Look.GUESSED) for p in before]
    dots += [Dot(Kind.POINT, p.id, None, p.u, p.v) for p in here]
    handles = [Handle(Kind.POINT, p.id, "", p.u, p.v) for p in here]
    return replace(scene, dots=(*scene.dots, *dots), handles=(*scene.handles, *handles))
