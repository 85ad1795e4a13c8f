"""The rail beside a film, measured from its pixels: blocks as tall as contacts last, nothing too early."""

import numpy as np
import pytest

from analysis.report.ink import Ink
from analysis.report.rail_blocks import rail_content
from analysis.report.rail_column import RailColumn
from analysis.values.run import Side
from tests.app.rail.invented import a_film, a_reading, a_run

HEIGHT = 720
INK = Ink()


@pytest.fixture(scope="module")
def seen():
    run = a_run()
    content = rail_content(run, a_film(run), a_reading(run))
    return run, content, RailColumn(content, HEIGHT)


def is_colour(picture, name):
    shade = np.array([int(name[n : n + 2], 16) for n in (1, 3, 5)])
    return np.abs(picture[..., 2::-1].astype(int) - shade).sum(axis=2) < 12


def rows_of(column, picture, side):
    """The rows on which the middle of a side's track is that side's colour."""
    left, right = column.track(side)
    name = INK.of(side)
    return np.flatnonzero(is_colour(picture, name)[:, round((left + right) / 2)])


def whole(content):
    return [b for b in content.blocks if b.footfall_id and b.top_s is not None and b.bottom_s is not None]


def test_every_contact_is_as_tall_as_it_lasted_on_its_own_side(seen):
    run, content, column = seen
    picture = column.pixels(int(run.last_frame))
    sure = [b for b in whole(content) if not b.draft]
    assert len(sure) > 2
    per_s = None
    for block in sure:
        rows = rows_of(column, picture, block.track)
        inside = rows[(rows > column.y(block.top_s) - 4) & (rows < column.y(block.bottom_s) + 4)]
        tall = np.ptp(inside)
        lasted = block.bottom_s - block.top_s
        per_s = per_s or tall / lasted
        assert tall == pytest.approx(per_s * lasted, abs=2)  # two edges, each to the pixel


def test_time_runs_downwards_and_nothing_stands_there_before_it_has_happened(seen):
    run, content, column = seen
    first = whole(content)[0]
    touchdown = next(f.touchdown for f in run.footfalls if f.id == first.footfall_id)
    before, after = (column.pixels(int(touchdown) + n) for n in (-1, 6))
    top, bottom = round(column.y(first.top_s)), round(column.y(first.bottom_s))
    assert top < bottom
    assert not any(top + 1 <= row <= bottom for row in rows_of(column, before, first.track))
    grown = [row for row in rows_of(column, after, first.track) if row >= top - 1]
    assert grown
    assert max(grown) < bottom


def test_a_number_appears_when_its_event_has_passed(seen):
    run, content, column = seen
    block = next(b for b in whole(content) if b.number is not None)
    toe_off = next(f.toe_off for f in run.footfalls if f.id == block.footfall_id)
    left, right = column.track(block.track)
    across = slice(0, round(left) - 2) if block.track is Side.LEFT else slice(round(right) + 2, None)
    y = round(column.y((block.top_s + block.bottom_s) / 2))
    bright = [
        (column.pixels(int(toe_off) + n)[y - 20 : y + 20, across, :3].min(axis=2) > 200).sum()
        for n in (-1, 0)
    ]
    assert bright[0] == 0
    assert bright[1] > 10


def test_a_column_is_narrow_and_as_high_as_the_picture(seen):
    run, _, column = seen
    picture = column.pixels(int(run.first_frame))
    assert picture.shape == (HEIGHT, column.width, 4)
    assert column.width < 0.2 * HEIGHT * 16 / 9
