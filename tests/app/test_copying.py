"""Tables on the clipboard, as a spreadsheet and as other programs take them, by general parsers."""

from __future__ import annotations

import csv
import io
import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QTableWidget, QTableWidgetItem, QTreeWidget, QTreeWidgetItem

from analysis.report import sections
from analysis.report.words import METRES_PER_SECOND, SECONDS
from analysis.values.estimate import Estimate, NoValue
from app.copying import TableCopy, apart, as_cell, copyable, put
from app.run.section_view import SectionView

ROOT = Path(__file__).resolve().parents[2]


def copied():
    """What a spreadsheet makes of the text, and the cells of the table for other programs."""
    mime = QGuiApplication.clipboard().mimeData()
    text = list(csv.reader(io.StringIO(mime.text()), delimiter="\t"))
    table = ET.fromstring(mime.html()[mime.html().index("<table>") :].replace("align=right", ""))
    return text, [[cell.text or "" for cell in row] for row in table]


@pytest.fixture
def table(qtbot):
    table = QTableWidget(3, 3)
    qtbot.addWidget(table)
    table.setHorizontalHeaderLabels(["who", "metres", "hidden"])
    words = (("A", "1.5", "x"), ("=1+1", "\N{MINUS SIGN}0.25", "y"), ("C & <D>", "", "z"))
    for row, cells in enumerate(words):
        for column, cell in enumerate(cells):
            table.setItem(row, column, QTableWidgetItem(cell))
    table.setColumnHidden(2, True)
    copyable(table)
    return table


def test_nothing_selected_copies_all_with_headings_and_both_forms_agree(table, qtbot):
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    text, html = copied()
    assert text == html
    assert text[0] == ["who", "metres"]
    assert [row[0] for row in text[1:]] == ["A", "'=1+1", "C & <D>"]
    assert float(text[1][1]) == 1.5
    assert float(text[2][1]) == -0.25  # a minus sign of the screen is a number's for a spreadsheet


def test_the_selected_rows_alone_are_copied(table, qtbot):
    table.selectRow(2)
    qtbot.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert copied()[0] == [["who", "metres"], ["C & <D>", ""]]


def test_the_context_menu_copies_too(table):
    table.selectRow(0)
    assert table.contextMenuPolicy() is Qt.ContextMenuPolicy.ActionsContextMenu
    selection, whole = table.actions()
    whole.trigger()
    assert len(copied()[0]) == 4
    selection.trigger()
    assert len(copied()[0]) == 2


def test_a_tree_is_copied_from_top_to_bottom(qtbot):
    tree = QTreeWidget()
    qtbot.addWidget(tree)
    tree.setHeaderLabels(["drill", "sets"])
    block = QTreeWidgetItem(tree, ["foundation"])
    block.addChild(QTreeWidgetItem(["hops", "3"]))
    QTreeWidgetItem(tree, ["sprint"])
    copyable(tree)
    tree.findChild(TableCopy).copy_all()
    assert copied()[0] == [["drill", "sets"], ["foundation", ""], ["hops", "3"], ["sprint", ""]]


@pytest.mark.parametrize("words", ["=SUM(A1)", "+41 79", "-x", "@me", "'quoted"])
def test_words_that_look_like_a_formula_stay_words(qapp, words):
    """The beginnings of the OWASP page on CSV injection: = + - @ (from memory)."""
    put([["note"], [words]])
    assert copied() == ([["note"], [f"'{words}"]],) * 2


def test_a_number_and_its_uncertainty_stand_in_cells_of_their_own(qapp):
    minus = "\N{MINUS SIGN}"
    rows = [["what", "m/s", "°"], ["a", "7.33 ± 0.11", f"{minus}1 ± 18°"], ["b", "–", "48 ± 3°\n differs"]]
    put(apart(rows))
    text, html = copied()
    assert text == html
    assert text == [
        ["what", "m/s", "± m/s", "°", "± °", ""],
        ["a", "7.33", "0.11", "-1", "18", "°"],
        ["b", "–", "", "48", "3", "° differs"],
    ]


def test_a_block_of_numbers_beside_the_film_gives_the_number_its_half_width_and_the_unit(qtbot):
    view = SectionView()
    qtbot.addWidget(view)
    rows = (
        sections.row("Split", Estimate(1.4612, 0.0055, 1.4502, 1.4722), SECONDS),
        sections.row("Speed", NoValue("No marks."), METRES_PER_SECOND),
    )
    view.show_section(sections.Section("At 5 m", rows))
    view.findChild(TableCopy).copy_all()
    assert copied()[0] == [
        ["At 5 m", "", "±", ""],
        ["Split", "1.461", "0.011", "s"],
        ["Speed", "–", "", ""],
    ]


def test_names_before_the_rows_are_copied_too(qtbot):
    table = QTableWidget(2, 1)
    qtbot.addWidget(table)
    table.setHorizontalHeaderLabels(["rep 1"])
    table.setVerticalHeaderLabels(["Speed, m/s", "Angle, °"])
    for place, words in enumerate(("4.2 ± 0.3", "31 ± 2")):
        table.setItem(place, 0, QTableWidgetItem(words))
    copyable(table)
    table.findChild(TableCopy).copy_all()
    assert copied()[0] == [["", "rep 1", "± rep 1"], ["Speed, m/s", "4.2", "0.3"], ["Angle, °", "31", "2"]]


def test_after_a_copy_the_program_ends_as_it_should():
    script = (
        "from app.application import make_app\nfrom app.copying import put\napp = make_app()\nput([['a']])"
    )
    env = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    assert subprocess.run([sys.executable, "-c", script], env=env, cwd=ROOT, check=False).returncode == 0


def test_a_line_end_in_a_cell_does_not_begin_a_row(qapp):
    put([["along\nm", "a\tb"], [None, -3.0]])
    assert copied()[0] == [["along m", "a b"], ["", "-3"]]


def test_what_reads_as_a_number_is_one():
    assert as_cell("\N{MINUS SIGN}12.5") == -12.5
    for words in ("48 ± 3", "007", "1_000", "nan", "1e5"):
        assert as_cell(words) == words
