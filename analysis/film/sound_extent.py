"""How long a film's sound goes on."""

from __future__ import annotations

from contextlib import suppress

from analysis.film.container import READ_ERRORS, opened

_ROUNDED_S = 0.1
"""A packet of sound is some 20 to 50 ms."""


def sound_lasts(path: str, said_s: float) -> bool:
    """Whether the sound goes on until then: pictures may well end before it, and nothing is lost."""
    ends_s = 0.0
    with opened(path) as container, suppress(*READ_ERRORS):
        for packet in container.demux(container.streams.audio):
            if packet.pts is not None:
                ends_s = max(ends_s, float((packet.pts + (packet.duration or 0)) * packet.time_base))
    return ends_s > said_s - _ROUNDED_S
