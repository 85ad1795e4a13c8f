"""What is hidden from those for whom a picture, a film or a page is: the one rule for all that leaves the
program with somebody in sight.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from analysis.report.lettering import in_order, lacking
from analysis.values.audience import Audience, Faces
from analysis.values.consent import why_not_shared
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.face_cover import FaceCover
from analysis.values.film import Film, FrameTimes
from analysis.values.progress import Say, share_of
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import one_line, tr

if TYPE_CHECKING:
    from analysis.report.face_hiding import FacePlaces
    from analysis.values.camera import CameraPath

Stopped = Callable[[], bool]


@dataclass(frozen=True)
class HiddenFaces:
    """Where the faces of one film are covered. ``places``: of each, by frame, None for out of sight;
    ``notes``: what is to be looked at before anything is handed over.
    """

    places: Sequence[FacePlaces] = ()
    notes: tuple[str, ...] = ()


def check_shown(project: Project, runs: Iterable[Run], audience: Audience) -> None:
    """That everybody who runs may be shown to an audience. Raises CinderlaneError with the reason if not."""
    why = (why_not_to_show(project, run, audience) for run in runs)
    if reason := next(filter(None, why), ""):
        raise CinderlaneError(reason)


def check_captions(
    project: Project, runs: Iterable[Run], captions: Iterable[str], audience: Audience
) -> None:
    """That no caption names who runs, where nobody may be named. Raises CinderlaneError with the caption."""
    codes = [athlete.code for run in runs if (athlete := project.athlete_of(run)) is not None]
    telling = [code for code in codes if any(map(str.isalpha, code))] if audience.public else []
    for caption in captions:
        for code in telling:
            if re.search(rf"(?<!\w){re.escape(code)}(?!\w)", caption, re.IGNORECASE):
                words = tr("A public film names nobody, but a stop says “{caption}”. Leave {code} out of it.")
                raise CinderlaneError(words.format(caption=caption, code=code))


def told_in_public(audience: Audience, *, captions: bool, spoken: bool) -> tuple[str, ...]:
    """What is to be minded where a public film says what the coach wrote, drew or spoke."""
    if not audience.public or not (captions or spoken):
        return ()
    return (
        tr("Captions, voice and hand-drawn lines are in the public film as they are: do they name anybody?"),
    )


def why_not_to_show(project: Project, run: Run, audience: Audience) -> str:
    """Why a run may not be shown to an audience; empty where it may."""
    if not audience.public:
        return ""
    athlete = project.athlete_of(run)
    if athlete is None:
        words = tr("Nobody is named for the run {run}: say who ran, and note the consent to share.")
        return words.format(run=one_line(run.name))
    return why_not_shared(project.consents.get(athlete.id), athlete.age)


def hidden_faces(
    run: Run,
    film: Film,
    covers: Sequence[FaceCover],
    frames: Sequence[int],
    faces: Faces,
    camera: CameraPath | None = None,
    say: Say | None = None,
    stopped: Stopped | None = None,
) -> HiddenFaces:
    """Where the faces on a run's film are covered on ``frames``, followed between the places of ``covers``.

    ``camera``: how it moved; ``say``: told the share that is done; ``stopped``: asked now and then, and when
    it says yes ReadingStopped is raised. Raises FilmError where a face is not covered that should be.
    """
    if faces is Faces.SHOWN or not frames:
        return HiddenFaces()
    if not covers:
        if faces is Faces.PLACED:
            return HiddenFaces()
        words = tr("No face is covered on the film of {run} yet. Place the cover with Picture, Cover a face.")
        raise FilmError(words.format(run=one_line(run.name)))
    from analysis.derive.face import face_way  # what follows in pictures: only for who asks

    ways = []
    for done, cover in enumerate(covers):
        told = share_of(say, done / len(covers), (done + 1) / len(covers))
        way = face_way(film, cover, frames, run.direction, camera, told, stopped)
        way.check(frames)
        ways.append(way)
    notes = tuple(note for way in ways for note in way.notes(frames))
    return HiddenFaces([way.places for way in ways], notes)


def covers_to_mind(covers: Sequence[FaceCover], times: FrameTimes, frames: Iterable[int]) -> tuple[str, ...]:
    """Which faces are placed so far apart that a cover is large where it can't be followed: known before
    anything is followed.
    """
    from analysis.derive.face_guess import large_guesses

    words = tr("If face {number} can't be followed, {large}.")
    wanted = tuple(frames)
    return tuple(
        words.format(number=cover.number, large=one.words)
        for cover in covers
        for one in large_guesses(times.seconds, cover, wanted)
    )


def titles(project: Project, runs: Sequence[Run], audience: Audience) -> tuple[str, ...]:
    """What stands over each run: of two, always what tells them apart, in public no more than their order."""
    if audience.named and not audience.public:
        return tuple(_title(project, run) for run in runs)
    if len(runs) == 1:
        return ("",)
    days = tuple(run.conditions.day for run in runs)
    if not audience.public and all(days) and len(set(days)) == len(days):
        return days
    return tr("first"), tr("second")


def not_written(words: Iterable[str]) -> tuple[str, ...]:
    """What is to be said where signs of names or captions are in no font."""
    if any(map(lacking, words)):
        return (tr("Signs of a name or caption are in no font that there is: � stands for each."),)
    return ()


def _title(project: Project, run: Run) -> str:
    """Who, which run, when."""
    athlete = project.athlete_of(run)
    parts = (None if athlete is None else athlete.code, run.name, run.conditions.day)
    return in_order(one_line(part) for part in parts if part)
