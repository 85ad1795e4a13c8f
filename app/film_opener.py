"""Opens films beside the window: one thread, the films that the coach waits for first."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal, Slot

from analysis.film import open_film
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.words import tr
from app.film_shelf import FilmShelf, Key, Order, Outcome

log = logging.getLogger(__name__)


class _GivenUpError(Exception):
    """Reading ends because nobody waits for the film, or because the coach waits for another one."""


class FilmOpener(FilmShelf):
    """A shelf that fetches what it lacks on a thread, which ends when there is nothing to do."""

    _fetched = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread: threading.Thread | None = None
        self._state = threading.Lock()  # guards the thread and the three below
        self._urgent: dict[Key, Order] = {}
        self._later: dict[Key, Order] = {}
        self._done: list[tuple[Key, Order, Outcome]] = []
        self._fetched.connect(self._take)

    def cancel(self, order: Order) -> None:
        """Nobody waits for that film any more."""
        with self._state:
            for waiting in (self._urgent, self._later):
                for key in [key for key, other in waiting.items() if other == order]:
                    del waiting[key]

    def shutdown(self) -> None:
        """Give up what goes on and wait for the thread."""
        with self._state:
            self._urgent.clear()
            self._later.clear()
            thread = self._thread
        if thread is not None:
            thread.join()
        self._done.clear()

    def _fetch(self, order: Order, key: Key, *, urgent: bool) -> Outcome | None:
        with self._state:
            for done, _, outcome in self._done:
                if done == key:  # read by now; who waits for it hears of it in a moment
                    return outcome
            if urgent:
                self._later.pop(key, None)
                self._urgent[key] = order
            elif key not in self._urgent:
                self._later[key] = order
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name="opening films", daemon=True)
                self._thread.start()
        return None

    # on the thread

    def _work(self) -> None:
        while True:
            with self._state:
                waiting = self._urgent or self._later
                if not waiting:
                    self._thread = None
                    return
                key, order = next(iter(waiting.items()))
            try:
                outcome: Outcome = open_film(
                    order.path, order.coach_rate_hz, order.every, self._watch(key, order)
                )
            except _GivenUpError:
                continue
            except CinderlaneError as error:
                outcome = error
            except Exception:
                log.exception("A film could not be opened.")
                outcome = FilmError(tr("The film could not be opened. The log says why."))
            with self._state:
                wanted = self._urgent.pop(key, None) or self._later.pop(key, None)
                if wanted is not None:
                    self._done.append((key, order, outcome))
            self._fetched.emit(None)

    def _watch(self, key: Key, order: Order) -> Callable[[float], None]:
        def watch(share: float) -> None:
            with self._state:
                wanted = key in self._urgent or (key in self._later and not self._urgent)
            if not wanted:
                raise _GivenUpError
            self.progressed.emit(order, share)

        return watch

    # on the window's thread

    @Slot(object)
    def _take(self, _: object) -> None:
        with self._state:
            done, self._done = self._done, []
        for key, order, outcome in done:
            self._put(key, outcome)
            self.came.emit(order)
