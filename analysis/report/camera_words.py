"""How the camera stood, as rows of words."""

from __future__ import annotations

from analysis.report.sections import Row, Section, row, shown
from analysis.report.words import DEGREES, METRES, Unit, figure
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading
from analysis.values.words import tr

PIXELS = Unit("px", 1.0, 1)


def camera_section(reading: Reading | None) -> Section:
    """Roll, tilt, distance, bend and drift with their ±, or what would tell them."""
    title = tr("How the camera stood")
    if reading is None or reading.camera is None:
        return Section(title, (), tr("Open a film and set marks to see how its camera stood."))
    camera = reading.camera
    rows = [
        row(tr("Roll, rising to the right"), camera.roll_deg, DEGREES),
        row(tr("Tilt, up"), camera.tilt_deg, DEGREES),
        row(tr("Distance to the line"), camera.distance_m, METRES),
        row(tr("Bend of the row of marks"), camera.bend_px, PIXELS),
    ]
    if camera.drift_px is not None:
        text = "± " + figure(camera.drift_px, 1) + " px"
        name = tr("Drift of the background")
        hint = tr("Largest standard uncertainty that following the background adds where something is placed")
        rows.append(Row(name, text, hint, f"{name} {text}"))
    return shown(Section(title, tuple(rows)))


def missing_words(reading: Reading | None) -> str:
    """Why the rows without a number have none, each reason once."""
    if reading is None or reading.camera is None:
        return ""
    camera = reading.camera
    results = (camera.roll_deg, camera.tilt_deg, camera.distance_m, camera.bend_px)
    if not any(isinstance(one, Estimate) for one in results):
        return ""
    return " ".join(dict.fromkeys(one.reason for one in results if not isinstance(one, Estimate)))
