"""The project as one file that is written at every edit."""

from __future__ import annotations

import os
import sqlite3
import threading
import uuid
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from types import TracebackType
from typing import Self, cast

from sqlalchemy import Connection, select, update

from analysis.store import connecting, faults, finding, loading, migrate, tables, track_rows, writing
from analysis.values import paths
from analysis.values.command import Change, Command, Kind
from analysis.values.drill_film import DrillFilm
from analysis.values.errors import ProjectError
from analysis.values.project import Project, apply
from analysis.values.tracks import Tracks
from analysis.values.tracks_file import packed, readable
from analysis.values.words import tr

_DRAFT_OF = "draft of film {}"

Check = Callable[[Project, Project], None]
"""Raises a CinderlaneError where the second project must not become of the first."""


class ProjectFile:
    """An open project file.

    Several programs may have a file open. Each edit is one transaction that first takes in what others wrote;
    an edit of an object that was changed elsewhere is refused, so nobody overwrites anybody. A file that
    can't be written to opens with ``read_only`` True and refuses edits.

    Made, used and closed on one thread; anything else is a RuntimeError. All other trouble is a ProjectError
    whose sentence may be shown; what was saved before is then still there.
    """

    def __init__(self, path: Path, connection: Connection, project: Project, *, read_only: bool) -> None:
        self._path = path
        self._connection: Connection | None = connection
        self._project = project
        self._read_only = read_only
        self._thread = threading.get_ident()
        self._seen = -1

    @classmethod
    def create(cls, path: str | os.PathLike[str]) -> ProjectFile:
        """Make a new, empty project and open it. Raises ProjectError where that name is taken."""
        whole = Path(path).absolute()
        try:
            whole.open("xb").close()
        except FileExistsError as error:
            raise ProjectError(
                tr("There is already a file {path}. Choose another name, or open that one.").format(path=path)
            ) from error
        except (OSError, ValueError) as error:
            raise ProjectError(
                tr(
                    "No project can be made at {path}. Choose a folder that exists and that you may write to."
                ).format(path=path)
            ) from error
        try:
            with faults.in_words(str(path)):
                whole = whole.resolve()
                connection = connecting.connect(whole, read_only=False)
                try:
                    file = cls(whole, connection, Project(), read_only=False)
                    with connecting.transaction(connection, write=True):
                        migrate.create(connection)
                        file._seen = connecting.pragma(connection, "data_version")
                except BaseException:
                    connecting.disconnect(connection)
                    raise
            return file
        except BaseException:
            with suppress(OSError):
                whole.unlink()
            raise

    @classmethod
    def open(cls, path: str | os.PathLike[str]) -> ProjectFile:
        """Open a project and load it; an older version is brought up to date first.

        Raises ProjectError, and alters nothing, where the file is missing, damaged, newer or something else.
        """
        try:
            whole = Path(path).resolve()
            connecting.check_header(whole)
        except (OSError, ValueError, RuntimeError) as error:
            if isinstance(error, ProjectError):
                raise
            raise ProjectError(
                tr("There is no project at {path}. Check the name.").format(path=path)
            ) from error
        read_only = not connecting.writable(whole)
        with faults.in_words(str(path)):
            connection = connecting.connect(whole, read_only=read_only)
            try:
                file = cls(whole, connection, Project(), read_only=read_only)
                file._bring_up_to_date()
                with file._saying_damage(), connecting.transaction(connection, write=False):
                    loading.check(connection)
                    file._take_in()
            except BaseException:
                connecting.disconnect(connection)
                raise
        return file

    @property
    def path(self) -> Path:
        """Where the file lies, absolute."""
        return self._path

    @property
    def read_only(self) -> bool:
        """Whether edits are refused because the file or its folder is write-protected."""
        return self._read_only

    @property
    def project(self) -> Project:
        """The project as loaded, and as the last commit left it."""
        return self._project

    def commit(
        self, command: Command, pts_of: writing.PtsOfFilm | None = None, check: Check | None = None
    ) -> Project:
        """Do the command, in the file and then in ``project``; durable when this returns.

        ``pts_of(film_id, frame)`` gives the film's presentation time of a frame, or None; it is stored beside
        the frame. Without it a frame that stays the same keeps its time. ``check``: asked within the
        transaction, with what the file holds by now and what it would hold; what it raises ends the commit.
        Raises ProjectError, and alters nothing, where the command does not fit the project or the file can't
        be written.
        """
        connection = self._own_connection()
        if self._read_only:
            raise ProjectError(faults.write_protected(str(self._path)))
        with faults.in_words(str(self._path)), self._saying_damage():
            with connecting.transaction(connection, write=True):
                self._take_in()
                after = apply(self._project, command)
                if check is not None:
                    check(self._project, after)
                for change in command.changes:
                    film_id = _film_of(change, self._project, after)
                    writing.write(connection, change, self._path.parent, writing.for_film(pts_of, film_id))
            self._project = after
        return after

    def keep_tracks(self, run_id: str, tracks: Tracks) -> None:
        """Keep followed points of a run; durable when this returns. They are no edit and are never undone.

        Raises ProjectError where the file can't be written.
        """
        self._keep(run_id, tracks.key, packed(tracks), track_rows.KEPT)

    def tracks(self, key: str) -> Tracks | None:
        """The followed points of that key, None where they are not there (any more) or can't be read."""
        connection = self._own_connection()
        with faults.in_words(str(self._path)), connecting.transaction(connection, write=False):
            return readable(track_rows.found(connection, key))

    def latest_tracks(self, run_id: str) -> Tracks | None:
        """The followed points of a run that were kept last, whatever was placed since; None without any."""
        kept = self._latest(run_id)
        return None if kept is None else readable(kept[1])

    def keep_draft(self, film_id: str, key: str, content: bytes) -> None:
        """Keep what was drafted from a film, as bytes; durable when this returns. It is no edit.

        Raises ProjectError where the file can't be written.
        """
        self._keep(_DRAFT_OF.format(film_id), key, content, track_rows.KEPT_DRAFTS)

    def latest_draft(self, film_id: str) -> tuple[str, bytes] | None:
        """Key and content of what was drafted last from a film, whatever changed since."""
        return self._latest(_DRAFT_OF.format(film_id))

    def _keep(self, owner: str, key: str, content: bytes, most: int) -> None:
        connection = self._own_connection()
        if self._read_only:
            raise ProjectError(faults.write_protected(str(self._path)))
        with faults.in_words(str(self._path)), connecting.transaction(connection, write=True):
            track_rows.keep(connection, owner, key, content, most)

    def _latest(self, owner: str) -> tuple[str, bytes] | None:
        connection = self._own_connection()
        with faults.in_words(str(self._path)), connecting.transaction(connection, write=False):
            return track_rows.latest(connection, owner)

    def reload(self) -> Project:
        """Take in what other programs wrote since; returns the project."""
        connection = self._own_connection()
        damage = self._saying_damage()
        with faults.in_words(str(self._path)), damage, connecting.transaction(connection, write=False):
            self._take_in()
        return self._project

    def find_film(self, film_id: str) -> Path:
        """Where a film of the project lies now: where it was, seen from the project file, or beside the file.

        Raises MissingFilmError where it is in neither place, KeyError where the project has no such film.
        """
        return finding.found(self._project.films[film_id].path, self._path.parent)

    def recorded_pts(self, film_id: str) -> Mapping[int, int]:
        """The presentation times stored beside the frames that were marked on a film, by frame number."""
        connection = self._own_connection()
        known: dict[int, int] = {}
        with faults.in_words(str(self._path)), connecting.transaction(connection, write=False):
            for table in (tables.run, tables.mark, tables.footfall, tables.point, tables.line):
                run_id = table.c.id if table is tables.run else table.c.run_id
                owner = tables.run.alias("owner")
                for name in (c.name.removesuffix("_pts") for c in table.c if c.name.endswith("_pts")):
                    query = (
                        select(table.c[name], table.c[f"{name}_pts"])
                        .join_from(table, owner, run_id == owner.c.id)
                        .where(owner.c.film_id == film_id)
                    )
                    known.update({frame: pts for frame, pts in connection.execute(query) if pts is not None})
            camera = tables.film_camera.c
            for number, time in ((camera.reference, camera.reference_pts), (camera.first, camera.first_pts)):
                stored = select(number, time).where(camera.film_id == film_id, time.is_not(None))
                known.update({int(row[0]): int(row[1]) for row in connection.execute(stored)})
        return known

    def save_copy(self, path: str | os.PathLike[str], *, replace: bool = False) -> None:
        """Write the project to another file, whole or not at all; its films are then found from there.

        Raises ProjectError where it can't be written, or where a file is there and ``replace`` is not said.
        """
        connection = self._own_connection()
        target = Path(path).absolute()
        if target.exists() and (not replace or target.samefile(self._path)):
            raise ProjectError(tr("There is already a file {path}. Choose another name.").format(path=path))
        part = target.with_name(f"{target.name}.{uuid.uuid4().hex[:8]}.part")
        try:
            with faults.in_words(str(path)):
                part.open("xb").close()
                raw = cast(sqlite3.Connection, connection.connection.dbapi_connection)
                with closing(sqlite3.connect(part)) as copy:
                    raw.backup(copy)
                self._point_films(part, target.parent)
                part.replace(target)
        finally:
            with suppress(OSError):
                part.unlink()

    def close(self) -> None:
        """Close the file; closing twice does no harm."""
        self._check_thread()
        if self._connection is not None:
            connecting.disconnect(self._connection)
            self._connection = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _check_thread(self) -> None:
        if threading.get_ident() != self._thread:
            raise RuntimeError("a project file is used on the thread that opened it, and on no other")

    def _own_connection(self) -> Connection:
        self._check_thread()
        if self._connection is None:
            raise RuntimeError("the project file is closed")
        return self._connection

    def _bring_up_to_date(self) -> None:
        connection = self._own_connection()
        with connecting.transaction(connection, write=False):
            version = connecting.pragma(connection, "user_version")
        migrate.check_version(version)
        if version == migrate.VERSION:
            return
        if self._read_only:
            raise ProjectError(faults.write_protected(str(self._path)))
        with connecting.transaction(connection, write=True):
            migrate.upgrade(connection, connecting.pragma(connection, "user_version"))

    def _take_in(self) -> None:
        """Load the project, inside a transaction, unless nobody else has written since the last time."""
        connection = self._own_connection()
        version = connecting.pragma(connection, "data_version")
        if version != self._seen:
            self._project = loading.load(connection, self._path.parent)
            self._seen = version

    @contextmanager
    def _saying_damage(self) -> Iterator[None]:
        try:
            yield
        except loading.DamagedError as error:
            raise ProjectError(faults.damaged(str(self._path))) from error

    def _point_films(self, copy: Path, folder: Path) -> None:
        """Make the films' paths in a copy lead from the folder where it will lie."""
        connection = connecting.connect(copy, read_only=False)
        try:
            with connecting.transaction(connection, write=True):
                for row in list(connection.execute(select(tables.film.c.id, tables.film.c.path))):
                    path = paths.stored(paths.restored(row.path, self._path.parent), folder)
                    connection.execute(
                        update(tables.film).where(tables.film.c.id == row.id).values(path=path)
                    )
        finally:
            connecting.disconnect(connection)


def _film_of(change: Change, before: Project, after: Project) -> str | None:
    """The film on which the frames of a change are counted."""
    if change.kind is Kind.FILM_CAMERA:
        return change.id
    thing = change.new or change.old
    run_id = change.id if change.kind is Kind.RUN else change.run_id
    if isinstance(thing, DrillFilm):
        run_id = thing.run_id
    run = after.runs.get(run_id) or before.runs.get(run_id)
    return None if run is None else run.film_id
