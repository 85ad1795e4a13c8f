"""Who works on what: the project's athletes by the first cause of their newest runs, a day for each group."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from analysis.plan.grouping import Standing, grouped, newest_run, standing_of
from analysis.plan.wording import QUESTION_WORDS
from analysis.values.project import Project
from analysis.values.questions import Question
from analysis.values.run import Run
from analysis.values.words import tr
from app.bench import Bench
from app.copying import Rows, TableCopy
from app.plan.day_form import MOST_MINUTES, number_field
from app.plan.group_view import GroupView, Member
from app.run.run_readings import RunReadings
from app.run.section_view import said
from app.theme.tokens import Space


class GroupsPage(QWidget):
    """Reads one newest run after the other while it is in sight, so that the window answers meanwhile.

    Signals:
        day_wanted(object, object, object): a day for athletes (ids), their question, its minutes or None.
        run_wanted(str): the coach wants to see this run.
    """

    day_wanted = Signal(object, object, object)
    run_wanted = Signal(str)

    def __init__(self, bench: Bench, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._readings = RunReadings(bench, self)
        self._readings.came.connect(self._show)
        self._readings.went_on.connect(self._say_to_go)
        self._days: dict[GroupView, tuple[tuple[str, ...], Question]] = {}
        self._shown: object = None
        self.groups: list[GroupView] = []
        self.words = said("", "caption", wrap=True)
        self.minutes = number_field(self, 0, MOST_MINUTES, tr("no limit"), tr(" min"))
        self.minutes.setSingleStep(5)
        self.minutes.setAccessibleName(tr("Time for a group's day"))
        self.minutes.setToolTip(tr("How long the drills of a group's day may take, warm-up left out"))
        self._list = QWidget(self)
        self._column = QVBoxLayout(self._list)
        self._column.setContentsMargins(0, 0, Space.BASE, 0)
        self._column.addStretch(1)
        self.area = QScrollArea(self)
        self.area.setAccessibleName(tr("Groups"))
        self.area.setWidgetResizable(True)
        self.area.setWidget(self._list)
        TableCopy(self.area, self._copied)
        time = QHBoxLayout()
        time.addWidget(QLabel(tr("Time"), self))
        time.addWidget(self.minutes, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(Space.WIDE, Space.BASE, Space.BASE, Space.BASE)
        column.setSpacing(Space.BASE)
        column.addWidget(self.words)
        column.addLayout(time)
        column.addWidget(self.area, 1)

    def _copied(self, _selected: bool) -> Rows:
        rows = (row for view in self.groups for row in view.rows)
        return [[tr("group"), tr("athlete"), tr("why")], *rows]

    @Slot()
    def refresh(self) -> None:
        """Look at every newest run again; what has not changed is not read again."""
        if self.isVisible():
            runs = _newest(self._bench.project).values()
            self._readings.want(run.id for run in runs if run is not None)

    def showEvent(self, event: QShowEvent) -> None:
        """What changed out of sight is read now."""
        super().showEvent(event)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing is read out of sight."""
        super().hideEvent(event)
        self._readings.stop()

    @Slot()
    def _say_to_go(self) -> None:
        self.words.setText(tr("Reading: {count} to go").format(count=self._readings.to_go))

    @Slot()
    def _show(self) -> None:
        project, runs = self._bench.project, _newest(self._bench.project)
        standings = {one: self._standing(run) for one, run in runs.items()}
        self.words.setText(_head(project))
        shown = (project.athletes, runs, standings)
        if shown == self._shown:
            return
        self._shown = shown
        self._clear()
        groups = grouped(standings)
        members = partial(_members, project, runs, standings)
        for question, ids in groups.by_question.items():
            view = self._add(QUESTION_WORDS[question], members(ids), day=True)
            self._days[view] = ids, question
        if groups.nothing:
            self._add(tr("Nothing departs"), members(groups.nothing))
        if groups.doubtful:
            self._add(tr("Doubtful: look yourself"), members(groups.doubtful))

    def _standing(self, run: Run | None) -> Standing:
        if run is None:
            return Standing(None, tr("No run yet. Name the athlete in a run's facts."))
        readings = self._readings.of([run.id])
        return standing_of(readings[0].first_cause if readings else None)

    def _add(self, title: str, members: list[Member], *, day: bool = False) -> GroupView:
        view = GroupView(title, members, self._list, day=day)
        view.run_wanted.connect(self.run_wanted)
        view.day_wanted.connect(self._day)
        self._column.insertWidget(len(self.groups), view)
        self.groups.append(view)
        return view

    def _clear(self) -> None:
        for view in self.groups:
            view.hide()
            view.deleteLater()
        self.groups.clear()
        self._days.clear()

    @Slot()
    def _day(self) -> None:
        view = self.sender()
        assert isinstance(view, GroupView)
        self.day_wanted.emit(*self._days[view], float(self.minutes.value()) or None)


def _newest(project: Project) -> dict[str, Run | None]:
    return {one: newest_run(one, project.runs.values()) for one in project.athletes}


def _members(
    project: Project, runs: Mapping[str, Run | None], standings: Mapping[str, Standing], ids: Iterable[str]
) -> list[Member]:
    found = []
    for one in ids:
        run = runs[one]
        words = [_run_words(run), standings[one].doubt]
        said_so = "\n".join(line for line in words if line)
        found.append(Member(one, project.athletes[one].code, "" if run is None else run.id, said_so))
    return sorted(found, key=lambda member: member.code)


def _head(project: Project) -> str:
    if not project.athletes:
        return tr("Nobody to group yet. Name the athlete in the facts of a run.")
    return tr("By the first cause of each athlete's newest run. The coach's own word counts before it.")


def _run_words(run: Run | None) -> str:
    if run is None:
        return ""
    words = [run.name, run.conditions.day]
    if run.overruled is not None:
        words.append(tr("the coach's word: {reason}").format(reason=run.overruled.reason))
    return " · ".join(word for word in words if word)
