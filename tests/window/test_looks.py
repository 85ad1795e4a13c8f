"""The window in light and dark, with text up to twice its size: nothing cut, everything reached and named."""

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QTabBar,
    QToolButton,
    QWidget,
)

from app import notice as notice_module
from app.main_window import MainWindow
from app.settings import Settings
from app.theme.apply import current_theme
from app.theme.tokens import DARK, LIGHT
from tests.helpers.accessible import assert_accessible, name_of
from tests.helpers.films import project_on
from tests.window.coach import Coach

SHOWING_WORDS = (QAbstractButton, QLabel, QComboBox, QAbstractSpinBox)


@pytest.fixture
def dressed(qtbot, home, small):
    """Opens a window of a size with a theme and a size of text, on a marked run."""
    windows = []

    def opened(size, theme="light", scale=1.0) -> Coach:
        settings = Settings(home / "settings.json")
        settings["theme"], settings["text_scale"] = theme, scale
        window = MainWindow(settings, home)
        windows.append(window)
        window.resize(*size)
        window.show()
        assert window.open_path(project_on(small))
        coach = Coach(qtbot, window)
        coach.wait_for(20)
        QApplication.processEvents()
        return coach

    yield opened
    for window in windows:
        window.close()
        window.deleteLater()


def within(widget: QWidget, window: QWidget) -> QRect:
    return QRect(widget.mapTo(window, QPoint()), widget.size())


def cut(window: QWidget) -> list[str]:
    """Controls on show that are smaller than their words, or stick out of what they lie in."""
    found = []
    for widget in window.findChildren(QWidget):
        if not isinstance(widget, SHOWING_WORDS) or not widget.isVisible():
            continue
        words = getattr(widget, "text", str)() or name_of(widget)
        if isinstance(widget, QLabel) and widget.wordWrap():
            enough = widget.height() >= widget.heightForWidth(widget.width()) - 1
        else:
            needed = widget.sizeHint()
            wide = widget.width() >= needed.width() or isinstance(widget, QComboBox)
            enough = wide and widget.height() >= needed.height() - 1
        parent = widget.parentWidget()
        inside = parent is None or parent.rect().contains(widget.geometry())
        if not (enough and inside):
            found.append(f"{type(widget).__name__} {words!r}: {widget.geometry()} needs {widget.sizeHint()}")
    return found


def overlapping(window: QWidget) -> list[tuple[str, str]]:
    """Controls of one parent that lie upon each other."""
    found = []
    for parent in window.findChildren(QWidget):
        shown = [
            child
            for child in parent.children()
            if isinstance(child, SHOWING_WORDS) and child.isVisible() and not isinstance(child, QLineEdit)
        ]
        for place, one in enumerate(shown):
            found += [
                (str(one), str(other))
                for other in shown[place + 1 :]
                if one.geometry().intersects(other.geometry())
            ]
    return found


@pytest.mark.parametrize("size", [(1440, 900), (1280, 800)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_nothing_is_cut_or_lies_upon_another(dressed, size, scale):
    coach = dressed(size, scale=scale)
    panels = coach.workspace.panels
    workspace = coach.workspace
    for panel in (workspace.summary, workspace.marks, workspace.camera, workspace.facts):
        panels.show_panel(panel)
        QApplication.processEvents()
        assert coach.window.size().toTuple() == size
        assert cut(coach.window) == []
        assert overlapping(coach.window) == []
    assert coach.view.width() > 0.4 * size[0]


def test_the_plan_holds_all_its_words_at_twice_the_text(dressed):
    coach = dressed((1280, 800), scale=2.0)
    for name in ("show_plan", "new_day"):
        coach.window.actions_table[name].trigger()
        QApplication.processEvents()
        assert coach.window.size().toTuple() == (1280, 800)
        buttons = coach.window.plan_workspace.findChildren(QToolButton)
        assert sum(button.isVisible() and bool(button.text()) for button in buttons) >= 7
        assert [line for line in cut(coach.window.plan_workspace) if line.startswith("QToolButton")] == []
        assert overlapping(coach.window.plan_workspace) == []


def test_the_window_gets_no_smaller_than_what_it_holds(dressed):
    coach = dressed((1280, 800))
    coach.window.resize(100, 100)
    QApplication.processEvents()
    assert coach.workspace.panels.narrow
    assert coach.view.width() >= 320
    assert coach.view.height() >= 180
    assert overlapping(coach.window) == []


def test_the_check_for_what_is_cut_finds_it(dressed):
    coach = dressed((1440, 900))
    coach.workspace.transport.where.setFixedWidth(40)
    QApplication.processEvents()
    assert len(cut(coach.window)) == 1


def test_text_grows_and_shrinks_by_keys_and_the_film_keeps_its_width(dressed):
    coach = dressed((1280, 800))
    width = coach.view.width()
    height = coach.window.saved.fontMetrics().height()
    coach.press("Ctrl+Shift+Up", 8)
    QApplication.processEvents()
    assert coach.window.saved.fontMetrics().height() == pytest.approx(2 * height, rel=0.1)
    assert coach.workspace.panels.narrow
    coach.press("Ctrl+Shift+Up")
    coach.press("Ctrl+Shift+Down", 9)
    QApplication.processEvents()
    assert coach.window.saved.fontMetrics().height() == height
    assert not coach.workspace.panels.narrow
    assert coach.view.width() == width


def test_the_text_has_its_size_from_the_start(dressed):
    coach = dressed((1280, 800), scale=2.0)
    sizes = {
        w.font().pointSizeF() for w in (coach.window.run_chooser, coach.window.saved, coach.workspace.rail)
    }
    assert sizes == {20.0}


def test_how_the_window_is_divided_is_kept(dressed, qtbot, home):
    coach = dressed((1440, 900))
    across = coach.workspace.panels.across
    handle = across.handle(1)
    qtbot.mousePress(handle, Qt.MouseButton.LeftButton, pos=QPoint(2, 50))
    qtbot.mouseMove(handle, QPoint(-98, 50))
    qtbot.mouseRelease(handle, Qt.MouseButton.LeftButton, pos=QPoint(2, 50))
    sizes = across.sizes()
    coach.window.close()
    again = MainWindow(Settings(home / "settings.json"), home)
    qtbot.addWidget(again)
    again.resize(1440, 900)
    again.show()
    QApplication.processEvents()
    assert again.run_workspace.panels.across.sizes() == pytest.approx(sizes, abs=4)


def test_dark_and_light(dressed):
    coach = dressed((1440, 900))
    assert current_theme() is LIGHT
    light = coach.window.grab().toImage()
    coach.window.actions_table["dark"].trigger()
    assert current_theme() is DARK
    dark = coach.window.grab().toImage()
    place = coach.window.saved.mapTo(coach.window, QPoint(2, -3))
    assert light.pixelColor(place).lightnessF() > 0.8
    assert dark.pixelColor(place).lightnessF() < 0.2
    coach.window.actions_table["dark"].trigger()
    assert current_theme() is LIGHT


# without eyes, without a mouse


@pytest.mark.parametrize("with_run", [True, False], ids=["with a run", "empty"])
def test_every_control_has_a_name(dressed, open_window, with_run):
    window = dressed((1440, 900)).window if with_run else open_window()
    assert_accessible(window)


def test_tab_reaches_every_control_and_its_focus_shows(dressed, qtbot):
    coach = dressed((1440, 900))
    window = coach.window
    coach.view.setFocus()
    seen, order, dull = set(), [], []
    widget = QApplication.focusWidget()
    while widget not in seen:
        seen.add(widget)
        order.append(widget)
        assert not widget.visibleRegion().isEmpty(), f"{widget} has the keyboard and can't be seen"
        # a table or scrolled panel is told by what is chosen in it
        if not _looks_otherwise_with_focus(widget):
            dull.append(str(widget))
        qtbot.keyClick(widget, Qt.Key.Key_Tab)
        widget = QApplication.focusWidget()
    wanted = [
        w
        for w in window.findChildren(QWidget)
        if w.focusPolicy() & Qt.FocusPolicy.TabFocus
        and w.isVisible()
        and w.isEnabled()
        and w.focusProxy() is None
        and not isinstance(w.parentWidget(), QAbstractSpinBox | QComboBox)
        and not (isinstance(w, QTabBar) and w.count() == 0)
    ]
    assert [str(w) for w in wanted if w not in seen] == []
    assert len(order) > 25
    assert dull == []


def _looks_otherwise_with_focus(widget: QWidget) -> bool:
    with_focus = widget.grab().toImage()
    widget.clearFocus()
    without = widget.grab().toImage()
    widget.setFocus(Qt.FocusReason.TabFocusReason)
    return with_focus != without


def test_a_message_is_read_out(window, monkeypatch):
    told = []

    def update(event) -> None:
        told.append((event.type(), name_of(window.notice)))

    monkeypatch.setattr(notice_module.QAccessible, "updateAccessibility", update)
    window.notice.say("Two marks stand at 5 m. Move one.")
    assert told == [(QAccessible.Event.Alert, "Two marks stand at 5 m. Move one.")]
    window.notice.say("")
    assert not window.notice.isVisible()


def test_a_message_shifts_nothing_and_can_be_closed(marked, qtbot):
    before = within(marked.view, marked.window)
    marked.window.notice.say("A sentence. " * 30)
    QApplication.processEvents()
    assert within(marked.view, marked.window) == before
    assert marked.window.rect().contains(within(marked.window.notice, marked.window))
    qtbot.mouseClick(marked.window.notice._close, Qt.MouseButton.LeftButton)
    assert not marked.window.notice.isVisible()
    assert not marked.window.notice._timer.isActive()


def test_labels_of_marks_lie_within_the_picture_s_place(marked, monkeypatch):
    from app.film.painting import ScenePainter

    boxes = []
    drawn = ScenePainter.label

    def label(self, text, x, y, colour=None):
        metrics = self._painter.fontMetrics()
        boxes.append((text, x, x + metrics.horizontalAdvance(text)))
        drawn(self, text, x, y, colour)

    monkeypatch.setattr(ScenePainter, "label", label)
    for u in (0.0, 319.0):
        marked.drag((160, 150), (u, 150))
        marked.view.grab()
        marked.press("Ctrl+Z")
    assert {text for text, _, _ in boxes} >= {"0 m", "5 m", "10 m"}
    assert all(left >= 0 and right <= marked.view.width() for _, left, right in boxes)


def test_a_message_covers_neither_the_film_nor_the_numbers(marked):
    """In the bar over everything; where there is no room for it, at the edge below."""
    marked.window.resize(1280, 800)
    QApplication.processEvents()
    marked.window.notice.say("Two marks stand at 5 m. Delete one of them or give it its own distance.")
    lies = within(marked.window.notice, marked.window)
    for part in (marked.view, marked.workspace.steps, marked.workspace.rail, marked.window.run_chooser):
        assert not lies.intersects(within(part, marked.window))
    marked.window.resize(marked.window.minimumSizeHint())
    QApplication.processEvents()
    assert marked.window.rect().contains(within(marked.window.notice, marked.window))
