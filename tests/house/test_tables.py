"""Every table of the window can be copied into a spreadsheet."""

import ast
from pathlib import Path

import pytest

APP = Path(__file__).parents[2] / "app"
VIEWS = {"QTableView", "QTableWidget", "QTreeView", "QTreeWidget"}


def makes_a_table(source):
    """Whether a table is made here, or made one's own."""
    for node in ast.walk(ast.parse(source)):
        named = node.bases if isinstance(node, ast.ClassDef) else []
        named = [node.func] if isinstance(node, ast.Call) else named
        if any(isinstance(one, ast.Name) and one.id in VIEWS for one in named):
            return True
    return False


TABLES = [path for path in sorted(APP.rglob("*.py")) if makes_a_table(path.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_a_table_is_made_with_what_copies_it(path):
    source = path.read_text(encoding="utf-8")
    assert "copyable(" in source or "TableCopy(" in source


def test_tables_are_found():
    assert len(TABLES) > 8
    assert makes_a_table("class A(QTableView): pass")
    assert makes_a_table("a = QTreeWidget(b)")
    assert not makes_a_table("a = QListWidget(b)")
