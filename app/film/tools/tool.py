"""What every tool can do. A tool turns mouse acts on the picture into commands for the bench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from analysis.report.scene import Scene
from analysis.values.words import tr
from app.film.figure import Guide


@dataclass(frozen=True)
class Aim:
    """Where the pointer is: picture pixels, widget points, and how many picture pixels a widget point is.
    ``beside``: beyond the picture's edge; its pixels are then those of the edge.
    """

    u: float
    v: float
    x: float
    y: float
    px_per_point: float
    beside: bool = False


def left_out() -> str:
    """The same where points of the body are asked for."""
    return tr("That lies beside the picture. A point that is not on it is left out: press Return.")


def stays() -> str:
    """What becomes of a point of the body that is dragged beyond the picture's edge."""
    return tr(
        "That lies beside the picture: the point stayed where it was. Where the body has left the picture, "
        "take the point away."
    )


class Surface(Protocol):
    """What a tool sees of the view that it works on."""

    def show_ghost(self, scene: Scene) -> None:
        """Draw this over the scene until told otherwise; not kept."""

    def pan(self, dx: float, dy: float) -> None:
        """Shift the picture by widget points."""


class Tool:
    """The base tool: does nothing. ``placing``: the close-up is shown while it is in hand. ``steps_back``:
    Backspace over the picture goes one stop back instead of deleting. ``on_body``: it places points of the
    body, so that the athlete is shown large.
    """

    id = "select_tool"
    placing = False
    steps_back = False
    on_body = False

    @property
    def closeup(self) -> bool:
        """Whether the close-up is wanted now."""
        return self.placing

    def asks(self) -> str:
        """What a click does now, in a sentence."""
        return ""

    def keys(self) -> str:
        """What other keys do now, in a sentence."""
        return ""

    def prompt(self) -> str:
        """Both."""
        return f"{self.asks()} {self.keys()}".strip()

    def beside(self) -> str:
        """What a click beside the picture comes to, in a sentence."""
        return tr("Nothing can be placed beside the picture.")

    def likely(self) -> tuple[float, float] | None:
        """Where on the picture the next click may well go; None where nothing tells."""
        return None

    def begin(self) -> None:
        """Taken in hand."""

    def end(self) -> None:
        """Put away; whatever was half done is dropped."""

    def press(self, aim: Aim) -> None:
        """The main button went down."""

    def move(self, aim: Aim, down: bool) -> None:
        """The pointer moved, with the main button ``down`` or not."""

    def release(self, aim: Aim) -> None:
        """The main button came up."""

    def frame_came(self) -> None:
        """Another frame is on show."""

    @property
    def guide(self) -> Guide | None:
        """The figure that shows which point of the body is wanted; None for none."""
        return None

    def skip(self) -> None:
        """Leave this stop out and go on."""

    def back(self) -> None:
        """Go back to the stop before this one."""

    def escape(self) -> bool:
        """Drop what is half done; False when there was nothing to drop."""
        return False
