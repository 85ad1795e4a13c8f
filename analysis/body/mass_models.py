"""Published tables of segment masses and mass centres, and which body points stand for their endpoints.

de Leva P (1996), Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J Biomech 29:1223-1230,
table 4, with the alternative endpoints of the same paper; Winter DA (2009), Biomechanics and Motor Control of
Human Movement, 4th ed., table 4.1 (Dempster).

The 19 body points and the published endpoints:

- ``head`` is the vertex, ``neck`` the cervicale (C7): de Leva's head from vertex to cervicale.
- Nothing is placed at the suprasternale, so the trunk runs from mid-shoulder to mid-hip: 43.10 % (men), not
  the 44.86 % that belong to the suprasternale. Where the shoulders are missing: from ``neck`` to mid-hip.
- ``wrist`` to ``elbow``, ``knee``, ``hip``, ``shoulder``, ``ankle`` are joint centres; ``heel`` is the
  pternion, ``toe`` the acropodion (both of the shoe).
- No finger is placed. The hand lies in the forearm's line, as long against it as in de Leva's mean bodies.
- Winter's trunk, head and neck are one row from the hip (greater trochanter) to the shoulder; his forearm and
  hand one row over the forearm; his foot from the ankle to the toe tip, in place of the second metatarsal's
  head.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class MassModel(StrEnum):
    """Whose table the centre of mass follows."""

    DE_LEVA_FEMALE = "de Leva 1996, women"
    DE_LEVA_MALE = "de Leva 1996, men"
    WINTER = "Winter 2009"


@dataclass(frozen=True)
class TableRow:
    """A row as printed: ``mass`` in % of the body, ``centre`` in % of the length from ``first``."""

    segment: str
    first: str
    second: str
    mass: float
    centre: float


def _de_leva(
    rows: tuple[tuple[str, str, str, float, float, float, float], ...], men: bool
) -> tuple[TableRow, ...]:
    return tuple(
        TableRow(name, first, second, m_men if men else m_women, c_men if men else c_women)
        for name, first, second, m_women, m_men, c_women, c_men in rows
    )


# segment, endpoints, mass women, mass men, centre women, centre men
_DE_LEVA = (
    ("head", "vertex", "mid-gonion", 6.68, 6.94, 58.94, 59.76),
    ("trunk", "suprasternale", "mid-hip", 42.57, 43.46, 41.51, 44.86),
    ("upper trunk", "suprasternale", "xiphion", 15.45, 15.96, 20.77, 29.99),
    ("middle trunk", "xiphion", "omphalion", 14.65, 16.33, 45.12, 45.02),
    ("lower trunk", "omphalion", "mid-hip", 12.47, 11.17, 49.20, 61.15),
    ("upper arm", "shoulder", "elbow", 2.55, 2.71, 57.54, 57.72),
    ("forearm", "elbow", "wrist", 1.38, 1.62, 45.59, 45.74),
    ("hand", "wrist", "metacarpale 3", 0.56, 0.61, 74.74, 79.00),
    ("thigh", "hip", "knee", 14.78, 14.16, 36.12, 40.95),
    ("shank", "knee", "ankle", 4.81, 4.33, 43.52, 43.95),
    ("foot", "heel", "toe tip", 1.29, 1.37, 40.14, 44.15),
)
_DE_LEVA_ELSE = (
    ("head", "vertex", "cervicale", 6.68, 6.94, 48.41, 50.02),
    ("trunk", "cervicale", "mid-hip", 42.57, 43.46, 49.64, 51.38),
    ("trunk", "mid-shoulder", "mid-hip", 42.57, 43.46, 37.82, 43.10),
    ("upper trunk", "cervicale", "xiphion", 15.45, 15.96, 50.50, 50.66),
    ("forearm", "elbow", "stylion", 1.38, 1.62, 45.92, 46.08),
    ("hand", "wrist", "dactylion 3", 0.56, 0.61, 34.27, 36.24),
    ("hand", "stylion", "dactylion 3", 0.56, 0.61, 35.02, 36.91),
    ("hand", "stylion", "metacarpale 3", 0.56, 0.61, 75.34, 79.48),
    ("shank", "knee", "lateral malleolus", 4.81, 4.33, 44.16, 44.59),
    ("shank", "knee", "sphyrion", 4.81, 4.33, 44.81, 45.24),
)
DE_LEVA_FEMALE = _de_leva(_DE_LEVA, men=False)
"""Table 4, women: the endpoints that the paper lists first."""
DE_LEVA_MALE = _de_leva(_DE_LEVA, men=True)
"""Table 4, men."""
DE_LEVA_FEMALE_ELSE = _de_leva(_DE_LEVA_ELSE, men=False)
"""Table 4, women: the same segments between other endpoints."""
DE_LEVA_MALE_ELSE = _de_leva(_DE_LEVA_ELSE, men=True)
"""Table 4, men: the same segments between other endpoints."""

WINTER = (
    TableRow("hand", "wrist", "knuckle 2", 0.6, 50.6),
    TableRow("forearm", "elbow", "ulnar styloid", 1.6, 43.0),
    TableRow("upper arm", "shoulder", "elbow", 2.8, 43.6),
    TableRow("forearm and hand", "elbow", "ulnar styloid", 2.2, 68.2),
    TableRow("total arm", "shoulder", "ulnar styloid", 5.0, 53.0),
    TableRow("foot", "ankle", "metatarsal 2", 1.45, 50.0),
    TableRow("shank", "knee", "ankle", 4.65, 43.3),
    TableRow("thigh", "hip", "knee", 10.0, 43.3),
    TableRow("foot and leg", "knee", "ankle", 6.1, 60.6),
    TableRow("total leg", "hip", "ankle", 16.1, 44.7),
    TableRow("head and neck", "C7-T1", "ear canal", 8.1, 100.0),
    TableRow("thorax", "C7-T1", "T12-L1", 21.6, 82.0),
    TableRow("abdomen", "T12-L1", "L4-L5", 13.9, 44.0),
    TableRow("pelvis", "L4-L5", "hip", 14.2, 10.5),
    TableRow("thorax and abdomen", "C7-T1", "L4-L5", 35.5, 63.0),
    TableRow("abdomen and pelvis", "T12-L1", "hip", 28.1, 27.0),
    TableRow("trunk", "hip", "shoulder", 49.7, 50.0),
    TableRow("trunk, head and neck", "hip", "shoulder", 57.8, 66.0),
    TableRow("head, arms and trunk", "hip", "shoulder", 67.8, 62.6),
)
"""Table 4.1: masses and centres in %, from the proximal end."""


@dataclass(frozen=True)
class Segment:
    """A segment between body points: ``mass`` of the body's 1, and how its centre is made of points: (point,
    share) with shares that sum to 1.
    """

    name: str
    mass: float
    parts: tuple[tuple[str, float], ...]


HAND_TO_FOREARM = {MassModel.DE_LEVA_MALE: 86.2 / 268.9, MassModel.DE_LEVA_FEMALE: 78.0 / 264.3}
"""Wrist to third metacarpal against elbow to wrist: de Leva's mean lengths, mm (from memory)."""

HEAD_OVER_NECK = {MassModel.DE_LEVA_MALE: 121.4 / 603.3, MassModel.DE_LEVA_FEMALE: 125.7 / 614.8}
"""From the cervicale up to the head's centre, against mid-hip to cervicale: centre in % of table 4, de Leva's
mean lengths, mm (from memory)."""
HEAD_OVER_SHOULDERS = {MassModel.DE_LEVA_MALE: 209.2 / 515.5, MassModel.DE_LEVA_FEMALE: 242.6 / 497.9}
"""The same from mid-shoulder, against mid-hip to mid-shoulder."""


def row(rows: tuple[TableRow, ...], segment: str, first: str, second: str) -> TableRow:
    """The row of a table between these endpoints; StopIteration where there is none."""
    return next(r for r in rows if (r.segment, r.first, r.second) == (segment, first, second))


def between(name: str, first: str, second: str, of: TableRow, beyond: float = 0.0) -> Segment:
    """A row of a table between two body points. ``beyond``: the segment begins at ``second`` and goes on in
    the line from ``first``, so many times their distance long.
    """
    share = of.centre / 100.0
    if beyond:
        reach = share * beyond
        return Segment(name, of.mass / 100.0, ((first, -reach), (second, 1.0 + reach)))
    return Segment(name, of.mass / 100.0, ((first, 1.0 - share), (second, share)))


def segments_of(model: MassModel, by_neck: bool = False) -> tuple[Segment, ...]:
    """The segments of a body of the 19 points; ``mid_hip``, ``mid_shoulder``: the middle of both sides.

    ``by_neck``: the trunk from the neck, for a body without shoulders (de Leva only).
    """
    made: list[Segment] = []
    limbs: tuple[tuple[str, str, str, TableRow], ...]
    if model is MassModel.WINTER:
        whole = row(WINTER, "trunk, head and neck", "hip", "shoulder")
        made.append(between("trunk, head and neck", "mid_hip", "mid_shoulder", whole))
        limbs = (
            ("upper arm", "shoulder", "elbow", row(WINTER, "upper arm", "shoulder", "elbow")),
            ("forearm and hand", "elbow", "wrist", row(WINTER, "forearm and hand", "elbow", "ulnar styloid")),
            ("thigh", "hip", "knee", row(WINTER, "thigh", "hip", "knee")),
            ("shank", "knee", "ankle", row(WINTER, "shank", "knee", "ankle")),
            ("foot", "ankle", "toe", row(WINTER, "foot", "ankle", "metatarsal 2")),
        )
    else:
        women = model is MassModel.DE_LEVA_FEMALE
        rows = DE_LEVA_FEMALE if women else DE_LEVA_MALE
        others = DE_LEVA_FEMALE_ELSE if women else DE_LEVA_MALE_ELSE
        made.append(between("head", "head", "neck", row(others, "head", "vertex", "cervicale")))
        if by_neck:
            made.append(between("trunk", "neck", "mid_hip", row(others, "trunk", "cervicale", "mid-hip")))
        else:
            trunk = row(others, "trunk", "mid-shoulder", "mid-hip")
            made.append(between("trunk", "mid_shoulder", "mid_hip", trunk))
        limbs = (
            ("upper arm", "shoulder", "elbow", row(rows, "upper arm", "shoulder", "elbow")),
            ("forearm", "elbow", "wrist", row(rows, "forearm", "elbow", "wrist")),
            ("hand", "elbow", "wrist", row(rows, "hand", "wrist", "metacarpale 3")),
            ("thigh", "hip", "knee", row(rows, "thigh", "hip", "knee")),
            ("shank", "knee", "ankle", row(rows, "shank", "knee", "ankle")),
            ("foot", "heel", "toe", row(rows, "foot", "heel", "toe tip")),
        )
    for side in ("left", "right"):
        for name, first, second, of in limbs:
            beyond = HAND_TO_FOREARM[model] if name == "hand" else 0.0
            made.append(between(f"{side} {name}", f"{side}_{first}", f"{side}_{second}", of, beyond))
    return tuple(made)
