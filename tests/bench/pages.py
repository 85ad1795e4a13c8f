"""The page on which benches set what they measured."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path


def write_sections(page: Path, bodies: Mapping[str, str]) -> None:
    """Replace what stands between the marks of the sections named."""
    text = page.read_text(encoding="utf-8")
    for name, body in bodies.items():
        text = _with_section(text, name, body)
    page.write_text(text, encoding="utf-8")


def tell(text: str, page: Path | None, section: str) -> None:
    """Print what was measured, and set the section of a page anew where one is named."""
    print(text)
    if page:
        write_sections(page, {section: text})


def films_asked(described: str | None) -> tuple[int, Path | None]:
    """How many films each row of a bench is to draw, 4 unless ``--seeds`` says, and the page to write."""
    asked = argparse.ArgumentParser(description=described)
    asked.add_argument("--seeds", type=int, default=4)
    asked.add_argument("--write", type=Path)
    wishes = asked.parse_args()
    return wishes.seeds, wishes.write


def _with_section(text: str, name: str, body: str) -> str:
    begin, end = f"<!-- {name} -->\n", f"<!-- /{name} -->\n"
    if begin not in text or end not in text:
        raise ValueError(f"The page has no section {name}.")
    return text[: text.index(begin)] + begin + body + text[text.index(end) :]
