"""The end of a film that was cut off: how far it can be used."""

from __future__ import annotations

from analysis.film.decoding import Decoder
from analysis.film.index import PacketList
from analysis.values.errors import FilmError
from analysis.values.film import IndexEntry
from analysis.values.words import tr

_MOST_KEYS_BACK = 4


def without_lost_tail(
    decoder: Decoder, index: tuple[IndexEntry, ...], packets: PacketList
) -> tuple[IndexEntry, ...]:
    """The index up to the last frame that decodes whole.

    Decodes from the last key frame only, from earlier ones where that gives nothing. Raises FilmError where
    nothing near the end decodes.
    """
    damaged = set(packets.damaged)
    keys = [entry.pts for entry in index if entry.key]
    for key in keys[-1 : -1 - _MOST_KEYS_BACK : -1]:
        if key == keys[0]:
            decoder.begin()
        else:
            decoder.seek(key)
        whole = [pts for pts in _times(decoder) if pts not in damaged and pts >= key]
        if whole:
            last = max(whole)
            return tuple(entry for entry in index if entry.pts <= last)
    raise FilmError(
        tr("The end of the film is damaged and can't be decoded. Copy the film from the phone again.")
    )


def _times(decoder: Decoder) -> list[int]:
    times = []
    while (frame := decoder.next()) is not None:
        if frame.pts is not None:
            times.append(frame.pts)
    return times
