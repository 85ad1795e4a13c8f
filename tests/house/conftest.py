"""Running Python, and the programs of the house, in a process of their own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root():
    return ROOT


@pytest.fixture(scope="session")
def run_python():
    """`run_python("-m", "mypy")`: this Python at the top of the checkout; gives the finished process."""

    def run(*arguments, **environment):
        env = {key: value for key, value in os.environ.items() if not key.startswith("PYTEST_")}
        return subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env={**env, "PYTHONPATH": str(ROOT), **environment},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )

    return run
