"""What is no film is refused by a sentence; what is damaged is used as far as it goes."""

import contextlib
import random
import re
import shutil
import struct
import time
import wave
from dataclasses import replace
from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.index import PacketList
from analysis.film.tail import without_lost_tail
from analysis.values.errors import FilmError, MissingFilmError
from tests.analysis.film.making import GOP, KINDS, Kind, make, straight

SENTENCE = re.compile(r"\S+ .*[.]$", re.DOTALL)


def refusal(path, kind=FilmError):
    """The sentence with which a file is refused."""
    with pytest.raises(kind) as caught:
        open_film(path)
    sentence = str(caught.value)
    assert SENTENCE.match(sentence)
    assert "Errno" not in sentence
    return sentence


def test_missing(tmp_path):
    assert "is not at" in refusal(tmp_path / "gone.mp4", MissingFilmError)
    with pytest.raises(FileNotFoundError):
        open_film(tmp_path / "gone.mp4")


def test_a_folder(tmp_path):
    assert "folder" in refusal(tmp_path)


def test_empty(tmp_path):
    path = tmp_path / "empty.mp4"
    path.touch()
    assert "empty" in refusal(path)


@pytest.mark.parametrize("name", ["words.txt", "words.mp4", "list.m3u8", "page.html"])
def test_words(tmp_path, name):
    path = tmp_path / name
    path.write_text("#EXTM3U\nThese are words and no film.\n" * 200)
    assert "not a film" in refusal(path)


def test_a_still_picture(tmp_path, film_of_kind):
    path = tmp_path / "still.png"
    with av.open(str(film_of_kind("one picture"))) as container:
        next(container.decode(video=0)).save(path)
    assert "not a film" in refusal(path)


def test_sound_alone(tmp_path):
    path = tmp_path / "sound.mp4"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=8000)
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 8000), np.float32), format="fltp", layout="mono")
        frame.sample_rate = 8000
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    assert "no moving picture" in refusal(path)
    with wave.open(str(tmp_path / "sound.wav"), "wb") as sound:
        sound.setparams((1, 2, 8000, 0, "NONE", ""))
        sound.writeframes(bytes(16000))
    refusal(tmp_path / "sound.wav")


def test_without_its_table_of_frames(tmp_path, film_of_kind):
    whole = film_of_kind("h264 with B-frames").read_bytes()
    path = tmp_path / "interrupted.mp4"
    path.write_bytes(whole[: whole.index(b"moov") - 4])
    assert "breaks off" in refusal(path)
    path.write_bytes(whole[: len(whole) // 2])
    assert "breaks off" in refusal(path)


@pytest.mark.parametrize("share", [0.9, 0.6, 0.35])
def test_cut_off_behind_its_table_of_frames(tmp_path, share):
    kind = Kind(options=GOP, container_options={"movflags": "faststart"})
    whole = make(tmp_path / "whole.mp4", kind)
    _, pictures = straight(whole)
    path = tmp_path / "cut.mp4"
    data = whole.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    film = open_film(path)
    assert 2 < film.frames < 60
    assert any(f"up to frame {film.frames - 1}" in note for note in film.notes)
    with FrameReader(film) as reader:
        for number in range(film.frames - 1, -1, -1):
            assert np.array_equal(reader.picture(number), pictures[number]), number


def test_cut_off_before_its_first_picture(tmp_path):
    whole = make(tmp_path / "whole.mp4", Kind(options=GOP, container_options={"movflags": "faststart"}))
    data = whole.read_bytes()
    path = tmp_path / "cut.mp4"
    path.write_bytes(data[: data.index(b"mdat") + 100])
    refusal(path)


@pytest.mark.parametrize("name", ["mkv", "mpeg-ts", "avi", "webm"])
def test_cut_off_in_other_containers(tmp_path, film_of_kind, name):
    whole = film_of_kind(name)
    _, pictures = straight(whole)
    path = tmp_path / f"cut{whole.suffix}"
    data = whole.read_bytes()
    path.write_bytes(data[: len(data) * 2 // 3])
    film = open_film(path)
    assert 2 < film.frames < 60
    with FrameReader(film) as reader:
        for number in (0, film.frames // 2, 1):
            assert np.array_equal(reader.picture(number), pictures[number])
        reader.picture(film.frames - 1)


def test_damaged_in_the_middle(tmp_path, film_of_kind):
    """Either a picture or a sentence, for each frame; and always an end."""
    data = bytearray(film_of_kind("h264 with B-frames").read_bytes())
    begin, end = data.index(b"mdat") + 8, data.index(b"moov") - 4
    middle = (begin + end) // 2
    data[middle : middle + (end - begin) // 6] = bytes((end - begin) // 6)
    path = tmp_path / "damaged.mp4"
    path.write_bytes(data)
    film = open_film(path)
    shown, refused = [], []
    with FrameReader(film) as reader:
        for number in range(film.frames - 1, -1, -1):
            try:
                reader.picture(number)
                shown.append(number)
            except FilmError as error:
                refused.append((number, str(error)))
        for number, sentence in refused:
            assert f"damaged at frame {number}," in sentence
            with pytest.raises(FilmError):  # said again without decoding again
                reader.picture(number)
    assert len(shown) > 20
    assert 0 in shown


@pytest.mark.parametrize(
    "name", ["h264 with B-frames", "hevc open groups", "mkv", "mpeg-ts", "avi", "webm", "in fragments"]
)
def test_chance_damage_is_a_sentence_or_a_shorter_film_that_says_so(tmp_path, film_of_kind, name):
    whole = film_of_kind(name)
    frames = open_film(whole).frames
    chance = random.Random(11)
    for _ in range(17):  # over a hundred together
        data = bytearray(whole.read_bytes())
        for _ in range(chance.choice([1, 3, 20, 200])):
            data[chance.randrange(len(data))] = chance.randrange(256)
        path = tmp_path / f"hurt{whole.suffix}"
        path.write_bytes(data[: chance.randrange(len(data) // 4, len(data))])
        begun = time.perf_counter()
        with contextlib.suppress(FilmError):
            film = open_film(path)
            assert film.frames == frames or loss_is_said(film)
            with FrameReader(film) as reader:
                for number in (0, film.frames - 1, film.frames // 2):
                    with contextlib.suppress(FilmError):
                        reader.picture(number)
        assert time.perf_counter() - begun < 5.0


LOSSES = (
    "end of the file is missing",
    "end of the file may be missing",
    "pictures end after",
    "a gap of",
    "left out",
    "at the beginning",
)


@pytest.mark.parametrize(
    "kind",
    [
        Kind(suffix=".mpg", codec="mpeg2video", options={"g": "12", "bf": "2"}, time_base=Fraction(1, 30)),
        Kind(suffix=".wmv", codec="wmv2", options={"g": "12"}, time_base=Fraction(1, 30)),
        Kind(suffix=".flv", options={"g": "12"}),
    ],
    ids=lambda kind: kind.suffix,
)
def test_cut_off_where_the_file_does_not_say_where_it_ends(tmp_path, kind):
    """It is said that nobody can tell, or that the end is missing; what is left can be shown to its end."""
    data = make(tmp_path / f"whole{kind.suffix}", kind).read_bytes()
    path = tmp_path / f"cut{kind.suffix}"
    shorter = 0
    for end in range(len(data) // 3, len(data), len(data) // 17):
        path.write_bytes(data[:end])
        film = open_film(path)
        shorter += film.frames < 60
        assert any(words in note for note in film.notes for words in ("end of the file", "where they end"))
        with FrameReader(film) as reader:
            reader.picture(film.frames - 1)
    assert shorter > 5


def loss_is_said(film):
    return any(words in note for note in film.notes for words in LOSSES)


@pytest.mark.parametrize("name", ["mkv", "webm", "mpeg-ts", "mpeg-ts open groups", "avi", "in fragments"])
def test_cut_off_anywhere_it_says_so(tmp_path, film_of_kind, name):
    data = film_of_kind(name).read_bytes()
    frames = open_film(film_of_kind(name)).frames
    path = tmp_path / f"cut{film_of_kind(name).suffix}"
    shorter = 0
    for end in range(len(data) // 3, len(data) - 1, 397):
        if name.startswith("mpeg-ts") and end % 188 == 0:
            continue  # between two packets nothing tells
        path.write_bytes(data[:end])
        with contextlib.suppress(FilmError):
            film = open_film(path)
            shorter += film.frames < frames
            assert film.frames == frames or any("end of the file is missing" in note for note in film.notes)
    assert shorter > 5


@pytest.mark.parametrize("name", ["mkv", "webm", "avi"])
def test_a_tail_of_nothing_in_a_file_of_full_length(tmp_path, film_of_kind, name):
    """As a copy that filled what it could not read with zeros."""
    data = bytearray(film_of_kind(name).read_bytes())
    begin = round(0.6 * len(data))
    data[begin:] = bytes(len(data) - begin)
    path = tmp_path / f"zeros{film_of_kind(name).suffix}"
    path.write_bytes(data)
    film = open_film(path)
    assert film.frames < open_film(film_of_kind(name)).frames
    assert any("its pictures end after" in note or "is missing" in note for note in film.notes)


@pytest.mark.parametrize("name", [name for name in KINDS if name != "hevc open groups"])
def test_a_whole_film_tells_of_no_loss(film_of_kind, name):
    assert not any("missing" in note or "end after" in note for note in open_film(film_of_kind(name)).notes)


def test_a_last_picture_that_stands_long_is_no_loss(tmp_path):
    """The ninth picture stands for half a second, as the last one does."""
    kind = Kind(suffix=".mkv", options=GOP, frames=20, times=lambda n: n * 3000 + (n > 8) * 42_000)
    path = make(tmp_path / "long.mkv", kind)
    data = path.read_bytes()
    at = data.index(b"\x44\x89\x88") + 3  # the film's length, eight bytes of a number (RFC 9559, 5.1.2.10)
    longer = struct.unpack(">d", data[at : at + 8])[0] + 467.0
    path.write_bytes(data[:at] + struct.pack(">d", longer) + data[at + 8 :])
    assert not any("pictures end after" in note for note in open_film(path).notes)


def test_a_film_that_was_written_as_it_went_tells_of_no_loss(tmp_path):
    path = make(tmp_path / "live.mkv", Kind(options=GOP, container_options={"live": "1"}))
    film = open_film(path)
    assert film.frames == 60
    assert not loss_is_said(film)


def test_two_frames_at_one_time(tmp_path):
    def doubled(number):
        return (number - (number == 20)) * 3000

    path = tmp_path / "doubled.mkv"
    make(tmp_path / "plain.mkv", Kind(suffix=".mkv", codec="mjpeg", pix_fmt="yuvj420p"))
    with av.open(str(tmp_path / "plain.mkv")) as old, av.open(str(path), "w") as new:
        copy = new.add_stream_from_template(old.streams.video[0])
        for number, packet in enumerate(packet for packet in old.demux(video=0) if packet.size):
            packet.stream = copy
            packet.pts = packet.dts = 33 * (number - (number == 20))
            new.mux(packet)
    _, pictures = straight(tmp_path / "plain.mkv")
    film = open_film(path)
    assert film.frames == 59
    assert any("has the time of another" in note for note in film.notes)
    with FrameReader(film) as reader:
        for number in (30, 20, 19, 18, 19, 40, 19):
            assert np.array_equal(reader.picture(number), pictures[number + (number > 19)]), number


def test_gone_after_opening(tmp_path, film_of_kind):
    path = tmp_path / "film.mp4"
    shutil.copy(film_of_kind("h264 with B-frames"), path)
    film = open_film(path)
    path.unlink()
    with pytest.raises(MissingFilmError):
        FrameReader(film)


def test_letters_that_are_not_unicode_in_the_notes_of_a_file(tmp_path):
    path = make(tmp_path / "film.mp4", Kind(options=GOP, frames=3, metadata={"title": "Zürich"}))
    data = path.read_bytes()
    assert "Zürich".encode() in data
    path.write_bytes(data.replace("Zürich".encode(), b"Z\xff\xferich"))
    assert open_film(path).frames == 3


def test_a_name_that_looks_like_a_protocol(tmp_path, film_of_kind, monkeypatch):
    path = tmp_path / "http:run 1#?.mp4"
    shutil.copy(film_of_kind("one picture"), path)
    monkeypatch.chdir(tmp_path)
    assert open_film("http:run 1#?.mp4").frames == 1


def test_a_transport_stream_cut_between_packets_says_so_where_that_is_within_a_picture(tmp_path):
    """ISO/IEC 13818-1, 2.4.3.4: the last packet of a picture is stuffed. Large pictures fill many packets, so
    that nearly every place to cut lies within one.
    """
    large = replace(KINDS["mpeg-ts"], size=(480, 270), frames=20, options={**GOP, "qp": "12"})
    whole = make(tmp_path / "whole.ts", large)
    known, packets = open_film(whole), whole.stat().st_size // 188
    assert not loss_is_said(known)
    numbers = {entry.pts: number for number, entry in enumerate(known.index)}
    path, said, places = tmp_path / "cut.ts", 0, range(packets // 2, packets, packets // 50)
    with FrameReader(known) as right:
        for place in places:
            path.write_bytes(whole.read_bytes()[: place * 188])
            film = open_film(path)
            said += loss_is_said(film)
            with FrameReader(film) as reader:
                last = reader.picture(film.frames - 1)
            assert np.array_equal(last, right.picture(numbers[film.index[-1].pts]))
    assert said >= 0.9 * len(places) > 20


def filled_up(source, target, *, says_length):
    """A transport stream whose last picture ends with the last byte of its last packet, by filler data behind
    it (ITU-T H.264, 7.3.2.7); its head says how long it is (ISO/IEC 13818-1, 2.4.3.7), or not.
    """
    data = bytearray(source.read_bytes())
    packets = [place for place in range(0, len(data), 188) if data[place + 1] & 0x1F == 1]
    begin = next(place for place in reversed(packets) if data[place + 1] & 0x40)
    last = packets[-1]
    assert data[last + 3] & 0x20
    content = data[last + 5 + data[last + 4] : last + 188]
    filler = b"\0\0\1\x0c" + b"\xff" * (184 - len(content) - 5) + b"\x80"
    data[last + 3] &= ~0x20
    data[last + 4 : last + 188] = content + filler
    if says_length:
        head = data.index(b"\0\0\1\xe0", begin)
        behind_length = begin + 188 - (head + 6)
        of_others = 184 * (packets.index(last) - packets.index(begin))
        data[head + 4 : head + 6] = (behind_length + of_others).to_bytes(2, "big")
    target.write_bytes(data)
    return target


def test_a_last_picture_that_fills_its_packet_is_kept_where_it_says_how_long_it_is(tmp_path):
    large = replace(KINDS["mpeg-ts"], size=(480, 270), frames=20, options={**GOP, "qp": "12"})
    whole = make(tmp_path / "whole.ts", large)
    known = open_film(filled_up(whole, tmp_path / "known.ts", says_length=True))
    assert known.frames == 20
    assert not loss_is_said(known)
    cut = tmp_path / "cut.ts"
    cut.write_bytes((tmp_path / "known.ts").read_bytes()[:-188])
    assert loss_is_said(open_film(cut))
    unknown = open_film(filled_up(whole, tmp_path / "unknown.ts", says_length=False))
    lost = 20 - unknown.frames
    assert lost > 0
    how_many = "and is left out" if lost == 1 else f"{lost} pictures are left out"
    (said,) = (note for note in unknown.notes if "may be missing" in note)
    assert how_many in said
    assert f"up to frame {unknown.frames - 1}" in said


@pytest.mark.parametrize("at", [0.2, 0.5, 0.8])
def test_a_lost_packet_within_a_transport_stream_costs_its_group_alone(tmp_path, at):
    whole = make(tmp_path / "whole.ts", replace(KINDS["mpeg-ts"], size=(320, 180), frames=120))
    times, pictures = straight(whole)
    data = whole.read_bytes()
    packets = [data[n : n + 188] for n in range(0, len(data), 188)]
    video = [
        n for n, one in enumerate(packets) if (one[1] & 0x1F) << 8 | one[2] == 0x100 and not one[1] & 0x40
    ]
    lost = video[int(at * len(video))]
    path = tmp_path / "hurt.ts"
    path.write_bytes(b"".join(packets[:lost] + packets[lost + 1 :]))
    film = open_film(path)
    assert film.frames >= 118
    assert not any("end of the file" in note for note in film.notes)
    assert any("damaged" in note for note in film.notes)
    true, refused = dict(zip(times, pictures, strict=True)), 0
    with FrameReader(film, 200_000) as reader:
        for number, entry in enumerate(film.index):
            try:
                picture = reader.picture(number)
            except FilmError:
                refused += 1
            else:
                assert np.array_equal(picture, true[entry.pts])
    assert 0 < refused <= 40


def test_a_damaged_film_without_a_key_frame_is_refused(film_of_kind):
    film = open_film(film_of_kind("h264 with B-frames"))
    keyless = tuple(replace(entry, key=False) for entry in film.index)
    with pytest.raises(FilmError, match="end of the film is damaged"):
        without_lost_tail(film.path, film.stream, keyless, PacketList())
