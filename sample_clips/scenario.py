"""What a rendered run is made of: the athlete, the run, the camera and the picture."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Side = Literal["left", "right"]
CameraKind = Literal["still", "tilted", "wide", "panning", "handheld", "walking"]
Colour = tuple[float, float, float]  # red, green, blue, each 0 to 1

SIDES: tuple[Side, Side] = ("left", "right")


def other(side: Side) -> Side:
    """The opposite side."""
    return "right" if side == "left" else "left"


@dataclass(frozen=True)
class Athlete:
    """Size and clothes of the figure; lengths in m, mass in kg."""

    code: str = "W7"
    stature_m: float = 1.82
    mass_kg: float = 84.0
    skin: Colour = (0.80, 0.60, 0.47)
    hair: Colour = (0.16, 0.11, 0.08)
    shirt: Colour = (0.05, 0.50, 0.52)
    trim: Colour = (0.86, 0.90, 0.90)
    shorts: Colour = (0.10, 0.12, 0.19)
    socks: Colour = (0.90, 0.91, 0.92)
    shoes: Colour = (0.92, 0.42, 0.13)


@dataclass(frozen=True)
class Start:
    """The standing split-stance start. Times in s after the first movement, lengths in m, angles in deg.

    `hips_go_s` is the time within which the hips are taken from rest to the path of the run
    (begin, end); where it begins late and `trunk_opens_s` early, the trunk leads.
    """

    front_side: Side = "right"
    front_tip_x_m: float = -0.12
    foot_gap_m: float = 0.42
    hip_behind_front_ball_m: float = 0.19
    hip_height_m: float = 0.79
    rear_push_s: float = 0.275
    front_push_s: float = 0.465
    model_delay_s: float = 0.020
    hips_go_s: tuple[float, float] = (0.0, 0.30)
    trunk_opens_s: tuple[float, float] = (0.04, 0.46)
    trunk_set_deg: float = 38.0
    trunk_toe_off_deg: float = 47.0
    spine_set_deg: float = 16.0
    com_height_toe_off_m: float = 0.940


@dataclass(frozen=True)
class Steps:
    """The steps, one entry a step from the first touchdown on. Times s, lengths m, angles deg.

    `swing_thigh_touchdown_deg`: the other leg's thigh at this step's touchdown, from the downward vertical,
    forwards positive: the less it is, the later the legs change over. `knee_lift_deg`: this leg's thigh,
    measured so, at its highest before it lands.
    """

    first_flight_s: float
    contact_s: tuple[float, ...]
    flight_s: tuple[float, ...]
    touchdown_distance_m: tuple[float, ...]
    com_height_touchdown_m: tuple[float, ...]
    com_height_toe_off_m: tuple[float, ...]
    trunk_deg: tuple[float, ...]
    spine_deg: tuple[float, ...]
    swing_surplus_m_s: tuple[float, ...]
    knee_lift_deg: tuple[float, ...]
    swing_thigh_touchdown_deg: tuple[float, ...]
    foot_pitch_touchdown_deg: tuple[float, ...]
    foot_pitch_toe_off_deg: tuple[float, ...]


@dataclass(frozen=True)
class CameraPlan:
    """Where the camera stands (m, from the running line) and how it is held (deg)."""

    kind: CameraKind = "still"
    distance_m: float = 12.0
    height_m: float = 1.2
    centre_x_m: float = 6.25
    span_m: float = 14.5
    roll_deg: float = 0.25
    tilt_deg: float = -0.6
    pan_deg: float = 0.3
    shake_deg: float = 0.0
    follow: float = 0.0
    k1: float = 0.0
    walk_m_s: float = 0.0  # along the line, with the run


@dataclass(frozen=True)
class Picture:
    """The film's picture: size in pixels, rate in frames per s, shutter in s, noise in grey levels of 255."""

    width: int = 1280
    height: int = 720
    fps: float = 240.0
    frames: int = 720
    shutter_s: float = 1.0 / 500.0
    noise: float = 1.6
    light: float = 1.0
    crf: int = 14
    exposures: int = 3


@dataclass(frozen=True)
class Scenario:
    """One run in front of one camera."""

    name: str
    seed: int
    start: Start
    steps: Steps
    athlete: Athlete = field(default_factory=Athlete)
    camera: CameraPlan = field(default_factory=CameraPlan)
    picture: Picture = field(default_factory=Picture)
    direction: Side = "right"
    vmax_m_s: float = 8.6
    tau_s: float = 1.15
    rest_s: float = 0.3485
    faults: tuple[str, ...] = ()
