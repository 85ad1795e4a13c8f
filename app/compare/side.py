"""One of two films: which run, its picture, how far it is slipped, its rail."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from analysis.report.film_words import film_words
from analysis.report.marks_seen import marks_in
from analysis.report.posture_lines import NOTHING, Drawn
from analysis.report.run_scene import scene_over
from analysis.report.scene import OtherBody
from analysis.report.words import seconds_text
from analysis.values.run import Run
from analysis.values.words import MINUS, tr
from app.bench import Look
from app.film.pane import FilmPane
from app.film.ticker import Ticker
from app.film_shelf import Order
from app.rail.rail import StepRail
from app.run.film_place import FilmPlace
from app.run.question_bar import QuestionBar
from app.run.shown import strip_events, zero_s
from app.selection import Selected
from app.theme.apply import current_theme
from app.theme.icons import icon
from app.theme.tokens import Space

_BAR_PX = 4
_NUMBERS = 4
_PLACE = tr("{time} · frame {frame}").format(time=seconds_text(-8.888), frame=88888)
_TAKING = (QEvent.Type.MouseButtonPress, QEvent.Type.FocusIn)


class CompareSide(QFrame):
    """A header over a film pane, and beside it, laid out by whoever owns it, the step rail of the same run.

    Attributes: ``pane``, ``rail``, ``rail_name`` the words over the rail, ``chooser`` of the run,
    ``question`` about its film, ``film_place`` over the picture while its film is being read.
    Signals:
        taken(): the coach turned to this film, with mouse or keyboard.
        run_chosen(str): this film shall be of another run.
        slip_asked(int): by so many frames against the other film.
    """

    taken = Signal()
    run_chosen = Signal(str)
    slip_asked = Signal(int)

    def __init__(self, ticker: Ticker, budget_bytes: int, parent: QWidget) -> None:
        super().__init__(parent)
        self.look: Look | None = None
        self.slip_s, self.slip_frames = 0.0, 0
        self._active = False
        self._numbers = True
        self._drawn = NOTHING
        self._selected: Selected | None = None
        self._laid_over: OtherBody | None = None
        self.pane = FilmPane(self, ticker=ticker, budget_bytes=budget_bytes)
        self.question = QuestionBar(self)
        self.film_place = FilmPlace(self.pane.view)
        self.rail = StepRail(self)
        self.rail_name = QLabel(self)
        self.rail_name.setMinimumWidth(1)
        self.chooser = QComboBox(self)
        self.chooser.setMinimumContentsLength(12)
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.in_hand = QLabel(tr("in hand"), self)
        self.in_hand.setProperty("role", "caption")
        self.in_hand.setToolTip(tr("Keys, tools and edits go to this film and its run"))
        self.where = QLabel(self)
        self.where.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.back = self._button("slip_back")
        self.on = self._button("slip_on")
        self.slip = QLabel(self)
        self.slip.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.mirror = self._button("mirror")
        self.other_body = self._button("other_body")
        for button in (self.mirror, self.other_body):
            button.setCheckable(True)
        self._lay_out()
        self.pane.frame_shown.connect(self._frame_shown)
        self.chooser.activated.connect(self._chosen)
        self.back.clicked.connect(self._slip_back)
        self.on.clicked.connect(self._slip_on)
        self.mirror.toggled.connect(self.pane.view.set_mirrored)
        for part in (
            self.pane.view,
            self.pane.strip,
            self.rail,
            self.chooser,
            self.back,
            self.on,
            self.mirror,
            self.other_body,
            self.film_place.stop,
        ):
            part.installEventFilter(self)
        self.name(tr("Upper film"))
        self.set_slip(0.0, 0)
        self.set_active(False)

    def _button(self, name: str) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName(name)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setMinimumSize(28, 28)
        return button

    def _lay_out(self) -> None:
        header = QHBoxLayout()
        header.setContentsMargins(Space.WIDE, Space.HAIR, Space.BASE, Space.HAIR)
        header.setSpacing(Space.SMALL)
        for part in (
            self.chooser,
            self.in_hand,
            None,
            self.where,
            self.back,
            self.slip,
            self.on,
            self.mirror,
            self.other_body,
        ):
            if part is None:
                header.addStretch(1)
            else:
                header.addWidget(part, 0, Qt.AlignmentFlag.AlignVCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(_BAR_PX, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(header)
        column.addWidget(self.question)
        column.addWidget(self.pane, 1)

    def minimumSizeHint(self) -> QSize:
        """What the controls need: the words beside them go where there is no room."""
        rest = self._controls_width()
        return QSize(
            max(rest, self.pane.minimumSizeHint().width()) + _BAR_PX, super().minimumSizeHint().height()
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show the words of the header as far as there is room."""
        super().resizeEvent(event)
        self._fit_words()

    def _fit_words(self) -> None:
        room = self.width() - self._controls_width() - _BAR_PX
        metrics = self.fontMetrics()
        place = metrics.horizontalAdvance(_PLACE) + Space.SMALL
        # room for longer numbers, so that none is cut; of one size, so that nothing is laid out anew
        self.where.setFixedSize(place, metrics.height())
        self.where.setVisible(room >= place)
        room -= place if room >= place else 0
        self.in_hand.setVisible(self._active and room >= metrics.horizontalAdvance(self.in_hand.text()))

    def _controls_width(self) -> int:
        controls = (self.chooser, self.back, self.slip, self.on, self.mirror, self.other_body)
        widths = sum(max(part.minimumSizeHint().width(), part.minimumWidth()) for part in controls)
        return widths + 7 * Space.SMALL + Space.WIDE + Space.BASE

    # what it is called, and whether it is in hand

    def name(self, words: str) -> None:
        """Say which of the two it is: "Upper film"."""
        named: tuple[tuple[QWidget, str], ...] = (
            (self.pane.view, tr("{film}, picture")),
            (self.pane.strip, tr("{film}, position")),
            (self.rail, tr("{film}, step rail")),
            (self.chooser, tr("{film}, run")),
            (self.back, tr("{film} a frame back against the other")),
            (self.on, tr("{film} a frame on against the other")),
            (self.mirror, tr("{film} mirrored")),
            (self.other_body, tr("{film} with the other run's body over it")),
            (self.slip, tr("{film}, slip in frames")),
            (self.where, tr("{film}, time and frame")),
        )
        for part, what in named:
            part.setAccessibleName(what.format(film=words))
            if part in (self.back, self.on, self.mirror, self.other_body, self.chooser):
                part.setToolTip(what.format(film=words))

    def set_active(self, active: bool) -> None:
        """Whether keys, tools and edits go here."""
        self._active = active
        self._fit_words()
        self.rail_name.setProperty("role", "number" if active else "")
        self.rail_name.style().polish(self.rail_name)
        if not active:
            self.select(None)
            self.pane.view.set_prompt("")
        self.update()

    def dress(self) -> None:
        """Icons in the colours of the theme."""
        for button in (self.back, self.on, self.mirror, self.other_body):
            button.setIcon(icon(button.objectName(), current_theme()))

    def paintEvent(self, event: QPaintEvent) -> None:
        """A bar along the film in hand."""
        super().paintEvent(event)
        if self._active:
            QPainter(self).fillRect(0, 0, _BAR_PX - 1, self.height(), QColor(current_theme().accent))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Whatever is done here is done to this film: it is in hand before the click arrives."""
        if event.type() in _TAKING and not self._active:
            self.taken.emit()
        return super().eventFilter(watched, event)

    @property
    def waits_for(self) -> Order | None:
        """Its film, while that is being read."""
        return None if self.look is None else self.look.waits_for

    # what is shown

    def fill(self, runs: list[Run]) -> None:
        """The runs that there are to choose from."""
        self.chooser.clear()
        for run in runs:
            self.chooser.addItem(run.name, run.id)
        self.chooser.setEnabled(bool(runs))
        self._name_run()

    def show_look(self, look: Look | None) -> None:
        """Show another run, or this one as it stands now."""
        before, self.look = self.look, look
        film = look.film if look is not None else None
        if film is not self.pane.film:
            self.pane.set_film(film)
            self.where.setToolTip(film_words(film) if film is not None else "")
        if look is not None:
            self.pane.cover(look.run.first_frame, look.run.last_frame)
        if look is None or look.facts is None:
            self.rail.clear()
        elif before is not look:
            self.rail.show_run(look.run, look.facts.times, look.reading)
        known = look is not None and look.facts is not None
        self.pane.strip.set_events(*strip_events(look.run if look is not None and known else None))
        trouble = look.trouble if look is not None else tr("Choose a run.")
        self.pane.view.set_empty("" if self.waits_for is not None else trouble)
        self._name_run()
        self.show_frame()

    def let_go(self) -> None:
        """Give the film back; the run stays chosen."""
        self.pane.set_film(None)

    def set_slip(self, slip_s: float, frames: int) -> None:
        """How far this film is slipped against the lock."""
        self.slip_s, self.slip_frames = slip_s, frames
        sign = MINUS if frames < 0 else "+" if frames > 0 else ""
        self.slip.setText(f"{sign}{abs(frames)}")
        self.slip.setMinimumWidth(self.fontMetrics().horizontalAdvance("+888"))
        self.slip.setToolTip(tr("Slipped against the lock by so many frames"))

    def set_numbers(self, shown: bool) -> None:
        """Whether step numbers lie over the picture."""
        self._numbers = shown
        self.show_frame()

    def set_drawn(self, drawn: Drawn) -> None:
        """What of posture lies over the picture."""
        self._drawn = drawn
        self.show_frame()

    def lay_over(self, body: OtherBody | None) -> None:
        """Another run's body over the picture; None for none."""
        if body != self._laid_over:
            self._laid_over = body
            self.show_frame()

    def select(self, selected: Selected | None) -> None:
        """What is selected on this picture."""
        self._selected = selected
        self.show_frame()

    @property
    def frame(self) -> int:
        """The frame on show, or on its way."""
        return int(self.pane.shown if self.pane.shown >= 0 else self.pane.wanted)

    def show_frame(self) -> None:
        """Scene, rail and words for the frame on show."""
        look, pane, frame = self.look, self.pane, self.frame
        run, reading = (look.run, look.reading) if look is not None else (None, None)
        evidence = look.evidence if look is not None else None
        marks = marks_in(evidence, run) if evidence is not None and run is not None else None
        tracks = evidence.tracks if evidence is not None else None
        scene = scene_over(
            run, reading, frame, numbers=self._numbers, marks=marks, tracks=tracks, drawn=self._drawn
        )
        # small pictures: the newest numbers only, all of them stand on the rail
        scene = replace(scene, numbers=scene.numbers[-_NUMBERS:], other=self._laid_over)
        pane.view.set_scene(scene, self._selected)
        self.rail.set_frame(pane.wanted)
        film = look.film if look is not None else None
        if film is None or frame >= film.frames:
            self.where.setText("")
            return
        time_s = film.facts.times.at(frame) - zero_s(run, film)
        self.where.setText(
            tr("{time} · frame {frame}").format(time=seconds_text(round(time_s, 3)), frame=frame)
        )

    # inside

    @Slot(int)
    def _frame_shown(self, frame: int) -> None:
        self.show_frame()

    def _name_run(self) -> None:
        run = self.look.run if self.look is not None else None
        self.chooser.setCurrentIndex(-1 if run is None else self.chooser.findData(run.id))
        self.rail_name.setText("" if run is None else run.name)
        self.rail_name.setToolTip("" if run is None else run.name)

    @Slot(int)
    def _chosen(self, place: int) -> None:
        self.run_chosen.emit(str(self.chooser.itemData(place)))

    @Slot()
    def _slip_back(self) -> None:
        self.slip_asked.emit(-1)

    @Slot()
    def _slip_on(self) -> None:
        self.slip_asked.emit(1)
