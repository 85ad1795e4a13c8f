"""The two sample runs of the invented wing player W7, and others drawn from a seed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sample_clips.motion import Motion, longest_reach, lowest_point
from sample_clips.scenario import Athlete, CameraKind, CameraPlan, Picture, Scenario, Side, Start, Steps

WING_DAY2 = Scenario(
    name="wing_day2",
    seed=72,
    start=Start(),
    steps=Steps(
        first_flight_s=0.056,
        contact_s=(0.183, 0.164, 0.150, 0.140, 0.131, 0.125, 0.121, 0.118, 0.115, 0.113, 0.112),
        flight_s=(0.062, 0.071, 0.080, 0.087, 0.093, 0.098, 0.102, 0.106, 0.108, 0.110, 0.112),
        touchdown_distance_m=(-0.03, 0.07, 0.14, 0.20, 0.235, 0.265, 0.285, 0.30, 0.31, 0.32, 0.325),
        com_height_touchdown_m=(0.935, 0.956, 0.971, 0.982, 0.989, 0.994, 0.998, 1.001, 1.004, 1.006, 1.008),
        com_height_toe_off_m=(0.960, 0.978, 0.990, 0.998, 1.003, 1.007, 1.010, 1.013, 1.015, 1.016, 1.017),
        trunk_deg=(50.0, 53.5, 57.0, 60.0, 63.0, 65.5, 68.0, 70.0, 72.0, 73.5, 75.0),
        spine_deg=(12.0, 11.0, 10.0, 9.0, 8.5, 8.0, 8.0, 7.5, 7.0, 7.0, 7.0),
        swing_surplus_m_s=(0.06, 0.08, 0.10, 0.11, 0.12, 0.12, 0.12, 0.12, 0.12, 0.12, 0.12),
        knee_lift_deg=(72.0, 72.0, 72.0, 72.0, 71.0, 71.0, 70.0, 70.0, 70.0, 70.0, 70.0),
        swing_thigh_touchdown_deg=(18.0, 22.0, 25.0, 27.0, 28.0, 29.0, 29.0, 29.0, 29.0, 29.0, 29.0),
        foot_pitch_touchdown_deg=(14.0, 13.0, 12.0, 11.0, 10.0, 10.0, 9.0, 9.0, 9.0, 9.0, 9.0),
        foot_pitch_toe_off_deg=(60.0, 61.0, 62.0, 62.0, 63.0, 63.0, 64.0, 64.0, 64.0, 64.0, 64.0),
    ),
)

WING_DAY1 = replace(
    WING_DAY2,
    name="wing_day1",
    seed=71,
    vmax_m_s=8.5,
    tau_s=1.17,
    start=replace(
        WING_DAY2.start,
        rear_push_s=0.295,
        front_push_s=0.490,
        model_delay_s=0.055,
        hips_go_s=(0.06, 0.45),
        trunk_opens_s=(0.0, 0.26),
        trunk_set_deg=33.0,
        trunk_toe_off_deg=60.0,
        spine_set_deg=30.0,
        com_height_toe_off_m=0.935,
    ),
    steps=replace(
        WING_DAY2.steps,
        contact_s=(0.186, 0.158, 0.178, 0.150, 0.133, 0.127, 0.122, 0.119, 0.116, 0.114, 0.113),
        flight_s=(0.060, 0.066, 0.072, 0.088, 0.092, 0.097, 0.101, 0.105, 0.107, 0.109, 0.111),
        touchdown_distance_m=(-0.02, 0.23, 0.255, 0.37, 0.25, 0.27, 0.29, 0.305, 0.315, 0.32, 0.325),
        swing_thigh_touchdown_deg=(18.0, 25.0, 27.0, 28.0, 28.0, 29.0, 29.0, 29.0, 29.0, 29.0, 29.0),
        trunk_deg=(62.0, 64.0, 65.5, 67.0, 68.5, 70.0, 71.5, 73.0, 74.0, 75.0, 76.0),
        foot_pitch_toe_off_deg=(60.0, 61.0, 68.0, 62.0, 63.0, 63.0, 64.0, 64.0, 64.0, 64.0, 64.0),
        swing_surplus_m_s=(0.06, 0.12, 0.12, 0.16, 0.12, 0.12, 0.12, 0.12, 0.12, 0.12, 0.12),
    ),
    faults=(
        "launch: the trunk opens over still hips",
        "strike: the foot lands far in front on steps two and four",
        "rhythm: the contact of step three is long",
    ),
)

SCENARIOS: dict[str, Scenario] = {s.name: s for s in (WING_DAY1, WING_DAY2)}

CAMERAS: dict[CameraKind, CameraPlan] = {
    "still": CameraPlan(),
    "tilted": CameraPlan(
        kind="tilted", distance_m=11.0, height_m=1.45, roll_deg=-2.6, tilt_deg=-1.2, pan_deg=2.5
    ),
    "wide": CameraPlan(kind="wide", distance_m=8.0, span_m=15.2, k1=-0.11, height_m=1.3, tilt_deg=-0.8),
    "panning": CameraPlan(kind="panning", distance_m=13.0, span_m=8.0, follow=0.92, shake_deg=0.05),
    "handheld": CameraPlan(kind="handheld", span_m=15.5, shake_deg=0.16),
    "walking": CameraPlan(kind="walking", centre_x_m=3.0, span_m=9.0, walk_m_s=1.4, shake_deg=0.1),
}

LONGEST_REACH = 0.985  # of the straight leg, hip to ankle
DRAWS = 60


def drawn(seed: int, fps: float = 240.0, direction: Side = "right", camera: CameraKind = "still") -> Scenario:
    """A run drawn from a seed: another athlete, other times, perhaps a fault; filmed as asked."""
    rng = np.random.default_rng([seed, 1])
    for _ in range(DRAWS):
        scenario = _draw(rng, seed)
        motion = Motion(scenario)
        if longest_reach(motion) < LONGEST_REACH and lowest_point(motion) > 0.0:
            break
    else:
        raise ValueError(f"no run whose legs reach could be drawn from seed {seed}")
    shutter = min(1.0 / 500.0, 0.5 / fps)
    picture = Picture(fps=fps, frames=round(3.0 * fps), shutter_s=shutter, noise=float(rng.uniform(1.0, 2.6)))
    name = f"run_{seed}_{camera}_{direction}_{fps:g}"
    return replace(scenario, name=name, direction=direction, camera=CAMERAS[camera], picture=picture)


def _draw(rng: np.random.Generator, seed: int) -> Scenario:
    base = SCENARIOS["wing_day2"]
    stature = float(rng.uniform(1.62, 1.94))
    k = stature / 1.82
    n = len(base.steps.contact_s)

    def varied(values: tuple[float, ...], spread: float, scale: float = 1.0) -> tuple[float, ...]:
        return tuple(float(v) * scale for v in np.array(values) + rng.normal(0.0, spread, n))

    contact = np.array(varied(base.steps.contact_s, 0.0015)) * rng.uniform(0.96, 1.05)
    distance = np.array(varied(base.steps.touchdown_distance_m, 0.008, k))
    faults = []
    if rng.random() < 0.4:
        step = int(rng.integers(1, 5))
        distance[step] += 0.10 * k
        faults.append(f"strike: the foot lands far in front on step {step + 1}")
    if rng.random() < 0.4:
        step = int(rng.integers(1, 5))
        contact[step] += 0.012
        faults.append(f"rhythm: the contact of step {step + 1} is long")
    lead = rng.random() < 0.4
    if lead:
        faults.insert(0, "launch: the trunk opens over still hips")
    begin = replace(SCENARIOS["wing_day1"].start if lead else base.start)
    front: Side = "right" if rng.random() < 0.5 else "left"
    start = replace(
        begin,
        front_side=front,
        foot_gap_m=begin.foot_gap_m * k,
        hip_behind_front_ball_m=begin.hip_behind_front_ball_m * k,
        hip_height_m=begin.hip_height_m * k,
        com_height_toe_off_m=begin.com_height_toe_off_m * k,
        trunk_set_deg=begin.trunk_set_deg + float(rng.uniform(-3, 4)),
    )
    steps = replace(
        base.steps,
        contact_s=tuple(float(c) for c in contact),
        flight_s=varied(base.steps.flight_s, 0.0015),
        touchdown_distance_m=tuple(float(d) for d in distance),
        com_height_touchdown_m=tuple(k * h for h in base.steps.com_height_touchdown_m),
        com_height_toe_off_m=tuple(k * h for h in base.steps.com_height_toe_off_m),
        trunk_deg=SCENARIOS["wing_day1"].steps.trunk_deg if lead else base.steps.trunk_deg,
    )
    hue = rng.uniform(0.0, 1.0, 3)
    athlete = Athlete(
        code=f"S{seed}",
        stature_m=round(stature, 3),
        mass_kg=round(float(23.5 * stature**2 * rng.uniform(0.92, 1.12)), 1),
        shirt=(float(0.15 + 0.7 * hue[0]), float(0.15 + 0.6 * hue[1]), float(0.15 + 0.7 * hue[2])),
    )
    speed = float(rng.uniform(0.95, 1.02)) * k**0.5
    return replace(
        base,
        seed=seed,
        start=start,
        steps=steps,
        athlete=athlete,
        vmax_m_s=8.5 * speed,
        tau_s=float(rng.uniform(1.12, 1.22)),
        faults=tuple(faults),
    )
