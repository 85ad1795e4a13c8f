"""`python3 -m app [FILM]`: the window."""

import sys

from analysis import bootstrap


def run() -> None:
    """Opens the window; on a bare machine sees to what it needs first."""
    arguments = bootstrap.enter("app", sys.argv[1:])
    from app.start import main

    raise SystemExit(main(arguments))


if __name__ == "__main__":
    run()
