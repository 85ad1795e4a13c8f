"""The end of a film that was cut off: how far it can be used."""

from __future__ import annotations

from itertools import pairwise
from statistics import median

from analysis.film.decoding import Decoder
from analysis.film.index import PacketList
from analysis.values.errors import FilmError
from analysis.values.film import IndexEntry
from analysis.values.words import tr

_MOST_KEYS_BACK = 4

_HOLE = 1.5
"""An interval this many times the ordinary one is a missing frame."""


def without_lost_tail(
    path: str, stream: int, index: tuple[IndexEntry, ...], packets: PacketList
) -> tuple[IndexEntry, ...]:
    """The index up to the last frame that decodes whole.

    ``path``, ``stream``: the file and the position of the stream in it. Decodes from the last key frame only,
    from earlier ones where that does not come, at last from the first. Raises FilmError where nothing near
    the end decodes, or where the file can't be opened any more.
    """
    times = tuple(entry.pts for entry in index) if packets.counted else None
    decoder = Decoder(path, stream, times, threads=1)
    try:
        return _as_far_as_it_decodes(decoder, index, packets)
    finally:
        decoder.close()


def _as_far_as_it_decodes(
    decoder: Decoder, index: tuple[IndexEntry, ...], packets: PacketList
) -> tuple[IndexEntry, ...]:
    damaged = set(packets.damaged)
    keys = [entry.pts for entry in index if entry.key]
    end, hurt_at_the_end = index[-1].pts, any(pts >= key for key in keys[-1:] for pts in damaged)
    latest = keys[-1 : -1 - _MOST_KEYS_BACK : -1]
    for key in dict.fromkeys((*latest, *keys[:1])):
        if key == keys[0]:
            decoder.begin()
        else:
            decoder.seek(key)
        decoded = set(_times(decoder))
        whole = decoded - damaged
        if end in whole and not hurt_at_the_end:
            return index  # nothing is lost at the end; the reader says which pictures before it are not whole
        # seeking may lead behind the key frame: what lies between would look lost
        if key in decoded and any(pts >= key for pts in whole):
            return _before_a_hole([entry for entry in index if entry.pts < key or entry.pts in whole], key)
    raise FilmError(
        tr("The end of the film is damaged and can't be decoded. Copy the film from the phone again.")
    )


def _before_a_hole(entries: list[IndexEntry], key: int) -> tuple[IndexEntry, ...]:
    """Frames up to the first that is missing after the key frame.

    Pictures are stored out of order, so that one may stand alone behind others that were lost.
    """
    if len(entries) > 1:
        ordinary = median(later.pts - earlier.pts for earlier, later in pairwise(entries))
        for number, (earlier, later) in enumerate(pairwise(entries), start=1):
            if earlier.pts >= key and later.pts - earlier.pts > _HOLE * ordinary:
                return tuple(entries[:number])
    return tuple(entries)


def _times(decoder: Decoder) -> list[int]:
    times = []
    while (frame := decoder.next()) is not None:
        if frame.pts is not None:
            times.append(frame.pts)
    return times
