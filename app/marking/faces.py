"""Covered faces: from what the coach does on the picture to a command."""

from __future__ import annotations

from itertools import pairwise
from uuid import uuid4

from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import PointError
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber
from analysis.values.project import Project
from analysis.values.run import Run
from analysis.values.words import tr

LEAST_HALF_PX = 3.0
_USUAL_SHARE = 0.035
"""Half the height of a face where none was drawn yet, as a share of the picture's height (own)."""
_USUAL_SHAPE = 0.8


def cover_of(project: Project, run: Run, number: int) -> FaceCover:
    """What is covered of one face on the film of a run; without places where nothing is yet."""
    covers = project.covers_of(run.film_id)
    found = next((cover for cover in covers if cover.number == number), None)
    return found or FaceCover(uuid4().hex, run.film_id, number=number)


def first_number(project: Project, run: Run) -> int:
    """The number of the first covered face on the film of a run; 1 where there is none."""
    return min((cover.number for cover in project.covers_of(run.film_id)), default=1)


def next_number(project: Project, run: Run, number: int) -> int:
    """The number of the face after that one: after the last a new one, after a new one the first."""
    known = [cover.number for cover in project.covers_of(run.film_id)]
    later = [one for one in known if one > number]
    return min(later) if later else number + 1 if number in known else first_number(project, run)


def usual_size(cover: FaceCover, frame: int, picture_height: int) -> tuple[float, float]:
    """Half axes for a cover that is only clicked, px: those of the place before, else of the next."""
    known = [place for place in cover.places if not place.gone]
    before = [place for place in known if place.frame <= frame]
    nearest = before[-1] if before else known[0] if known else None
    if nearest is not None:
        return nearest.half_u, nearest.half_v
    half = max(LEAST_HALF_PX, _USUAL_SHARE * picture_height)
    return _USUAL_SHAPE * half, half


def place_face(project: Project, cover: FaceCover, place: FacePlace) -> Command:
    """Cover the face on a frame. Raises PointError where the cover is too small to hide one."""
    if min(place.half_u, place.half_v) < LEAST_HALF_PX:
        raise PointError(tr("Draw the cover larger: from the middle of the face to beyond its edge."))
    return _changed(project, cover.with_place(place), tr("Cover a face"))


def no_face(project: Project, cover: FaceCover, frame: int) -> Command:
    """From this frame to its next place the face is not in the picture."""
    return _changed(project, cover.with_place(_gone(frame)), tr("No face from here on"))


def no_face_before(project: Project, cover: FaceCover, frame: int) -> Command:
    """From its place before, or the film's begin, to this frame the face is not in the picture.

    Raises PointError where it was not placed on this frame.
    """
    if (here := cover.on(frame)) is None or here.gone:
        raise PointError(tr("Cover the face on this frame first: then say that it was not there before."))
    since = max((place.frame + 1 for place in cover.places if place.frame < frame), default=0)
    words = tr("No face before here")
    return _changed(project, cover.with_place(_gone(since)) if since < frame else cover, words)


def uncover(project: Project, cover: FaceCover, frame: int) -> Command:
    """Take away what was placed on this frame. Raises PointError where nothing was."""
    if cover.on(frame) is None:
        raise PointError(
            tr("No cover was placed on this frame. The ones that were stand on frames {frames}.").format(
                frames=", ".join(str(place.frame) for place in cover.places) or tr("none")
            )
        )
    return _changed(project, cover.without(frame), tr("Take the cover off"))


def face_between(cover: FaceCover, frame: int) -> FacePlace | None:
    """About where the cover is on a frame: placed there, or on the straight way between two places; None
    where it is not covered, or no face is in sight.
    """
    here = cover.on(frame)
    if here is not None:
        return None if here.gone else here
    for one, other in pairwise(cover.places):
        if one.frame < frame < other.frame and not (one.gone or other.gone):
            return one.towards(other, frame)
    return None


def _gone(frame: int) -> FacePlace:
    return FacePlace(FrameNumber(frame), 0.0, 0.0, 0.0, 0.0)


def _changed(project: Project, new: FaceCover, words: str) -> Command:
    old = project.face_covers.get(new.id)
    return command(words, (Change(Kind.FACE_COVER, new.id, old, new if new.places else None),))
