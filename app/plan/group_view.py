"""One group of athletes: its question, who is in it and by which run, and a day for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.run.link_button import LinkButton
from app.run.section_view import said
from app.theme.tokens import Space


@dataclass(frozen=True)
class Member:
    """An athlete of a group; ``run_id``: the run that speaks for them, empty for none; ``words`` on it."""

    athlete_id: str
    code: str
    run_id: str
    words: str


class GroupView(QWidget):
    """A heading, the members, and where ``day`` a button that plans for them.

    Attributes: ``rows`` group, athlete and words, for a spreadsheet.

    Signals:
        day_wanted(): a day for the group.
        run_wanted(str): the coach wants to see this run.
    """

    day_wanted = Signal()
    run_wanted = Signal(str)

    def __init__(self, title: str, members: Sequence[Member], parent: QWidget, *, day: bool) -> None:
        super().__init__(parent)
        self._runs: dict[QPushButton, str] = {}
        self.rows = [[title, one.code, one.words] for one in members]
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, Space.BASE)
        column.setSpacing(Space.TIGHT)
        column.addWidget(said(title, "heading"))
        for one in members:
            column.addWidget(self._name(one), 0, Qt.AlignmentFlag.AlignLeft)
            column.addWidget(said(one.words, "caption", wrap=True))
        self.plan = QPushButton(tr("Plan a day for this group"), self)
        self.plan.setAccessibleName(tr("Plan a day for the group {title}").format(title=title))
        self.plan.setVisible(day)
        self.plan.clicked.connect(self.day_wanted)
        column.addWidget(self.plan)

    @property
    def names(self) -> tuple[QPushButton, ...]:
        """The members that can be clicked to see their runs, in order."""
        return tuple(self._runs)

    def _name(self, one: Member) -> QWidget:
        if not one.run_id:
            return said(one.code, "number")
        link = LinkButton(one.code, self)
        link.setToolTip(tr("Look at this run"))
        link.clicked.connect(self._clicked)
        self._runs[link] = one.run_id
        return link

    @Slot()
    def _clicked(self) -> None:
        link = self.sender()
        assert isinstance(link, QPushButton)
        self.run_wanted.emit(self._runs[link])
