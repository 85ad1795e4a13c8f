"""The PDF read back by another program (PDFium): the page's words and numbers, on paper."""

import ctypes
import re
from collections import Counter
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from PIL import Image, ImageDraw, ImageFont
from pypdfium2 import raw

from analysis.report.bundled_fonts import BODY, font_file
from analysis.report.content import (
    Contents,
    Facts,
    Heading,
    Line,
    Number,
    Page,
    Pictures,
    Table,
    Words,
    plain_facts,
)
from analysis.report.page_athlete import athlete_content
from analysis.report.page_coach import coach_content
from analysis.report.page_season import season_content
from analysis.report.page_squad import squad_content
from analysis.report.pdf import as_pdf
from analysis.report.pdf_type import LACKING
from analysis.report.told import Told
from tests.analysis.report.emoji import JOINED
from tests.analysis.report.pages import HOSTILE, called, told_of_day, whole_told
from tests.analysis.report.seasons import season, squad_of


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


READABLE_PT = 8.0
"""Letters on paper are to be read at arm's length (common practice, no source)."""


def letters_of(content):
    """Of each sheet: every letter with its size in points and its left, right and lower edge."""
    found, matrix = [], raw.FS_MATRIX()
    with pypdfium2.PdfDocument(content) as document:
        for sheet in document:
            text, letters = sheet.get_textpage(), []
            for place in range(text.count_chars()):
                letter = text.get_text_range(place, 1)
                if letter.strip():
                    raw.FPDFText_GetMatrix(text, place, matrix)
                    size = raw.FPDFText_GetFontSize(text, place) * abs(matrix.d)
                    left, low, right, _ = text.get_charbox(place)
                    letters.append((letter, size, left, right, low))
            found.append(letters)
    return found


@pytest.mark.parametrize("which", ["coach", "athlete", "squad", "season"])
def test_every_letter_can_be_read_and_stands_within_the_margins(told, which):
    page = {
        "coach": lambda: coach_content(told),
        "athlete": lambda: athlete_content(told),
        "squad": lambda: squad_content(squad_of(24)),
        "season": lambda: season_content(season("W7", 0, -0.1, -0.12)),
    }[which]()
    sheets = letters_of(as_pdf(page))
    edge = 12 / 25.4 * 72  # of the 14 mm that are left free
    for place, letters in enumerate(sheets):
        assert min(size for _, size, *_ in letters) >= READABLE_PT - 0.01
        assert min(left for _, _, left, *_ in letters) > edge
        assert max(right for _, _, _, right, _ in letters) < 595.3 - edge  # ISO 216
        if place < len(sheets) - 1:  # the last line of what is written, above the foot of the sheet
            assert min(low for *_, low in letters if low > 1.7 * edge) < 0.3 * 841.9, place


def steps_of(count, text="1.234 ± 0.056"):
    numbers = tuple(Number(f"{n}", text, 1.234) for n in range(count))
    return Table("Steps", tuple(f"step {n}" for n in range(count)), (Line("Contact", "", numbers),) * 3)


def test_a_table_of_more_columns_than_a_sheet_holds_is_parted_and_loses_nothing():
    block = steps_of(40)
    content = as_pdf(Page(("a",), Facts(()), (block,)))
    text = Read(content).text
    assert text.count("± 0.056") == 3 * 40
    assert [text.count(f"step {n} ") for n in (0, 39)] == [1, 1]
    assert text.count("Contact") > 3
    assert min(size for letters in letters_of(content) for _, size, *_ in letters) >= READABLE_PT - 0.01


@pytest.mark.parametrize("count", [40, 64, 65])
def test_a_row_is_never_torn_apart_nor_left_alone_on_a_sheet(count):
    """Rows of two lines, wherever the sheet ends: both lines on one sheet, two rows and the head at least."""
    table = replace(
        steps_of(10), lines=tuple(replace(steps_of(10).lines[0], name=f"r{n}") for n in range(count))
    )
    with pypdfium2.PdfDocument(as_pdf(Page(("a",), Facts(()), (table,)))) as document:
        texts = [" ".join(sheet.get_textpage().get_text_range().split()) for sheet in document]
    assert len(texts) > 1
    for text in texts:
        rows = re.findall(r"\br\d+", text)
        assert len(rows) >= 2
        assert text.count("step 9") == 1
        assert text.count("1.234") == text.count("± 0.056") == 10 * len(rows)


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


WORDS = "جناح الفريق الثاني"


def letter_edges(content, *letters):
    """Left and right of the first place of each letter on the first sheet, points."""
    with pypdfium2.PdfDocument(content) as document:
        page = document[0].get_textpage()
        text = [page.get_text_range(n, 1) for n in range(page.count_chars())]
        return [page.get_charbox(text.index(letter))[::2] for letter in letters]


@pytest.mark.parametrize("how", [Words, Heading])
def test_words_to_the_left_are_copied_whole_and_without_parts_of_letters(how):
    """PDFium gives words as they stand on the paper, each in the order of reading. Dots are no letters."""
    text = Read(as_pdf(Page(("a",), plain_facts([]), (how(f"Day \u2068{WORDS}\u2069 end"),)))).text
    assert all(word in text.split() for word in WORDS.split())
    assert not [one for one in text if not one.isprintable()]


def test_a_number_after_a_name_from_the_right_stands_to_its_left():
    """The Unicode Standard, Annex 9: the name and the number run to the left, each number to the right."""
    content = as_pdf(Page(("a",), plain_facts([]), (Words("\u2068שלום 57\u2069 end"),)))
    five, seven, last, first = letter_edges(content, "5", "7", "ם", "ש")
    assert five[1] <= seven[0] < last[0] < first[0]


def test_dots_are_drawn_upon_their_letters():
    """As FreeType and HarfBuzz draw the same word, by way of another library."""
    word = WORDS.rsplit(maxsplit=1)[-1]
    with pypdfium2.PdfDocument(as_pdf(Page(("a",), plain_facts([]), (Words(word),)))) as document:
        sheet = 255 - document[0].render(scale=12, grayscale=True).to_numpy().squeeze().astype(float)
    rule = np.flatnonzero(np.count_nonzero(sheet, axis=1) > sheet.shape[1] / 2)[-1]
    whole = sheet[rule + 1 : len(sheet) * 9 // 10]
    font = ImageFont.truetype(font_file("arabic"), round(9.5 * 12))
    wanted = Image.new("L", (900, 400))
    ImageDraw.Draw(wanted).text((20, 20), word, 255, font, direction="rtl")
    seen, drawn = (part[np.ix_(part.any(axis=1), part.any(axis=0))] for part in (whole, np.asarray(wanted)))
    assert np.abs(np.subtract(seen.shape, drawn.shape)).max() <= 3
    same = np.asarray(Image.fromarray(drawn).resize(seen.shape[::-1]), float)
    ink = seen / seen.max() - same / 255
    assert np.abs(ink).sum() < 0.2 * same.sum() / 255  # soft edges, up to half a pixel away


@pytest.mark.parametrize("how", [Words, Heading])
@pytest.mark.parametrize("emoji", JOINED.values(), ids=JOINED)
def test_a_joined_emoji_is_one_sign_and_is_copied_as_it_was_written(how, emoji):
    """As wide as one that is not joined: all signs of the font of emoji are of one width."""
    gaps = []
    for sign in (emoji, "\U0001f93e"):
        content = as_pdf(Page(("a",), plain_facts([]), (how(f"X{sign}Y"),)))
        (_, left), (right, _) = letter_edges(content, "X", "Y")
        gaps.append(right - left)
    assert gaps[0] == pytest.approx(gaps[1], abs=0.05)
    text = Read(as_pdf(Page(("a",), plain_facts([]), (how(f"X{emoji}Y"),)))).text
    assert emoji.removesuffix("\ufe0f") in text


def test_the_foot_of_a_sheet_has_no_gap_whatever_signs_a_name_holds(told):
    """A line end within a name is a space in it, and nobody's words stand for the number of sheets."""
    text = Read(as_pdf(athlete_content(called(told, "no.\n7\t{nb}")))).text
    assert text.count("no. 7 {nb}") > 1
    assert text.endswith("no. 7 {nb} · 1/1")


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
    names = set(re.findall(rb"/FontName /\S+", content))
    assert content.count(b"/FontFile2") == len(names)
    assert {name.endswith((b"Bold", b"Arabic-Bold")) for name in names} == {True, False}


def fonts(content, text):
    """Of every letter of the first place where a text stands: the name of its font, and how it is painted."""
    with pypdfium2.PdfDocument(content) as document:
        for sheet in document:
            page = sheet.get_textpage()
            found = page.search(text, match_case=True).get_next()
            if found is None:
                continue
            out = set()
            for place in range(found[0], found[0] + found[1]):
                if page.get_text_range(place, 1).isspace():
                    continue
                name, flags = ctypes.create_string_buffer(64), ctypes.c_int()
                raw.FPDFText_GetFontInfo(page, place, name, 64, flags)
                drawn = raw.FPDFText_GetTextObject(page, place)
                out.add((name.value.decode(), raw.FPDFTextObj_GetTextRenderMode(drawn)))
            return out
    raise AssertionError(text)


def test_bold_is_a_font_of_its_own_and_no_line_round_the_letters():
    """The letters are filled, mode 0, and nothing else (ISO 32000-2, table 104)."""
    blocks = (Heading("Heavy heading", own="2026-03-20"), Words("light words", lead="Lead:"))
    content = as_pdf(Page(("A name",), plain_facts([("fact", "value")]), blocks))
    for heavy in ("A name", "Heavy heading", "2026-03-20", "Lead:"):
        ((name, mode),) = fonts(content, heavy)
        assert (name.endswith("Bold"), mode) == (True, 0), heavy
    for light in ("light words", "fact", "value"):
        ((name, mode),) = fonts(content, light)
        assert ("Bold" in name, mode) == (False, 0), light


def test_bold_letters_are_as_heavy_as_the_font_draws_them():
    """Ink of the same words, bold over plain, in the PDF and as FreeType draws the font at both weights."""
    words = "Where it began"
    inks = []
    for block in (Heading(words), Words(words)):
        with pypdfium2.PdfDocument(as_pdf(Page(("a",), plain_facts(()), (block,)))) as document:
            sheet = document[0]
            left, low, right, high = box_of(sheet, words)
            whole = 255 - sheet.render(scale=8, grayscale=True).to_numpy().squeeze().astype(float)
            rows = slice(*(round((sheet.get_height() - edge) * 8) for edge in (high, low)))
            part = whole[rows, round(left * 8) : round(right * 8)]
            inks.append(part.sum() / (high - low) ** 2)
    wanted = []
    for weight in (700, 400):
        font = ImageFont.truetype(font_file(BODY), 100)
        font.set_variation_by_axes([weight])
        wanted.append(np.asarray(font.getmask(words)).astype(float).sum())
    assert inks[0] / inks[1] == pytest.approx(wanted[0] / wanted[1], rel=0.05)


def box_of(sheet, words):
    """Left, low, right and high of all its letters, points."""
    page = sheet.get_textpage()
    place, count = page.search(words).get_next()
    edges = zip(*(page.get_charbox(n) for n in range(place, place + count)), strict=True)
    return tuple(pick(edge) for pick, edge in zip((min, min, max, max), edges, strict=True))


def test_the_contents_lead_to_the_headings(told):
    page = coach_content(told)
    (contents,) = (block for block in page.blocks if isinstance(block, Contents))
    with pypdfium2.PdfDocument(as_pdf(page)) as document:
        there = {one.get_title(): one.get_dest().get_index() for one in document.get_toc()}
        found, place = [], ctypes.c_int(0)
        link = raw.FPDF_LINK()
        while raw.FPDFLink_Enumerate(document[0], place, link):
            found.append(raw.FPDFDest_GetDestPageIndex(document, raw.FPDFLink_GetDest(document, link)))
    assert found == [there[one.words] for one in contents.headings]
    assert len(set(found)) > 2


def test_the_headings_are_its_outline_and_its_title_is_shown(told):
    page = coach_content(told)
    content = as_pdf(page)
    with pypdfium2.PdfDocument(content) as document:
        outline = [(one.level, one.get_title(), one.get_dest().get_index()) for one in document.get_toc()]
        texts = [" ".join(sheet.get_textpage().get_text_range().split()) for sheet in document]
    headings = [block for block in page.blocks if isinstance(block, Heading)]
    assert [(level, title) for level, title, _ in outline] == [
        (one.level - 2, f"{one.text} {one.own}".strip()) for one in headings
    ]
    assert all(one.text in texts[sheet] for one, (_, _, sheet) in zip(headings, outline, strict=True))
    assert len({sheet for _, _, sheet in outline}) > 2
    assert re.search(rb"/ViewerPreferences\s*<<[^>]*/DisplayDocTitle true", content)  # ISO 32000-2, table 147
