"""Asks who will see what is about to be written."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.run.audience_choice import AudienceChoice
from app.run.section_view import said
from app.theme.tokens import Space


class AudienceDialog(QDialog):
    """Not modal; ``words`` say what is written."""

    def __init__(self, parent: QWidget, title: str, words: str, *, offer_names: bool = True) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.choice = AudienceChoice(self, offer_names=offer_names)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        self.write = buttons.addButton(tr("Write…"), QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(Space.WIDE)
        column.addWidget(said(words, "caption", wrap=True))
        column.addWidget(self.choice)
        column.addWidget(buttons)
