"""Every number of a reading by a name that is the same in every reading."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.values.comparison import MeasureKey
from analysis.values.estimate import Result
from analysis.values.reading import Reading

OF_STEP = (
    "contact_s",
    "flight_s",
    "step_time_s",
    "step_frequency_hz",
    "flight_to_contact",
    "step_length_m",
    "step_velocity_m_s",
    "foot_to_foot_speed_m_s",
)
SPLITS = ("split_s", "split_from_first_movement_s")
"""A split from the moment when the hips leave their rest, and one from the tagged first movement."""

OF_START = ("rear_foot_push_s", "front_foot_push_s", "first_flight_s", "first_step_length_m")


def numbers_of(reading: Reading) -> dict[MeasureKey, Result]:
    """Pushes, splits and speeds, steps, and posture at the events."""
    return dict(_numbers(reading))


def _numbers(reading: Reading) -> Iterator[tuple[MeasureKey, Result]]:
    for name in OF_START:
        yield MeasureKey(name, step=0), getattr(reading.start, name)
    for split in reading.splits:
        # two clocks: a split from the one is never held against a split from the other
        of_clock = SPLITS[0 if split.from_hips else 1]
        yield MeasureKey(of_clock, x_m=split.x_m), split.time_s
        yield MeasureKey("split_from_front_toe_off_s", x_m=split.x_m), split.from_front_toe_off_s
    for speed in reading.speeds:
        for name in ("local_m_s", "model_m_s"):
            yield MeasureKey(name, x_m=speed.x_m), getattr(speed, name)
    for step in reading.steps:
        for name in OF_STEP:
            yield MeasureKey(name, step=step.step), getattr(step, name)
    stance = {step.step: step.side for step in reading.steps}
    if reading.about.front_side is not None:
        stance[0] = reading.about.front_side
    for row in reading.posture:
        if row.side is None:
            yield MeasureKey(row.measure, row.moment, row.step), row.result
        elif row.step in stance:  # else nobody said which leg stands in front
            other = row.side is not stance[row.step]
            yield MeasureKey(row.measure, row.moment, row.step, None, other), row.result
