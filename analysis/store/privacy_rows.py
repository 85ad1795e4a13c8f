"""Rows of consent and of covered faces, and back, exactly."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from analysis.store.cells import Row, finite, json_object
from analysis.values.consent import Agreement, Consent
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber


def consent_row(consent: Consent) -> Row:
    """The row of an athlete's consent."""
    content = {name: asdict(getattr(consent, name)) for name in ("filming", "sharing")}
    return {"id": consent.id, "athlete_id": consent.id, "content": _text(content)}


def consent_of(row: Mapping[str, Any]) -> Consent:
    """The consent that a row holds. Raises ValueError or KeyError where it holds none."""
    held = json_object(row["content"])
    if row["id"] != row["athlete_id"]:
        raise ValueError("consent of somebody else")
    return Consent(row["id"], _agreement(held["filming"]), _agreement(held["sharing"]))


def face_cover_row(cover: FaceCover) -> Row:
    """The row of a covered face."""
    places = [[int(p.frame), p.u, p.v, p.half_u, p.half_v] for p in cover.places]
    row = {"id": cover.id, "film_id": cover.film_id, "number": cover.number}
    return row | {"content": _text({"places": places})}


def face_cover_of(row: Mapping[str, Any]) -> FaceCover:
    """The covered face that a row holds. Raises ValueError or KeyError where it holds none."""
    held = json_object(row["content"])["places"]
    places = tuple(FacePlace(_frame(frame), *map(finite, reals)) for frame, *reals in held)
    return FaceCover(row["id"], row["film_id"], places, row["number"])


def _agreement(held: Mapping[str, Any]) -> Agreement:
    who = bool(held["athlete"]), bool(held["guardian"])
    return Agreement(*who, str(held["given"]), str(held["withdrawn"]))


def _frame(number: Any) -> FrameNumber:
    if not isinstance(number, int) or number < 0:
        raise ValueError("no frame")
    return FrameNumber(number)


def _text(content: Mapping[str, Any]) -> str:
    return json.dumps(content, ensure_ascii=False, sort_keys=True, allow_nan=False)
