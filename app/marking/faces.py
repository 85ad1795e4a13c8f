"""A covered face: from what the coach does on the picture to a command."""

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


def cover_of(project: Project, run: Run) -> FaceCover:
    """What is covered on the film of a run."""
    covers = project.covers_of(run.film_id)
    return covers[0] if covers else FaceCover(uuid4().hex, run.film_id)


def usual_size(cover: FaceCover, frame: int, picture_height: int) -> tuple[float, float]:
    """Half axes for a cover that is only clicked, px: those of the place before, else of the next."""
    known = [place for place in cover.places if not place.gone]
    before = [place for place in known if place.frame <= frame]
    nearest = before[-1] if before else known[0] if known else None
    if nearest is not None:
        return nearest.half_u, nearest.half_v
    half = max(LEAST_HALF_PX, _USUAL_SHARE * picture_height)
    return _USUAL_SHAPE * half, half


def place_face(project: Project, run: Run, place: FacePlace) -> Command:
    """Cover the face on a frame. Raises PointError where the cover is too small to hide one."""
    if min(place.half_u, place.half_v) < LEAST_HALF_PX:
        raise PointError(tr("Draw the cover larger: from the middle of the face to beyond its edge."))
    return _changed(project, cover_of(project, run).with_place(place), tr("Cover a face"))


def no_face(project: Project, run: Run, frame: int) -> Command:
    """From this frame to the next place no face is in the picture."""
    gone = FacePlace(FrameNumber(frame), 0.0, 0.0, 0.0, 0.0)
    return _changed(project, cover_of(project, run).with_place(gone), tr("No face from here on"))


def uncover(project: Project, run: Run, frame: int) -> Command:
    """Take away what was placed on this frame. Raises PointError where nothing was."""
    cover = cover_of(project, run)
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


def _changed(project: Project, new: FaceCover, words: str) -> Command:
    old = project.face_covers.get(new.id)
    return command(words, (Change(Kind.FACE_COVER, new.id, old, new if new.places else None),))
