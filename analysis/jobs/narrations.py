"""Which narrations a project holds, and which one somebody means."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analysis.values.errors import NarrationError
from analysis.values.narration import Narration
from analysis.values.project import Project
from analysis.values.words import tr


def find_narration(project: Project, wanted: str) -> Narration:
    """The narration of that id, that name, or whose id alone begins so.

    Raises NarrationError, naming those that there are, where none or several fit.
    """
    known = project.narrations
    if wanted in known:
        return known[wanted]
    told = list(known.values())
    fitting = [one for one in told if one.name == wanted] or [
        one for one in told if one.id.startswith(wanted)
    ]
    if wanted and len(fitting) == 1:
        return fitting[0]
    if not told:
        raise NarrationError(tr("The project holds no narration. Set its stops in the window."))
    sentence = (
        tr("Several narrations could be meant by {wanted}.")
        if fitting
        else tr("No narration is called {wanted}.")
    ).format(wanted=wanted)
    raise NarrationError("\n".join([sentence, *(f"{one.id}\t{one.name}" for one in fitting or told)]))


def narrations_listed(project: Project) -> list[Mapping[str, Any]]:
    """Every narration with its runs, its stops and how long its speech lasts, as JSON takes it."""
    return [_listed(project, one) for one in project.narrations.values()]


def _listed(project: Project, narration: Narration) -> Mapping[str, Any]:
    spoken = project.recordings.get(narration.recording_id or "")
    return {
        "id": narration.id,
        "name": narration.name,
        "runs": [{"id": run_id, "name": project.runs[run_id].name} for run_id in narration.run_ids],
        "stops": [
            {
                "frame": stop.frame,
                "beside": stop.beside,
                "words": stop.words,
                "drawn": [str(one) for one in stop.drawn],
                "zoom": stop.zoom,
                "hold_s": stop.hold_s,
                "speed_after": stop.speed_after,
            }
            for stop in narration.stops
        ],
        "spoken_s": None if spoken is None else spoken.lasts_s,
    }
