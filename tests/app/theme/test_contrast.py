"""Colours against WCAG 2.2, its formula against ratios published elsewhere (docs: 1.4.3, 1.4.11)."""

import itertools

import pytest

from app.theme.contrast import GRAPHICS_AA, TEXT_AA, contrast
from app.theme.tokens import DARK, LIGHT, THEMES

PUBLISHED = [
    ("#000000", "#FFFFFF", 21.0),
    ("#767676", "#FFFFFF", 4.5422),
    ("#777777", "#FFFFFF", 4.4781),
    ("#949494", "#FFFFFF", 3.0335),
    ("#959595", "#FFFFFF", 2.9953),
    ("#595959", "#FFFFFF", 7.0047),
    ("#0000FF", "#FFFFFF", 8.5925),
    ("#FF0000", "#FFFFFF", 3.9985),
    ("#0000FF", "#FF0000", 2.1489),
    ("#FFFF00", "#FFFFFF", 1.0738),
]

GROUNDS = ("window", "surface", "raised", "sunken", "hover", "pressed", "selection")
WORDS = ("text", "muted", "accent", "warning", "error")
GRAPHICS = ("outline", "focus", "playhead", "accent", "warning", "upper", "lower")


@pytest.mark.parametrize(("one", "other", "ratio"), PUBLISHED)
def test_the_formula_gives_the_published_ratios(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=1e-4)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize(("words", "ground"), list(itertools.product(WORDS, GROUNDS)))
def test_words_can_be_read_on_every_ground(theme, words, ground):
    assert contrast(getattr(theme, words), getattr(theme, ground)) >= TEXT_AA


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize(("mark", "ground"), list(itertools.product(GRAPHICS, GROUNDS[:5])))
def test_marks_are_seen_on_every_ground(theme, mark, ground):
    assert contrast(getattr(theme, mark), getattr(theme, ground)) >= GRAPHICS_AA


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_sides_are_seen_and_can_be_read(theme):
    for side in (theme.left, theme.right):
        for ground in GROUNDS:
            assert contrast(side.text, getattr(theme, ground)) >= TEXT_AA
        for ground in ("window", "surface", "raised", "sunken"):
            assert contrast(side.fill, getattr(theme, ground)) >= GRAPHICS_AA
        assert contrast(side.on_fill, side.fill) >= TEXT_AA


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_words_on_filled_parts_can_be_read(theme):
    assert contrast(theme.on_accent, theme.accent) >= TEXT_AA
    assert contrast(theme.surface, theme.playhead) >= TEXT_AA


def test_of_the_two_halos_one_is_always_seen():
    for theme in (LIGHT, DARK):
        for grey in range(0, 256, 5):
            ground = f"#{grey:02X}{grey:02X}{grey:02X}"
            assert max(contrast(theme.halo_dark, ground), contrast(theme.halo_light, ground)) >= GRAPHICS_AA


def test_sides_come_from_the_palette_of_okabe_and_ito():
    palette = {"#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7", "#000000"}
    for theme in THEMES:
        assert {theme.left.fill, theme.right.fill} <= palette
        assert theme.left.fill in {"#E69F00", "#D55E00"}
        assert theme.right.fill in {"#56B4E9", "#0072B2"}
