"""The page of drills is the library's."""

from analysis.plan.drills_page import PAGE, drills_page


def test_the_page_is_the_librarys():
    assert PAGE.read_text(encoding="utf-8") == drills_page(), "run: python3 -m analysis.plan.drills_page"
