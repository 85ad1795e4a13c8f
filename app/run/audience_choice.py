"""For whom something is handed over: which faces are hidden, whether anybody may see it, whether it names."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QComboBox, QFormLayout, QVBoxLayout, QWidget

from analysis.values.audience import Audience, Faces
from analysis.values.words import tr
from app.run.section_view import said
from app.theme.tokens import Space

_FACES = (
    (tr("covered where you placed a cover"), Faces.PLACED),
    (tr("covered, or not shown at all"), Faces.ALL),
    (tr("shown, also where you placed a cover"), Faces.SHOWN),
)


class AudienceChoice(QWidget):
    """What every dialog of what is handed over asks; what was chosen stays until the program ends."""

    def __init__(self, parent: QWidget, *, offer_names: bool = True) -> None:
        """``offer_names``: whether names may stand over it where it is not public."""
        super().__init__(parent)
        self.faces = QComboBox(self)
        for words, kind in _FACES:
            self.faces.addItem(words, kind)
        self.named = QCheckBox(tr("Athlete, run and day over it"), self)
        self.named.setVisible(offer_names)
        self.public = QCheckBox(tr("Public version: no names, only with the consent to be shown"), self)
        self.public.toggled.connect(self._public_toggled)
        form = QFormLayout()
        form.addRow(tr("Faces"), self.faces)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(Space.WIDE)
        column.addLayout(form)
        column.addWidget(self.named)
        column.addWidget(self.public)
        words = tr("A covered face is no anonymity: gait, kit and place stay.")
        column.addWidget(said(words, "caption", wrap=True))

    @property
    def audience(self) -> Audience:
        """What was chosen."""
        faces = Faces(self.faces.currentData())
        return Audience(faces, self.public.isChecked(), self.named.isChecked())

    @Slot(bool)
    def _public_toggled(self, public: bool) -> None:
        self.named.setEnabled(not public)
