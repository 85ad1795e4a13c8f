"""Which frames each measure of a sample clip must rest on, from the events that its renderer wrote beside it.

``events`` of the truth are times, not rounded to frames; a tag is the first frame at or after an event
(sample_clips/README.md). Nothing here asks a reading.
"""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np

from analysis.values.posture import Moment
from analysis.values.run import Side

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
REST_S = 0.2  # docs/measures.md, Clock zero
STRIKE_S = 0.025  # docs/measures.md, shoe's backward speed
LEAD_M = 0.05  # docs/measures.md, trunk lead
LEAD_FRAMES = 2
"""Hips that are read 1 cm off pass the 5 cm so many frames away: they move at some 1.2 m/s there."""
OF_THE_HIPS = {"trunk_lead_deg"}
IN_FLIGHT = {
    "projection_deg",
    "thigh_separation_deg",
    "separation_after_toe_off_s",
    "separation_before_touchdown_s",
    "thigh_return_rate_deg_s",
}


class TruthFrames:
    """The frames of one clip's true events; step 0 is the start push."""

    def __init__(self, clip: str) -> None:
        truth = json.loads((SAMPLES / f"{clip}.truth.json").read_text())
        events = truth["events"]
        self.rate = truth["film"]["fps"]
        self.first_movement = self._tag(events["first_movement_s"])
        self.rear_off = self._tag(events["rear_toe_off_s"])
        self.off = [self._tag(t) for t in (events["front_toe_off_s"], *events["toe_off_s"])]
        self.down = [-1, *map(self._tag, events["touchdown_s"])]
        metres = np.load(SAMPLES / f"{clip}.truth.npz")
        names = metres["names"].tolist()
        hips = np.mean([metres["metres"][:, names.index(f"{s.value}_hip"), 0] for s in Side], axis=0)
        self.hips_pass = int(np.argmax(hips >= truth["start"]["hip_rest_x_m"] + LEAD_M))

    def _tag(self, seconds: float) -> int:
        return math.ceil(seconds * self.rate - 1e-9)

    @property
    def rest(self) -> set[int]:
        """The rest before the first movement."""
        last = self.first_movement - 1
        return set(range(last - round(REST_S * self.rate), last + 1))

    def tags(self, measure: str, step: int) -> tuple[int, ...]:
        """Of a duration, length or velocity: the events that it lies between, as far as there."""
        if measure.endswith("_foot_push_s"):
            return self.first_movement, self.rear_off if measure.startswith("rear") else self.off[0]
        begin = self.off if measure == "flight_s" else self.down
        end = self.off[step:] if measure == "contact_s" else self.down[step + 1 :]
        return begin[step], *end[:1]

    def whole(self, measure: str) -> set[int]:
        """Of a number over all steps; the clips' last step has a touchdown and no toe-off."""
        last = len(self.down) - 1
        inside = {frame for step in range(1, last) for frame in self.tags(measure, step)}
        return inside | ({self.down[last]} if measure != "flight_s" else set())

    def change(self, measure: str, step: int) -> set[int]:
        """Of a change to a step from the one before."""
        return {*self.tags(measure, step - 1), *self.tags(measure, step)}

    def followed(self, measure: str, moment: Moment, step: int) -> set[int]:
        """Of a measure of posture where every point is known on every frame: an event is read between the
        frame before it and the one after, a flight on all of its frames. The trunk lead aside.
        """
        if measure in ("touchdown_distance_rise_m", "com_rise_m"):
            return self._around(self.down[step - 1]) | self._around(self.down[step])
        if measure == "shin_sweep_deg":
            return self._around(self.down[step]) | self._around(self.off[step])
        if measure in IN_FLIGHT:
            end = self.down[step + 1] + (measure == "thigh_return_rate_deg_s")
            return set(range(self.off[step], end))
        if measure == "shoe_backward_speed_m_s":
            last = self.down[step] - 1
            return set(range(last - math.floor(STRIKE_S * self.rate), last + 1))
        if measure == "hip_share":
            return {self.first_movement - 1} | self._around(self.off[0])
        if measure == "trunk_opening_deg":
            return self.rest | self._around(self.off[0])
        at = {Moment.TOUCHDOWN: self.down, Moment.TOE_OFF: self.off}[moment]
        return self._around(at[step])

    def _around(self, tag: int) -> set[int]:
        return {tag - 1, tag}

    def first_frames(self, measure: str, moment: Moment, step: int, *, change: bool) -> set[int]:
        """To which a click on a measure may go: the first that it rests on. ``change``: of a number over the
        steps.
        """
        if moment is Moment.SET:
            return {self.first_movement - 2, self.first_movement - 1}
        if measure in OF_THE_HIPS:
            return {min(self.rest)}
        if change and measure != "com_rise_m":
            return {min(self.change(measure, step))}
        if measure == "contact_s" or measure.endswith("_foot_push_s"):
            return {min(self.tags(measure, step))}
        return {min(self.followed(measure, moment, step))}

    def fault(self, measure: str, moment: Moment, step: int, frames: set[int]) -> str:
        """What is wrong with the frames that a measure rests on; empty for nothing."""
        if moment is Moment.SET:  # the last frame at rest, and the one before it where a motion is read
            last = self.first_movement - 1
            right = last in frames and frames <= {last - 1, last}
        elif measure in OF_THE_HIPS:
            two = sorted(frames - self.rest)
            near = [abs(frame - at) <= LEAD_FRAMES for frame, at in zip(two, self._around_hips, strict=False)]
            right = self.rest <= frames and near == [True, True] and len(two) == 2
        elif measure in ("contact_s", "rear_foot_push_s", "front_foot_push_s"):
            right = frames == set(self.tags(measure, step))
        else:
            right = frames == self.followed(measure, moment, step)
        return "" if right else f"{measure} {moment.value} step {step}: {sorted(frames)}"

    @property
    def _around_hips(self) -> tuple[int, int]:
        return self.hips_pass - 1, self.hips_pass
