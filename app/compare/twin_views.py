"""Two views of the lane at one scale: zooming or shifting one does the same to the other."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from analysis.reading.lane import Lane, lane
from analysis.report.marks import turns
from app.bench import Look
from app.compare.same_scale import Stretch, across, common, matched
from app.compare.side import CompareSide
from app.compare.sides import TwoSides
from app.film.mapping import ViewMapping


class TwinViews(QObject):
    """Links two views while that is wanted and the marks of both runs allow it."""

    def __init__(self, sides: TwoSides, parent: QObject) -> None:
        super().__init__(parent)
        self._sides = sides
        self._wanted = False
        self._rest_on: dict[CompareSide, object] = dict.fromkeys(sides)
        self._stretches: dict[CompareSide, Stretch] = {}
        self._quiet = False
        for side in sides:
            side.pane.view.reframed.connect(self._reframed)

    @property
    def linked(self) -> bool:
        """Whether both are at one scale now."""
        return self._wanted and bool(self._stretches)

    def turned(self) -> None:
        """The lower view is the upper one now: it leads."""
        self._apply()

    def want(self, wanted: bool) -> None:
        """One scale, or each picture as large as it can be."""
        if wanted != self._wanted:
            self._wanted = wanted
            self._apply()

    def show(self) -> None:
        """Take the lanes of both runs, each as the frame on show has it."""
        shown = {side: (side.look, side.frame) for side in self._sides}
        rest_on = {side: _ground(*each) for side, each in shown.items()}
        if rest_on == self._rest_on:
            return
        self._rest_on = rest_on
        one, two = (_lane(*each) for each in shown.values())
        found = common(one, two) if one is not None and two is not None else None
        self._stretches = {} if found is None else dict(zip(shown, found, strict=True))
        self._apply()

    def _apply(self) -> None:
        rules = (self._upper_fitting, self._lower_fitting) if self.linked else (None, None)
        self._quiet = True
        for side, rule in zip(self._sides, rules, strict=True):
            side.pane.view.set_fitting(rule)
        self._quiet = False

    def _upper_fitting(self, plain: ViewMapping) -> ViewMapping:
        view, stretch = self._sides.upper.pane.view, self._stretches.get(self._sides.upper)
        if stretch is None:
            return plain
        return across(view.shown_size, (view.width(), view.height()), stretch, plain)

    def _lower_fitting(self, plain: ViewMapping) -> ViewMapping:
        return self._matching(self._sides.lower, self._sides.upper, plain)

    def _matching(self, side: CompareSide, held: CompareSide, plain: ViewMapping) -> ViewMapping:
        """The mapping that brings one side's view in line with the other's."""
        if not self._stretches:
            return plain
        leads = held.pane.view
        taller = side.pane.view.height() - leads.height()
        own, other = self._stretches[held], self._stretches[side]
        return matched(leads.mapping, own, other, plain, float(taller))

    @Slot()
    def _reframed(self) -> None:
        if self._quiet or not self.linked:
            return
        view = self.sender()
        upper, lower = self._sides.upper, self._sides.lower
        moved, other = (upper, lower) if view is upper.pane.view else (lower, upper)
        self._quiet = True
        if moved.pane.view.is_fitted:
            for side in self._sides:
                side.pane.view.fit()
        else:
            still = other.pane.view
            still.frame_with(self._matching(other, moved, still.mapping))
        self._quiet = False


def _ground(look: Look | None, frame: int) -> object:
    """What the lane of a run rests on."""
    evidence = None if look is None else look.evidence
    if evidence is None:
        return None
    run, film = evidence.run, evidence.film
    told = run.marks, run.direction, run.camera_distance_m, film.width, film.height
    return told, evidence.lens, evidence.camera, frame if turns(evidence.camera) else 0


def _lane(look: Look | None, frame: int) -> Lane | None:
    found = None if look is None or look.evidence is None else lane(look.evidence, frame)
    return found if isinstance(found, Lane) else None
