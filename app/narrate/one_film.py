"""The film of the run at hand as where stops are set."""

from __future__ import annotations

from app.bench import Bench
from app.film.pane import FilmPane
from app.narrate.stand import Stand, zoom_of


class OneFilm:
    """What a pane shows of the run at hand."""

    def __init__(self, bench: Bench, pane: FilmPane) -> None:
        self._bench, self._pane = bench, pane

    def stand(self) -> Stand | None:
        """What is on show; None without a run whose film is known."""
        run = self._bench.run
        if run is None or self._bench.facts is None:
            return None
        pane = self._pane
        frame = pane.wanted if pane.film is not None else self._bench.frame
        return Stand((run.id,), int(frame), zoom=zoom_of(pane.view), speed=pane.ticker.clock.speed)

    def pause(self) -> None:
        """Stop playing."""
        self._pane.ticker.pause()

    def go_to(self, stand: Stand) -> None:
        """Show this frame."""
        self._pane.go_to(stand.frame)
