"""The camera of the run at hand: how it stood, what was measured of it, its lens, its place, how it moved."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QFormLayout, QLabel, QVBoxLayout, QWidget

from analysis.report.camera_words import camera_section, missing_words
from analysis.values.command import Command
from analysis.values.reading import Reading
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.marking import camera, placing
from app.run.metres import MetresField
from app.run.place.told_field import ToldField
from app.run.section_view import SectionView
from app.theme.tokens import Space

_MOST_ASIDE_M = 10.0


class CameraPanel(QWidget):
    """Numbers above, what the coach says under them; each field is one edit when it is left."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._filling = False
        self.setAccessibleName(tr("Camera"))
        self.numbers = SectionView(self)
        self.reasons = QLabel(self)
        self.reasons.setWordWrap(True)
        self.reasons.setProperty("role", "caption")
        self.distance = MetresField(tr("Distance from the camera to the running line"), 0.0, 100.0, 2, self)
        self.distance.setToolTip(
            tr("Measured from the camera to the running line; 0 where nobody measured it")
        )
        self.distance.setSpecialValueText(tr("not measured"))
        self.distance.valueChanged.connect(self._take_distance)
        self.nearer = ToldField(
            tr("Nearer than the marked line"),
            tr("How much nearer to the camera than the marked line the athlete ran; farther is negative"),
            -_MOST_ASIDE_M,
            _MOST_ASIDE_M,
            "m",
            self,
        )
        self.nearer.told.connect(self._take_nearer)
        self.nearer_u = ToldField(
            tr("Good to"),
            tr("Standard uncertainty of that: two times in three it is no farther off; the usual is 0.05 m"),
            0.0,
            _MOST_ASIDE_M,
            "m",
            self,
        )
        self.nearer_u.told.connect(self._take_nearer_u)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(tr("Camera to line"), self.distance)
        form.addRow(tr("Athlete nearer by"), self.nearer)
        form.addRow(tr("good to ±"), self.nearer_u)
        self.column = column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.WIDE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addWidget(self.numbers)
        column.addWidget(self.reasons)
        column.addLayout(form)
        column.addStretch(1)
        for field in (self.nearer, self.nearer_u):
            field.refused.connect(bench.said)
        bench.run_changed.connect(self._show_run)
        bench.reading_changed.connect(self._show_reading)
        self._show_run(bench.run)
        self._show_reading(bench.reading)

    def add(self, part: QWidget) -> None:
        """Another part of the panel, under those that are there."""
        self.column.insertWidget(self.column.count() - 1, part)

    @Slot(object)
    def _show_run(self, run: Run | None) -> None:
        self._filling = True
        place = None if run is None else camera.place_of(self._bench.project, run)
        distance = None if run is None else run.camera_distance_m
        if distance is None and place is not None:
            distance = place.distance_m
        for field in (self.distance, self.nearer, self.nearer_u):
            field.setEnabled(run is not None)
        self.distance.setValue(distance or 0.0)
        self.nearer.show_value(None if run is None else run.lane_offset_m)
        self.nearer_u.show_value(None if run is None else run.lane_offset_u_m)
        self._filling = False

    @Slot(object)
    def _show_reading(self, reading: Reading | None) -> None:
        self.numbers.show_section(camera_section(reading))
        words = missing_words(reading)
        self.reasons.setText(words)
        self.reasons.setVisible(bool(words))

    @Slot(float)
    def _take_distance(self, distance: float) -> None:
        run = self._bench.run
        if self._filling or run is None:
            return

        def make() -> Command:
            place = camera.place_of(self._bench.project, run)
            if place is not None and run.camera_distance_m is None:
                return camera.set_place_distance(place, distance or None)
            new = replace(run, camera_distance_m=distance or None)
            return placing.change_run(run, new, tr("Camera distance"))

        self._bench.attempt(make)

    @Slot(object)
    def _take_nearer(self, metres: float | None) -> None:
        run = self._bench.run
        if run is not None:
            new = replace(run, lane_offset_m=metres)
            self._bench.attempt(lambda: placing.change_run(run, new, tr("Lane of the athlete")))

    @Slot(object)
    def _take_nearer_u(self, metres: float | None) -> None:
        run = self._bench.run
        if run is not None:
            new = replace(run, lane_offset_u_m=metres)
            self._bench.attempt(lambda: placing.change_run(run, new, tr("Lane of the athlete")))
