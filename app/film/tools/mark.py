"""Click a thing of known place and say how far along the line it stands."""

from __future__ import annotations

from collections.abc import Callable

from analysis.report.scene import Dot, Scene
from analysis.values.command import Kind
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.tool import Aim, Surface, Tool


class MarkTool(Tool):
    """A click asks for the distance in place; the mark is made when that is given."""

    id = "mark_tool"
    placing = True

    def __init__(self, bench: Bench, surface: Surface, ask: Callable[[Aim], None]) -> None:
        self._bench = bench
        self._surface = surface
        self._ask = ask
        self._asking = False

    def asks(self) -> str:
        """What to click."""
        return tr("Click a cone or line of known distance, where it meets the ground.")

    def keys(self) -> str:
        """How to leave."""
        return tr("Escape ends.")

    def end(self) -> None:
        """Take the ghost away."""
        self.escape()

    def move(self, aim: Aim, down: bool) -> None:
        """Show where the mark would lie."""
        if not self._asking:
            self._surface.show_ghost(_ghost(aim))

    def release(self, aim: Aim) -> None:
        """Ask for the distance of this place."""
        self._surface.show_ghost(_ghost(aim))
        self._asking = True
        self._ask(aim)

    def answered(self) -> None:
        """The distance was given or the question was dropped."""
        self._asking = False
        self._surface.show_ghost(Scene())

    def escape(self) -> bool:
        """Drop the question."""
        asking = self._asking
        self.answered()
        return asking


def _ghost(aim: Aim) -> Scene:
    return Scene(dots=(Dot(Kind.MARK, "", None, aim.u, aim.v),))
