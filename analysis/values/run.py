"""What the coach said about one stretch of one film: frozen; an edit makes a new one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from operator import attrgetter

from analysis.values.conditions import AgeGroup, Conditions
from analysis.values.film import FrameNumber
from analysis.values.questions import Overruling


class Sex(StrEnum):
    """Whose tables of body masses count."""

    MALE = "male"
    FEMALE = "female"


class Side(StrEnum):
    """The athlete's own left or right."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> Side:
        """The opposite side."""
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


class Direction(StrEnum):
    """Which way the run goes across the picture."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def near_side(self) -> Side:
        """The athlete's side that the camera sees: the right of who runs to the right."""
        return Side.LEFT if self is Direction.LEFT else Side.RIGHT

    @property
    def forwards(self) -> float:
        """1 where the run goes the way in which columns of the picture are counted, else -1."""
        return -1.0 if self is Direction.LEFT else 1.0


class LineKind(StrEnum):
    """What a drawn line lies along, from its lower to its upper end."""

    TRUNK = "trunk"
    SHIN = "shin"
    THIGH = "thigh"
    FREE = "free"


DEFAULT_ERROR_PX = 1.5
"""Standard uncertainty of a placed mark or point along each axis, in pixels (own assumption, settable)."""

_CENTRE_POINTS = ("head", "neck", "mid_back")
_SIDED_POINTS = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
POINT_NAMES: tuple[str, ...] = _CENTRE_POINTS + tuple(
    f"{side}_{name}" for side in ("left", "right") for name in _SIDED_POINTS
)
"""The names of the 19 body points."""
LIMB_ENDS: tuple[tuple[str, str], ...] = (
    ("hip", "knee"),
    ("knee", "ankle"),
    ("heel", "toe"),
    ("shoulder", "elbow"),
    ("elbow", "wrist"),
    ("hip", "shoulder"),
)
"""Points of one side between which the body keeps its length."""
MIDDLE_ENDS = (("mid_back", "neck"), ("neck", "head"))
"""The same in the middle."""


def limbs_among(names: Iterable[str]) -> list[tuple[str, str]]:
    """The limbs whose two ends are among these points, by the names of their ends."""
    there = set(names)
    ends = [(f"{side}_{a}", f"{side}_{b}") for side in ("left", "right") for a, b in LIMB_ENDS]
    return [(a, b) for a, b in (*ends, *MIDDLE_ENDS) if a in there and b in there]


@dataclass(frozen=True)
class GroundMark:
    """A thing of known place: ``x_m`` along the running line, ``y_m`` above ground; ``u``, ``v`` in px.

    ``error_px``: of the click, along each axis. ``error_m``: how well the distance itself is known, standard
    uncertainty along the line; 0 for a taped one. ``z_m``: how far beside the running line it stands, nearer
    to the camera positive.
    """

    id: str
    x_m: float
    y_m: float
    frame: FrameNumber
    u: float
    v: float
    error_px: float = DEFAULT_ERROR_PX
    error_m: float = 0.0
    z_m: float = 0.0


START_EVENTS: tuple[str, ...] = ("first_movement", "rear_toe_off", "front_toe_off")
FOOTFALL_EVENTS: tuple[str, ...] = ("touchdown", "toe_off")
"""The events of a start, by the names of StartPush's fields."""


@dataclass(frozen=True)
class StartPush:
    """The start before the first touchdown; a missing event is None.

    ``drafts``: names of its events that are proposed and not confirmed; a reading leaves those out.
    """

    first_movement: FrameNumber | None = None
    rear_toe_off: FrameNumber | None = None
    front_toe_off: FrameNumber | None = None
    front_side: Side | None = None
    drafts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        known = [name for name in START_EVENTS if name in self.drafts and getattr(self, name) is not None]
        object.__setattr__(self, "drafts", tuple(known))

    @property
    def confirmed(self) -> StartPush:
        """The start without the events that are only proposed."""
        if not self.drafts:
            return self
        return replace(self, **dict.fromkeys(self.drafts), drafts=())


@dataclass(frozen=True)
class Footfall:
    """One foot's touchdown and the toe-off that ends it, each the first frame in which it is so.

    ``unsure_frames``: None for the default doubt, 0 for "sure", n for "may be wrong by n frames either way".
    ``draft``: proposed and not confirmed; a reading leaves it out unless the run says otherwise.
    ``confidence``: of a proposal, 0 to 1, how likely both its events are within two frames; None of a tag.
    """

    id: str
    side: Side
    touchdown: FrameNumber | None
    toe_off: FrameNumber | None
    unsure_frames: int | None = None
    draft: bool = False
    confidence: float | None = None

    @property
    def first_frame(self) -> int:
        """The earlier of its marked frames; used for ordering."""
        return min(f for f in (self.touchdown, self.toe_off) if f is not None)


@dataclass(frozen=True)
class BodyPoint:
    """A body point on one frame, in pixels; there is one point of a name on a frame."""

    frame: FrameNumber
    name: str
    u: float
    v: float
    error_px: float = DEFAULT_ERROR_PX

    @property
    def id(self) -> str:
        """Frame and name: they identify the point within its run."""
        return f"{self.frame}:{self.name}"


@dataclass(frozen=True)
class Line:
    """A line on one frame, in pixels, from its lower end (ankle, hip) to its upper end (knee, shoulder)."""

    id: str
    frame: FrameNumber
    kind: LineKind
    side: Side | None
    lower: tuple[float, float]
    upper: tuple[float, float]
    error_px: float = DEFAULT_ERROR_PX


@dataclass(frozen=True)
class Athlete:
    """Who ran. ``code`` stands for the name wherever a name need not be.

    ``age``, ``sport``: which bands the athlete is judged by; None where nobody said.
    """

    id: str
    code: str
    sex: str | None = None
    stature_m: float | None = None
    mass_kg: float | None = None
    age: AgeGroup | None = None
    sport: str | None = None


@dataclass(frozen=True)
class Run:
    """One filmed acceleration. Collections are kept in a canonical order, so equal content is equal.

    ``first_frame`` to ``last_frame``: the stretch of the film, both included. ``camera_distance_m``: from the
    camera to the running line, or None where nobody measured it. ``report_at_m``: where splits and speeds are
    read. ``unknown_keys``: what a run sheet held beside the known keys, as JSON, kept to be written back.
    ``lane_offset_m``: how much nearer to the camera than the marked line the athlete ran, or None where
    nobody said; ``lane_offset_u_m``: its standard uncertainty, None for the usual one. ``camera_place_id``:
    the place from which the film was taken, whose marks serve this run too. ``count_drafts``: whether
    footfalls and events that are only proposed count in a reading, by the coach's word. ``retags``: the run
    whose events this one tags a second time, unseen; None for a run of its own. ``named_good``: the coach
    named it as one that shows how it should be. ``overruled``: what the coach says began it, against the
    reading. ``of_drill``: what is marked on a film of a drill; never among the athlete's sprints, their
    history, bests and patterns.
    """

    id: str
    film_id: str
    name: str
    first_frame: FrameNumber
    last_frame: FrameNumber
    direction: Direction = Direction.RIGHT
    athlete_id: str | None = None
    camera_distance_m: float | None = None
    report_at_m: tuple[float, ...] = (5.0, 10.0)
    notes: str = ""
    start: StartPush = StartPush()
    marks: tuple[GroundMark, ...] = field(default=())
    footfalls: tuple[Footfall, ...] = field(default=())
    points: tuple[BodyPoint, ...] = field(default=())
    lines: tuple[Line, ...] = field(default=())
    unknown_keys: str = ""
    lane_offset_m: float | None = None
    lane_offset_u_m: float | None = None
    camera_place_id: str | None = None
    count_drafts: bool = False
    retags: str | None = None
    conditions: Conditions = field(default_factory=Conditions)
    named_good: bool = False
    overruled: Overruling | None = None
    of_drill: bool = False

    def __post_init__(self) -> None:
        put = object.__setattr__
        put(self, "marks", tuple(sorted(self.marks, key=attrgetter("x_m", "y_m", "z_m", "id"))))
        put(self, "footfalls", tuple(sorted(self.footfalls, key=lambda f: (f.first_frame, f.id))))
        put(self, "points", tuple(sorted(self.points, key=attrgetter("frame", "name"))))
        put(self, "lines", tuple(sorted(self.lines, key=lambda n: (n.frame, n.kind, n.side or "", n.id))))

    def point(self, frame: int, name: str) -> BodyPoint | None:
        """The point of that name on that frame, if it was placed."""
        return next((p for p in self.points if p.frame == frame and p.name == name), None)
