"""The arguments of the commands that write an annotated film and a posture strip, and what they mean."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.values.words import tr

if TYPE_CHECKING:
    from analysis.jobs.film_wish import FilmWish
    from analysis.values.audience import Audience

_LAID_BY = ("event", "all events", "place")
_TOGETHER = ("hips", "stance toe")


def add_annotate(parser: argparse.ArgumentParser) -> None:
    """The arguments after ``annotate``."""
    parser.add_argument("project", metavar="PROJECT", type=Path)
    parser.add_argument("--run", metavar="RUN", help=tr("as for read; left out with a FOLDER, all runs"))
    parser.add_argument(
        "--out",
        metavar="FILE|FOLDER",
        type=Path,
        required=True,
        help=tr("FILE.mp4, FILE.png for one picture: the first of the stretch, or a FOLDER for all runs"),
    )
    parser.add_argument(
        "--speed", type=float, default=0.25, metavar="SHARE", help=tr("share of real time, 0.01 to 1 (0.25)")
    )
    parser.add_argument(
        "--hold",
        type=float,
        nargs="?",
        const=1.0,
        default=0.0,
        metavar="SECONDS",
        help=tr("stand still at every touchdown, for a second unless told"),
    )
    moment = tr("a frame, or an event such as first_movement or touchdown:2")
    parser.add_argument("--from", dest="first", metavar="MOMENT", help=moment)
    parser.add_argument("--to", dest="last", metavar="MOMENT", help=tr("the same, the end of the stretch"))
    parser.add_argument("--height", type=int, metavar="PX", help=tr("of the picture: 480, 720 or 1080"))
    parser.add_argument("--no-rail", action="store_true", help=tr("without the step rail beside the picture"))
    parser.add_argument("--no-numbers", action="store_true", help=tr("without numbers over the picture"))
    parser.add_argument("--beside", metavar="RUN", default="", help=tr("with this run below"))
    parser.add_argument(
        "--laid-by",
        choices=_LAID_BY,
        default="event",
        help=tr("by what the two are laid together: first movement (event), all events, or place"),
    )
    parser.add_argument(
        "--other-body",
        choices=_TOGETHER,
        help=tr("with --beside: at events of both, each one's body over the other's film"),
    )
    _add_named(parser)
    parser.add_argument(
        "--narration", metavar="ID", default="", help=tr("as this narration has it: stops, words, sound")
    )


def add_strip(parser: argparse.ArgumentParser) -> None:
    """The arguments after ``strip``."""
    parser.add_argument("project", metavar="PROJECT", type=Path)
    parser.add_argument("--run", metavar="RUN", help=tr("as for read; left out with a FOLDER, all runs"))
    parser.add_argument(
        "--out",
        metavar="FILE.png|FOLDER",
        type=Path,
        required=True,
        help=tr("the picture, or a FOLDER for all runs"),
    )
    words = tr("with the strip of this run below, event under event")
    parser.add_argument("--beside", metavar="RUN", default="", help=words)
    _add_named(parser)


def _add_named(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--named", action="store_true", help=tr("athlete, run and day stand over it"))
    add_audience(parser)


def add_audience(parser: argparse.ArgumentParser) -> None:
    """The arguments that say for whom something is."""
    faces = parser.add_mutually_exclusive_group()
    words = tr("no picture without a covered face; else faces are covered where you placed a cover")
    faces.add_argument("--cover-face", action="store_true", help=words)
    faces.add_argument("--show-face", action="store_true", help=tr("faces are shown, whatever was covered"))
    words = tr("nobody is named; refused without the consent to share")
    parser.add_argument("--public", action="store_true", help=words)


def audience_of(arguments: argparse.Namespace) -> Audience:
    """For whom it is."""
    from analysis.values.audience import Audience, Faces

    faces = Faces.ALL if arguments.cover_face else Faces.SHOWN if arguments.show_face else Faces.PLACED
    return Audience(faces, arguments.public)


def named_audience_of(arguments: argparse.Namespace) -> Audience:
    """The same, where names may be wanted over it."""
    return replace(audience_of(arguments), named=arguments.named)


def of_all_runs(arguments: argparse.Namespace) -> bool:
    """Whether a folder is named, and no run."""
    return arguments.run is None and not arguments.out.suffix


def wish_of(arguments: argparse.Namespace) -> FilmWish:
    """How the film is wished for. Raises CinderlaneError for what can't be had."""
    from analysis.jobs.film_wish import FilmWish
    from analysis.reading.laying import Lock, LockKind
    from analysis.report.film_frames import USUAL, Look
    from analysis.report.film_order import Pace
    from analysis.report.other_body import Meet

    look = Look(USUAL, not arguments.no_numbers, not arguments.no_rail, arguments.height)
    if arguments.other_body is not None:
        look = replace(look, bodies=(0, 1), meet=Meet(arguments.other_body))
    return FilmWish(
        Pace(arguments.speed, arguments.hold),
        look,
        arguments.first,
        arguments.last,
        named_audience_of(arguments),
        arguments.beside,
        Lock(LockKind(arguments.laid_by)),
        arguments.narration,
    )
