"""Dress the application in a theme, and find out which one it wears."""

from __future__ import annotations

from PySide6.QtGui import QColor, QFont, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from app.theme.sheet import style_sheet
from app.theme.tokens import BASE_POINT_SIZE, LIGHT, THEMES, Theme, Type

_Role = QPalette.ColorRole


def apply_theme(app: QApplication, theme: Theme, scale: float = 1.0) -> None:
    """Give ``app`` the colours of ``theme`` and text of ``scale`` times the base size (1 to 2).

    What it wears already is not put on again, for a sheet goes through every widget there is. One in place of
    another goes through each of them once more for every widget above it, so the old one is taken off first.
    """
    sheet = style_sheet(theme, BASE_POINT_SIZE * scale)
    if app.styleSheet() == sheet and current_theme() is theme:
        return
    if app.styleSheet():
        app.setStyleSheet("")
    else:
        app.setStyle("Fusion")
    font = app.font()
    font.setPointSizeF(BASE_POINT_SIZE * scale)
    app.setFont(font)
    app.setPalette(_palette(theme))
    app.setStyleSheet(sheet)


def current_theme() -> Theme:
    """The theme that the application wears: its palette is the one place where that is kept."""
    window = QGuiApplication.palette().color(QPalette.ColorGroup.Active, _Role.Window).name().upper()
    return next((theme for theme in THEMES if theme.window == window), LIGHT)


def sized(font: QFont, size: Type, *, bold: bool = False) -> QFont:
    """``font`` at another size of the scale, with figures of one width so that columns of numbers stand."""
    out = QFont(font)
    out.setPointSizeF(font.pointSizeF() * size.value)
    out.setFeature(QFont.Tag("tnum"), 1)
    if bold:
        out.setWeight(QFont.Weight.DemiBold)
    return out


def _palette(theme: Theme) -> QPalette:
    palette = QPalette()
    colours = {
        _Role.Window: theme.window,
        _Role.WindowText: theme.text,
        _Role.Base: theme.surface,
        _Role.AlternateBase: theme.raised,
        _Role.Text: theme.text,
        _Role.PlaceholderText: theme.muted,
        _Role.Button: theme.raised,
        _Role.ButtonText: theme.text,
        _Role.BrightText: theme.error,
        _Role.ToolTipBase: theme.raised,
        _Role.ToolTipText: theme.text,
        _Role.Highlight: theme.accent,
        _Role.HighlightedText: theme.on_accent,
        _Role.Accent: theme.accent,
        _Role.Link: theme.accent,
        _Role.LinkVisited: theme.accent,
        _Role.Light: theme.surface,
        _Role.Midlight: theme.raised,
        _Role.Mid: theme.border,
        _Role.Dark: theme.outline,
        _Role.Shadow: theme.halo_dark,
    }
    for role, colour in colours.items():
        palette.setColor(role, QColor(colour))
    for role in (_Role.WindowText, _Role.Text, _Role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.outline))
    return palette
