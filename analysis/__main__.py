"""`python3 -m analysis film|read|add|sheet ...`: the same work without a window."""

import sys

from analysis import bootstrap


def run() -> None:
    """Runs one command; on a bare machine sees to what it needs first."""
    arguments = bootstrap.enter("analysis", sys.argv[1:])
    from analysis.cli import main

    raise SystemExit(main(arguments))


if __name__ == "__main__":
    run()
