"""Words in pictures, in any script: no sign is a box, and what stands beside a name keeps its place.

A box is what a font draws for a code point that no font may ever have (U+FFFF, The Unicode Standard, 23.7).
The order of what is written to the left and to the right is that of Unicode Standard Annex 9.
"""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont, features

from analysis.report import lettering
from analysis.report.bundled_fonts import LACKING
from analysis.report.lettering import (
    fitted,
    font_of,
    in_order,
    lacking,
    length,
    one_line,
    pieces,
    wrapped,
    write,
)
from analysis.report.signs import signs
from tests.analysis.report.emoji import JOINED
from tests.helpers.skips import MARK

PX = 28
RTL = ("\u05e9\u05dc\u05d5\u05dd", "\u0639\u0631\u0628\u064a", "A \u0639\u0631\u0628\u064a")
RUNNER, FAMILY = "\U0001f3c3", "\U0001f468\u200d\U0001f469\u200d\U0001f467"
SCRIPTS = (
    *RTL,
    RUNNER,
    FAMILY,
    "\u0416\u00e9\u0395",
    "\u0928\u092e\u0938\u094d\u0924\u0947",
    "\u0e44\u0e17\u0e22",
)
NOBODYS = "\uffff"
needs_shaping = pytest.mark.skipif(not features.check("raqm"), reason=f"{MARK}Pillow with Raqm")


@pytest.fixture(autouse=True)
def only_bundled(monkeypatch):
    """What a machine has besides must not decide."""
    monkeypatch.setattr(lettering, "_OF_MACHINES", ())
    pieces.cache_clear()
    yield
    pieces.cache_clear()


def drawn(text, anchor="lm"):
    picture = Image.new("L", (600, 60))
    write(ImageDraw.Draw(picture), (4 if anchor == "lm" else 300, 30), text, PX, "#FFFFFF", anchor)
    return np.asarray(picture).astype(int)


def boxes(text):
    """The signs of a text that are drawn as a box."""
    found = []
    for piece in pieces(one_line(text), PX):
        mask = piece.font.getmask
        box = (mask(NOBODYS).size, bytes(mask(NOBODYS)))
        solid = [letter for letter in piece.words if letter.isprintable() and not letter.isspace()]
        found += [letter for letter in solid if (mask(letter).size, bytes(mask(letter))) == box]
    return found


@pytest.mark.parametrize(
    "text", [*SCRIPTS, f"Ann {RUNNER} =cmd() <b>", f"{RTL[1]} {RUNNER} 12", "e\u0301 x\u0301 \u2764\ufe0f"]
)
def test_no_sign_is_a_box(text):
    assert boxes(text) == []
    assert not lacking(text)
    assert drawn(text).any()


@pytest.mark.parametrize("text", ["\u0378", "Ann \u4e2d\u6587", "\ue000"])
def test_for_a_sign_that_no_font_has_another_stands_and_that_is_known(text):
    assert boxes(text) == []
    assert lacking(text)
    assert LACKING in "".join(piece.words for piece in pieces(text, PX))


@pytest.mark.parametrize("text", ["=cmd()", '"Ann" <b>', "contact 182 ms \u00b1 9", "a \u00b7 2026-11-30"])
def test_plain_words_stay_in_the_font_of_numbers(text):
    assert pieces(text, PX) == ((text, font_of(PX), None),)


@needs_shaping
def test_a_family_joined_to_one_sign_is_one():
    """HarfBuzz puts the three together, where the font can: no wider than two of them."""
    assert length(FAMILY, PX) < 2.2 * length(RUNNER, PX)


NO_SEQUENCE = "\U0001f93e\u200d\U0001f418"


@needs_shaping
@pytest.mark.parametrize("around", ["{}", "Ann {} b", f"{RTL[0]} {{}}", f"{RTL[0]} b {{}} x"])
@pytest.mark.parametrize("emoji", JOINED.values(), ids=JOINED)
def test_a_joined_emoji_is_one_sign_wherever_it_stands(emoji, around):
    text = around.format(emoji)
    assert [piece.words for piece in pieces(text, PX) if emoji in piece.words]
    assert length(emoji, PX) == pytest.approx(length(RUNNER, PX), abs=0.5)
    assert boxes(text) == []


@needs_shaping
def test_of_emoji_that_no_font_joins_the_first_stands_alone():
    assert [sign.text for sign in signs(f"A{NO_SEQUENCE}")] == ["A", NO_SEQUENCE[0]]
    assert (drawn(NO_SEQUENCE) == drawn(NO_SEQUENCE[0])).all()


@pytest.mark.parametrize("emoji", JOINED.values(), ids=JOINED)
def test_a_font_that_only_sets_letters_shows_one_emoji_for_a_joined_one(monkeypatch, emoji):
    monkeypatch.setattr(lettering, "_shapes", lambda _: False)
    pieces.cache_clear()
    assert len("".join(piece.words for piece in pieces(emoji, PX))) == 1


@needs_shaping
@pytest.mark.parametrize(("logical", "sight"), [("{} 12 b", "b 12 {}"), ("a {} 12", "a 12 {}")])
def test_in_a_line_the_parts_stand_in_the_order_of_reading(logical, sight):
    """Rule L2 of the annex; an emoji of another font changes nothing."""
    assert seen(logical.format(RTL[0])) == sight.format(RTL[0])
    assert seen(logical.format(f"{RTL[0]} {RUNNER}")) == sight.format(f"{RUNNER} {RTL[0]}")


@needs_shaping
def test_letters_that_join_are_drawn_joined_and_to_the_left():
    """The forms of Arabic letters within a word are others than alone (The Unicode Standard, 9.2)."""
    word = RTL[1]
    assert length(word, PX) < 0.95 * sum(length(letter, PX) for letter in word)
    (piece,) = pieces(word, PX)
    alone = Image.new("L", (600, 60))
    ImageDraw.Draw(alone).text((4, 30), word, 255, piece.font, anchor="lm", direction="rtl")
    assert np.abs(np.asarray(alone).astype(int) - drawn(word)).max() <= 1


@needs_shaping
@pytest.mark.parametrize("name", [*RTL, f"{RTL[0]} {RUNNER}"])
def test_what_follows_a_name_from_the_right_to_the_left_is_not_turned_round(name):
    """A day's digits and signs, and the name of a run, stand at the end as if they stood alone."""
    assert seen(in_order([name, "=1+1"])).endswith(" \u00b7 =1+1")
    assert not seen(f"{name} \u00b7 =1+1").endswith("=1+1")  # without the marks it is turned round


def seen(text):
    """What is drawn, from left to right; words to the left as they are read."""
    return "".join(piece.words for piece in pieces(text, PX))


def cut(picture):
    """To the right edge of its ink."""
    columns = np.flatnonzero(picture.any(axis=0))
    return picture[:, columns[0] : columns[-1] + 1]


def test_mixed_words_stand_on_one_line_in_the_middle():
    ink = drawn(f"Ann {RUNNER} Ann", "mm")
    columns = np.flatnonzero(ink.any(axis=0))
    assert abs((columns[0] + columns[-1]) / 2 - 300) < 4
    left, right = cut(ink)[:, :40], cut(ink)[:, -40:]
    rows = [np.flatnonzero(part.any(axis=1)) for part in (left, right)]
    assert abs(rows[0][-1] - rows[1][-1]) <= 1


def test_a_font_that_only_sets_letters_draws_no_marks_and_turns_words_round(monkeypatch):
    assert pieces(in_order(["a", "", "b"]), PX) == (("a \u00b7 b", font_of(PX), None),)
    monkeypatch.setattr(lettering, "_shapes", lambda _: False)
    pieces.cache_clear()
    found = pieces(in_order([RTL[0], "b"]), PX)
    assert "".join(piece.words for piece in found) == f"{RTL[0][::-1]} \u00b7 b"


def test_a_caption_is_broken_between_words_and_nothing_of_it_is_lost():
    words = f"Push the ground away, then let the shin fall {RUNNER} towards the finish"
    lines = wrapped(words, 20, 160)
    assert len(lines) > 2
    assert " ".join(lines) == words
    assert all(length(line, 20) <= 160 for line in lines)


LONG = (
    f"{'The eldest wing of the second squad ' * 4}{RUNNER}",
    "Rindfleischetikettierungsaufgabe" * 3,
    JOINED["both"] * 30,
    in_order([f"{RTL[0]} " * 30, "2026-03-20"]),
)


@pytest.mark.parametrize("text", LONG, ids=["words", "one word", "emoji", "from the right"])
def test_a_long_title_keeps_its_beginning_in_two_lines_and_ends_in_an_ellipsis(text):
    lines = fitted(text, 20, 300, 2)
    assert len(lines) == 2
    assert all(100 < length(line, 20) <= 300 for line in lines)
    bare = "".join("".join(lines).replace("\N{LEFT-TO-RIGHT MARK}", "").split())
    assert bare.endswith("\N{HORIZONTAL ELLIPSIS}")
    assert "".join(text.replace("\N{LEFT-TO-RIGHT MARK}", "").split()).startswith(bare[:-1])
    assert {sign.text for line in lines for sign in signs(line)} <= {
        sign.text for sign in signs(text + " \N{HORIZONTAL ELLIPSIS}")
    }


def test_a_short_title_is_left_as_it_is():
    assert fitted(f"Ann {RUNNER}", 20, 300, 2) == [f"Ann {RUNNER}"]
    assert fitted("", 20, 300, 2) == []


def test_halves_of_characters_do_no_harm():
    assert isinstance(font_of(PX), ImageFont.FreeTypeFont)
    assert drawn("a\ud83cb\n").any()
