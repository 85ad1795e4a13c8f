"""Names that must stand in one line."""

import pytest

from analysis.values.words import one_line


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("no.\n7\r\n wing", "no. 7 wing"),
        ("a\tb\x1b[31m\x00c", "a b [31m c"),
        ("a\u2028b\u2029c\x85d", "a b c d"),
        ("\U0001f93e\u200d\u2640\ufe0f wing", "\U0001f93e\u200d\u2640\ufe0f wing"),
        ("  \n ", ""),
    ],
)
def test_a_name_stands_in_one_line_and_keeps_what_joins_its_signs(name, shown):
    """What ends a line: The Unicode Standard, 5.8; U+001B begins what a terminal obeys (ISO/IEC 6429)."""
    assert one_line(name) == shown
