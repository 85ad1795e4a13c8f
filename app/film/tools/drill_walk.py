"""The walks through a film of a drill: the implement in flight, and the points at each rep's events."""

from __future__ import annotations

from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.film.tools.point_walk import PointWalk
from app.film.tools.tool import Surface
from app.marking.drilling import body_stops, film_of_run, implement_stops
from app.marking.walks import Stop


def implement_walk(bench: Bench, surface: Surface) -> PointWalk:
    """The implement on the frames after each release."""

    def stops(run: Run) -> tuple[Stop, ...]:
        return implement_stops(film_of_run(bench.project, run))

    nothing = tr("Tag the release of a throw first: the implement is clicked on the frames after it.")
    return PointWalk("implement_tool", bench, surface, stops, nothing)


def rep_walk(bench: Bench, surface: Surface) -> PointWalk:
    """The points of the body at the events of each rep."""

    def stops(run: Run) -> tuple[Stop, ...]:
        return body_stops(film_of_run(bench.project, run), run)

    nothing = tr("Cut the film's reps and tag their events first: the points are clicked at each of them.")
    return PointWalk("rep_tool", bench, surface, stops, nothing)
