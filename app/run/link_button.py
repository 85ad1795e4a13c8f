"""Words that can be chosen."""

from __future__ import annotations

from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget


class LinkButton(QPushButton):
    """A button that looks like a link. Put it into a column to the left: else it would bound its width."""

    def __init__(self, words: str, parent: QWidget | None = None) -> None:
        super().__init__(words, parent)
        self.setProperty("role", "link")
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(words)

    def say(self, words: str) -> None:
        """Show other words."""
        self.setText(words)
        self.setAccessibleName(words)
