"""The step table's columns: what stands in each, and in which unit."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.report.words import DEGREES, HERTZ, METRES, METRES_PER_SECOND, MILLISECONDS, RATIO, Unit
from analysis.values.estimate import Result
from analysis.values.reading import StepReading
from analysis.values.words import tr


@dataclass(frozen=True)
class Column:
    """A measure of a step.

    ``field``: its name in ``StepReading``. ``help``: its definition in a sentence. ``short``: what stands in
    the header where the name is too wide for it.
    """

    field: str
    name: str
    unit: Unit
    help: str
    short: str = ""

    def result(self, step: StepReading) -> Result:
        """The measure of one step."""
        result: Result = getattr(step, self.field)
        return result

    @property
    def header(self) -> str:
        """Name and unit in two lines."""
        words = self.short or f"{self.name}\n"
        return f"{words} {self.unit.symbol}".rstrip().replace("\n ", "\n")


MEASURES: tuple[Column, ...] = (
    Column("contact_s", tr("Contact"), MILLISECONDS, tr("From touchdown to toe-off.")),
    Column("flight_s", tr("Flight"), MILLISECONDS, tr("From toe-off to the other foot's touchdown.")),
    Column(
        "step_time_s",
        tr("Step time"),
        MILLISECONDS,
        tr("From touchdown to the other foot's touchdown."),
        tr("Step\ntime"),
    ),
    Column("step_frequency_hz", tr("Frequency"), HERTZ, tr("Steps per second: 1 over the step time.")),
    Column("step_length_m", tr("Length"), METRES, tr("From this shoe's place to the next one's.")),
    Column(
        "step_velocity_m_s",
        tr("Velocity"),
        METRES_PER_SECOND,
        tr("Forward travel of the hips from touchdown to touchdown over the step time."),
    ),
    Column(
        "flight_to_contact",
        tr("Flight to contact"),
        RATIO,
        tr("Flight time over contact time."),
        tr("Flight to\ncontact"),
    ),
    Column(
        "shin_touchdown_deg",
        tr("Shin at touchdown"),
        DEGREES,
        tr("Ankle to knee, from the forward horizontal; 90 is upright, less leans forward."),
        tr("Shin\ndown"),
    ),
    Column(
        "trunk_touchdown_deg",
        tr("Trunk at touchdown"),
        DEGREES,
        tr("Hip to shoulder, from the forward horizontal; 90 is upright, less leans forward."),
        tr("Trunk\ndown"),
    ),
)
