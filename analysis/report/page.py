"""A page as one HTML file that needs nothing else."""

from __future__ import annotations

import base64
from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined

from analysis.report import page_charts
from analysis.report.content import Page
from analysis.report.page_charts import Point
from analysis.values.words import tr


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
    return made


def _places(points: tuple[Point, ...]) -> str:
    return " ".join(f"{x},{y}" for x, y in points)
