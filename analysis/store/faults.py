"""What went wrong with the file, as a sentence for the coach."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from types import MappingProxyType

from sqlalchemy.exc import DBAPIError

from analysis.values.errors import ProjectError
from analysis.values.words import tr


@contextmanager
def in_words(path: str) -> Iterator[None]:
    """Turn errors of the database and of the disk into ProjectError, with the cause chained."""
    try:
        yield
    except DBAPIError as error:
        raise ProjectError(sentence(error.orig, path)) from error
    # a damaged file may name its parts in what is no text, and then the message is none either
    except (sqlite3.Error, OSError, UnicodeDecodeError) as error:
        raise ProjectError(sentence(error, path)) from error


def sentence(error: BaseException | None, path: str) -> str:
    """What happened and what to do, in words that fit the error's cause."""
    code = getattr(error, "sqlite_errorcode", None)
    primary = code & 0xFF if isinstance(code, int) else None
    if primary in _SENTENCES:
        return _SENTENCES[primary](path)
    return _out_of_reach(path) if isinstance(error, OSError) else damaged(path)


def write_protected(path: str) -> str:
    """Said when the file or its folder can't be written to."""
    return tr(
        "The project {path} can't be written to: it or its folder is write-protected. Save a copy in a "
        "folder of your own and work on that."
    ).format(path=path)


def damaged(path: str) -> str:
    """Said when the content of the file is not what a project holds."""
    return tr("The project {path} is damaged and was left as it is. Open an earlier copy of it.").format(
        path=path
    )


def _full(path: str) -> str:
    return tr(
        "The disk with {path} is full, so this was not saved; all that was saved before is still there. Make "
        "room and try again."
    ).format(path=path)


def _busy(path: str) -> str:
    return tr(
        "Another program is writing to the project {path}. Nothing was altered; try again in a moment."
    ).format(path=path)


def _out_of_reach(path: str) -> str:
    return tr(
        "The project {path} can't be read or written: its disk or folder is gone, full or protected. Check "
        "that and try again."
    ).format(path=path)


def _unfit(path: str) -> str:
    return tr("The change does not fit what the project {path} can hold. Nothing was altered.").format(
        path=path
    )


_SENTENCES: Mapping[int | None, Callable[[str], str]] = MappingProxyType(
    {
        sqlite3.SQLITE_FULL: _full,
        sqlite3.SQLITE_BUSY: _busy,
        sqlite3.SQLITE_LOCKED: _busy,
        sqlite3.SQLITE_READONLY: write_protected,
        sqlite3.SQLITE_PERM: write_protected,
        sqlite3.SQLITE_IOERR: _out_of_reach,
        sqlite3.SQLITE_CANTOPEN: _out_of_reach,
        sqlite3.SQLITE_CONSTRAINT: _unfit,
    }
)
