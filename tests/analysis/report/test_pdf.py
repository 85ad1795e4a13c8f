"""The PDF read back by another program (PDFium): the page's words and numbers, on paper."""

import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest

from analysis.report.content import Facts, Heading, Page, Pictures, Table, Words, plain_facts
from analysis.report.page_athlete import athlete_content
from analysis.report.page_coach import coach_content
from analysis.report.pdf import as_pdf
from analysis.report.pdf_type import LACKING
from analysis.report.told import Told
from tests.analysis.report.pages import HOSTILE, called, told_of_day, whole_told


class Read:
    """A PDF as PDFium has it: text of all sheets, and each sheet as a picture."""

    def __init__(self, content):
        with pypdfium2.PdfDocument(content) as document:
            texts, self.pictures = [], []
            for sheet in document:
                texts.append(sheet.get_textpage().get_text_range())
                self.pictures.append(sheet.render(scale=1, grayscale=True).to_numpy().squeeze())
            self.title = document.get_metadata_value("Title")
        self.text = " ".join(" ".join(texts).split())


@pytest.fixture(scope="module")
def told() -> Told:
    return whole_told()


@pytest.fixture(scope="module")
def coach(told):
    return Read(as_pdf(coach_content(told)))


def test_every_number_of_the_page_is_in_the_pdf(told, coach):
    parts = re.compile(r"\N{MINUS SIGN}?\d[\d.]*")
    wanted = Counter(part for one in coach_content(told).numbers for part in parts.findall(one.text))
    found = Counter(parts.findall(coach.text))
    assert wanted.total() > 800
    assert not {part: (n, found[part]) for part, n in wanted.items() if found[part] < n}


def test_every_row_stands_in_its_order(told, coach):
    """Where cells did not break into lines, a row of the steps is one line of the text."""
    steps = next(b for b in coach_content(told).blocks if isinstance(b, Table) and b.title == "Steps")
    for line in steps.lines:
        assert " ".join((line.name, *(number.text for number in line.numbers))) in coach.text


def test_every_sentence_is_there_and_no_sign_is_lacking(told, coach):
    words = "".join(coach.text.split())
    for block in coach_content(told).blocks:
        if isinstance(block, Words):
            assert "".join(block.text.split()) in words
    assert LACKING not in coach.text
    assert told.reading.first_cause.sentence in coach.text


def test_nothing_runs_over_the_edge_of_a_sheet(coach):
    assert 3 <= len(coach.pictures) <= 12
    for picture in coach.pictures:
        assert picture.shape == (842, 596)  # A4 at 72 to the inch, ISO 216
        edge = 30  # of the 14 mm, 40 points, that are left free
        for strip in (picture[:edge], picture[-edge:], picture[:, :edge], picture[:, -edge:]):
            assert strip.min() > 250
        assert np.count_nonzero(picture < 128) > 500


def test_the_athlete_gets_one_sheet(told):
    long = replace(told.day, drills=told.day.drills * 9)
    for day in (told.day, long):
        assert len(Read(as_pdf(athlete_content(replace(told, day=day)))).pictures) == 1
    departing = replace(told_of_day(), day=long)
    assert len(Read(as_pdf(athlete_content(departing))).pictures) == 1


@pytest.mark.parametrize("name", HOSTILE)
def test_names_do_no_harm_and_are_shown_as_written(told, name):
    """PDFium gives letters of other scripts in the order in which they stand on the paper."""
    short = replace(called(told, name), tiles=(), day=None, others=())
    page = athlete_content(short)
    content = as_pdf(replace(page, blocks=page.blocks[:2]))
    found = Read(content)
    joined = re.sub("[\\s\N{ZERO WIDTH JOINER}\N{VARIATION SELECTOR-16}]", "", name)
    letters = Counter(re.sub(r"\s", "", found.text))
    assert all(letters[one] >= n for one, n in Counter(joined).items())
    assert LACKING not in found.text
    assert not re.search(rb"/JavaScript|/URI|/Launch|/EmbeddedFile|/OpenAction\s*<<\s*/S", content)
    assert name in found.title


def test_a_sign_that_no_font_has_is_said(told):
    found = Read(as_pdf(Page(("漢字",), plain_facts([]), (Words("A"),))))
    assert f"{LACKING}{LACKING}" in found.text
    assert "the HTML page shows it" in found.text


def test_a_heading_stands_on_the_sheet_of_its_pictures(told):
    """Wherever on a sheet it falls."""
    (tile,) = told.tiles
    blocks = [Heading("Strip"), Pictures((tile,) * 6)]
    for lines in range(34, 48, 2):
        page = Page(("a",), plain_facts(()), (*[Words("x")] * lines, *blocks))
        with pypdfium2.PdfDocument(as_pdf(page)) as document:
            texts = [sheet.get_textpage().get_text_range() for sheet in document]
        assert [n for n, text in enumerate(texts) if "Strip" in text] == [
            n for n, text in enumerate(texts) if tile.title in text
        ], lines


def test_the_type_is_inside(told):
    content = as_pdf(Page(("W7 جناح 🤾",), Facts(()), (Words("A"),)))
    assert content.count(b"/FontFile2") == len(set(re.findall(rb"/FontName /\S+", content))) >= 3
