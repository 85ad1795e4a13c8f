"""What is painted: only the strip that changes, numbers never over each other, both themes, large text."""

import time

import pytest
from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from analysis.report.rail_blocks import rail_content
from analysis.report.rail_scale import TimeScale
from analysis.values.run import Side
from app.rail.columns import Columns
from app.rail.ink import Ink
from app.rail.painter import RailPainter
from app.rail.rail import StepRail
from app.theme.apply import apply_theme
from app.theme.tokens import DARK, LIGHT, THEMES
from tests.app.rail.hand import track_x, y_of
from tests.app.rail.invented import a_film, a_reading, a_run


def colour_at(widget, x, y):
    """Colour at a place in widget pixels, at any scale of the screen."""
    image = widget.grab().toImage()
    ratio = image.devicePixelRatio()
    return image.pixelColor(int((x + 0.5) * ratio), int((y + 0.5) * ratio)).name().upper()


class Spy(StepRail):
    """Remembers what was painted."""

    def __init__(self):
        self.painted = []
        super().__init__()

    def paintEvent(self, event):
        self.painted.append(event.region())
        super().paintEvent(event)


@pytest.fixture
def spy(qtbot, run):
    spy = Spy()
    qtbot.addWidget(spy)
    spy.resize(spy.sizeHint().width(), 640)
    spy.show_run(run, a_film(run), a_reading(run))
    with qtbot.waitExposed(spy):
        spy.show()
    spy.repaint()
    return spy


def test_only_the_playhead_s_strips_are_painted_when_the_film_moves(qtbot, spy):
    spy.set_frame(30)
    qtbot.waitUntil(lambda: len(spy.painted) > 0)
    spy.repaint()
    spy.painted.clear()
    spy.set_frame(110)
    qtbot.waitUntil(lambda: len(spy.painted) > 0)
    region = spy.painted[0]
    heights = [rect.height() for rect in region]
    assert sum(heights) < 160, "two strips, not the whole rail"
    tops = [y_of(spy, 30), y_of(spy, 110)]
    assert all(any(rect.top() <= y <= rect.bottom() for rect in region) for y in tops)


def test_a_strip_looks_as_if_all_had_been_painted(qtbot, spy):
    for frame in (30, 43, 44, 60, 110, 5):
        spy.set_frame(frame)
        spy.repaint(spy._strip())
    kept = spy.grab().toImage()
    fresh = Spy()
    qtbot.addWidget(fresh)
    fresh.resize(spy.size())
    run = a_run()
    fresh.show_run(run, a_film(run), a_reading(run))
    fresh.set_frame(5)
    fresh.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    if not spy.hasFocus():
        assert fresh.grab().toImage() == kept


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_blocks_have_their_side_s_colour_on_their_side_s_track(qapp, rail, theme):
    apply_theme(qapp, theme)
    for side, frame in ((Side.LEFT, 41), (Side.RIGHT, 61)):
        x = rail._columns.track_x(side) + 6
        assert colour_at(rail, round(x), round(y_of(rail, frame))) == theme.side(side).fill
    assert colour_at(rail, 2, rail.height() // 2) == theme.surface


def test_a_draft_is_hollow(qtbot, qapp):
    run = a_run(4, draft_last=True)
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.resize(360, 640)
    rail.show_run(run, a_film(run), a_reading(run))
    x = round(track_x(rail, Side.RIGHT)) - 12
    assert colour_at(rail, x, round(y_of(rail, 102))) == LIGHT.surface


class Written(Ink):
    """A pen that remembers its boxes."""

    def text(self, box, words, colour, align=Qt.AlignmentFlag.AlignCenter, *, bold=False):
        self.__dict__.setdefault("boxes", []).append((words, QRectF(box)))


def numbers_of(count, height, points, qapp, stacked):
    """Boxes of all numbers that a rail of that height writes."""
    font = qapp.font()
    font.setPointSizeF(points)
    columns = Columns.of(font) if stacked else Columns.widest(font)
    run = a_run(count)
    content = rail_content(run, a_film(run), a_reading(run))
    cells = content.cells
    scale = TimeScale.fitted(cells.time(0), cells.time(run.last_frame), columns.header, height)
    image = QImage(100, 100, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    ink = Written(painter, DARK, font, columns.mark, columns.line)
    RailPainter(ink, columns, scale, content).numbers(QRectF(0, 0, 2000, height))
    painter.end()
    return columns, [(words, box) for words, box in ink.__dict__["boxes"] if words]


@pytest.mark.parametrize("stacked", [False, True])
@pytest.mark.parametrize("points", [10, 20])
@pytest.mark.parametrize(("count", "height"), [(4, 640), (12, 640), (30, 500), (30, 2000)])
def test_numbers_are_never_written_over_each_other(qapp, count, height, points, stacked):
    columns, written = numbers_of(count, height, points, qapp, stacked)
    assert written
    for n, (words, box) in enumerate(written):
        for other, there in written[n + 1 :]:
            shared = box.intersected(there)
            # lines of two tall may touch
            touching = shared.height() <= 0.15 * columns.line or shared.width() <= 0.5
            assert shared.isEmpty() or touching, (words, other)


@pytest.mark.parametrize("points", [10, 20])
def test_with_room_every_number_is_written(qapp, points):
    _, written = numbers_of(12, 4000, points, qapp, stacked=False)
    values = [words for words, _ in written if words.isdigit()]
    assert len(values) == 12 + 11 + 2


def test_a_strip_costs_a_small_part_of_the_whole_rail(qtbot):
    run = a_run(30)
    rail = StepRail()
    qtbot.addWidget(rail)
    rail.resize(360, 900)
    rail.show_run(run, a_film(run), a_reading(run))
    with qtbot.waitExposed(rail):
        rail.show()
    spent = {"strip": [], "whole": []}
    for frame in range(100, 140):
        rail.set_frame(frame)
        for name, area in (("strip", rail._strip()), ("whole", rail.rect())):
            begun = time.perf_counter()
            rail.repaint(area)
            spent[name].append(time.perf_counter() - begun)
    strip, whole = (sorted(times)[len(times) // 2] for times in spent.values())
    assert strip < whole / 2


def test_the_rail_leaves_nothing_behind(qtbot, rail):
    assert rail.findChildren(QObject) == []
