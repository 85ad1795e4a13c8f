"""Forms of facts: a heading, then a field in each row, named for who can't see it."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtWidgets import QFormLayout, QLabel, QLineEdit, QWidget

NamedRow = tuple[str, str, QWidget]
"""Name, help and field; a field that comes with both has an empty help."""


def headed_form(parent: QWidget, heading: str, rows: Iterable[NamedRow]) -> QFormLayout:
    """A form that stands among others, under its own heading."""
    form = QFormLayout(parent)
    form.setContentsMargins(0, 0, 0, 0)
    form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
    title = QLabel(heading, parent)
    title.setProperty("role", "heading")
    form.addRow(title)
    add_rows(form, rows)
    return form


def add_rows(form: QFormLayout, rows: Iterable[NamedRow]) -> None:
    """A row for each field."""
    for words, help_text, field in rows:
        if help_text:
            field.setAccessibleName(words)
            field.setToolTip(help_text)
        form.addRow(words, field)


def line(placeholder: str, parent: QWidget) -> QLineEdit:
    """A line to write in; ``placeholder``: what it says while it is empty."""
    field = QLineEdit(parent)
    field.setPlaceholderText(placeholder)
    return field
