"""A page as one HTML file that needs nothing else."""

from __future__ import annotations

import base64
import re
from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from analysis.report import page_charts
from analysis.report.content import Page
from analysis.report.page_charts import Point
from analysis.values.words import tr

_UNBROKEN = re.compile(r"(\S*\d{4}-\d\d-\d\d\S*|\S*\d (?:m/s|ms|m|s|kg|Hz)(?!\w)\S*)")
"""A day, and a number with its unit, with what touches them."""


def as_html(page: Page) -> str:
    """The page as text of one HTML file: pictures inside, nothing from a network."""
    return _templates().get_template("page.html").render(page=page, charts=page_charts)


@cache
def _templates() -> Environment:
    """Every word that is put in is escaped; a name that is not there is an error, never an empty place."""
    room = files("analysis.report").joinpath("templates")
    made = Environment(
        loader=FunctionLoader(lambda name: room.joinpath(name).read_text(encoding="utf-8")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["tr"] = tr
    made.filters["base64"] = lambda content: base64.b64encode(content).decode()
    made.filters["places"] = _places
    made.filters["unbroken"] = _unbroken
    return made


def _unbroken(text: str) -> Markup:
    """Escaped, with days and numbers that a browser does not break at their hyphen or before their unit."""
    parts = [escape(part) for part in _UNBROKEN.split(text)]
    kept = Markup('<span class="unbroken">{}</span>')
    return Markup("").join(kept.format(part) if place % 2 else part for place, part in enumerate(parts))


def _places(points: tuple[Point, ...]) -> str:
    return " ".join(f"{x},{y}" for x, y in points)
