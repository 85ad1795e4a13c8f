"""What a stop draws: each overlay alone, out of a scene that holds all."""

import pytest

from analysis.report.narrated import BODIES, layers_of, meet_of, narrated
from analysis.report.other_body import Meet
from analysis.report.posture_lines import Layer
from analysis.report.scene import Dot, Look, Scene, Stroke, Trail
from analysis.values.command import Kind
from analysis.values.narration import Overlay

ENDS = (0.0, 0.0), (1.0, 1.0)
SCENE = Scene(
    strokes=(
        Stroke(Kind.LINE, "mine", None, *ENDS),
        Stroke(Kind.POINT, "trunk", None, *ENDS, thin=True, bold=True),
        Stroke(Kind.POINT, "limb", None, *ENDS, thin=True),
        Stroke(Kind.POINT, "mass:touchdown:1", None, *ENDS, thin=True),
        Stroke(Kind.MARK, "m:off", None, *ENDS),
    ),
    dots=(
        Dot(Kind.POINT, "knee", None, 1, 1),
        Dot(Kind.POINT, "mass", None, 1, 1, centre=True),
        Dot(Kind.MARK, "m", None, 1, 1, "5 m"),
    ),
    numbers=("1 L  contact 180 ms",),
    trails=(Trail(ENDS, Look.FOLLOWED),),
)


def names(shown):
    scene = narrated(SCENE, shown)
    drawn = [*scene.strokes, *scene.dots]
    return {one.id for one in drawn} | ({"trail"} if scene.trails else set()) | set(scene.numbers)


@pytest.mark.parametrize(
    ("overlay", "expected"),
    [
        (Overlay.LINES, {"mine", "trunk"}),
        (Overlay.BODY, {"limb", "knee"}),
        (Overlay.PATH, {"mass:touchdown:1", "mass", "trail"}),
        (Overlay.NUMBERS, {"1 L  contact 180 ms"}),
        (Overlay.RAIL, set()),
        (Overlay.OTHER, set()),
        (Overlay.OTHER_TOE, set()),
    ],
)
def test_each_overlay_alone(overlay, expected):
    assert names((overlay,)) == expected


def test_all_of_them_but_never_a_mark():
    assert names(tuple(Overlay)) == {
        *("mine", "trunk", "limb", "knee", "mass:touchdown:1", "mass", "trail", "1 L  contact 180 ms")
    }


def test_another_runs_body_is_wanted_with_one_thing_of_both_together():
    assert meet_of((Overlay.LINES, Overlay.OTHER)) is Meet.HIPS
    assert meet_of((Overlay.OTHER_TOE,)) is Meet.TOE
    assert meet_of(tuple(one for one in Overlay if one not in BODIES)) is None


def test_posture_is_drawn_for_lines_and_path_alone():
    assert layers_of((Overlay.LINES, Overlay.PATH)).layers == {Layer.TRUNK, Layer.SHINS, Layer.PATH}
    assert layers_of((Overlay.BODY, Overlay.RAIL)).layers == frozenset()
