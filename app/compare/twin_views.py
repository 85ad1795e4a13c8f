"""Two views of the lane at one scale: zooming or shifting one does the same to the other."""

from __future__ import annotations

from PySide6.QtCore import QObject, Slot

from analysis.reading.lane import Lane, lane
from analysis.report.marks import turns
from app.bench import Look
from app.compare.same_scale import Stretch, across, common, matched
from app.film.mapping import ViewMapping
from app.film.view import FrameView

Shown = tuple[Look | None, int]
"""A run and the frame of its film that is on show."""


class TwinViews(QObject):
    """Links two views while that is wanted and the marks of both runs allow it."""

    def __init__(self, upper: FrameView, lower: FrameView, parent: QObject) -> None:
        super().__init__(parent)
        self._views = [upper, lower]
        self._wanted = False
        self._rest_on: list[object] = [None, None]
        self._stretches: tuple[Stretch, Stretch] | None = None
        self._quiet = False
        for view in self._views:
            view.reframed.connect(self._reframed)

    @property
    def linked(self) -> bool:
        """Whether both are at one scale now."""
        return self._wanted and self._stretches is not None

    def swap(self) -> None:
        """The lower view becomes the upper one."""
        self._views.reverse()
        self._rest_on.reverse()
        self._stretches = self._stretches and (self._stretches[1], self._stretches[0])
        self._apply()

    def want(self, wanted: bool) -> None:
        """One scale, or each picture as large as it can be."""
        if wanted != self._wanted:
            self._wanted = wanted
            self._apply()

    def show(self, upper: Shown, lower: Shown) -> None:
        """Take the lanes of two runs, each as the frame on show has it."""
        rest_on: list[object] = [_ground(*upper), _ground(*lower)]
        if rest_on == self._rest_on:
            return
        self._rest_on = rest_on
        one, two = _lane(*upper), _lane(*lower)
        self._stretches = common(one, two) if one is not None and two is not None else None
        self._apply()

    def _apply(self) -> None:
        rules = (self._upper_fitting, self._lower_fitting) if self.linked else (None, None)
        self._quiet = True
        for view, rule in zip(self._views, rules, strict=True):
            view.set_fitting(rule)
        self._quiet = False

    def _upper_fitting(self, plain: ViewMapping) -> ViewMapping:
        view = self._views[0]
        if self._stretches is None:
            return plain
        return across(view.shown_size, (view.width(), view.height()), self._stretches[0], plain)

    def _lower_fitting(self, plain: ViewMapping) -> ViewMapping:
        return self._matching(1, plain)

    def _matching(self, place: int, plain: ViewMapping) -> ViewMapping:
        """The mapping that brings one view in line with the other."""
        if self._stretches is None:
            return plain
        held = self._views[1 - place]
        taller = self._views[place].height() - held.height()
        return matched(held.mapping, self._stretches[1 - place], self._stretches[place], plain, float(taller))

    @Slot()
    def _reframed(self) -> None:
        if self._quiet or not self.linked:
            return
        view = self.sender()
        place = 0 if view is self._views[0] else 1
        moved, other = self._views[place], self._views[1 - place]
        self._quiet = True
        if moved.is_fitted:
            self._views[0].fit()
            self._views[1].fit()
        else:
            other.frame_with(self._matching(1 - place, other.mapping))
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
