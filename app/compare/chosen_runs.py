"""Which run each of two sides shows, and which one comes beside another."""

from __future__ import annotations

from analysis.values.run import Run
from app.bench import Bench
from app.compare.choices import Choice, Choices
from app.compare.side import CompareSide
from app.compare.sides import TwoSides


class ChosenRuns:
    """The runs by id, one a side; empty for none."""

    def __init__(self, bench: Bench, sides: TwoSides, choices: Choices) -> None:
        self._bench, self._sides, self._choices = bench, sides, choices
        self._ids = dict.fromkeys(sides, "")

    def __getitem__(self, side: CompareSide) -> str:
        """The run of a side."""
        return self._ids[side]

    def known(self) -> list[Run]:
        """Those that can be laid side by side: a second tagging is held against its own run only."""
        at_hand, runs = self._bench.run, self._bench.project.sprints
        return sorted((run for run in runs if run.retags is None or run is at_hand), key=_by_name)

    def choose(self, side: CompareSide, run_id: str) -> None:
        """Another run comes to a side: not slipped, not mirrored."""
        if self._ids[side] != run_id:
            self._ids[side] = run_id
            side.set_slip(0.0, 0)
            side.mirror.setChecked(False)
            side.other_body.setChecked(False)

    def forget_unknown(self) -> None:
        """Let go of runs that are gone."""
        known = {run.id for run in self.known()}
        for side, run_id in self._ids.items():
            if run_id not in known:
                self._ids[side] = ""

    def make_room(self, run: Run | None) -> None:
        """Where a run comes to hand that is on neither side, the one that it was compared with last comes
        too.
        """
        if run is not None and run.id not in self._ids.values() and self._last_with(run) is not None:
            self._ids[self._sides.other] = ""

    def find_partner(self, run: Run) -> bool:
        """The run that this one was last compared with comes beside it, else the next one.

        True where they lay the other way up then.
        """
        runs = self.known()
        last = self._last_with(run)
        partner = _next(runs, run.id) if last is None else last.other(run.id)
        self.choose(self._sides.other, partner)
        above = self._sides.in_hand is self._sides.upper
        return last is not None and (last.upper.run_id == run.id) != above

    def _last_with(self, run: Run) -> Choice | None:
        return self._choices.last_with(run.id, {each.id for each in self.known()})


def _by_name(run: Run) -> str:
    return run.name


def _next(runs: list[Run], run_id: str) -> str:
    """The next run by name, round to the first; the run itself where it is the only one."""
    ids = [run.id for run in runs]
    return ids[(ids.index(run_id) + 1) % len(ids)]
