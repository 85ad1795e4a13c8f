"""axe-core, which finds faults of accessibility in a page; taken from npm once, for tests alone."""

from __future__ import annotations

import subprocess
import tarfile
from pathlib import Path
from typing import Any

import platformdirs
import pytest

from tests.helpers.browser import Browser
from tests.helpers.programs import need
from tests.helpers.skips import MARK

VERSION = "4.14.1"
SERIOUS = ("serious", "critical")


def axe_source() -> str:
    """The program's text; skips the test where it can't be had."""
    folder = platformdirs.user_cache_path("cinderlane-tests")
    packed = folder / f"axe-core-{VERSION}.tgz"
    if not packed.exists():
        folder.mkdir(parents=True, exist_ok=True)
        _fetch(packed.parent)
    if not packed.exists():
        pytest.skip(f"{MARK}npm, and a registry that it can reach")
    with tarfile.open(packed) as held:
        text = held.extractfile("package/axe.min.js")
        assert text is not None
        return text.read().decode()


def serious_faults(page: Browser, source: str) -> list[dict[str, Any]]:
    """The faults of the page on show that are serious or worse."""
    page.ask(f"{source}; true")
    found = page.ask("axe.run(document, {resultTypes: ['violations']}).then(r => r.violations)")
    return [
        {"rule": one["id"], "what": one["help"], "where": [node["html"][:120] for node in one["nodes"]][:5]}
        for one in found
        if one["impact"] in SERIOUS
    ]


def _fetch(folder: Path) -> None:
    command = [need("npm"), "pack", f"axe-core@{VERSION}", "--pack-destination", str(folder), "--silent"]
    subprocess.run(command, capture_output=True, check=False, timeout=120, cwd=folder)
