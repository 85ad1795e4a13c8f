"""How a step stands to the one before, as every view tells it: from the reading's pairs alone."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.report.words import METRES_PER_SECOND, number_text, unit_shown
from analysis.values.estimate import Estimate, Result
from analysis.values.reading import Reading
from analysis.values.words import tr

CONTACT = "contact_s"
FLIGHT = "flight_s"


@dataclass(frozen=True)
class Shift:
    """How a step's value stands to that of the step before.

    ``against``: it can be told apart, and goes against the way the measure goes over the first steps.
    """

    measure: str
    before: int
    difference: Result
    rose: bool
    told_apart: bool
    against: bool = False

    @property
    def sentence(self) -> str:
        """The shift in words."""
        if not self.told_apart:
            return tr("Cannot be told apart from step {step}.").format(step=self.before)
        unit = unit_shown(self.measure)
        more, less = (
            tr("Longer than step {step}: {difference}."),
            tr("Shorter than step {step}: {difference}."),
        )
        if unit is METRES_PER_SECOND:
            more, less = (
                tr("Faster than step {step}: {difference}."),
                tr("Slower than step {step}: {difference}."),
            )
        difference = number_text(self.difference, unit)
        return (more if self.rose else less).format(step=self.before, difference=difference)


def shifts_of(reading: Reading | None) -> dict[tuple[str, int], Shift]:
    """By measure and number of the later step; none where there is no difference."""
    found = {}
    for pair in reading.pairs if reading is not None else ():
        successive = pair.second_step == pair.first_step + 1
        if successive and isinstance(pair.difference, Estimate):
            rose = pair.difference.value > 0
            found[pair.measure, pair.second_step] = Shift(
                pair.measure, pair.first_step, pair.difference, rose, pair.told_apart, pair.against
            )
    return found
