"""The fonts that come with the program: one family of free ones for many scripts."""

from __future__ import annotations

from importlib.resources import files

BODY = "body"
"""The family of all words; signs that it lacks come from the others."""
EMOJI = "emoji"
"""The family of emoji, those that are joined from several among them."""
FAMILIES = {
    BODY: "NotoSans",
    "arabic": "NotoSansArabic",
    "hebrew": "NotoSansHebrew",
    "devanagari": "NotoSansDevanagari",
    "thai": "NotoSansThai",
    "georgian": "NotoSansGeorgian",
    "armenian": "NotoSansArmenian",
    "symbols": "NotoSansSymbols",
    EMOJI: "NotoEmoji",
}
LACKING = "\N{REPLACEMENT CHARACTER}"
"""What stands for a sign that no font has."""


def font_file(family: str) -> str:
    """Where the font of a family lies; its weight can be varied."""
    return str(files("manimgx_fonts").joinpath(f"{FAMILIES[family]}[wght].ttf"))
