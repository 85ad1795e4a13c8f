"""A run sheet out: values to plain JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from analysis.sheet.camera import camera_to_json, lane_to_json
from analysis.sheet.conditions import conditions_to_json, overruling_to_json
from analysis.sheet.sheet import FORMAT, VERSION
from analysis.values.camera import CameraPath, Lens
from analysis.values.command import FilmEntry
from analysis.values.errors import SheetError
from analysis.values.film import FilmFacts
from analysis.values.paths import stored
from analysis.values.run import DEFAULT_ERROR_PX, Athlete, BodyPoint, Footfall, GroundMark, Line, Run
from analysis.values.tagging import TaggingError
from analysis.values.words import tr

_Json = dict[str, Any]


def write_sheet(
    run: Run,
    film: FilmEntry | None,
    facts: FilmFacts | None,
    athlete: Athlete | None,
    folder: Path,
    camera: CameraPath | None = None,
    lens: Lens | None = None,
    tagging: TaggingError | None = None,
) -> dict[str, Any]:
    """The run as the object that a sheet in ``folder`` holds.

    ``run`` carries all its marks, those of its camera place too (``values.resolving``).
    ``facts``: the film's times and size, which the sheet then carries, to the nanosecond; where None, those
    that the film came with. Draft footfalls are left out, as from a reading, and so is a name that is
    only the film's. Raises SheetError where there is neither a film's path nor its times.
    """
    unknown: Mapping[str, _Json] = json.loads(run.unknown_keys) if run.unknown_keys else {}
    sheet: _Json = {"format": FORMAT, "version": VERSION, "film": _film(film, facts, folder)}
    if athlete is not None:
        sheet["athlete"] = {
            "code": athlete.code,
            "sex": athlete.sex,
            "stature_m": athlete.stature_m,
            "mass_kg": athlete.mass_kg,
        }
        bands_for = {"age": athlete.age and athlete.age.value, "sport": athlete.sport}
        sheet["athlete"] |= {key: value for key, value in bands_for.items() if value is not None}
    sheet["direction"] = run.direction.value
    sheet["stretch"] = [run.first_frame, run.last_frame]
    sheet["marks"] = [_mark(m) | unknown.get(f"marks/{m.id}", {}) for m in run.marks]
    start = run.start.confirmed
    sheet["start"] = {
        "first_movement": start.first_movement,
        "rear_toe_off": start.rear_toe_off,
        "front_toe_off": start.front_toe_off,
        "front_side": None if start.front_side is None else start.front_side.value,
    }
    footfalls = [f for f in run.footfalls if not f.draft]
    sheet["footfalls"] = [_footfall(f) | unknown.get(f"footfalls/{f.id}", {}) for f in footfalls]
    sheet["points"] = [_point(p) | unknown.get(f"points/{p.id}", {}) for p in run.points]
    sheet["lines"] = [_line(n) | unknown.get(f"lines/{n.id}", {}) for n in run.lines]
    sheet["report_at_m"] = list(run.report_at_m)
    known = {"camera": camera_to_json(run, lens, camera), "lane": lane_to_json(run)}
    known |= {"conditions": conditions_to_json(run), "overruled": overruling_to_json(run)}
    if tagging is not None:
        known["tagging"] = {"s_s": tagging.s_s, "pairs": tagging.pairs}
    if run.named_good:
        sheet["named_good"] = True
    for owner, content in known.items():
        if content or owner in unknown:
            sheet[owner] = content
    for part in ("lens", "path"):
        if part in known["camera"]:
            known["camera"][part] |= unknown.get(f"camera/{part}", {})
    sheet |= {key: text for key, text in (("name", _name(run, film)), ("notes", run.notes)) if text}
    for owner in ("film", "athlete", "start", "camera", "lane", "tagging", "conditions", "overruled"):
        if owner in sheet:
            sheet[owner] |= unknown.get(owner, {})
    return sheet | unknown.get("", {})


def sheet_text(sheet: Mapping[str, Any]) -> str:
    """The sheet as JSON text: one line for each mark, footfall, point and line. Holds no NaN."""
    return (
        "{\n" + ",\n".join(f"  {_dumps(key)}: {_value_text(value)}" for key, value in sheet.items()) + "\n}\n"
    )


def _value_text(value: Any) -> str:
    if isinstance(value, list) and value and all(isinstance(item, dict) for item in value):
        return "[\n" + ",\n".join(f"    {_dumps(item)}" for item in value) + "\n  ]"
    return _dumps(value)


def _dumps(value: Any) -> str:
    return json.dumps(value, allow_nan=False, ensure_ascii=False)


def _name(run: Run, film: FilmEntry | None) -> str:
    """The run's name; none where it is the film's, which a run without a name takes."""
    return "" if film is not None and run.name == Path(film.path).stem else run.name


def _film(film: FilmEntry | None, facts: FilmFacts | None, folder: Path) -> _Json:
    content: _Json = {}
    if film is not None and film.path:
        content["path"] = stored(film.path, folder)
    if facts is None and film is not None:
        facts = film.facts
    if facts is not None:
        content["times_s"] = [round(t, 9) for t in facts.times.seconds.tolist()]
        content |= {"width": facts.width, "height": facts.height}
    if not content:
        raise SheetError(tr("The run has no film. Choose its film, then write the sheet."))
    return content


def _mark(mark: GroundMark) -> _Json:
    place = {"x_m": mark.x_m, "y_m": mark.y_m, "frame": mark.frame}
    place |= {"u": mark.u, "v": mark.v, "error_px": mark.error_px}
    more = {"error_m": mark.error_m, "z_m": mark.z_m}
    return place | {key: value for key, value in more.items() if value != 0.0}


def _footfall(footfall: Footfall) -> _Json:
    return {
        "side": footfall.side.value,
        "touchdown": footfall.touchdown,
        "toe_off": footfall.toe_off,
        "unsure_frames": footfall.unsure_frames,
    }


def _point(point: BodyPoint) -> _Json:
    place = {"frame": point.frame, "name": point.name}
    return place | {"u": point.u, "v": point.v, "error_px": point.error_px}


def _line(line: Line) -> _Json:
    content = {
        "frame": line.frame,
        "kind": line.kind.value,
        "side": None if line.side is None else line.side.value,
        "from": list(line.lower),
        "to": list(line.upper),
    }
    return content if line.error_px == DEFAULT_ERROR_PX else content | {"error_px": line.error_px}
