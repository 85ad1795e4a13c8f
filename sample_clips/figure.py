"""The athlete, drawn part by part from the far side to the near side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sample_clips.body import Array
from sample_clips.camera import Camera
from sample_clips.head import draw_head, draw_outline, smooth_outline
from sample_clips.scenario import Athlete, Colour, Side, other
from sample_clips.shading import Canvas, Limb, draw_limb

FAR_TONE = 0.74

# Half widths in m for a stature of 1.82 m, evenly spaced along the limb: front and back.
THIGH = ((0.082, 0.092, 0.092, 0.084, 0.070, 0.058, 0.056), (0.088, 0.086, 0.080, 0.072, 0.062, 0.052, 0.048))
SHANK = ((0.055, 0.052, 0.050, 0.046, 0.042, 0.038, 0.038), (0.046, 0.060, 0.070, 0.064, 0.048, 0.038, 0.036))
SOCK = ((0.046, 0.043, 0.040, 0.041), (0.056, 0.044, 0.039, 0.038))
SHORTS = ((0.100, 0.104, 0.104, 0.104, 0.106), (0.108, 0.104, 0.099, 0.097, 0.098))
UPPER_ARM = ((0.048, 0.052, 0.052, 0.046, 0.040), (0.050, 0.052, 0.048, 0.042, 0.038))
SLEEVE = ((0.062, 0.062, 0.061, 0.062), (0.064, 0.062, 0.060, 0.060))
FOREARM = ((0.040, 0.046, 0.043, 0.034, 0.027), (0.038, 0.042, 0.038, 0.032, 0.026))
HAND = ((0.027, 0.038, 0.040, 0.036), (0.026, 0.034, 0.038, 0.034))
NECK = ((0.052, 0.050, 0.052), (0.058, 0.054, 0.052))
SHIRT = (
    (0.108, 0.108, 0.110, 0.120, 0.130, 0.128, 0.104, 0.066),
    (0.116, 0.100, 0.094, 0.100, 0.112, 0.116, 0.102, 0.064),
)
SEAT = ((0.098, 0.104, 0.104, 0.096), (0.112, 0.122, 0.116, 0.096))

# Shoe in m: forward of the heel, above the line from heel to tip. The toe box turns with the toes.
SOLE_DROP = 0.026


@dataclass(frozen=True)
class Look:
    """One exposure's points in pixels, pixels per metre there, and which way forwards lies."""

    uv: dict[str, Array]
    scale: dict[str, float]
    facing: float  # 1 to the right of the picture, -1 to the left
    size: float  # stature over 1.82 m


def look_at(camera: Camera, points: dict[str, Array], stature_m: float, facing: float) -> Look:
    """Projects one pose's points, name to (3,) in m."""
    names = list(points)
    world = np.stack([points[n] for n in names])
    uv, scale = camera.project(world), camera.scale(world)
    return Look(
        dict(zip(names, uv, strict=True)),
        dict(zip(names, scale.tolist(), strict=True)),
        facing,
        stature_m / 1.82,
    )


def draw_athlete(canvas: Canvas, look: Look, athlete: Athlete, near: Side) -> None:
    """Paints the whole figure; `near` is the side towards the camera."""
    far = other(near)
    _arm(canvas, look, athlete, far, FAR_TONE)
    _leg(canvas, look, athlete, far, FAR_TONE)
    _seat(canvas, look, athlete)
    _neck_and_head(canvas, look, athlete)
    _leg(canvas, look, athlete, near, 1.0)
    _shirt(canvas, look, athlete)
    _arm(canvas, look, athlete, near, 1.0)


def _limb(
    look: Look,
    a: Array,
    b: Array,
    scale: float,
    shape: tuple[tuple[float, ...], tuple[float, ...]],
    colour: Colour,
    mirror: float,
    **more: float,
) -> Limb:
    k = scale * look.size
    # Rounded to a hundredth of a pixel, so that the same widths come again from frame to frame.
    front, back = (np.round(np.array(side) * k, 2) for side in shape)
    return Limb(a, b, front, back, colour, mirror * look.facing, **more)


def _leg(canvas: Canvas, look: Look, athlete: Athlete, side: Side, tone: float) -> None:
    hip, knee, ankle = (look.uv[f"{side}_{j}"] for j in ("hip", "knee", "ankle"))
    k = look.scale[f"{side}_knee"]
    down = -1.0  # these limbs are given from the upper to the lower end
    shin = _limb(look, knee, ankle, k, SHANK, athlete.skin, down, tone=tone, dusk=0.25)
    draw_limb(canvas, shin)
    sock_top = knee + 0.62 * (ankle - knee)
    draw_limb(
        canvas, _limb(look, sock_top, ankle, k, SOCK, athlete.socks, down, tone=tone, round_a=0.1, dusk=0.0)
    )
    _shoe(canvas, look, athlete, side, tone)
    thigh = _limb(look, hip, knee, k, THIGH, athlete.skin, down, tone=tone, dusk=0.30)
    draw_limb(canvas, thigh)
    hem = hip + 0.60 * (knee - hip)
    draw_limb(
        canvas,
        _limb(
            look,
            hip,
            hem,
            k,
            SHORTS,
            athlete.shorts,
            down,
            tone=tone,
            round_b=0.12,
            folds=0.05,
            edge=0.25,
            dusk=0.2,
        ),
    )
    seam = hip + 0.12 * (knee - hip)
    thin = (np.full(2, 0.009 * k * look.size),) * 2
    draw_limb(
        canvas, Limb(seam, hem, *thin, athlete.trim, tone=0.9 * tone, round_a=0.1, round_b=0.1, dusk=0.0)
    )


def _shoe(canvas: Canvas, look: Look, athlete: Athlete, side: Side, tone: float) -> None:
    heel, ball, toe = (look.uv[f"{side}_{j}"] for j in ("heel", "ball", "toe"))
    k = look.scale[f"{side}_heel"] * look.size
    along = (ball - heel) / max(float(np.hypot(*(ball - heel))), 1e-6)
    up = look.facing * np.array([along[1], -along[0]])
    tip = (toe - ball) / max(float(np.hypot(*(toe - ball))), 1e-6)
    tip_up = look.facing * np.array([tip[1], -tip[0]])

    def rear(x: float, y: float) -> Array:
        return np.asarray(heel + k * (x * along + y * up))

    def fore(x: float, y: float) -> Array:
        return np.asarray(ball + k * (x * tip + y * tip_up))

    low = -SOLE_DROP
    toes = float(np.hypot(*(toe - ball))) / k
    arch = float(np.hypot(*(ball - heel))) / k
    upper = [
        rear(-0.004, low + 0.012), rear(-0.006, 0.03), rear(0.006, 0.075), rear(0.022, 0.092),
        rear(0.060, 0.096), rear(0.100, 0.082), rear(0.132, 0.062), rear(arch - 0.028, 0.046),
        0.5 * (rear(arch + 0.004, 0.038) + fore(0.004, 0.038)), fore(0.034, 0.028), fore(toes - 0.014, 0.012),
        fore(toes + 0.003, -0.006), fore(toes - 0.004, low + 0.010), fore(0.0, low + 0.008),
        rear(arch - 0.03, low + 0.010),
    ]  # fmt: skip
    ball_light = (0.5 * (heel + toe) + k * 0.02 * up, 0.20 * k)
    draw_outline(canvas, smooth_outline(np.array(upper), 2), athlete.shoes, tone, ball_light, dusk=0.25)
    collar = [
        rear(0.004, 0.074),
        rear(0.022, 0.090),
        rear(0.060, 0.094),
        rear(0.094, 0.082),
        rear(0.05, 0.076),
    ]
    draw_outline(canvas, smooth_outline(np.array(collar), 1), (0.16, 0.15, 0.17), tone)
    stripe = [rear(0.085, 0.062), rear(0.112, 0.062), rear(0.128, low + 0.02), rear(0.104, low + 0.02)]
    draw_outline(canvas, np.array(stripe), (0.95, 0.94, 0.92), 0.95 * tone)
    sole = [
        rear(-0.008, low + 0.018), rear(-0.004, low), rear(0.05, low), rear(arch - 0.03, low),
        0.5 * (rear(arch, low) + fore(0.0, low)), fore(toes - 0.03, low), fore(toes, low + 0.012),
        fore(toes - 0.004, low + 0.020), fore(0.0, low + 0.020), rear(arch - 0.03, low + 0.020),
        rear(0.05, low + 0.024),
    ]  # fmt: skip
    draw_outline(canvas, smooth_outline(np.array(sole), 1), (0.92, 0.92, 0.90), 0.92 * tone)


def _arm(canvas: Canvas, look: Look, athlete: Athlete, side: Side, tone: float) -> None:
    shoulder, elbow, wrist, knuckle = (
        look.uv[f"{side}_{j}"] for j in ("shoulder", "elbow", "wrist", "knuckle")
    )
    k = look.scale[f"{side}_elbow"]
    down = -1.0
    draw_limb(canvas, _limb(look, shoulder, elbow, k, UPPER_ARM, athlete.skin, down, tone=tone, dusk=0.35))
    hem = shoulder + 0.56 * (elbow - shoulder)
    draw_limb(
        canvas,
        _limb(
            look,
            shoulder,
            hem,
            k,
            SLEEVE,
            athlete.shirt,
            down,
            tone=tone,
            round_b=0.12,
            folds=0.05,
            edge=0.3,
            dusk=0.2,
        ),
    )
    cuff = shoulder + 0.52 * (elbow - shoulder)
    draw_limb(
        canvas,
        _limb(
            look,
            cuff,
            hem,
            k,
            (SLEEVE[0][-2:], SLEEVE[1][-2:]),
            athlete.trim,
            down,
            tone=tone,
            round_a=0.05,
            round_b=0.12,
            dusk=0.0,
        ),
    )
    draw_limb(canvas, _limb(look, elbow, wrist, k, FOREARM, athlete.skin, down, tone=tone, dusk=0.30))
    grip = wrist + 0.95 * (knuckle - wrist)
    draw_limb(canvas, _limb(look, wrist, grip, k, HAND, athlete.skin, down, tone=0.97 * tone, dusk=0.15))
    # The thumb lies along the upper edge of a loosely closed hand.
    reach = knuckle - wrist
    rise = -look.facing * np.array([-reach[1], reach[0]]) / max(float(np.hypot(*reach)), 1e-6)
    root = wrist + 0.35 * reach + 0.024 * k * rise
    draw_limb(
        canvas,
        Limb(
            root,
            root + 0.55 * reach,
            np.full(3, 0.012 * k),
            np.full(3, 0.012 * k),
            athlete.skin,
            tone=1.05 * tone,
            dusk=0.25,
        ),
    )


def _seat(canvas: Canvas, look: Look, athlete: Athlete) -> None:
    hip, back = look.uv["mid_hip"], look.uv["mid_back"]
    k = look.scale["mid_hip"]
    line = back - hip
    draw_limb(
        canvas,
        _limb(
            look,
            hip - 0.10 * line,
            hip + 0.45 * line,
            k,
            SEAT,
            athlete.shorts,
            1.0,
            tone=0.92,
            dusk=0.35,
            folds=0.03,
        ),
    )


def _shirt(canvas: Canvas, look: Look, athlete: Athlete) -> None:
    hip, back, neck = look.uv["mid_hip"], look.uv["mid_back"], look.uv["neck"]
    k = look.scale["mid_hip"]
    low = hip + 0.16 * (back - hip)
    middle = 0.5 * (low + neck)
    chord = (neck - low) / max(float(np.hypot(*(neck - low))), 1e-6)
    front = look.facing * np.array([-chord[1], chord[0]])
    # Shoulders lie in front of the spine's line: the trunk's axis runs a little before it.
    bow = float((back - middle) @ front) + 0.012 * k
    top = neck - 0.03 * k * chord
    draw_limb(
        canvas,
        _limb(
            look, low, top, k, SHIRT, athlete.shirt, 1.0,
            bow=bow, tone=1.0, folds=0.035, round_a=0.18, round_b=0.5, dusk=0.28,
        ),
    )  # fmt: skip


def _neck_and_head(canvas: Canvas, look: Look, athlete: Athlete) -> None:
    neck, vertex = look.uv["neck"], look.uv["head"]
    k = look.scale["neck"]
    line = vertex - neck
    length = max(float(np.hypot(*line)), 1e-6)
    # The line from the neck's base to the vertex leans forwards of the face's own upright.
    tilt = -look.facing * np.radians(17.0)
    c, s = np.cos(tilt), np.sin(tilt)
    up = np.array([c * line[0] - s * line[1], s * line[0] + c * line[1]]) / length
    forward = look.facing * np.array([-up[1], up[0]])
    size = 0.232 * k * look.size
    centre = vertex - 0.50 * size * up
    throat = neck + 0.022 * k * forward - 0.01 * k * up
    draw_limb(
        canvas,
        _limb(
            look,
            throat,
            centre - 0.16 * size * up - 0.04 * size * forward,
            k,
            NECK,
            athlete.skin,
            1.0,
            tone=0.86,
            dusk=0.2,
        ),
    )
    draw_head(canvas, centre, up, forward, size, athlete.skin, athlete.hair)
