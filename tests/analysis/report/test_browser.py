"""The pages in a real browser, on phone and desk: silent, asking nobody, every number as it was read."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from pypdfium2 import raw

from analysis.report.content import Heading, Table
from analysis.report.page import as_html
from analysis.report.page_athlete import athlete_content
from analysis.report.page_coach import coach_content
from analysis.report.page_season import season_content
from analysis.report.page_squad import squad_content
from tests.analysis.report.pages import HOSTILE, called, whole_told
from tests.analysis.report.seasons import season, squad_of
from tests.helpers.axe import axe_source, serious_faults
from tests.helpers.browser import browser

WIDTHS = (390, 1280)
NUMBERS = "[...document.querySelectorAll('data')].map(e => [e.dataset.key, +e.value, e.textContent])"
WIDER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
SMALL = """[...document.querySelectorAll('p, li, dd, td, th')].filter(e => e.textContent.trim()
    && parseFloat(getComputedStyle(e).fontSize) < 12).length"""


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    with browser(tmp_path_factory.mktemp("browser")) as running:
        yield running


@pytest.fixture(scope="module")
def axe():
    return axe_source()


@pytest.fixture(scope="module")
def contents():
    told = whole_told()
    hostile = called(told, " ".join(HOSTILE))
    squad = [season("W7", 0, -0.1), season("W9", 0, 0.001), season("B2", 0)]
    busy = replace(told, day=replace(told.day, drills=told.day.drills * 6))
    return {
        "coach": coach_content(told),
        "athlete": athlete_content(told),
        "busy athlete": athlete_content(busy),
        "squad": squad_content(squad),
        "squad of 24": squad_content(squad_of(24)),
        "season": season_content(squad[0]),
        "hostile": coach_content(hostile),
        "hostile season": season_content(replace(squad[0], code=" ".join(HOSTILE))),
    }


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["coach", "athlete", "squad", "season"])
def test_a_page_is_without_a_serious_fault(page, axe, contents, tmp_path, name, width):
    _check(page, contents[name], tmp_path / "page.html", width)
    assert serious_faults(page, axe) == []


@pytest.mark.parametrize("name", ["coach", "squad", "season"])
def test_at_a_desk_no_table_has_to_be_pushed_aside(page, contents, tmp_path, name):
    path = tmp_path / "page.html"
    path.write_text(as_html(contents[name]), encoding="utf-8")
    page.open(path, WIDTHS[1])
    wide = "[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > e.clientWidth).length"
    assert page.ask("document.querySelectorAll('.wide').length") > 1
    assert page.ask(wide) == 0


@pytest.mark.parametrize("name", ["hostile", "hostile season"])
def test_names_do_no_harm_and_are_shown_as_written(page, contents, tmp_path, name):
    _check(page, contents[name], tmp_path / "page.html", WIDTHS[0])


def _check(page, content, path, width):
    """Silent, whole, within the window, and at nobody's door."""
    path.write_text(as_html(content), encoding="utf-8")
    page.open(path, width)
    assert page.ask(NUMBERS) == [[one.key, one.value, one.text] for one in content.numbers]
    assert page.ask(WIDER) <= 0
    assert page.ask(SMALL) == 0
    heading = page.ask("document.querySelector('h1').innerText")
    assert "".join(heading.split()) == "".join(" · ".join(content.heading).split())
    assert page.ask("document.images.length") == page.ask(
        "[...document.images].filter(i => i.naturalWidth).length"
    )
    picture = np.asarray(Image.open(io.BytesIO(page.picture())).convert("L"))
    assert picture.shape[0] > 600
    assert 0.002 < np.mean(picture < 128) < 0.5
    assert page.complaints == []
    assert [url for url in page.requests if not url.startswith("data:image/jpeg")] == [path.as_uri()]


A4_PT = (595.3, 841.9)
"""ISO 216: 210 by 297 mm."""
READABLE_PT = 8.0
"""Tables in print are to be read at arm's length (common practice, no source)."""


def printed(page, content, path):
    """The page as the browser prints it: sheets of text with the size of each letter, and as pictures."""
    path.write_text(as_html(content), encoding="utf-8")
    page.open(path, 1280)
    pdf = page.printed()
    with pypdfium2.PdfDocument(pdf) as document:
        return [_sheet(sheet) for sheet in document]


def _sheet(sheet):
    text, matrix, letters = sheet.get_textpage(), raw.FS_MATRIX(), []
    for place in range(text.count_chars()):
        letter = text.get_text_range(place, 1)
        if letter.strip():
            raw.FPDFText_GetMatrix(text, place, matrix)
            size = raw.FPDFText_GetFontSize(text, place) * abs(matrix.d)
            letters.append((letter, size, *text.get_charbox(place)))
    picture = sheet.render(scale=1, grayscale=True).to_numpy().squeeze()
    return sheet.get_size(), letters, text.get_text_range(), picture


PAPERS = ["coach", "athlete", "busy athlete", "squad", "squad of 24", "season", "hostile"]


@pytest.mark.parametrize("name", PAPERS)
def test_printed_on_paper_nothing_is_cut_and_every_number_can_be_read(page, contents, tmp_path, name):
    content = contents[name]
    sheets = printed(page, content, tmp_path / "page.html")
    if content.compact:
        assert len(sheets) == 1
    edge = 12 / 25.4 * 72  # of the 14 mm that are left free
    for size, letters, _, picture in sheets:
        assert size == pytest.approx(A4_PT, abs=1.0)
        assert min(letter[1] for letter in letters) >= READABLE_PT - 0.05
        assert min(left for _, _, left, *_ in letters) > edge
        assert max(right for *_, right, _ in letters) < size[0] - edge
        assert picture[:, : round(edge)].min() > 250
        assert picture[:, -round(edge) :].min() > 250
    words = "".join(text for *_, text, _ in sheets)
    parts = re.compile(r"\N{MINUS SIGN}?\d[\d.]*")
    wanted = Counter(part for one in content.numbers for part in parts.findall(one.text))
    found = Counter(parts.findall(words))
    assert not {part: (n, found[part]) for part, n in wanted.items() if found[part] < n}


@pytest.mark.parametrize("name", ["coach", "season"])
def test_printed_sheets_are_full_and_tear_nothing_apart(page, contents, tmp_path, name):
    """On each sheet but the last, what is written reaches its lower quarter; no sheet begins with the ± of a
    number of the sheet before it, and a table goes on under its head."""
    sheets = printed(page, contents[name], tmp_path / "page.html")
    names = [line.name for b in contents[name].blocks if isinstance(b, Table) for line in b.lines]
    assert len(sheets) > 1
    for place, (size, letters, text, _) in enumerate(sheets):
        if place < len(sheets) - 1:
            assert min(bottom for *_, bottom, _, _ in letters) < 0.25 * size[1], place
        first = " ".join(text.split())
        assert not first.startswith("±"), place
        assert not any(first.startswith(f"{row} ") for row in names), (place, first[:80])


@pytest.mark.parametrize("name", ["coach", "squad"])
def test_on_a_telephone_no_cell_of_a_list_is_out_of_sight(page, contents, tmp_path, name):
    """Tables of words stand as cards, each cell under its head; those of steps alone go sideways."""
    path = tmp_path / "page.html"
    path.write_text(as_html(contents[name]), encoding="utf-8")
    page.open(path, WIDTHS[0])
    beyond = """[...document.querySelectorAll('.list td, .list th[scope=row]')]
        .filter(e => e.getBoundingClientRect().right > innerWidth).length"""
    heads = """[...document.querySelectorAll('.list td')]
        .filter(e => !e.closest('.terse') || e.matches(':last-child'))
        .map(e => getComputedStyle(e, '::before').content).filter(c => c.length < 4).length"""
    assert page.ask("document.querySelectorAll('.list td').length") > 10
    assert page.ask(beyond) == 0
    assert page.ask(heads) == 0


def test_the_ways_to_the_headings_lead_there(page, contents, tmp_path):
    path = tmp_path / "page.html"
    path.write_text(as_html(contents["coach"]), encoding="utf-8")
    page.open(path, 390)
    ways = page.ask("[...document.querySelectorAll('nav a')].map(a => [a.innerText.trim(), a.hash])")
    headings = [b for b in contents["coach"].blocks if isinstance(b, Heading) and b.level == 2]
    assert [words for words, _ in ways] == [one.words for one in headings]
    there = (
        "[...document.querySelectorAll('nav a')].map(a => document.querySelector(a.hash).innerText.trim())"
    )
    found = page.ask(there)
    assert found == [words for words, _ in ways]


def test_a_page_that_breaks_the_rules_is_caught(page, axe, tmp_path):
    """The checks above can fail: a script that speaks, a picture from elsewhere, a picture without words."""
    path = tmp_path / "bad.html"
    elsewhere = (tmp_path / "x.png").as_uri()
    path.write_text(f"<html><script>console.error('x')</script><img src='{elsewhere}'>", encoding="utf-8")
    page.open(path, 1280)
    faults = {one["rule"] for one in serious_faults(page, axe)}
    assert {"image-alt", "html-has-lang"} <= faults
    assert any('"x"' in one for one in page.complaints)
    assert elsewhere in page.requests
