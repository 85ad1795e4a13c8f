"""The lens of the run at hand: measured along a straight line or on a chequerboard, or none."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFormLayout, QLabel, QPushButton, QSpinBox, QVBoxLayout, QWidget

from analysis.ground.lens_fit import lens_from_lines
from analysis.jobs.board import BoardJob, BoardLens
from analysis.reading.lens import fitted_to, lens_reading
from analysis.report.camera_words import PIXELS
from analysis.report.sections import Section, row
from analysis.values.camera import Lens
from analysis.values.command import Command
from analysis.values.errors import CinderlaneError, MarkError
from analysis.values.resolving import run_as_seen
from analysis.values.run import Run
from analysis.values.words import tr
from app import asking
from app.bench import Bench
from app.marking import camera
from app.run.place.work_row import WorkRow
from app.run.section_view import SectionView
from app.theme.tokens import Space

_LEAST_CORNERS, _MOST_CORNERS = 3, 40


class LensBox(QWidget):
    """What the lens does to this picture, and three ways: along a line, a chequerboard, off."""

    def __init__(self, bench: Bench, along: QAction, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self.numbers = SectionView(self)
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.along = QPushButton(tr("Along a line"), self)
        self.along.setToolTip(along.statusTip())
        self.along.clicked.connect(along.trigger)
        self.board = QPushButton(tr("Chequerboard…"), self)
        self.board.setToolTip(tr("Choose a film of a chequerboard, or several pictures of one"))
        self.board.clicked.connect(self._choose)
        self.off = QPushButton(tr("Off"), self)
        self.off.setAccessibleName(tr("Take the lens off"))
        self.off.clicked.connect(self._take_off)
        self.columns, self.rows = QSpinBox(self), QSpinBox(self)
        for field, name, value in (
            (self.columns, tr("Inner corners of the board, across"), 9),
            (self.rows, tr("Inner corners of the board, down"), 6),
        ):
            field.setAccessibleName(name)
            field.setToolTip(name)
            field.setRange(_LEAST_CORNERS, _MOST_CORNERS)
            field.setValue(value)
        self.work = WorkRow(self)
        self.work.finished.connect(self._board_measured)
        self.work.failed.connect(bench.said)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.BASE)
        column.addWidget(self.numbers)
        column.addWidget(self.words)
        for button in (self.along, self.off, self.board):
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        size = QFormLayout()
        size.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        size.addRow(tr("Corners across"), self.columns)
        size.addRow(tr("Corners down"), self.rows)
        column.addLayout(size)
        column.addWidget(self.work)
        bench.run_changed.connect(self._show_run)
        bench.film_changed.connect(self._forget)
        self._show_run(bench.run)

    def shutdown(self) -> None:
        """Stop what goes on."""
        self.work.shutdown()

    @Slot()
    def _forget(self) -> None:
        """A board that is looked at belongs to the film that was on show."""
        self.work.shutdown()

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        facts = self._bench.facts
        lens = None if run is None else camera.lens_of(self._bench.project, run)
        for button in (self.along, self.board):
            button.setEnabled(run is not None and facts is not None)
        self.off.setEnabled(lens is not None)
        words = tr("No lens is set: straight things are taken to be seen straight.")
        section = Section(tr("Lens"), (), words)
        if run is not None and facts is not None and lens is not None:
            seen = run_as_seen(self._bench.project, run).run
            found = lens_reading(lens, seen, facts.width, facts.height)
            section = Section(
                tr("Lens"),
                (
                    row(tr("Moves the farthest corner by"), found.corner_px, PIXELS),
                    row(tr("Row of marks bent, before"), found.before_px, PIXELS),
                    row(tr("Row of marks bent, after"), found.after_px, PIXELS),
                ),
            )
        self.numbers.show_section(section)
        shared = run is not None and lens is not None and run.camera_place_id is not None
        self.words.setText(tr("It serves all films of the camera place.") if shared else "")
        self.words.setVisible(shared)

    def measured_along(self, rows: tuple[tuple[tuple[float, float], ...], ...]) -> None:
        """Set the lens that makes these rows of clicks straight, and say how bent they were."""
        facts = self._bench.facts
        if facts is None:
            return
        try:
            fit = lens_from_lines([np.array(one) for one in rows], facts.width, facts.height)
        except MarkError as error:
            self._bench.said.emit(str(error))
            return
        words = tr(
            "Bent by {bend:.1f} pixels at most before; with this lens {left:.1f} are left on the whole."
        )
        self._set(fit.lens, words.format(bend=fit.bend_px, left=fit.left_px))

    @Slot()
    def _choose(self) -> None:
        files = asking.boards_to_open(self)
        if files:
            job = BoardJob(files, self.columns.value(), self.rows.value())
            self.work.watch(job, tr("Looking for the board"))

    @Slot(object)
    def _board_measured(self, found: BoardLens) -> None:
        facts = self._bench.facts
        if facts is None:
            return
        lens = fitted_to(found.fit.lens, found.size, (facts.width, facts.height))
        if lens is None:
            self._bench.said.emit(
                tr(
                    "The board was filmed as {w} × {h} and this film as {width} × {height}: another cut of "
                    "the lens's picture. Film the board with the setting of the run."
                ).format(w=found.size[0], h=found.size[1], width=facts.width, height=facts.height)
            )
            return
        words = tr("The board was found in {count} of {of} pictures and fits to {left:.1f} pixels.")
        self._set(lens, words.format(count=len(found.fit.found), of=found.of, left=found.fit.left_px))

    @Slot()
    def _take_off(self) -> None:
        self._set(None, "")

    def _set(self, lens: Lens | None, words: str) -> None:
        run, project = self._bench.run, self._bench.project
        if run is None:
            return

        def make() -> Command:
            return camera.set_lens(project, run, lens)

        try:
            self._bench.edit(make())
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
            return
        if words:
            self._bench.said.emit(words)
