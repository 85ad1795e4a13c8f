"""The rest of what phones, cameras and editors write: each frame is still the one of a straight decode."""

from __future__ import annotations

import random
from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.index import PacketList, in_order
from analysis.values.errors import FilmError
from tests.analysis.film.making import GOP, Kind, drawn, make, matrix, placed, remux, straight
from tests.helpers.programs import need
from tests.truth.ffprobe_tables import ask

X265 = "open-gop=1:keyint=12:min-keyint=12:bframes=3:log-level=0:pools=1"
HEVC = {"preset": "ultrafast", "x265-params": X265}

FILMS = {
    "hevc open groups 10 bit": Kind(codec="libx265", pix_fmt="yuv420p10le", options=HEVC),
    "hevc closed groups": Kind(
        codec="libx265", options={**HEVC, "x265-params": X265.replace("open-gop=1", "open-gop=0")}
    ),
    "hevc mkv": Kind(codec="libx265", suffix=".mkv", options=HEVC),
    "webm vp9 variable": Kind(
        suffix=".webm",
        codec="libvpx-vp9",
        options={"g": "12", "deadline": "realtime", "cpu-used": "8"},
        times=lambda n: n * 3000 + (n * n * 37) % 2500,
    ),
    "webm vp9 hidden frames": Kind(
        suffix=".webm", codec="libvpx-vp9", options={"g": "30", "auto-alt-ref": "1", "lag-in-frames": "10"}
    ),
    "mjpeg avi": Kind(suffix=".avi", codec="mjpeg", pix_fmt="yuvj420p", time_base=Fraction(1, 30)),
    "mjpeg 4:2:2": Kind(suffix=".mkv", codec="mjpeg", pix_fmt="yuvj422p"),
    "odd size 4:2:0": Kind(options=GOP, size=(99, 65), pix_fmt="yuv444p"),
    "720p at 240": Kind(options={**GOP, "preset": "ultrafast"}, size=(1280, 720), rate=240, frames=26),
    "4K at 60": Kind(options={**GOP, "preset": "ultrafast"}, size=(3840, 2160), rate=60, frames=5),
    "gaps": Kind(options=GOP, times=lambda n: n * 3000 + n // 7 * 45_000),
    "sound first in mov": Kind(suffix=".mov", options=GOP, audio_first=True),
    "in fragments": Kind(
        options=GOP, container_options={"movflags": "frag_keyframe+empty_moov+default_base_moof"}
    ),
    "without sizes of its parts": Kind(suffix=".mkv", options=GOP, container_options={"live": "1"}),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Gives the path of one of the films, made once."""
    folder = tmp_path_factory.mktemp("phone")
    paths = {}

    def of(name):
        if name not in paths:
            kind = FILMS[name]
            paths[name] = make(folder / (name.replace(" ", "_").replace(":", "") + kind.suffix), kind)
        return paths[name]

    return of


def wrong(film, pictures, orders, budget=400_000_000):
    """Frames that are not the picture of a straight decode."""
    with FrameReader(film, budget) as reader:
        return [n for n in orders if not np.array_equal(reader.picture(n), pictures[n])]


def orders(frames, jumps=60):
    """Backwards, then jumps, then forwards; few where pictures are large."""
    chance = random.Random(3)
    return [*range(frames - 1, -1, -1), *(chance.randrange(frames) for _ in range(jumps)), *range(frames)]


@pytest.mark.parametrize("name", FILMS)
def test_every_frame_is_the_one_of_a_straight_decode(made, name):
    path = made(name)
    times, pictures = straight(path)
    film = open_film(path)
    assert film.frames == FILMS[name].frames
    assert [entry.pts for entry in film.index] == times
    asked = orders(film.frames, 3 if film.shown_size[0] > 1000 else 60)
    for budget in (400_000_000, 60_000):
        assert wrong(film, pictures, asked if film.shown_size[0] < 1000 else asked[::3], budget) == []


@pytest.mark.parametrize("name", FILMS)
def test_times_are_those_that_the_program_says(made, name):
    """ffprobe tells the times of the frames that it decodes."""
    _, frames = ask(need("ffprobe"), made(name))
    assert [entry.pts for entry in open_film(made(name)).index] == [pts for pts, _ in frames]


def test_av1_where_it_can_be_written_and_read(tmp_path):
    kind = Kind(
        suffix=".webm", codec="libsvtav1", frames=30, size=(128, 96), options={"g": "12", "preset": "12"}
    )
    if "libsvtav1" not in av.codecs_available or "libdav1d" not in av.codecs_available:
        pytest.skip("no AV1 here")
    path = make(tmp_path / "film.webm", kind)
    times, pictures = straight(path)
    film = open_film(path)
    assert [entry.pts for entry in film.index] == times
    assert wrong(film, pictures, orders(film.frames)) == []


@pytest.mark.parametrize("suffix", [".mp4", ".mkv"])
def test_a_first_time_below_zero(tmp_path, suffix):
    """As editors leave it who cut without encoding anew; a film of whole pictures, so that all are shown."""
    kind = Kind(suffix=".mp4", codec="mpeg4", options={"g": "1"}, time_base=Fraction(1, 30))
    source = make(tmp_path / "whole.mp4", kind)
    options = {"use_editlist": "0"} if suffix == ".mp4" else {}
    path = remux(source, tmp_path / f"cut{suffix}", 7, {"avoid_negative_ts": "disabled", **options})
    times, pictures = straight(path)
    assert times[0] < 0 or suffix == ".mp4"  # there the file's own clock begins at 0 all the same
    film = open_film(path)
    assert [entry.pts for entry in film.index] == times
    assert film.facts.times.seconds[0] == 0
    assert wrong(film, pictures, orders(film.frames)) == []


def test_times_below_zero_as_the_file_holds_them(tmp_path):
    kind = Kind(suffix=".mkv", options=GOP, times=lambda n: (n - 10) * 3000)
    path = make(tmp_path / "film.mkv", kind)
    times, pictures = straight(path)
    film = open_film(path)
    assert [entry.pts for entry in film.index] == times
    assert film.facts.times.seconds == pytest.approx(np.arange(film.frames) / 30, abs=0.002)
    assert wrong(film, pictures, orders(film.frames)) == []


@pytest.mark.parametrize("signs", [(-1, 0, 0, 1), (0, 1, 1, 0), (0, -1, -1, 0), (1, 0, 0, -1)])
def test_mirrored_at_an_odd_size(tmp_path, signs):
    asked = matrix(*signs)
    kind = Kind(suffix=".mov", codec="mjpeg", size=(97, 63), pix_fmt="yuvj420p", frames=3, matrix=asked)
    path = make(tmp_path / "film.mov", kind)
    _, stored = straight(path)
    assert wrong(open_film(path), [placed(picture, asked) for picture in stored], [2, 0, 1]) == []


def test_two_films_at_once_after_a_thousand_jumps(film_of_kind, made):
    """Each with a memory that holds a part of it only."""
    paths = (film_of_kind("h264 open groups"), made("hevc open groups 10 bit"))
    pairs = [(open_film(path), straight(path)[1]) for path in paths]
    chance = random.Random(17)
    with FrameReader(pairs[0][0], 150_000) as first, FrameReader(pairs[1][0], 300_000) as second:
        readers = (first, second)
        for _ in range(1000):
            which = chance.randrange(2)
            film, pictures = pairs[which]
            number = chance.randrange(film.frames)
            assert np.array_equal(readers[which].picture(number), pictures[number]), (which, number)


@pytest.mark.parametrize("shift", [1, 5, 11])
@pytest.mark.parametrize("name", ["h264 with B-frames", "h264 open groups", "hevc open groups"])
def test_a_wrong_table_of_key_frames_leads_to_no_wrong_frame(tmp_path, film_of_kind, name, shift):
    """The box ``stss`` says from which frames decoding can begin; here it names others."""
    whole = film_of_kind(name)
    times, pictures = straight(whole)
    data = bytearray(whole.read_bytes())
    table = data.index(b"stss") + 8
    count = int.from_bytes(data[table : table + 4], "big")
    assert count > 3
    for entry in range(table + 8, table + 4 + 4 * count, 4):
        sample = int.from_bytes(data[entry : entry + 4], "big") + shift
        data[entry : entry + 4] = min(sample, 60).to_bytes(4, "big")
    path = tmp_path / f"film{whole.suffix}"
    path.write_bytes(data)
    film = open_film(path)
    assert [entry.pts for entry in film.index] == times
    assert wrong(film, pictures, orders(film.frames)) == []


def test_a_missing_table_of_contents(tmp_path, film_of_kind):
    for name in ("avi", "mkv"):
        whole = film_of_kind(name)
        _, pictures = straight(whole)
        data = whole.read_bytes()
        end = data.rindex(b"idx1") if name == "avi" else data.rindex(b"\x1c\x53\xbb\x6b")
        path = tmp_path / f"cut{whole.suffix}"
        path.write_bytes(data[:end])
        film = open_film(path)
        assert film.frames == 60
        assert wrong(film, pictures, orders(60)) == []


def test_packets_without_a_time_are_counted_by_their_times_of_decoding():
    packets = PacketList(untimed=3, decode_times=[0, 2, 1])
    assert [entry.pts for entry in in_order(packets)] == [0, 1, 2]
    assert packets.counted
    with pytest.raises(FilmError, match="does not say when"):
        in_order(PacketList(untimed=3, decode_times=[0, 1]))


def test_a_film_of_twenty_minutes_is_listed_once(tmp_path):
    """28,800 frames at 24 a second: the list of frames, a jump to the end and one to the middle."""
    path = tmp_path / "long.mkv"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("mjpeg", rate=24)
        stream.width, stream.height, stream.pix_fmt = 16, 16, "yuvj420p"
        packets = []
        for level in range(8):
            picture = np.full((16, 16, 3), level * 32, np.uint8)
            packets += [
                bytes(p)
                for p in stream.encode(av.VideoFrame.from_ndarray(picture).reformat(format="yuvj420p"))
            ]
        for number in range(28_800):
            packet = av.Packet(packets[number % len(packets)])
            packet.stream, packet.time_base = stream, Fraction(1, 24)
            packet.pts = packet.dts = number
            packet.is_keyframe = True
            container.mux(packet)
    film = open_film(path)
    assert film.frames == 28_800
    assert film.facts.times.seconds[-1] == pytest.approx(28_799 / 24, abs=0.001)
    with FrameReader(film) as reader:
        for number in (28_799, 14_400, 3, 28_000):
            level = number % len(packets) * 32
            assert abs(reader.picture(number)[:, :, :3].astype(int) - level).max() <= 3


@pytest.mark.parametrize("suffix", [".mp4", ".mkv"])
@pytest.mark.parametrize("still_first", [True, False])
def test_of_two_moving_pictures_in_a_file_the_longer_is_read(tmp_path, suffix, still_first):
    """As phones write them that keep a few large pictures beside a short film."""
    path = tmp_path / f"two{suffix}"
    order = ("few", "many") if still_first else ("many", "few")
    with av.open(str(path), "w") as container:
        streams = {}
        for name in order:
            size = (192, 128) if name == "few" else (96, 64)
            streams[name] = container.add_stream("libx264", rate=30, options=GOP)
            streams[name].width, streams[name].height, streams[name].pix_fmt = *size, "yuv420p"
        for number in range(60):
            for name, stream in streams.items():
                if name == "few" and number % 20:
                    continue
                shown = drawn(number if name == "many" else 500 + number, (stream.width, stream.height))
                frame = av.VideoFrame.from_ndarray(shown, format="rgb24").reformat(
                    format="yuv420p", threads=1
                )
                frame.pts, frame.time_base = number, Fraction(1, 30)
                container.mux(stream.encode(frame))
        for stream in streams.values():
            container.mux(stream.encode(None))
    film = open_film(path)
    assert (film.frames, film.shown_size) == (60, (96, 64))
    with av.open(str(path)) as container:
        decoded = list(container.decode(container.streams[order.index("many")]))
    assert [entry.pts for entry in film.index] == [frame.pts for frame in decoded]
    pictures = [
        frame.reformat(format="bgra", interpolation="BICUBIC", threads=1).to_ndarray() for frame in decoded
    ]
    assert wrong(film, pictures, orders(60), 60_000) == []
