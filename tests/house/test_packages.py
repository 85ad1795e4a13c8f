"""The locked packages: the right ones, all of them, in versions that fit each other."""

import os
import subprocess
import sys
import tomllib
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from analysis import bootstrap

PYTHONS = ("3.11", "3.12", "3.13")
SYSTEMS = ({"sys_platform": "linux", "platform_system": "Linux", "os_name": "posix"},
           {"sys_platform": "darwin", "platform_system": "Darwin", "os_name": "posix"},
           {"sys_platform": "win32", "platform_system": "Windows", "os_name": "nt"})  # fmt: skip


@pytest.fixture(scope="module")
def lock():
    return {
        part: {canonicalize_name(r.name): r for r in map(Requirement, lines)}
        for part, lines in bootstrap.read_lock(bootstrap.LOCK).items()
    }


def locked_version(requirement):
    (only,) = requirement.specifier
    assert only.operator == "=="
    return only.version


def test_the_lock_keeps_within_the_ranges(lock, root):
    project = tomllib.loads((root / "pyproject.toml").read_text())
    asked = {"run": project["project"]["dependencies"], "tests": project["dependency-groups"]["tests"]}
    for part, lines in asked.items():
        for wanted in map(Requirement, lines):
            locked = lock[part][canonicalize_name(wanted.name)]
            assert wanted.specifier.contains(locked_version(locked)), (
                f"{locked} against {wanted}: run .ci/relock"
            )


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize("system", SYSTEMS, ids=lambda system: system["sys_platform"])
def test_what_a_locked_package_needs_is_locked_too(lock, python, system):
    """`pip install --no-deps` installs these lines and nothing else."""
    where = {"python_version": python, "python_full_version": f"{python}.0", **system, "extra": ""}
    everything = {**lock["run"], **lock["tests"]}
    for part, reach in (("run", lock["run"]), ("tests", everything)):
        for name in lock[part]:
            for need in map(Requirement, metadata.requires(name) or []):
                if need.marker is None or need.marker.evaluate(where):
                    locked = reach.get(canonicalize_name(need.name))
                    assert locked is not None, f"{name} needs {need}, which is not locked: run .ci/relock"
                    assert need.specifier.contains(locked_version(locked)), f"{name} needs {need}"


def test_the_second_qt_is_not_here():
    """opencv-python carries a Qt of its own and points Qt's plugin path at it."""
    names = {canonicalize_name(found.metadata["Name"]) for found in metadata.distributions()}
    assert "opencv-python-headless" in names
    assert not names & {"opencv-python", "opencv-contrib-python", "pyqt5", "pyqt6", "pyside2"}


EMITS = """
from PySide6.QtCore import QObject, Signal

class Source(QObject):
    said = Signal(bool, object)

class Sink(QObject):
    heard = 0
    def hear(self, yes, value):
        self.heard += yes

source, sink = Source(), Sink()
source.said.connect(sink.hear)
for number in range(20_000):
    source.said.emit(True, number)
print(sink.heard)
"""


def test_a_signal_can_be_emitted_twenty_thousand_times():
    """PySide6 6.12.0 loses a reference to True at each emit and aborts under Python 3.11 after some 570."""
    done = subprocess.run(
        [sys.executable, "-c", EMITS], capture_output=True, text=True, check=False, env={**os.environ}
    )
    assert (done.returncode, done.stdout.strip()) == (0, "20000"), done.stderr
