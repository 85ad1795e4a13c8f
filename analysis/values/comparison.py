"""Two runs, or the runs of two days, side by side."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from analysis.values.estimate import NoValue, Result
from analysis.values.measures import unit_of
from analysis.values.posture import Moment
from analysis.values.words import tr


@dataclass(frozen=True, order=True)
class MeasureKey:
    """Names one number of a reading. ``moment``: of a measure of posture, else None. ``step``: 0 for the
    start push. ``x_m``: of a split or speed. ``other_leg``: of the leg that is not on the ground there.
    """

    measure: str
    moment: Moment | None = None
    step: int | None = None
    x_m: float | None = None
    other_leg: bool = False


class Claim(StrEnum):
    """Whether two runs differ by more than errors of measuring."""

    DIFFERS = "differs"
    UNTOLD = "cannot be told apart"
    NOT_COMPARED = "cannot be compared"


CLAIM_WORDS = {
    Claim.DIFFERS: tr("differs"),
    Claim.UNTOLD: tr("cannot be told apart"),
    Claim.NOT_COMPARED: tr("cannot be compared"),
}


class Change(StrEnum):
    """In which way the athlete changed, beyond the spread from run to run."""

    BETTER = "better"
    WORSE = "worse"
    HIGHER = "higher"
    LOWER = "lower"


CHANGE_WORDS = {
    Change.BETTER: tr("better"),
    Change.WORSE: tr("worse"),
    Change.HIGHER: tr("higher"),
    Change.LOWER: tr("lower"),
}


def way_words(key: MeasureKey, change: Change) -> str:
    """The way of a change in words; a time to a place is faster or slower."""
    if key.x_m is not None and unit_of(key.measure) == "s" and change in (Change.HIGHER, Change.LOWER):
        return tr("slower") if change is Change.HIGHER else tr("faster")
    return CHANGE_WORDS[change]


@dataclass(frozen=True)
class Compared:
    """One measure of two sides.

    ``difference``: of the means, after less before, with the errors of measuring. ``claim``: whether the runs
    differ. ``change``: whether the athlete changed, None where that can't be said; ``least``: the least
    change that would count, in the measure's unit, ``rests_on`` what that rests on, in words, and ``freedom``
    its degrees of freedom. ``sure``: the change stands among all that was asked together.
    """

    key: MeasureKey
    before: Result
    after: Result
    difference: Result
    claim: Claim
    change: Change | None = None
    least: float | None = None
    rests_on: str = ""
    freedom: float = float("inf")
    sure: bool = False

    @property
    def holds(self) -> bool:
        """Whether no more can have changed than would not count: the runs can't be told apart, and the whole
        95 % interval of their difference lies within ``least`` either way (the two one-sided tests of
        equivalence, Schuirmann DJ (1987) J Pharmacokinet Biopharm 15:657-680, at 2.5 % each). Of the runs
        alone: that the athlete did not change is a claim that nobody makes.
        """
        if self.claim is not Claim.UNTOLD or self.least is None or isinstance(self.difference, NoValue):
            return False
        return -self.least < self.difference.low and self.difference.high < self.least


@dataclass(frozen=True)
class Comparison:
    """All measures of two sides, with sentences on what stands between them.

    ``despite``: names of the conditions that are others and that the coach allowed. ``same_day``: all runs
    are of one day, so that warm-up and practice may explain a change. ``asked_first``: what the comparison
    was about before anybody looked. ``one_athlete``: all runs are one known athlete's; ``several``: they are
    not all one's. ``two_days``: what is judged knows how runs of one day differ, not how days do.
    """

    rows: tuple[Compared, ...]
    notes: tuple[str, ...]
    despite: tuple[str, ...] = ()
    same_day: bool = False
    asked_first: tuple[MeasureKey, ...] = ()
    one_athlete: bool = True
    several: bool = False
    two_days: bool = False

    def row(self, key: MeasureKey) -> Compared | None:
        """The row of one measure."""
        return next((row for row in self.rows if row.key == key), None)

    def verdict(self, row: Compared) -> str:
        """What can be said of a row, in few words, with what stands against it."""
        said = CLAIM_WORDS[row.claim]
        if row.change is not None:
            said = tr("changed: {way}").format(way=way_words(row.key, row.change))
        return said + self.against if row.claim is Claim.DIFFERS else said

    @property
    def against(self) -> str:
        """What stands against every difference: " (other conditions, same day)"; empty for nothing."""
        found = [tr("other conditions")] if self.despite else []
        found += [tr("same day")] if self.same_day else []
        return f" ({', '.join(found)})" if found else ""


@dataclass(frozen=True)
class PublishedError:
    """A typical error that the coach takes from elsewhere, in the measure's unit, and where it stands.

    ``id``: the measure's key, as in ``MeasureKey.measure``.
    """

    id: str
    typical_error: float
    source: str


@dataclass(frozen=True)
class DayMean:
    """The runs of one day: their mean and how many they are."""

    day: str
    mean: float
    values: tuple[float, ...]


@dataclass(frozen=True)
class History:
    """One measure over the days. ``typical_error``, ``least_change``: pooled over the days, the smallest
    change that a chart may call one; None with fewer than four degrees of freedom.
    """

    key: MeasureKey
    days: tuple[DayMean, ...]
    typical_error: float | None
    least_change: float | None
