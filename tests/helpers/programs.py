"""Programs that some tests hold Cinderlane against, and where Debian keeps them."""

import shutil

import pytest

from tests.helpers.skips import MARK

DEBIAN = {
    "ffprobe": "ffmpeg",
    "ffmpeg": "ffmpeg",
    "Xvfb": "xvfb",
    "xdotool": "xdotool",
    "git": "git",
    "chromium": "chromium",
    "npm": "npm",
}


def need(program: str) -> str:
    """The path of a program; skips the test, naming the program, where the machine lacks it."""
    path = shutil.which(program)
    if path is None:
        package = DEBIAN.get(program)
        pytest.skip(f"{MARK}{program}" + (f" (Debian: {package})" if package else ""))
    return path
