"""Rendered films, made once for all tests of a process."""

from dataclasses import replace

import pytest

from sample_clips.scenarios import CAMERAS
from tests.analysis.background.rendering import render


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("background")


@pytest.fixture(scope="session")
def panning(folder):
    return render(folder, "panning", 5, 60.0, 40, 40, 2)


@pytest.fixture(scope="session")
def handheld(folder):
    return render(folder, "handheld", 6, 60.0, 20, 30, 2)


@pytest.fixture(scope="session")
def fast(folder):
    """A pan at 240 frames a second: one frame in eight is mapped."""
    return render(folder, "panning", 7, 240.0, 300, 90)


@pytest.fixture(scope="session")
def bent(folder):
    """The hand-held camera with a lens that bends the picture by some 20 px at its corners."""
    return render(folder, "handheld", 6, 60.0, 21, 30, 2, replace(CAMERAS["panning"], k1=-0.11))


@pytest.fixture(scope="session")
def walking(folder):
    return render(folder, "walking", 9, 60.0, 20, 16, 6)


@pytest.fixture(scope="session")
def carried(tmp_path_factory):
    """A camera that is carried a step or two while it turns with the athlete."""
    plan = replace(CAMERAS["walking"], follow=0.9, walk_m_s=0.5)
    return render(tmp_path_factory.mktemp("carried"), "walking", 10, 60.0, 20, 20, 6, plan)


@pytest.fixture(scope="session")
def hurried(tmp_path_factory):
    """A camera that walks briskly along and turns with the athlete at once."""
    plan = replace(CAMERAS["walking"], follow=0.9, walk_m_s=2.0)
    return render(tmp_path_factory.mktemp("hurried"), "walking", 10, 60.0, 20, 20, 6, plan)


@pytest.fixture(scope="session")
def still(folder):
    return render(folder, "still", 5, 60.0, 10, 24, 2)
