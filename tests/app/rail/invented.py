"""A run at 100 frames a second with a reading written by hand, so that views are tested on known numbers."""

from analysis.values.estimate import Estimate, NoValue
from analysis.values.film import FrameNumber, FrameTimes
from analysis.values.reading import (
    LineReading,
    PairReading,
    Reading,
    SpeedReading,
    SplitReading,
    StartReading,
    StepReading,
)
from analysis.values.run import Footfall, GroundMark, Line, LineKind, Run, Side, StartPush

RATE = 100
REASON = "There is no next touchdown."
NO_PLACE = "Mark two things of known distance."


def number(value, half):
    return Estimate(value, half / 1.96, value - half, value + half)


def footfalls(count, draft_last=False):
    """Every 20 frames a contact of 12 frames: touchdown k on frame 40 + 20 k."""
    out = []
    for k in range(count):
        side = Side.LEFT if k % 2 == 0 else Side.RIGHT
        down = 40 + 20 * k
        draft = draft_last and k == count - 1
        out.append(Footfall(f"f{k}", side, FrameNumber(down), FrameNumber(down + 12), draft=draft))
    return tuple(out)


def a_run(count=4, draft_last=False, start=True):
    push = StartPush(FrameNumber(10), FrameNumber(25), FrameNumber(34), Side.RIGHT) if start else StartPush()
    return Run(
        id="r",
        film_id="film",
        name="Run 1",
        first_frame=FrameNumber(0),
        last_frame=FrameNumber(60 + 20 * count),
        start=push,
        footfalls=footfalls(count, draft_last),
        marks=(GroundMark("m0", 0.0, 0.0, FrameNumber(0), 100.0, 400.0),),
        lines=(Line("n0", FrameNumber(41), LineKind.SHIN, Side.LEFT, (10.0, 60.0), (30.0, 20.0)),),
    )


def a_film(run):
    return FrameTimes.from_seconds([n / RATE for n in range(run.last_frame + 1)])


def a_step(run, k, contact_ms, flight_ms, half_ms=9.0):
    footfall = run.footfalls[k]
    last = k == len(run.footfalls) - 1
    later = None if last else run.footfalls[k + 1].touchdown
    none = NoValue(REASON)
    begins, lifts = footfall.touchdown / RATE - 0.005, footfall.toe_off / RATE - 0.005
    return StepReading(
        step=k + 1,
        footfall_id=footfall.id,
        side=footfall.side,
        touchdown=footfall.touchdown,
        toe_off=footfall.toe_off,
        begins_s=begins,
        lifts_s=lifts,
        ends_s=None if later is None else later / RATE - 0.005,
        contact_s=number(contact_ms / 1000, half_ms / 1000),
        flight_s=none if last else number(flight_ms / 1000, half_ms / 1000),
        step_time_s=none if last else number((contact_ms + flight_ms) / 1000, half_ms / 1000),
        step_frequency_hz=none if last else number(4.2, 0.16),
        step_length_m=none if last else number(1.234, 0.05),
        step_velocity_m_s=none if last else number(5.18, 0.21),
        foot_to_foot_speed_m_s=none,
        flight_to_contact=none if last else number(0.42, 0.03),
        duty_factor=none,
        speed_gained_m_s=none,
        touchdown_distance_m=none,
        shin_touchdown_deg=number(51.0, 2.0) if k == 0 else NoValue("Draw the shin line at this touchdown."),
        shin_toe_off_deg=none,
        trunk_touchdown_deg=none,
        com_height_touchdown_m=none,
    )


def a_reading(run, pairs=None):
    confirmed = [k for k, f in enumerate(run.footfalls) if not f.draft]
    steps = tuple(a_step(run, k, 170 - 5 * k, 50 + 4 * k) for k in confirmed)
    none = NoValue(NO_PLACE)
    shown = pairs
    if shown is None:
        shown = (
            PairReading("contact_s", 1, 2, number(-0.005, 0.009), False),
            PairReading("contact_s", 2, 3, number(0.021, 0.009), True, True),
            PairReading("flight_s", 1, 2, number(0.014, 0.009), True),
        )
    return Reading(
        frames=run.last_frame + 1,
        capture_rate_hz=float(RATE),
        start=StartReading(number(0.155, 0.009), number(0.24, 0.009), none, none, none, none, none),
        steps=steps,
        splits=(
            SplitReading(5.0, number(1.514, 0.011), number(1.043, 0.011)),
            SplitReading(10.0, none, none),
        ),
        speeds=(
            SpeedReading(5.0, number(6.16, 0.16), number(6.09, 0.10), number(5.76, 0.14)),
            SpeedReading(10.0, none, none, none),
        ),
        lines=(LineReading("n0", FrameNumber(41), LineKind.SHIN, Side.LEFT, number(51.0, 2.0)),),
        pairs=shown,
        notes=("Two of three differences cannot be told apart.",),
    )
