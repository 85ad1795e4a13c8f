"""Everything computed from one run. Times in s, places in m, angles in deg, speeds in m/s."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from analysis.values.about import About
from analysis.values.answers import Answer, FirstCause, Rhythm
from analysis.values.estimate import Result
from analysis.values.film import FrameNumber
from analysis.values.posture import MassPath, PointDoubt, PostureReading, Series
from analysis.values.run import LineKind, Side


@dataclass(frozen=True)
class StartReading:
    """The start push; definitions in docs/measures.md."""

    rear_foot_push_s: Result
    front_foot_push_s: Result
    first_flight_s: Result
    first_step_length_m: Result
    trunk_lead_deg: Result
    hip_share: Result
    projection_deg: Result


@dataclass(frozen=True)
class StepReading:
    """Step ``step`` from its touchdown to the other foot's next; ``touchdown``, ``toe_off`` are its frames.

    ``begins_s``, ``lifts_s``, ``ends_s``: estimates of touchdown, toe-off and the next touchdown, s from the
    film's first frame, or None.
    """

    step: int
    footfall_id: str
    side: Side
    touchdown: FrameNumber | None
    toe_off: FrameNumber | None
    begins_s: float | None
    lifts_s: float | None
    ends_s: float | None
    contact_s: Result
    flight_s: Result
    step_time_s: Result
    step_frequency_hz: Result
    step_length_m: Result
    step_velocity_m_s: Result
    foot_to_foot_speed_m_s: Result
    flight_to_contact: Result
    duty_factor: Result
    speed_gained_m_s: Result
    touchdown_distance_m: Result
    shin_touchdown_deg: Result
    shin_toe_off_deg: Result
    trunk_touchdown_deg: Result
    com_height_touchdown_m: Result


@dataclass(frozen=True)
class SplitReading:
    """Time to a place: from clock zero, and beside it from the front foot's toe-off.

    ``from_hips``: clock zero is the moment at which the hips leave their rest, not the tagged first movement.
    """

    x_m: float
    time_s: Result
    from_front_toe_off_s: Result
    from_hips: bool = False


@dataclass(frozen=True)
class SpeedReading:
    """Step-averaged speed at a place, read in two ways, or the last whole step's mean before it.

    ``last_step_from_m``, ``last_step_to_m``: where the hip centre is at the two touchdowns of that last whole
    step, m along the running line; None where ``last_step_m_s`` is no number. ``ways_apart_m_s``: the second
    way less the first, ``ways_told_apart``: whether the two can be told apart, at 5 % over all places
    together.
    """

    x_m: float
    local_m_s: Result
    model_m_s: Result
    last_step_m_s: Result
    last_step_from_m: float | None = None
    last_step_to_m: float | None = None
    ways_apart_m_s: Result | None = None
    ways_told_apart: bool = False


@dataclass(frozen=True)
class SpeedBand:
    """The fitted curve of step-averaged speed over time and over distance, with its 95 % interval.

    All of one length, one entry a moment: ``time_s`` from the film's first frame, place ``x_m``, speed
    ``v_m_s`` and the ends of its interval ``low_m_s``, ``high_m_s``.
    """

    time_s: tuple[float, ...]
    x_m: tuple[float, ...]
    v_m_s: tuple[float, ...]
    low_m_s: tuple[float, ...]
    high_m_s: tuple[float, ...]


@dataclass(frozen=True)
class ForceReading:
    """What the speed curve means for the forces, averaged over each step: results of a model, not measured.

    Each is a number only where mass and stature are known and 20 m or more were filmed.
    ``f0_n_kg``, ``v0_m_s``: greatest forward force in N a kg of body mass, and the speed at which it is used
    up. ``pmax_w_kg``: greatest power. ``rf_max``: forward over resultant force 0.3 s after the start;
    ``drf_s_m``: by how much that changes a metre per second.
    """

    f0_n_kg: Result
    v0_m_s: Result
    pmax_w_kg: Result
    rf_max: Result
    drf_s_m: Result


class LineReading(NamedTuple):
    """Angle of a drawn line from the forward horizontal, anticlockwise, 90 upright."""

    line_id: str
    frame: FrameNumber
    kind: LineKind
    side: Side | None
    angle_deg: Result


class PairReading(NamedTuple):
    """Whether two steps' values can be told apart, at 5 % over all comparisons of the run together.

    ``against``: they can, and the second goes against the way the measure goes over the first steps.
    """

    measure: str
    first_step: int
    second_step: int
    difference: Result
    told_apart: bool
    against: bool = False


@dataclass(frozen=True)
class MarkReading:
    """How far a mark lies from where the map of all marks puts it, px; ``sigmas``: against its own error."""

    mark_id: str
    du_px: float
    dv_px: float
    sigmas: float


@dataclass(frozen=True)
class CameraReading:
    """How the camera was held and where it stood, as the marks tell.

    ``roll_deg``: how far the level rises towards the picture's right; ``tilt_deg``: how far it looks up
    (negative: down); ``distance_m``: to the running line; ``bend_px``: how far the middle of the marked row
    lies beside the line through its ends, down positive, a sign of a bent lens; ``drift_px``: largest
    standard uncertainty that a turning camera's path adds where something is placed, None for one that stood.
    """

    roll_deg: Result
    tilt_deg: Result
    distance_m: Result
    bend_px: Result
    drift_px: float | None = None


class HipPlace(NamedTuple):
    """Where the hip centre, or the centre of mass where speeds are read from that, is on a frame, m along the
    running line.
    """

    time_s: float
    x_m: float


@dataclass(frozen=True)
class Reading:
    """All that one run says, with notes in sentences. ``path``: the hips' places in order of time.

    ``doubts``: the notes that question tags or marks, in order of step; ``notes`` begins with them.
    ``point_doubts``: body points to be looked at, in order of frame.
    ``force``: shown only where it is asked for. ``speed_band``: the curve through the whole run, from its
    first to its last hip; None where none holds. ``posture``: in order of step and moment. ``series``: angles
    over all frames that hold their points; ``lines_between``: those of the lines that were asked for.
    ``mass_path``: the centre of mass; None where too little of the body is known.
    ``questions``: the answers, in the order of the chain. ``about``: whose run it is, for comparisons.
    """

    frames: int
    capture_rate_hz: float | None
    start: StartReading
    steps: tuple[StepReading, ...]
    splits: tuple[SplitReading, ...]
    speeds: tuple[SpeedReading, ...]
    lines: tuple[LineReading, ...]
    pairs: tuple[PairReading, ...]
    notes: tuple[str, ...]
    marks: tuple[MarkReading, ...] = ()
    path: tuple[HipPlace, ...] = ()
    doubts: tuple[str, ...] = ()
    camera: CameraReading | None = None
    speed_band: SpeedBand | None = None
    force: ForceReading | None = None
    posture: tuple[PostureReading, ...] = ()
    series: tuple[Series, ...] = ()
    lines_between: tuple[Series, ...] = ()
    mass_path: MassPath | None = None
    questions: tuple[Answer, ...] = ()
    rhythm: Rhythm = field(default=Rhythm((), (), ()))
    first_cause: FirstCause | None = None
    about: About = field(default_factory=About)
    point_doubts: tuple[PointDoubt, ...] = ()
