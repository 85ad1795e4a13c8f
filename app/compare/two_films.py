"""The two films side by side as where stops are set."""

from __future__ import annotations

from analysis.reading.lock import rising
from analysis.values.time_map import IDENTITY, TimeMap
from app.compare.pairing import Pairing
from app.compare.sides import TwoSides
from app.film.ticker import Ticker
from app.narrate.stand import Stand, zoom_of


class TwoFilms:
    """What both sides show, the upper one first."""

    def __init__(self, sides: TwoSides, ticker: Ticker, pairing: Pairing) -> None:
        self._sides, self._ticker, self._pairing = sides, ticker, pairing

    def stand(self) -> Stand | None:
        """What is on show; None unless both films are known."""
        looks = [side.look for side in self._sides]
        known = [look for look in looks if look is not None and look.facts is not None]
        if len(known) < 2:
            return None
        upper, lower = (side.pane for side in self._sides)
        return Stand(
            tuple(look.run.id for look in known),
            int(upper.wanted),
            int(lower.wanted),
            zoom_of(upper.view),
            zoom_of(lower.view),
            self._ticker.clock.speed,
            _across(upper.time_map, lower.time_map),
            self._pairing.meet if any(side.other_body.isChecked() for side in self._sides) else None,
        )

    def pause(self) -> None:
        """Stop playing."""
        self._ticker.pause()

    def go_to(self, stand: Stand) -> None:
        """Show the frame of the film that leads; the other one follows by the lock."""
        for side in self._sides:
            if side.look is not None and side.look.run.id == stand.run_ids[0]:
                side.pane.go_to(stand.frame)
                return


def _across(one: TimeMap, two: TimeMap) -> TimeMap:
    """From the time of one film to that of the other, by the clock to which both are mapped."""
    moments = sorted({master for time_map in (one, two) for master, _ in time_map.knots})
    pairs = rising((one.film_s(master), two.film_s(master)) for master in moments)
    return TimeMap(pairs) if pairs else IDENTITY
