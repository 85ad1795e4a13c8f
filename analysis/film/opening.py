"""Opening a film: everything there is to know before a picture is asked for."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from analysis.film.camera_box import camera_box
from analysis.film.capture_rate import capture_rate, container_rate
from analysis.film.colours import colours_of
from analysis.film.container import opened
from analysis.film.edit_list import cuts_s
from analysis.film.extent import is_cut_off, said_to_last_s, says_no_end
from analysis.film.fingerprint import fingerprint
from analysis.film.index import Watch, in_order, read_packets
from analysis.film.noting import Losses, notes_on, short_of
from analysis.film.orientation import orientation_of
from analysis.film.repeats import left_out_note, without_repeats
from analysis.film.sound_extent import sound_lasts
from analysis.film.tail import without_lost_tail
from analysis.film.transport import may_end_in_a_picture
from analysis.values.errors import FilmError
from analysis.values.film import Film, IndexEntry
from analysis.values.words import tr

_WIDEST_PIXEL = 4

_ROUNDED_S = 0.001
"""Lengths of parts are often told in whole ms."""


def open_film(
    path: str | Path, coach_rate_hz: float | None = None, every: int = 1, watch: Watch | None = None
) -> Film:
    """Read the facts of a film.

    ``coach_rate_hz``: frames per second at which it was filmed, by the coach's word, which wins. ``every``:
    every picture stands so many times in the file (``repeated_pictures``), and the coach agreed that the
    repeats be left out; rates then count different pictures. ``watch``: told how far reading is; what it
    raises ends the reading and comes out here.

    Raises MissingFilmError where there is no file, FilmError where it can't be used as a film.
    """
    place = str(Path(path).absolute())
    with opened(place) as container:
        stream, packets, first = read_packets(container, watch)
        index = in_order(packets)
        facts = _StreamFacts(container, stream)
        said_s = said_to_last_s(place, container, stream)
        has_sound, end_unsaid = bool(container.streams.audio), says_no_end(container)
    _check_pictures(first)
    cut_off = is_cut_off(place)
    in_doubt = bool(packets.entries) and may_end_in_a_picture(place)
    if in_doubt:
        packets.damaged.append(packets.entries[-1][0])  # decoders make up the rest of it without a word
    index, lead_lost = (index, 0) if packets.counted else _from_first(index, first[0].pts)
    suspect = packets.broken or bool(packets.damaged) or cut_off or end_unsaid
    whole = usable = without_lost_tail(place, facts.number, index, packets) if suspect else index
    if every > 1:
        if packets.counted:
            raise FilmError(
                tr("The file does not say when its pictures are shown, so repeats can't be left out.")
            )
        usable = without_repeats(place, facts.number, usable, every)
    orientation = orientation_of(first[0])
    plays_at = container_rate([entry.pts for entry in whole], facts.time_base) / every
    rate = capture_rate(plays_at, facts.metadata, coach_rate_hz, camera_box(place))
    film = Film(
        path=place,
        index=usable,
        time_base=facts.time_base,
        stream=facts.number,
        stored_width=first[0].width,
        stored_height=first[0].height,
        rotation_deg=orientation.rotation_deg,
        mirrored=orientation.mirrored,
        pixel_aspect=facts.pixel_aspect,
        container_rate_hz=plays_at,
        capture_rate_hz=rate.rate_hz,
        rate_source=rate.source,
        rate_said_by=rate.said_by,
        fingerprint=fingerprint(place, whole),
        codec=facts.codec,
        counted=packets.counted,
        reordered=packets.reordered,
        colours=colours_of(first[0]),
    )
    damaged = set(packets.damaged)
    short = short_of(whole, facts.time_base, said_s, has_sound=has_sound)
    if short is not None and has_sound and sound_lasts(place, short[1]):
        short = None
    losses = Losses(
        before_first=lead_lost,
        doubles=packets.doubles,
        untimed=packets.left_out,
        end_is_missing=(len(whole) < len(index) and not in_doubt) or cut_off,
        end_in_doubt=max(1, len(index) - len(whole)) if in_doubt else 0,
        short_of_s=short,
        end_unsaid=end_unsaid,
        slanted=orientation.slanted,
        damaged=[number for number, entry in enumerate(usable) if entry.pts in damaged],
        beside=packets.beside,
        cut_before=_cut_before(film, cuts_s(place)),
    )
    repeats = (left_out_note(every),) if every > 1 else ()
    return replace(film, notes=(*rate.notes, *repeats, *notes_on(film, losses)))


def _cut_before(film: Film, cuts: tuple[float, ...]) -> tuple[int, ...]:
    """The first frames behind places where the film was cut, given in s of playing from its first picture."""
    if not cuts:
        return ()
    first = film.index[0].pts
    times = [float((entry.pts - first) * film.time_base) for entry in film.index]
    frames = (bisect_left(times, cut - _ROUNDED_S) for cut in cuts)
    return tuple(dict.fromkeys(frame for frame in frames if 0 < frame < film.frames))


class _StreamFacts:
    """Copied while the container is open: afterwards the library gives wrong values without a word."""

    def __init__(self, container: InputContainer, stream: VideoStream) -> None:
        if not stream.time_base:
            raise FilmError(tr("The film has no clock. Export it again as an MP4 film."))
        self.number: int = stream.index
        self.time_base = Fraction(stream.time_base)
        self.pixel_aspect = _sensible(Fraction(stream.sample_aspect_ratio or 1))
        self.codec: str = stream.codec_context.name
        self.metadata = {**dict(stream.metadata), **dict(container.metadata)}


def _sensible(pixel_aspect: Fraction) -> Fraction:
    """The width over height of a pixel; 1 for what no camera makes."""
    return pixel_aspect if 1 / _WIDEST_PIXEL <= pixel_aspect <= _WIDEST_PIXEL else Fraction(1)


def _check_pictures(first: list[VideoFrame]) -> None:
    """Raise FilmError where nothing decodes, or where the pictures hold two moments each."""
    if not first:
        raise FilmError(
            tr("No picture of the film can be decoded. Copy it from the phone again, or export it as H.264.")
        )
    if any(frame.interlaced_frame for frame in first):
        raise FilmError(
            tr(
                "The film is interlaced: each of its pictures holds two moments. "
                "Film with a progressive setting (such as 60p instead of 60i)."
            )
        )


def _from_first(index: tuple[IndexEntry, ...], start: int | None) -> tuple[tuple[IndexEntry, ...], int]:
    """The index from the time of the first frame that decodes, and how many listed before it do not.

    A film cut without encoding anew may begin with frames that refer to others which were cut away.
    """
    kept = tuple(entry for entry in index if start is None or entry.pts >= start)
    if not kept:
        raise FilmError(tr("The times of the film's frames can't be told. Export it again as an MP4 film."))
    return kept, len(index) - len(kept)
