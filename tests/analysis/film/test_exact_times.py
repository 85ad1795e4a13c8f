"""Times that stand twice, are missing, lie below zero or are uneven: each frame keeps picture and time."""

import subprocess
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.index import PacketList
from analysis.values.errors import FilmError
from tests.analysis.film.making import GOP, KINDS, Kind, make, rewritten, straight, without_times
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import ask

TS = Kind(suffix=".ts", options=GOP, times=lambda n: 129_000 + n * 3000)
TICKS = 3000


def wrong(film, pictures, budget=30_000):
    """Frames whose picture is not that of the list, read backwards, then forwards."""
    with FrameReader(film, budget) as reader:
        order = [*range(film.frames - 1, -1, -1), *range(film.frames)]
        return [n for n in order if not np.array_equal(reader.picture(n), pictures[n])]


@pytest.mark.parametrize(
    ("suffix", "same"), [(".ts", {20}), (".ts", {5, 20, 21}), (".ts", {12, 36}), (".mkv", {20})]
)
def test_of_two_frames_with_one_time_the_first_stays(tmp_path, suffix, same):
    """The frames of ``same`` get the time of the one before them."""
    rate = Fraction(1, 50)  # whole milliseconds, as Matroska keeps them
    plain = make(tmp_path / f"plain{suffix}", Kind(suffix=suffix, options=GOP, rate=50))
    with_times, pictures = straight(plain)
    tick = with_times[1] - with_times[0]

    def doubled(packet):
        if with_times.index(packet.pts) in same:
            packet.pts -= tick
        return True

    path = rewritten(plain, tmp_path / f"doubled{suffix}", doubled)
    film = open_film(path)
    expected = sorted({with_times[n] - tick * (n in same) for n in range(60)})
    assert [entry.pts for entry in film.index] == expected
    assert film.time_base * tick == rate
    assert any("has the time of another" in note or "have the time" in note for note in film.notes)
    shown = {with_times[n]: pictures[n] for n in range(60) if n not in same}
    if 21 in same:  # it took the time that 20 left free
        shown[with_times[20]] = pictures[21]
    assert not wrong(film, [shown[pts] for pts in expected])


@pytest.mark.parametrize("lost", [{19, 20, 21}, {1}, {0, 30}, set(range(0, 60, 7))])
def test_a_frame_without_a_time_is_left_out_and_the_others_keep_theirs(tmp_path, lost):
    """Numbers are those of the file, in which pictures stand in the order of decoding."""
    plain = make(tmp_path / "plain.ts", TS)
    path = without_times(plain, tmp_path / "lost.ts", lambda n: n in lost)
    whole_times, whole = straight(plain)
    film = open_film(path)
    assert film.frames == 60 - len(lost)
    assert not film.counted
    places = [whole_times.index(entry.pts) for entry in film.index]  # each has a time that was written
    assert not wrong(film, [whole[n] for n in places])
    words = "frame has no time" if len(lost) == 1 else f"{len(lost)} frames have no time"
    assert any(words in note for note in film.notes)


def test_a_film_without_any_times_is_refused(tmp_path):
    path = without_times(make(tmp_path / "plain.ts", TS), tmp_path / "none.ts", lambda _: True)
    with pytest.raises(FilmError, match="does not say when its pictures are shown"):
        open_film(path)


@pytest.mark.parametrize("by", [-6, -1, -40])
def test_the_first_time_may_lie_below_zero(tmp_path, film_of_kind, by):
    def earlier(packet):
        packet.pts += by * TICKS
        packet.dts += by * TICKS
        return True

    source = film_of_kind("h264 with B-frames")
    path = rewritten(source, tmp_path / "below.ts", earlier, {"avoid_negative_ts": "disabled"})
    _, pictures = straight(source)
    film = open_film(path)
    assert [entry.pts for entry in film.index] == [(n + by) * TICKS for n in range(60)]
    assert film.facts.times.seconds == pytest.approx(np.arange(60) / 30)
    assert not wrong(film, pictures)
    assert [pts for pts, _ in ask(need("ffprobe"), path)[1]] == [entry.pts for entry in film.index]


def test_frames_that_were_dropped_leave_a_gap_and_nothing_else(tmp_path):
    """A film of single pictures loses eleven of sixty."""
    dropped = {7, *range(20, 28), 40, 59}
    plain = make(tmp_path / "plain.mov", Kind(suffix=".mov", codec="mjpeg", pix_fmt="yuvj420p"))
    times, pictures = straight(plain)
    path = rewritten(
        plain,
        tmp_path / "gaps.mov",
        lambda packet: packet.pts is not None and times.index(packet.pts) not in dropped,
    )
    kept = [n for n in range(60) if n not in dropped]
    film = open_film(path)
    assert film.facts.times.seconds == pytest.approx(np.array(kept) / 30)
    assert any("before frame 19 there is a gap of 300 ms" in note for note in film.notes)
    assert not wrong(film, [pictures[n] for n in kept])
    assert [pts for pts, _ in ask(need("ffprobe"), path)[1]] == [entry.pts for entry in film.index]


def test_uneven_times_are_those_that_were_written(film_of_kind):
    film = open_film(film_of_kind("vfr"))
    asked = [KINDS["vfr"].time(n) for n in range(60)]
    assert film.facts.times.seconds == pytest.approx(np.array(asked) / 90_000, abs=1e-9)


@pytest.mark.parametrize("frames", [20, 90])
def test_films_glued_one_behind_the_other_are_told_apart(tmp_path, frames):
    """Transport streams may be put together byte by byte; the times of the second then begin anew."""
    first = make(tmp_path / "first.ts", TS)
    second = make(tmp_path / "second.ts", replace(TS, frames=frames))
    glued = tmp_path / "glued.ts"
    glued.write_bytes(first.read_bytes() + second.read_bytes())
    with pytest.raises(FilmError, match="one behind the other"):
        open_film(glued)


def counted_on(data):
    """A transport stream whose continuity counters, of each kind of packet, only go on (ISO/IEC 13818-1,
    2.4.3.3)."""
    stream, counts = bytearray(data), {}
    for at in range(0, len(stream), 188):
        program, has_payload = (stream[at + 1] & 0x1F) << 8 | stream[at + 2], bool(stream[at + 3] & 0x10)
        counts[program] = (counts.get(program, -1) + has_payload) % 16
        stream[at + 3] = stream[at + 3] & 0xF0 | counts[program]
    return bytes(stream)


def test_a_film_that_goes_on_in_a_second_file_is_one_film(tmp_path):
    """As cameras write long films: clock and counters go on."""
    first = make(tmp_path / "first.ts", TS)
    second = make(tmp_path / "second.ts", replace(TS, times=lambda n: 129_000 + (60 + n) * 3000))
    glued = tmp_path / "glued.ts"
    glued.write_bytes(counted_on(first.read_bytes() + second.read_bytes()))
    film = open_film(glued)
    assert film.frames == 120
    assert not any("missing" in note or "damaged" in note for note in film.notes)
    assert not wrong(film, straight(first)[1] + straight(second)[1])


def test_one_damaged_time_is_not_a_second_film():
    assert not PacketList(decode_times=[*range(20), 500, *range(20, 40)]).begins_anew
    assert not PacketList(decode_times=[*range(20), 3, *range(20, 40)]).begins_anew
    assert PacketList(decode_times=[*range(20), *range(20)]).begins_anew


def test_a_jump_of_the_times_is_said_in_seconds(tmp_path, film_of_kind):
    def later(packet):
        if packet.pts >= 129_000 + 36 * TICKS:
            packet.pts += 40_000 * TICKS
            packet.dts += 40_000 * TICKS
        return True

    path = rewritten(film_of_kind("mpeg-ts"), tmp_path / "jump.mkv", later)
    film = open_film(path)
    assert film.frames == 60
    assert any("the film's times jump by" in note and " s:" in note for note in film.notes)


@pytest.mark.parametrize("suffix", [".mkv", ".mov", ".ts"])
def test_sound_that_outlasts_the_pictures_is_no_loss(tmp_path, suffix):
    """A second of sound, a third of it with pictures."""
    film = open_film(
        make(tmp_path / f"sound{suffix}", Kind(suffix, options=GOP, frames=10, audio_first=True))
    )
    assert film.frames == 10
    assert not any("pictures end" in note or "missing" in note for note in film.notes)


def test_frames_whose_times_run_back_are_called_so(tmp_path):
    """Three frames take times ten and a half later: those between come behind them, and are not damaged."""
    plain = make(tmp_path / "plain.mp4", Kind(options={**GOP, "bf": "0"}))
    times, pictures = straight(plain)
    moved = {times[n]: times[n] + 10 * TICKS + TICKS // 2 for n in (10, 11, 12)}

    def later(packet):
        packet.pts = moved.get(packet.pts, packet.pts)
        return True

    film = open_film(rewritten(plain, tmp_path / "back.mp4", later))
    shown = [times.index(entry.pts) if entry.pts in times else None for entry in film.index]
    told = 0
    with FrameReader(film) as reader:
        for number, which in enumerate(shown):
            try:
                picture = reader.picture(number)
            except FilmError as error:
                assert "gives it a time before" in str(error)  # noqa: PT017 - not each is refused
                told += 1
            else:
                assert which is None or np.array_equal(picture, pictures[which])
    assert told >= 7


def test_frames_that_a_decoder_holds_back_are_shown_when_it_gives_them(tmp_path):
    """A coder that packs two pictures together leaves two empty places behind the first picture. Truth:
    the times by which ffprobe shows the frames; it has none for the last, which the decoder still holds.
    """
    path = tmp_path / "packed.avi"
    picture = ["-f", "lavfi", "-i", "testsrc2=size=64x48:rate=30:duration=2"]
    coder = ["-c:v", "libxvid", "-bf", "2", "-g", "12", str(path)]
    subprocess.run([need("ffmpeg"), "-v", "error", *picture, *coder], check=True)
    times, pictures = straight(path)
    film = open_film(path)
    shown = ask(need("ffprobe"), path)[1]
    assert [pts for pts, _ in shown[:-1]] == [entry.pts for entry in film.index][:-1]
    assert film.facts.times.seconds == pytest.approx(np.arange(film.frames) / 30)
    assert len(times) == film.frames
    assert not wrong(film, pictures)
