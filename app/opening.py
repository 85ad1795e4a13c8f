"""Opening what the coach chose or dropped: films and projects, one after the other, the window alive."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot

from analysis.store import SUFFIX
from analysis.values.errors import CinderlaneError
from analysis.values.words import tr, tr_count
from app.bench import Bench
from app.film_opener import FilmOpener
from app.film_shelf import Order


class Opening(QObject):
    """Opens files in order. A film becomes a run of the open project; where that is the demo or none, of one
    beside the film. Of several films the first is shown, the others are added.

    Signals:
        said(str): a sentence for the coach.
        refused(str): why a file was not opened.
        changed(str): the film that is being read, or empty.
        expected(Film | None): this film will be on the bench in a moment; None when that moment is over.
        progressed(float): the share of it that was read.
        done(bool): everything is open or refused; whether the last one could be opened.
    """

    said = Signal(str)
    refused = Signal(str)
    changed = Signal(str)
    expected = Signal(object)
    progressed = Signal(float)
    done = Signal(bool)

    def __init__(self, bench: Bench, films: FilmOpener, home: Path, parent: QObject) -> None:
        super().__init__(parent)
        self._bench, self._films, self._home = bench, films, home
        self._waiting: deque[Path] = deque()
        self._order: Order | None = None
        self._first = ""  # the run that is to be shown
        self._added = 0
        self.folder = ""
        films.came.connect(self._came)
        films.progressed.connect(self._heard)

    @property
    def busy(self) -> bool:
        """Whether a file is being opened or waits for it."""
        return self._order is not None or bool(self._waiting)

    def open(self, paths: Sequence[Path]) -> None:
        """Open files; ``done`` comes at once where none has to be read."""
        self._waiting.extend(paths)
        if self._order is None:
            self._first, self._added = "", 0
            self._next()

    @Slot()
    def cancel(self) -> None:
        """Open no more of them; the film of the run at hand is not waited for either."""
        self._waiting.clear()
        order, self._order = self._order, None
        if order is not None:
            self._films.cancel(order)
            self.said.emit(tr("{film} was not opened.").format(film=order.path.name))
            self._end(opened=False)
        self._bench.cancel_opening()
        self._say_what()

    def _next(self) -> None:
        opened = False
        while self._waiting and self._order is None:
            path = self._waiting.popleft()
            if path.suffix.lower() == SUFFIX:
                opened = self.open_project(path)
            else:
                opened = self._ask_for(self._bench.order_for(path.absolute()))
        if self._order is None:
            self._end(opened=opened)
        self._say_what()

    def _end(self, *, opened: bool) -> None:
        if self._added > 1:
            if self._first in self._bench.project.runs:
                self._bench.choose_run(self._first)
            self.said.emit(
                tr_count(
                    "{count} film is open. Choose its run above.",
                    "{count} films are open. Choose among their runs above.",
                    self._added,
                ).format(count=self._added)
            )
        self.done.emit(opened)

    def _ask_for(self, order: Order) -> bool:
        """Have the film read, or begin its run where it was already; False where it was refused."""
        try:
            film = self._films.get(order)
        except CinderlaneError as error:
            return self._refuse(error)
        if film is None:
            self._order = order
            return True
        self.expected.emit(film)  # a picture takes as long to read as a project takes to be made
        opened = self._begin_run(order)
        self.expected.emit(None)  # where it was refused, or on the bench already
        return opened

    @Slot(object)
    def _came(self, order: Order) -> None:
        if order == self._order:
            self._order = None
            opened = self._ask_for(order)
            if self._waiting:
                self._next()
            else:
                self._end(opened=opened)
                self._say_what()
        elif self._order is None:
            self._say_what()

    @Slot(object, float)
    def _heard(self, order: Order, share: float) -> None:
        if order in (self._order, self._bench.film_state.order):
            self.progressed.emit(share)

    def _say_what(self) -> None:
        order = self._order or self._bench.film_state.order
        self.changed.emit("" if order is None else order.path.name)

    def _begin_run(self, order: Order) -> bool:
        bench, path = self._bench, order.path
        known = len(bench.project.films)
        try:
            if bench.path is None or bench.path == self._home / "demo.cinderlane":
                known = 0
                self._open_beside(path)
            bench.add_film(path)
        except CinderlaneError as error:
            return self._refuse(error)
        self.folder = str(path.parent)
        self._added += 1
        self._first = self._first or (bench.run.id if bench.run is not None else "")
        film = bench.film
        if film is not None and film.notes and len(bench.project.films) > known:
            # said when the film is new; it stands in the tab Run from then on
            self.said.emit(" ".join((*film.notes, tr("See the tab Run."))))
        return True

    # projects

    def open_project(self, path: Path) -> bool:
        """Open a project; says why where it can't. True when it is open."""
        try:
            self._bench.open_project(path)
        except CinderlaneError as error:
            return self._refuse(error)
        self._say_what()
        return True

    def _refuse(self, error: CinderlaneError) -> bool:
        self.said.emit(str(error))
        self.refused.emit(str(error))
        return False

    def _open_beside(self, film: Path) -> None:
        place = film.with_suffix(SUFFIX)
        try:
            self._open_or_make(place)
        except CinderlaneError as error:
            # a folder that can't be written, such as a camera card: keep the marks at home
            if place.exists():
                raise
            at_home = self._home / "projects"
            try:
                at_home.mkdir(exist_ok=True)
            except OSError:
                raise error from None
            self._open_or_make(at_home / place.name)
            self.said.emit(
                tr("The film's folder can't be written. The marks are kept in {path}.").format(
                    path=at_home / place.name
                )
            )

    def _open_or_make(self, path: Path) -> None:
        if path.exists():
            self._bench.open_project(path)
        else:
            self._bench.new_project(path)
