"""For whom a picture, a film or a page is: what is hidden from them."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any


class Faces(StrEnum):
    """Which faces are made unrecognisable."""

    PLACED = "placed"  # where the coach placed a cover on a film
    ALL = "all"  # the same, and a film on which none was placed is not shown
    SHOWN = "shown"  # none, whatever was placed


@dataclass(frozen=True)
class Audience:
    """``public``: anybody: nobody is named, and only with the consent to share. ``named``: athlete, run and
    day stand over it, where it is not public.
    """

    faces: Faces = Faces.PLACED
    public: bool = False
    named: bool = False

    def as_json(self) -> dict[str, Any]:
        """As JSON has it."""
        return asdict(self)

    @classmethod
    def of_json(cls, held: dict[str, Any]) -> Audience:
        """What ``as_json`` wrote."""
        return cls(Faces(held["faces"]), held["public"], held["named"])
