"""The reading beside the film: its answers, then splits, speeds, start, line angles, notes."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from analysis.report import sections
from analysis.report.sections import Section
from analysis.values.estimate import Estimate
from analysis.values.reading import Reading
from analysis.values.run import Athlete, Run
from analysis.values.words import tr
from app.run.answers.answers_view import AnswersView
from app.run.force_section import force_section
from app.run.section_view import SectionView
from app.theme.tokens import FOCUS_PX, Space

_NO_RUN = Section(tr("Reading"), (), tr("Open a film and begin a run to read it."))
_NO_PLACE = Section(tr("Places"), (), tr("Mark two things of known distance to read places."))

_MARGINS = (Space.SECTION, Space.WIDE, Space.SECTION, Space.SECTION)
"""Around the sections; the ring of the keyboard takes its part of them."""


def _scaled(reading: Reading) -> bool:
    """Whether something else than the run's own marks gives a scale: a camera place, or a stature."""
    return reading.camera is not None and isinstance(reading.camera.distance_m, Estimate)


class SummaryPanel(QScrollArea):
    """A column of sections for a run's reading; scrolls where it is longer than the window.

    Attributes: ``answers`` the four questions, which stand first.

    Signals:
        frame_requested(int): the frame of a line that the coach chose.

    """

    frame_requested = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reading: Reading | None = None
        self._frame = 0
        self._with_force = False
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(tr("Reading of the run"))
        inner = QWidget()
        inner.setProperty("role", "panel")
        inner.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(*(edge - FOCUS_PX for edge in _MARGINS))
        self._column.setSpacing(Space.SECTION)
        self.answers = AnswersView()
        self._column.addWidget(self.answers)
        self._here = self._view()
        self._places: list[SectionView] = [self._view()]
        self._after_places = self._column.count()
        self._start = self._view()
        self._force = self._view()
        self._lines = self._view()
        self._notes = self._view()
        self._column.addStretch(1)
        self.setWidget(inner)
        self.show_reading(None, None)

    def show_reading(self, run: Run | None, reading: Reading | None, athlete: Athlete | None = None) -> None:
        """Show a run's reading; without one it says what to do. ``athlete``: who ran, if anyone is named."""
        self._reading = reading
        self.answers.show_reading(reading if run is not None else None)
        if run is None or reading is None:
            self._show_places((_NO_RUN,))
            for view in (self._here, self._start, self._force, self._lines, self._notes):
                view.show_section(None)
            return
        self._show_places(
            sections.places(reading, athlete) if run.marks or _scaled(reading) else (_NO_PLACE,)
        )
        self._start.show_section(sections.start(reading))
        self._show_force()
        self._lines.show_section(sections.lines(reading))
        self._notes.show_section(sections.notes(reading))
        self._show_here()

    def show_force(self, shown: bool) -> None:
        """Whether to show what the speed curve means for the forces."""
        self._with_force = shown
        self._show_force()

    def set_frame(self, frame: int) -> None:
        """Say which frame the film shows: its lines stand first."""
        self._frame = frame
        self._show_here()

    def sizeHint(self) -> QSize:
        return QSize(340, 480)

    def minimumSizeHint(self) -> QSize:
        return QSize(280, 160)

    def _show_force(self) -> None:
        shown = self._with_force and self._reading is not None
        self._force.show_section(force_section(self._reading) if shown and self._reading else None)

    def _show_here(self) -> None:
        self._here.show_section(sections.lines_here(self._reading, self._frame) if self._reading else None)

    def _show_places(self, shown: tuple[Section, ...]) -> None:
        while len(self._places) < len(shown):
            view = SectionView(self.widget())
            view.frame_requested.connect(self.frame_requested)
            self._column.insertWidget(self._after_places, view)
            self._after_places += 1
            self._places.append(view)
        for number, view in enumerate(self._places):
            view.show_section(shown[number] if number < len(shown) else None)

    def _view(self) -> SectionView:
        view = SectionView()
        view.frame_requested.connect(self.frame_requested)
        self._column.addWidget(view)
        return view
