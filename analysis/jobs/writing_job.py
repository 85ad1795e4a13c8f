"""Work beside the window that writes one file, and says what is to be looked at in it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from analysis.jobs.child import ChildJob, Excuses, Wish
from analysis.jobs.export import Written


class WritingJob(ChildJob[Written]):
    """A job whose child writes ``out`` and then tells its notes (``tell_notes``)."""

    def __init__(self, out: Path, excuses: Excuses) -> None:
        super().__init__("notes.json", excuses)
        self._out = out.absolute()

    def _read(self, found: Path) -> Written:
        return Written((self._out,), tuple(json.loads(found.read_text(encoding="utf-8"))))


def tell_notes(wish: Wish, notes: Sequence[str]) -> None:
    """In the child: the file is written, and this is to be said of it."""
    wish.found.write_text(json.dumps(notes), encoding="utf-8")
