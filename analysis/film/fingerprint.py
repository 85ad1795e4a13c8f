"""A digest that tells films apart, wherever the file lies and whatever it is called."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

from analysis.values.film import IndexEntry

_SAMPLE_BYTES = 1 << 20


def fingerprint(path: str, index: Iterable[IndexEntry]) -> str:
    """Digest (hexadecimal) of the size, both ends of the file and the times of its frames. Raises OSError."""
    digest = hashlib.blake2b(digest_size=16)
    size = Path(path).stat().st_size
    digest.update(str(size).encode())
    with Path(path).open("rb") as file:
        digest.update(file.read(_SAMPLE_BYTES))
        if size > _SAMPLE_BYTES:
            file.seek(max(_SAMPLE_BYTES, size - _SAMPLE_BYTES))
            digest.update(file.read(_SAMPLE_BYTES))
    for entry in index:
        digest.update(b"%d," % entry.pts)
    return digest.hexdigest()
