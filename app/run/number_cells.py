"""A number as a cell of a table: what it gives for each role of Qt's views."""

from __future__ import annotations

from PySide6.QtCore import Qt

from analysis.report.words import Unit, error_text, explanation, spoken, value_text
from analysis.values.estimate import Result

Cell = dict[int, object]
"""What a cell gives, by role."""

_Role = Qt.ItemDataRole

ERROR_ROLE = int(_Role.UserRole) + 1
"""The uncertainty's text, for the delegate, which writes it fainter than the value."""

WIDEST_ERROR_ROLE = int(_Role.UserRole) + 2
"""The longest uncertainty in the column: behind it every value of the column ends in one line."""

QUIET_ROLE = int(_Role.UserRole) + 3
"""Whether a number is written fainter: it rests on a guess."""


def number_cell(name: str, result: Result, unit: Unit, digits: int, more: str = "") -> Cell:
    """A number with its uncertainty, its interval or reason, and the words that are read out.

    ``more``: another sentence about it.
    """
    return {
        int(_Role.DisplayRole): value_text(result, unit, digits),
        ERROR_ROLE: error_text(result, unit, digits),
        int(_Role.TextAlignmentRole): Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
        int(_Role.ToolTipRole): _with(explanation(result, unit), more),
        int(_Role.AccessibleTextRole): _with(spoken(name, result, unit), more),
    }


def _with(words: str, more: str) -> str:
    """Another sentence behind words that may end with a full stop, or not."""
    return f"{words}. {more}".replace("..", ".") if more else words


def line_up(column: list[Cell]) -> None:
    """Have the values of a column end in one line."""
    widest = max((str(cell.get(ERROR_ROLE, "")) for cell in column), key=len, default="")
    for cell in column:
        cell[WIDEST_ERROR_ROLE] = widest
