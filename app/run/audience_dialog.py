"""Asks who will see what is about to be written."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QVBoxLayout, QWidget

from analysis.values.words import tr
from app.run.audience_choice import AudienceChoice
from app.run.section_view import said
from app.theme.tokens import Space


def write_buttons(dialog: QDialog, words: str) -> tuple[QDialogButtonBox, QPushButton]:
    """What a dialog ends with that asks how to write something: Cancel, and the button that writes."""
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, dialog)
    write = buttons.addButton(words, QDialogButtonBox.ButtonRole.AcceptRole)
    buttons.accepted.connect(dialog.accept)
    buttons.rejected.connect(dialog.reject)
    return buttons, write


class AudienceDialog(QDialog):
    """Not modal; ``words`` say what is written."""

    def __init__(self, parent: QWidget, title: str, words: str, *, offer_names: bool = True) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.choice = AudienceChoice(self, offer_names=offer_names)
        buttons, self.write = write_buttons(self, tr("Write…"))
        column = QVBoxLayout(self)
        column.setSpacing(Space.WIDE)
        column.addWidget(said(words, "caption", wrap=True))
        column.addWidget(self.choice)
        column.addWidget(buttons)
