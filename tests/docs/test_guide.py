"""The pages for coaches: their keys are the program's, their links lead somewhere, their commands exist."""

import inspect
import re

import pytest

from app import tour
from app.actions import TABLE
from tests.docs.pages import DOCS, ROOT, page, rows

PAGES = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *DOCS.glob("*.md")])


def anchors(text):
    """The places in a page that a link can name."""
    titles = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w -]", "", title.lower()).replace(" ", "-") for title in titles}


def test_the_keys_of_the_guide_are_the_programs():
    found = rows(page("guide.md"), "| key | command |")
    assert len(found) > 30
    named = {spec.text: spec.keys for spec in TABLE}
    for key, command in found:
        assert key.strip("`") in named[command], command


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_links_lead_somewhere(path):
    text = path.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        name, _, anchor = target.partition("#")
        aim = (path.parent / name).resolve() if name else path
        if aim.parent.name == "pictures":
            assert f'"{aim.name}"' in inspect.getsource(tour), f"{target}: the tour writes no such picture"
        assert aim.exists(), target
        if anchor:
            assert anchor in anchors(aim.read_text(encoding="utf-8")), target
