"""One time axis for two rails: what one zooms or scrolls, the other shows at the same heights."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, Slot

from analysis.report.rail_scale import TimeScale
from app.compare.sides import TwoSides
from app.rail.rail import StepRail


class SharedAxis(QObject):
    """Keeps two rails at one scale; a moment of the lower side stands at the height of the upper one's moment
    that is ``later_s`` earlier on its own rail.
    """

    def __init__(self, sides: TwoSides, parent: QObject) -> None:
        super().__init__(parent)
        self._sides = sides
        self._later_s = 0.0
        self._quiet = False
        for rail in self._rails:
            rail.scale_changed.connect(self._moved)

    @property
    def _rails(self) -> tuple[StepRail, StepRail]:
        """The upper film's rail first."""
        return self._sides.upper.rail, self._sides.lower.rail

    def lay(self, later_s: float) -> None:
        """Lay the rails against each other anew, all events in sight unless the coach zoomed."""
        self._later_s = later_s
        fitted = all(rail.is_fitted for rail in self._rails)
        self._follow(self._rails[0], fitted=fitted, anew=fitted)

    @Slot()
    def _moved(self) -> None:
        rail = self.sender()
        if isinstance(rail, StepRail):
            self._follow(rail, fitted=rail.is_fitted, anew=False)

    def _follow(self, moved: StepRail, *, fitted: bool, anew: bool) -> None:
        whole, eventful = self._spans()
        if self._quiet or whole is None or eventful is None:
            return
        by_s = self._later_s if moved is self._rails[1] else 0.0
        scale = _within(moved.scale.shifted(-by_s), whole)
        if anew:
            scale = scale.covering(*eventful)
        self._quiet = True
        for rail, later_s in zip(self._rails, (0.0, self._later_s), strict=True):
            rail.share_axis(scale.shifted(later_s), fitted=fitted)
        self._quiet = False

    def _spans(self) -> tuple[tuple[float, float] | None, tuple[float, float] | None]:
        """What both span together, as a whole and of events, on the first one's axis."""
        reaches = [
            (rail.reach, later_s) for rail, later_s in zip(self._rails, (0.0, self._later_s), strict=True)
        ]
        known = [(reach, later_s) for reach, later_s in reaches if reach is not None]
        if not known:
            return None, None
        whole, eventful = (
            (
                min(reach[n][0] - by_s for reach, by_s in known),
                max(reach[n][1] - by_s for reach, by_s in known),
            )
            for n in (0, 1)
        )
        return whole, eventful


def _within(scale: TimeScale, whole: tuple[float, float]) -> TimeScale:
    """The same moments at the same heights, out of another whole."""
    pace = scale.px_per_s
    wider = replace(scale, first_s=whole[0], last_s=max(whole[1], whole[0] + 1e-3), zoom=1.0)
    return replace(wider, zoom=max(1.0, pace / wider.px_per_s)).within()
