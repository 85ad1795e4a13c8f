"""The pages of the docs, taken apart."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"

_BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)


def page(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    """The fenced blocks of a language, in order."""
    return [body for found, body in _BLOCK.findall(text) if found == language]


def explained(text: str) -> set[str]:
    """Every name that stands in back quotes outside fenced blocks."""
    return {word for found in re.findall(r"`([^`\n]+)`", _BLOCK.sub("", text)) for word in found.split()}


def keys(value: object) -> set[str]:
    """Every key of a JSON value, however deep."""
    if isinstance(value, dict):
        return set(value) | {key for part in value.values() for key in keys(part)}
    if isinstance(value, list):
        return {key for part in value for key in keys(part)}
    return set()


def rows(text: str, header: str) -> list[list[str]]:
    """The cells of every table whose first line is ``header``."""
    found = []
    lines = iter(text.splitlines())
    for line in lines:
        if line == header:
            next(lines)
            for row in lines:
                if not row.startswith("|"):
                    break
                found.append([cell.strip() for cell in row.strip("|").split("|")])
    return found
