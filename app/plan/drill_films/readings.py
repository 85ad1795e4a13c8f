"""What the films of a drill say: the one at hand, and the others of the same drill on the same day."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.reading.drills import DrillReading, read_drill
from analysis.reading.drills.loads import unloaded_runs
from analysis.values.drill_film import DrillFilm, DrillKind, films_of
from analysis.values.evidence import Evidence
from analysis.values.reading import Reading
from analysis.values.run import Run
from app.bench import Bench, Look


class DrillReadings:
    """Reads a film again only where something that it rests on has changed."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._looks: dict[str, Look] = {}
        self._known: dict[str, tuple[DrillFilm, Evidence, tuple[Reading, ...], DrillReading]] = {}

    def of(self, film: DrillFilm) -> list[DrillReading]:
        """The readings of this film and of the same drill's others on that day, in order of the films."""
        films = films_of(self._bench.project.drill_films.values(), film.day_id, film.drill_id)
        found = (self.one(each) for each in films if each.kind is film.kind)
        return [reading for reading in found if reading is not None]

    def one(self, film: DrillFilm) -> DrillReading | None:
        """The reading of a film; None where nothing is known of its frames."""
        run = self._bench.project.runs.get(film.run_id)
        look = None if run is None else self._look(run.id)
        if run is None or look is None or look.evidence is None:
            return None
        free = self._unloaded(film, run)
        known = self._known.get(film.id)
        if known is not None and known[0] == film and known[1] is look.evidence and _same(known[2], free):
            return known[3]
        reading = read_drill(film, look.evidence, free)
        self._known[film.id] = (film, look.evidence, free, reading)
        return reading

    def _unloaded(self, film: DrillFilm, run: Run) -> tuple[Reading, ...]:
        if film.kind is not DrillKind.RUN or not run.conditions.load_kg:
            return ()
        looks = (self._look(one.id) for one in unloaded_runs(self._bench.project.runs.values(), run))
        return tuple(look.reading for look in looks if look is not None and look.reading is not None)

    def _look(self, run_id: str) -> Look | None:
        look = self._bench.look(run_id, self._looks.get(run_id))
        if look is not None:
            self._looks[run_id] = look
        return look


def _same(one: Sequence[Reading], other: Sequence[Reading]) -> bool:
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))
