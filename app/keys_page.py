"""`python3 -m app.keys_page`: writes the page of commands and keys anew from the table of actions."""

from __future__ import annotations

from pathlib import Path

from app.actions import keys_table

PAGE = Path(__file__).resolve().parent.parent / "docs" / "keys.md"


def keys_page() -> str:
    """The page as it belongs into the docs."""
    return (
        "# Commands and keys\n\n"
        "Written by `python3 -m app.keys_page` from the table in `app/actions.py`. In the window F1 shows the"
        " same.\n\n" + keys_table()
    )


if __name__ == "__main__":
    PAGE.write_text(keys_page(), encoding="utf-8")
