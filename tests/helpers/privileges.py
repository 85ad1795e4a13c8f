"""Write protection as an ordinary user meets it, also where the tests run as root."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

NOBODY = 65534


def _is_root() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0


@contextmanager
def open_folder() -> Iterator[Path]:
    """A folder that every user may enter, removed afterwards."""
    folder = Path(tempfile.mkdtemp()).resolve()
    folder.chmod(0o755)
    try:
        yield folder
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


@contextmanager
def as_ordinary_user(folder: Path) -> Iterator[None]:
    """Within the block the process is the owner of the folder and all in it, and is not root."""
    if not _is_root():
        yield
        return
    for place in (folder, *folder.rglob("*")):
        os.chown(place, NOBODY, NOBODY)
    os.setegid(NOBODY)
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
