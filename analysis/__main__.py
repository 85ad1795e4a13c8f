"""`python3 -m analysis film|read|add|sheet ...`: the same work without a window."""

import signal
import sys

from analysis import bootstrap


def run() -> None:
    """Runs one command; on a bare machine sees to what it needs first."""
    arguments = bootstrap.enter("analysis", sys.argv[1:])
    from analysis.cli import main

    # told to end, it ends as from the keyboard: nothing half written is left behind
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    raise SystemExit(main(arguments))


if __name__ == "__main__":
    run()
