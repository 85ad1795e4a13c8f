"""Force and power as rows of words, marked as what they are: a model's results."""

from __future__ import annotations

from analysis.report.sections import Row, Section, row, shown
from analysis.report.words import METRES_PER_SECOND, Unit
from analysis.values.reading import Reading
from analysis.values.words import tr

NEWTONS_PER_KG = Unit("N/kg", 1.0, 2)
WATTS_PER_KG = Unit("W/kg", 1.0, 1)
PERCENT = Unit("%", 100.0, 1)


def force_section(reading: Reading) -> Section:
    """What the speed curve means for the forces, or what is missing."""
    title, force = tr("Force and power: model result"), reading.force
    if force is None:
        return Section(title, ())
    found = shown(
        Section(
            title,
            (
                row(tr("Greatest forward force"), force.f0_n_kg, NEWTONS_PER_KG),
                row(tr("Speed at which it is used up"), force.v0_m_s, METRES_PER_SECOND),
                row(tr("Greatest power"), force.pmax_w_kg, WATTS_PER_KG),
                row(tr("Ratio of force at 0.3 s"), force.rf_max, PERCENT),
                row(tr("Its change a metre per second"), force.drf_s_m, PERCENT),
            ),
        )
    )
    if not found.rows:
        return found
    caution = tr(
        "Not measured: worked out from the speed curve, mass and stature, averaged over each step, in still "
        "air of 20 °C. The ± holds the errors of the places, not those of the model."
    )
    return Section(title, (*found.rows, Row(caution, "", "", caution)))
