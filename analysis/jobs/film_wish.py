"""How an annotated film is wished for; goes through JSON to the process that writes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from analysis.reading.laying import Lock, LockKind
from analysis.report.film_frames import Look
from analysis.report.film_order import Pace
from analysis.report.other_body import Meet
from analysis.report.posture_lines import Drawn, Layer
from analysis.values.audience import Audience
from analysis.values.errors import CinderlaneError
from analysis.values.posture import Moment, PostureReading
from analysis.values.run import Side
from analysis.values.words import tr

Focus = tuple[str, int, Moment, Side | None]
"""What tells a measure of posture from the others of its run: measure, step, moment, side."""

HEIGHTS = (480, 720, 1080)
"""Of the film's picture, px; a smaller film stays as it is."""


@dataclass(frozen=True)
class FilmWish:
    """``first``, ``last``: of the stretch, a frame or an event such as "touchdown:2"; None as the run has
    it. ``audience``: for whom it is.
    ``beside``: the id of a second run, laid by ``lock``. ``narration``: the id of one, whose stops, words and
    sound come before pace and stretch. ``focus``: what names the measure whose lines are drawn, where
    ``look`` does not hold it.
    """

    pace: Pace = field(default_factory=Pace)
    look: Look = field(default_factory=Look)
    first: int | str | None = None
    last: int | str | None = None
    audience: Audience = field(default_factory=Audience)
    beside: str = ""
    lock: Lock = field(default_factory=Lock)
    narration: str = ""
    focus: Focus | None = None

    def __post_init__(self) -> None:
        if self.look.height is not None and self.look.height not in HEIGHTS:
            raise CinderlaneError(
                tr("A film's picture is {heights} px high, or as it is.").format(
                    heights=", ".join(map(str, HEIGHTS))
                )
            )

    def as_json(self) -> dict[str, Any]:
        """As JSON has it; by one event only at first movement."""
        drawn = self.look.drawn
        looked_at = None if drawn.focus is None else focus_of(drawn.focus)
        return asdict(self) | {
            "look": {
                "drawn": {
                    "layers": sorted(drawn.layers),
                    "between": drawn.between,
                    "everywhere": drawn.everywhere,
                    "frames": sorted(drawn.frames),
                },
                "numbers": self.look.numbers,
                "rail": self.look.rail,
                "height": self.look.height,
                "bodies": list(self.look.bodies),
                "meet": self.look.meet,
            },
            "lock": self.lock.kind.value,
            "focus": looked_at or self.focus,
        }

    @classmethod
    def of_json(cls, held: Mapping[str, Any]) -> FilmWish:
        """The wish that ``as_json`` wrote."""
        look, drawn = held["look"], held["look"]["drawn"]
        posture = Drawn(
            frozenset(map(Layer, drawn["layers"])),
            tuple((lower, upper) for lower, upper in drawn["between"]),
            drawn["everywhere"],
            frozenset(drawn["frames"]),
        )
        over = tuple(look["bodies"]), Meet(look["meet"])
        seen = Look(posture, look["numbers"], look["rail"], look["height"], *over)
        rest = {name: held[name] for name in ("first", "last", "beside", "narration")}
        audience = Audience.of_json(held["audience"])
        focus = None if held["focus"] is None else _focus(*held["focus"])
        lock = Lock(LockKind(held["lock"]))
        return cls(Pace(**held["pace"]), seen, audience=audience, lock=lock, focus=focus, **rest)


def focus_of(measure: PostureReading) -> Focus:
    """What names a measure."""
    return measure.measure, measure.step, measure.moment, measure.side


def _focus(measure: str, step: int, moment: str, side: str | None) -> Focus:
    return measure, step, Moment(moment), None if side is None else Side(side)
