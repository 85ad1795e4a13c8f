"""The style sheet of a theme: what the palette alone can't say."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from string import Template

from app.theme.tokens import FOCUS_PX, TARGET_PX, Radius, Space, Theme, Type

# Widgets may carry role="heading", "caption", "figure", "warning", "error", "recording", "primary", "rows" or
# "panel" as a dynamic property: a look with a name instead of a style sheet of their own.
_SHEET = Template("""
QToolTip { background: $raised; color: $text; border: 1px solid $outline; padding: ${tight}px ${small}px; }
QWidget[role="panel"] { background: $surface; }
QLabel[role="heading"] { font-size: ${heading}pt; font-weight: 600; color: $text; }
QLabel[role="caption"] { font-size: ${caption}pt; color: $muted; }
QLabel[role="figure"] { font-size: ${figure}pt; font-weight: 600; color: $text; }
QLabel[role="number"] { font-weight: 600; }
QLabel[role="warning"] { color: $warning; }
QLabel[role="error"] { color: $error; }
QLabel[role="recording"] { background: $error; color: $surface; font-weight: 600; border-radius: ${control}px;
    padding: ${tight}px ${base}px; }

QMainWindow::separator, QSplitter::handle { background: $border; }
QMainWindow::separator:hover, QSplitter::handle:hover { background: $accent; }
QSplitter::handle:horizontal { width: 1px; border-left: 3px solid $window; border-right: 3px solid $window; }
QSplitter::handle:vertical { height: 1px; border-top: 3px solid $window; border-bottom: 3px solid $window; }

QMenuBar { background: $raised; border-bottom: 1px solid $border; }
QMenuBar::item { padding: ${tight}px ${base}px; background: transparent; border-radius: ${control}px; }
QMenuBar::item:selected { background: $hover; }
QMenu { background: $surface; border: 1px solid $border; padding: ${tight}px; }
QMenu::item { padding: ${small}px ${page}px ${small}px ${wide}px; border-radius: ${mark}px; }
QMenu::icon { padding-left: ${small}px; }
QMenu::item:selected { background: $selection; color: $text; }
QMenu::item:disabled { color: $outline; }
QMenu::separator { height: 1px; background: $border; margin: ${tight}px ${base}px; }

QToolBar { background: $raised; border: none; border-bottom: 1px solid $border;
    padding: ${tight}px; spacing: 2px; }
QToolBar::separator { background: $border; width: 1px; margin: ${tight}px ${small}px; }
QStatusBar { background: $raised; border-top: 1px solid $border; color: $muted; }
QStatusBar::item { border: none; }

QToolButton { border: ${focus_px}px solid transparent; border-radius: ${control}px; padding: 3px;
    min-width: ${target_in}px; min-height: ${target_in}px; color: $text; }
QToolButton:hover { background: $hover; }
QToolButton:pressed { background: $pressed; }
QToolButton:checked { background: $selection; }
QToolButton:focus { border-color: $focus; }
QToolButton:disabled { color: $outline; }

QPushButton { background: $raised; border: 1px solid $outline; border-radius: ${control}px; color: $text;
    padding: ${tight}px ${wide}px; min-height: ${target_in}px; }
QPushButton:hover { background: $hover; }
QPushButton:pressed { background: $pressed; }
QPushButton:focus { border: ${focus_px}px solid $focus; padding: 3px 11px; }
QPushButton:disabled { color: $outline; border-color: $border; }
QPushButton[role="primary"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[role="primary"]:focus { border: ${focus_px}px solid $text; }
QPushButton[role="link"] { background: transparent; border: ${focus_px}px solid transparent; color: $accent;
    text-align: left; padding: 1px 0px; }
QPushButton[role="link"]:hover { background: $hover; }
QPushButton[role="link"]:focus { border-color: $focus; }

QLineEdit, QPlainTextEdit, QTextEdit, QAbstractSpinBox, QComboBox { background: $surface; color: $text;
    border: 1px solid $outline; border-radius: ${control}px; padding: 3px ${small}px;
    selection-background-color: $accent; selection-color: $on_accent; }
QLineEdit, QAbstractSpinBox, QComboBox { min-height: ${target_in}px; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QAbstractSpinBox:focus, QComboBox:focus {
    border: ${focus_px}px solid $focus; padding: 2px 5px; }
QLineEdit:disabled, QAbstractSpinBox:disabled, QComboBox:disabled { color: $outline; border-color: $border; }
QComboBox QAbstractItemView { background: $surface; border: 1px solid $outline;
    selection-background-color: $selection; selection-color: $text; }

QAbstractSpinBox QLineEdit, QComboBox QLineEdit, QAbstractSpinBox QLineEdit:focus, QComboBox QLineEdit:focus {
    border: none; padding: 0; min-height: 0; background: transparent; }
QComboBox::drop-down, QDateEdit::drop-down { border: none; width: ${target}px; }
QComboBox::down-arrow, QDateEdit::down-arrow { image: url("$marks/down.svg"); width: 12px; height: 12px; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: none; background: transparent;
    width: 20px; }
QAbstractSpinBox::up-button:hover, QAbstractSpinBox::down-button:hover { background: $hover; }
QAbstractSpinBox::up-arrow { image: url("$marks/up.svg"); width: 12px; height: 12px; }
QAbstractSpinBox::down-arrow { image: url("$marks/down.svg"); width: 12px; height: 12px; }

QCheckBox, QRadioButton { spacing: ${small}px; min-height: ${target}px; }
QCheckBox::indicator, QRadioButton::indicator, QAbstractItemView::indicator, QGroupBox::indicator {
    width: 16px; height: 16px; background: $surface; border: 1px solid $outline; border-radius: 3px; }
QRadioButton::indicator { border-radius: 9px; }
QCheckBox::indicator:hover, QRadioButton::indicator:hover { border-color: $accent; }
QCheckBox::indicator:focus, QRadioButton::indicator:focus { border: ${focus_px}px solid $focus;
    width: 14px; height: 14px; }
QCheckBox:focus, QRadioButton:focus { color: $focus; }
QCheckBox::indicator:checked, QAbstractItemView::indicator:checked, QGroupBox::indicator:checked {
    background: $accent; border-color: $accent; image: url("$marks/check.svg"); }
QRadioButton::indicator:checked { background: $accent; border-color: $accent; image: url("$marks/dot.svg"); }

QTableView, QListView, QTreeView { background: $surface; alternate-background-color: $raised;
    border: ${focus_px}px solid transparent;
    gridline-color: $border; selection-background-color: $selection; selection-color: $text; outline: none; }
QTableView:focus, QListView:focus, QTreeView:focus { border-color: $focus; }
QScrollArea:focus { border-color: $focus; }
QListView[role="rows"]::item, QTreeView[role="rows"]::item { min-height: ${target}px; }
QListView[role="rows"]::item:selected, QTreeView[role="rows"]::item:selected { background: $selection;
    color: $text; }
QHeaderView { background: $surface; }
QHeaderView::section { background: $surface; color: $muted; border: none; border-bottom: 1px solid $border;
    padding: ${tight}px; font-size: ${caption}pt; font-weight: 400; }
QTableCornerButton::section { background: $surface; border: none; border-bottom: 1px solid $border; }

QTabBar::tab { background: transparent; color: $muted; padding: ${small}px ${wide}px;
    border-bottom: 2px solid transparent; min-height: 18px; }
QTabBar[role="tight"]::tab { padding: ${small}px ${tight}px; }
QTabBar::tab:hover { color: $text; background: $hover; }
QTabBar::tab:selected { color: $text; border-bottom-color: $accent; }
QTabBar::tab:focus { color: $text; background: $hover; }
QTabWidget::pane { border: none; border-top: 1px solid $border; background: $surface; }
QDockWidget::title { background: $raised; padding: ${small}px ${base}px; border-bottom: 1px solid $border; }
QGroupBox { border: 1px solid $border; border-radius: ${control}px; margin-top: 0.9em;
    padding-top: ${base}px; }
QGroupBox::title { subcontrol-origin: margin; left: ${base}px; padding: 0 ${tight}px; color: $muted; }

QScrollArea { border: ${focus_px}px solid transparent; background: transparent; }
QScrollBar { background: transparent; border: none; margin: 0; }
QScrollBar:vertical { width: 12px; }
QScrollBar:horizontal { height: 12px; }
QScrollBar::handle { background: $outline; border-radius: 3px; }
QScrollBar::handle:vertical { margin: 2px 3px; min-height: ${target}px; }
QScrollBar::handle:horizontal { margin: 3px 2px; min-width: ${target}px; }
QScrollBar::handle:hover { background: $muted; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }

QProgressBar { background: $sunken; border: 1px solid $border; border-radius: ${control}px;
    text-align: center; }
QProgressBar::chunk { background: $accent; border-radius: ${mark}px; }
""")


def style_sheet(theme: Theme, points: float) -> str:
    """The sheet of ``theme`` with body text of ``points``."""
    words = {key: value for key, value in asdict(theme).items() if isinstance(value, str)}
    sizes = {size.name.lower(): f"{points * size.value:.2f}" for size in Type}
    lengths = {space.name.lower(): str(int(space)) for space in Space}
    radii = {radius.name.lower(): str(int(radius)) for radius in Radius}
    own = {"marks": (Path(__file__).parent / "marks" / theme.name).as_posix()}
    own |= {"focus_px": str(FOCUS_PX), "target": str(TARGET_PX), "target_in": str(TARGET_PX - 6)}
    return _SHEET.substitute(words | sizes | lengths | radii | own)
