"""Camera, lens and camera place of a run: from what the coach says to a command."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from analysis.ground.marks import check_marks
from analysis.ground.reference import reference_marks
from analysis.ground.view import View
from analysis.values.camera import CameraKind, CameraPath, Lens
from analysis.values.camera_place import UNMOVED, CameraPlace, FilmCamera
from analysis.values.command import Change, Command, Kind, command
from analysis.values.errors import MarkError
from analysis.values.project import Project, bare
from analysis.values.run import DEFAULT_ERROR_PX, GroundMark, Run
from analysis.values.words import tr

BY_WORD_ERROR_PX = DEFAULT_ERROR_PX
"""How well the camera stands where it stood where the coach says so and no picture does, px (own
assumption: a click's)."""


def camera_of(project: Project, film_id: str) -> FilmCamera:
    """What is known of a film's camera; of one of which nothing is, that nothing."""
    return project.film_cameras.get(film_id) or FilmCamera(film_id)


def place_of(project: Project, run: Run) -> CameraPlace | None:
    """The camera place whose marks serve the run."""
    return project.camera_places.get(run.camera_place_id or "")


def lens_of(project: Project, run: Run) -> Lens | None:
    """The lens by which the run is read: its film's own before its camera place's."""
    place = place_of(project, run)
    return camera_of(project, run.film_id).lens or (None if place is None else place.lens)


def set_path(project: Project, film_id: str, path: CameraPath | None) -> Command:
    """Where every frame of the film looks; None: its camera is taken as still again."""
    new = replace(camera_of(project, film_id), path=path)
    text = tr("Follow the background") if path is not None else tr("Forget how the camera moved")
    return command(text, _camera_changes(project, new))


def set_lens(project: Project, run: Run, lens: Lens | None) -> Command:
    """The lens of the run's camera place, which serves all its films, else of its film; None: taken off."""
    text = tr("Lens") if lens is not None else tr("Take the lens off")
    place, own = place_of(project, run), camera_of(project, run.film_id)
    if place is None:
        return command(text, _camera_changes(project, replace(own, lens=lens)))
    changes = _camera_changes(project, replace(own, lens=None))
    return command(text, (*changes, _place_change(place, replace(place, lens=lens))))


def make_place(project: Project, run: Run, name: str, size: tuple[int, int]) -> Command:
    """A camera place with the run's marks, lens and distance, which from now on serve from there.

    ``size``: width and height of the film's pictures, px. Raises MarkError where there are no marks to share
    or where the camera walked.
    """
    name, camera = name.strip(), camera_of(project, run.film_id)
    if not name:
        raise MarkError(tr("Give the camera place a name first, such as the lane that it looks at."))
    if any(place.name == name for place in project.camera_places.values()):
        raise MarkError(
            tr("There is a camera place called {name} already. Choose another name.").format(name=name)
        )
    if camera.path is not None and camera.path.kind is CameraKind.WALKING:
        raise MarkError(tr("The camera was carried along, so its marks can't serve other films."))
    if camera.path is not None and not camera.path.serves(lens_of(project, run)):
        raise MarkError(tr("The background was followed with another lens. Follow it again first."))
    kept = reference_marks(View(*size, lens_of(project, run), camera.path), run.marks)
    if not kept or len(kept) < len(run.marks):
        raise MarkError(
            tr("A mark stands on a frame that can't be tied to the others. Set it on another.")
            if run.marks
            else tr("Set marks on this film first: a camera place shares the marks of one of its films.")
        )
    place = CameraPlace(uuid4().hex, name, tuple(kept), camera.lens, run.camera_distance_m)
    given = replace(bare(run), camera_place_id=place.id, camera_distance_m=None)
    changes = [Change(Kind.MARK, mark.id, mark, None, run.id) for mark in run.marks]
    changes += [Change(Kind.CAMERA_PLACE, place.id, None, place), Change(Kind.RUN, run.id, bare(run), given)]
    own = replace(camera, lens=None, to_place=UNMOVED, to_place_error_px=0.0)
    return command(tr("Camera place {name}").format(name=name), (*changes, *_camera_changes(project, own)))


def use_place(
    project: Project,
    run: Run,
    place_id: str,
    to_place: tuple[float, ...] = UNMOVED,
    error_px: float = BY_WORD_ERROR_PX,
) -> Command:
    """The run's film was taken from a camera place. ``to_place``, ``error_px``: as FilmCamera has them."""
    place = project.camera_places[place_id]
    camera = replace(camera_of(project, run.film_id), to_place=to_place, to_place_error_px=error_px)
    given = replace(bare(run), camera_place_id=place_id)
    changes = (*_camera_changes(project, camera), Change(Kind.RUN, run.id, bare(run), given))
    return command(tr("Use the marks of {name}").format(name=place.name), changes)


def leave_place(project: Project, run: Run) -> Command:
    """The camera place's marks serve the run no more; the place stays for other runs."""
    place = place_of(project, run)
    given = replace(bare(run), camera_place_id=None)
    changes = [Change(Kind.RUN, run.id, bare(run), given)]
    others = [r for r in project.runs.values() if r.film_id == run.film_id and r.id != run.id]
    if not any(other.camera_place_id for other in others):
        alone = replace(camera_of(project, run.film_id), to_place=UNMOVED, to_place_error_px=0.0)
        changes += _camera_changes(project, alone)
    name = "" if place is None else place.name
    return command(tr("Leave {name}").format(name=name), changes)


def rename_place(project: Project, place: CameraPlace, name: str) -> Command:
    """Another name. Raises MarkError for none, or one that another place has."""
    name = name.strip()
    if not name or any(p.name == name and p.id != place.id for p in project.camera_places.values()):
        raise MarkError(tr("A camera place needs a name of its own."))
    return command(tr("Name of the camera place"), (_place_change(place, replace(place, name=name)),))


def change_place_mark(place: CameraPlace, old: GroundMark, new: GroundMark | None) -> Command:
    """A mark of a camera place told another distance, or, with None, taken off.

    Raises MarkError where it can't stand beside the others.
    """
    kept = tuple(mark for mark in place.marks if mark.id != old.id)
    marks = kept if new is None else (*kept, replace(new, u=old.u, v=old.v))
    check_marks(marks)
    text = tr("Delete mark") if new is None else tr("Change mark")
    return command(text, (_place_change(place, replace(place, marks=marks)),))


def set_place_distance(place: CameraPlace, distance_m: float | None) -> Command:
    """From the camera place to the running line."""
    return command(tr("Camera distance"), (_place_change(place, replace(place, distance_m=distance_m)),))


def _place_change(old: CameraPlace, new: CameraPlace) -> Change:
    return Change(Kind.CAMERA_PLACE, old.id, old, new)


def _camera_changes(project: Project, new: FilmCamera) -> tuple[Change, ...]:
    old = project.film_cameras.get(new.id)
    kept = None if new == FilmCamera(new.id) else new
    return () if old == kept else (Change(Kind.FILM_CAMERA, new.id, old, kept),)
