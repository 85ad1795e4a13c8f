"""`python3 -m tests [pytest's options]`: every test, on a machine that may have only Python."""

import os
import sys

from analysis import bootstrap


def options(arguments: list[str], processors: int) -> list[str]:
    """What pytest is started with: on all processors, unless the caller says how many or stops to debug.

    Each process begins with tests that follow each other, so that what several of them share is made but
    once, and takes tests from the others when it has none left.
    """
    one_process = any(word in ("--pdb", "--trace", "-s") or word.startswith("-n") for word in arguments)
    return arguments if one_process else ["-n", str(min(processors, 8)), "--dist", "worksteal", *arguments]


def run() -> None:
    """Runs pytest over the tests; on a bare machine sees to what it needs first."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before Qt is probed
    arguments = bootstrap.enter("tests", sys.argv[1:])
    import pytest

    raise SystemExit(pytest.main(options(arguments, os.cpu_count() or 1)))


if __name__ == "__main__":
    run()
