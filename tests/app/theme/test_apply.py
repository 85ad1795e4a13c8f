"""The application's dress and its icons."""

import pytest
from PySide6.QtCore import QEvent, QObject, QSize
from PySide6.QtGui import QFontMetricsF, QIcon, QPalette
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from app.actions import TABLE
from app.theme.apply import apply_theme, current_theme, sized
from app.theme.glyphs import GLYPHS
from app.theme.icons import icon
from app.theme.tokens import BASE_POINT_SIZE, DARK, LIGHT, TARGET_PX, THEMES, Type


@pytest.fixture
def dress(qapp):
    yield lambda theme, scale=1.0: apply_theme(qapp, theme, scale)
    apply_theme(qapp, LIGHT)


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_the_theme_is_what_the_application_wears(qapp, dress, theme):
    dress(theme)
    assert current_theme() is theme
    assert qapp.palette().color(QPalette.ColorRole.WindowText).name().upper() == theme.text


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_text_grows_up_to_twice_its_size(qapp, qtbot, dress, scale):
    dress(LIGHT, scale)
    label = QLabel("163 ± 9 ms")
    qtbot.addWidget(label)
    label.show()
    assert qapp.font().pointSizeF() == pytest.approx(BASE_POINT_SIZE * scale)
    assert label.sizeHint().width() >= label.fontMetrics().horizontalAdvance(label.text())


def test_dressing_twice_does_not_grow_the_text(qapp, dress):
    dress(LIGHT, 1.5)
    dress(DARK, 1.5)
    assert qapp.font().pointSizeF() == pytest.approx(15.0)


class Restyled(QObject):
    """Counts how often a widget is told that its style is another."""

    count = 0

    def eventFilter(self, watched, event):
        self.count += event.type() is QEvent.Type.StyleChange
        return False


@pytest.fixture
def deep(qtbot, dress):
    """A label within twelve widgets, and how often it was restyled."""
    dress(LIGHT)
    window = within = QWidget()
    qtbot.addWidget(window)
    for _ in range(11):
        QVBoxLayout(within).addWidget(inner := QWidget())
        within = inner
    QVBoxLayout(within).addWidget(label := QLabel("163 ± 9 ms"))
    window.show()
    counter = Restyled(label)
    label.installEventFilter(counter)
    yield counter
    window.close()


def test_what_is_worn_already_is_not_put_on_again(deep, dress):
    dress(LIGHT)
    assert deep.count == 0


def test_another_size_of_text_goes_through_the_widgets_twice_however_deep_they_lie(deep, dress):
    dress(LIGHT, 1.5)
    assert deep.count == 2  # the old sheet off, the new one on
    assert deep.parent().font().pointSizeF() == pytest.approx(BASE_POINT_SIZE * 1.5)


def test_figures_have_one_width(qapp, dress):
    dress(LIGHT)
    metrics = QFontMetricsF(sized(qapp.font(), Type.CAPTION))
    assert len({round(metrics.horizontalAdvance(figure * 4), 3) for figure in "0123456789"}) == 1


def test_controls_are_tall_enough_to_be_hit(qtbot, dress):
    dress(LIGHT)
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    controls = [QPushButton("Go"), QLineEdit(), QCheckBox("loop")]
    for control in controls:
        column.addWidget(control)
    window.show()
    assert all(control.height() >= TARGET_PX for control in controls)


def test_every_action_with_an_icon_has_a_glyph():
    assert {spec.icon for spec in TABLE if spec.icon} <= set(GLYPHS)


@pytest.mark.parametrize("name", sorted(GLYPHS))
def test_a_glyph_stays_within_its_square(name):
    glyph = GLYPHS[name]()
    drawn = glyph.strokes.boundingRect().united(glyph.fills.boundingRect())
    assert drawn.width() > 4
    assert drawn.height() > 4
    assert drawn.left() >= 0.75
    assert drawn.top() >= 0.75
    assert drawn.right() <= 19.25
    assert drawn.bottom() <= 19.25


def test_no_two_glyphs_are_alike(qapp):
    images = {}
    for name in GLYPHS:
        image = icon(name, LIGHT).pixmap(QSize(40, 40)).toImage()
        same = [other for other, seen in images.items() if seen == image]
        assert not same, f"{name} looks like {same}"
        images[name] = image


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
def test_icons_are_sharp_at_every_scale(qapp, ratio):
    pixmap = icon("play", LIGHT).pixmap(QSize(20, 20), ratio)
    assert pixmap.width() == round(20 * ratio)
    # a triangle's flank takes a few pixels of mixed colour a row; a blurred one many more
    image = pixmap.toImage()
    mixed = [x for x in range(image.width()) if 0 < image.pixelColor(x, image.height() // 2).alpha() < 255]
    assert len(mixed) <= 3


def test_a_chosen_and_a_barred_icon_look_different(qapp):
    play = icon("play", LIGHT)
    states = [
        play.pixmap(QSize(20, 20), QIcon.Mode.Normal, QIcon.State.Off),
        play.pixmap(QSize(20, 20), QIcon.Mode.Normal, QIcon.State.On),
        play.pixmap(QSize(20, 20), QIcon.Mode.Disabled, QIcon.State.Off),
    ]
    images = [p.toImage() for p in states]
    colours = {image.pixelColor(image.width() * 9 // 20, image.height() // 2).name() for image in images}
    assert len(colours) == 3


def test_an_unknown_icon_is_an_error(qapp):
    with pytest.raises(KeyError):
        icon("no such thing", LIGHT)
