"""How two runs were laid side by side last, kept from one start of the program to the next."""

from __future__ import annotations

import math
from collections.abc import Container, Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from analysis.reading.laying import Lock, LockKind
from analysis.reading.lock import EventKind, Moment
from analysis.report.other_body import Meet
from app.settings import Settings

MOST = 200
"""So many pairs are kept, the newest."""

_SETTING = "compared"


@dataclass(frozen=True)
class SideChoice:
    """One side: its run by id, how far its film is slipped against the lock, whether it is mirrored, and
    whether the other run's body lies over it.
    """

    run_id: str
    slip_s: float = 0.0
    slip_frames: int = 0
    mirrored: bool = False
    other_body: bool = False


@dataclass(frozen=True)
class Choice:
    """Two runs side by side: which is above, the lock between them, whether both are at one scale, and what
    of both bodies meets where one lies over the other.
    """

    upper: SideChoice
    lower: SideChoice
    lock: Lock = field(default_factory=Lock)
    same_scale: bool = True
    meet: Meet = Meet.HIPS

    @property
    def pair(self) -> frozenset[str]:
        """The two runs, whichever is above."""
        return frozenset((self.upper.run_id, self.lower.run_id))

    def other(self, run_id: str) -> str:
        """The run beside this one."""
        return self.lower.run_id if self.upper.run_id == run_id else self.upper.run_id

    def swapped(self) -> Choice:
        """The same, the other way up."""
        return Choice(self.lower, self.upper, self.lock, self.same_scale, self.meet)


class Choices:
    """The choice for each pair of runs, in the settings; the newest last."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        read = [_read(one) for one in settings[_SETTING]]
        self._kept = {choice.pair: choice for choice in read if choice is not None}

    def of(self, upper: str, lower: str) -> Choice | None:
        """How these runs were laid side by side last, this way up."""
        kept = self._kept.get(frozenset((upper, lower)))
        return kept if kept is None or kept.upper.run_id == upper else kept.swapped()

    def last_with(self, run_id: str, known: Container[str]) -> Choice | None:
        """The last choice for a run and another one that is ``known``, the way up in which it was."""
        for choice in reversed(self._kept.values()):
            if run_id in choice.pair and all(each in known for each in choice.pair):
                return choice
        return None

    def keep(self, choice: Choice) -> None:
        """Keep a choice, in the place of what was chosen for these two before."""
        self._kept.pop(choice.pair, None)
        self._kept[choice.pair] = choice
        while len(self._kept) > MOST:
            del self._kept[next(iter(self._kept))]
        self._settings[_SETTING] = [asdict(kept) for kept in self._kept.values()]


def _read(stored: object) -> Choice | None:
    """A choice from the settings' file; None for what is none."""
    try:
        if not isinstance(stored, Mapping):
            return None
        lock = stored["lock"]
        moment = Moment(EventKind(lock["moment"]["kind"]), int(lock["moment"]["step"]))
        return Choice(
            _side(stored["upper"]),
            _side(stored["lower"]),
            Lock(LockKind(lock["kind"]), moment),
            bool(stored["same_scale"]),
            Meet(stored.get("meet", Meet.HIPS)),
        )
    except (KeyError, TypeError, ValueError, OverflowError):
        return None


def _side(stored: Mapping[str, Any]) -> SideChoice:
    slip_s = float(stored["slip_s"])
    if not math.isfinite(slip_s):
        raise ValueError(slip_s)
    frames, mirrored = int(stored["slip_frames"]), bool(stored["mirrored"])
    other_body = bool(stored.get("other_body", False))
    return SideChoice(str(stored["run_id"]), slip_s, frames, mirrored, other_body)
