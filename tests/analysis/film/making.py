"""Small films of many kinds, made on the spot, and a plain reading of them to compare with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

SIZE = (96, 64)


def drawn(number: int, size: tuple[int, int] = SIZE) -> np.ndarray:
    """A picture that no other frame has: a gradient that moves, and the number in black and white squares."""
    width, height = size
    x, y = np.arange(width)[None, :], np.arange(height)[:, None]
    picture = np.empty((height, width, 3), np.uint8)
    picture[:, :, 0] = (x * 2 + number * 7) % 256
    picture[:, :, 1] = (y * 3 + number * 5) % 256
    picture[:, :, 2] = (x % 256).astype(np.uint8) + ((y + number) % 256).astype(np.uint8)  # goes round at 256
    side = max(2, height // 8)
    for bit in range(10):
        left = side * (1 + bit)
        picture[side : 2 * side, left : left + side] = 255 * (number >> bit & 1)
    picture[:side, :side] = 255  # marks the corner that is stored at the top left
    return picture


@dataclass(frozen=True)
class Kind:
    """How a film is made.

    ``times``: in ``time_base`` units, one for each frame in presentation order. ``shows``: which picture a
    frame shows, its own unless told.
    """

    suffix: str = ".mp4"
    codec: str = "libx264"
    options: dict[str, str] = field(default_factory=dict)
    container_options: dict[str, str] = field(default_factory=dict)
    size: tuple[int, int] = SIZE
    pix_fmt: str = "yuv420p"
    frames: int = 60
    rate: int = 30
    times: Callable[[int], int] | None = None
    time_base: Fraction = Fraction(1, 90_000)
    matrix: tuple[int, ...] | None = None
    pixel_aspect: Fraction | None = None
    metadata: dict[str, str] = field(default_factory=dict)
    audio_first: bool = False
    shows: Callable[[int], int] | None = None

    def time(self, number: int) -> int:
        """The presentation time asked for, in ``time_base`` units."""
        return self.times(number) if self.times else round(number / self.rate / self.time_base)


def make(path: Path, kind: Kind) -> Path:
    """Write the film."""
    with ThreadPoolExecutor(1) as apart:  # SVT-AV1 takes the highest priority for the thread that calls it
        return apart.submit(_make, path, kind).result()


def _make(path: Path, kind: Kind) -> Path:
    with av.open(str(path), "w", options=kind.container_options) as container:
        container.metadata.update(kind.metadata)
        sound = container.add_stream("aac", rate=8000) if kind.audio_first else None
        stream = container.add_stream(kind.codec, rate=kind.rate, options=dict(kind.options))
        stream.width, stream.height = kind.size
        stream.pix_fmt = kind.pix_fmt
        stream.codec_context.time_base = kind.time_base
        stream.time_base = kind.time_base
        if kind.pixel_aspect:
            stream.codec_context.sample_aspect_ratio = kind.pixel_aspect
        if kind.matrix:
            stream.set_display_matrix(kind.matrix)
        if sound is not None:
            _write_silence(container, sound)
        for number in range(kind.frames):
            frame = av.VideoFrame.from_ndarray(
                drawn(kind.shows(number) if kind.shows else number, kind.size), format="rgb24"
            )
            frame = frame.reformat(format=kind.pix_fmt, threads=1)
            frame.pts, frame.time_base = kind.time(number), kind.time_base
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


def _write_silence(container, sound):
    frame = av.AudioFrame.from_ndarray(np.zeros((1, 8000), np.float32), format="fltp", layout="mono")
    frame.sample_rate, frame.pts = 8000, 0
    container.mux(sound.encode(frame))


def remux(source: Path, target: Path, from_frame: int, options: dict[str, str] | None = None) -> Path:
    """Copy a film without encoding anew so that it begins at a frame, as editors cut."""
    with av.open(str(source)) as old, av.open(str(target), "w", options=options or {}) as new:
        stream = old.streams.video[0]
        packets = [packet for packet in old.demux(stream) if packet.size]
        start = sorted(packet.pts for packet in packets)[from_frame]
        copy = new.add_stream_from_template(stream)
        for packet in packets:
            packet.pts, packet.dts = packet.pts - start, packet.dts - start
            packet.stream = copy
            new.mux(packet)
    return target


def rewritten(
    source: Path, target: Path, change: Callable[[av.Packet], bool], options: dict[str, str] | None = None
) -> Path:
    """Copy a film without encoding anew, each packet changed on its way, or left out for False."""
    with av.open(str(source)) as old, av.open(str(target), "w", options=options or {}) as new:
        stream = old.streams.video[0]
        copy = new.add_stream_from_template(stream)
        for packet in [packet for packet in old.demux(stream) if packet.size]:
            if change(packet):
                packet.stream = copy
                new.mux(packet)
    return target


def joined(target: Path, parts: Sequence[Path]) -> Path:
    """Films of 30 frames a second one behind the other, not encoded anew; the first one's head for all."""
    with av.open(str(target), "w") as new:
        copy, begin = None, 0
        for part in parts:
            with av.open(str(part)) as old:
                copy = copy or new.add_stream_from_template(old.streams.video[0])
                packets = [packet for packet in old.demux(video=0) if packet.size]
                shift = begin - min(packet.pts for packet in packets)
                begin += round(len(packets) / 30 / packets[0].time_base)  # writing changes it
                for packet in packets:
                    packet.pts, packet.dts, packet.stream = packet.pts + shift, packet.dts + shift, copy
                    new.mux(packet)
    return target


def without_times(source: Path, target: Path, which: Callable[[int], bool]) -> Path:
    """An MPEG-TS film whose n-th picture, in the order of the file, lost its time where ``which(n)``.

    The header of a packet of pictures is that of ISO/IEC 13818-1, 2.4.3.6: two flags say whether times
    follow, and stuffing bytes may stand in their place.
    """
    data, number = bytearray(source.read_bytes()), 0
    for place in range(0, len(data), 188):
        begins, video = data[place + 1] & 0x40, (data[place + 1] & 0x1F) << 8 | data[place + 2] == 0x100
        if not (begins and video):
            continue
        head = place + 4 + (1 + data[place + 4] if data[place + 3] & 0x20 else 0)
        assert data[head : head + 3] == b"\0\0\1"
        if which(number):
            data[head + 7] &= 0x3F
            end = head + 9 + data[head + 8]
            data[head + 9 : end] = b"\xff" * (end - head - 9)
        number += 1
    target.write_bytes(data)
    return target


def straight(path: Path) -> tuple[list[int], list[np.ndarray]]:
    """Times and stored pictures (h, w, 4) of a film decoded once from beginning to end."""
    times: list[int] = []
    pictures: list[np.ndarray] = []
    with av.open(str(path)) as container:
        for frame in container.decode(video=0):
            hd = frame.colorspace == 2 and frame.height >= 720
            shown = frame.reformat(
                width=_stretched(container.streams.video[0], frame),
                format="bgra",
                src_colorspace="ITU709" if hd else None,
                interpolation="BICUBIC",
                threads=1,  # several are not exact
            )
            times.append(frame.pts)
            pictures.append(shown.to_ndarray().copy())
    return times, pictures


def _stretched(stream, frame):
    return round(frame.width * Fraction(stream.sample_aspect_ratio or 1))


def placed(picture: np.ndarray, matrix: Sequence[int]) -> np.ndarray:
    """A stored picture as its display matrix shows it, pixel by pixel from the definition of the matrix."""
    a, b, _, c, d = (np.sign(number) for number in matrix[:5])
    height, width = picture.shape[:2]
    y, x = np.mgrid[:height, :width]
    across, down = a * x + c * y, b * x + d * y
    across, down = across - across.min(), down - down.min()
    shown = np.empty((down.max() + 1, across.max() + 1, picture.shape[2]), picture.dtype)
    shown[down, across] = picture
    return shown


def matrix(a: int, b: int, c: int, d: int) -> tuple[int, ...]:
    """A display matrix from the signs of its four turning parts."""
    return (a << 16, b << 16, 0, c << 16, d << 16, 0, 0, 0, 1 << 30)


GOP = {"g": "12", "bf": "3", "preset": "veryfast", "threads": "1"}

AV1 = {"g": "12", "preset": "10", "svtav1-params": "lp=1:pred-struct=2"}  # 2: pictures refer to later ones

KINDS: dict[str, Kind] = {
    "h264 with B-frames": Kind(options=GOP),
    "h264 open groups": Kind(options={**GOP, "x264-params": "open-gop=1:keyint=12:bframes=3:scenecut=0"}),
    "h264 intra refresh": Kind(options={**GOP, "x264-params": "intra-refresh=1:keyint=12:bframes=0"}),
    "h264 10 bit": Kind(options=GOP, pix_fmt="yuv420p10le"),
    "hevc open groups": Kind(
        codec="libx265",
        suffix=".mov",
        options={
            "preset": "ultrafast",
            "x265-params": "open-gop=1:keyint=12:min-keyint=12:bframes=3:log-level=0:pools=1",
        },
    ),
    "hevc 10 bit": Kind(
        codec="libx265",
        pix_fmt="yuv420p10le",
        options={
            "preset": "ultrafast",
            "x265-params": "open-gop=0:keyint=12:min-keyint=12:bframes=3:log-level=0:pools=1",
        },
    ),
    "hevc 10 bit open groups in mkv": Kind(
        codec="libx265",
        suffix=".mkv",
        pix_fmt="yuv420p10le",
        options={
            "preset": "ultrafast",
            "x265-params": "open-gop=1:keyint=12:min-keyint=12:bframes=3:log-level=0:pools=1",
        },
    ),
    "h264 in mov": Kind(suffix=".mov", options=GOP),
    "in fragments": Kind(
        options=GOP, container_options={"movflags": "frag_keyframe+empty_moov+default_base_moof"}
    ),
    "av1": Kind(codec="libsvtav1", options=AV1),
    "av1 10 bit": Kind(suffix=".webm", codec="libsvtav1", options=AV1, pix_fmt="yuv420p10le"),
    "mjpeg in avi": Kind(
        suffix=".avi", codec="mjpeg", pix_fmt="yuvj420p", time_base=Fraction(1, 30), frames=30
    ),
    "vfr": Kind(options=GOP, times=lambda n: n * 3000 + (n * n * 37) % 2500),
    "240 a second": Kind(options=GOP, rate=240),
    "first time not zero": Kind(options=GOP, times=lambda n: 129_000 + n * 3000),
    "mpeg-ts": Kind(suffix=".ts", options=GOP, times=lambda n: 129_000 + n * 3000),
    "mpeg-ts open groups": Kind(
        suffix=".ts", options={**GOP, "x264-params": "open-gop=1:keyint=12:bframes=3:scenecut=0"}
    ),
    "mkv": Kind(suffix=".mkv", options=GOP, rate=60),
    "webm": Kind(
        suffix=".webm", codec="libvpx-vp9", options={"g": "12", "deadline": "realtime", "cpu-used": "8"}
    ),
    "avi": Kind(suffix=".avi", codec="mpeg4", options={"g": "12"}, time_base=Fraction(1, 30)),
    "avi with B-frames": Kind(suffix=".avi", options=GOP, time_base=Fraction(1, 30), frames=30),
    "mjpeg odd size": Kind(suffix=".mov", codec="mjpeg", size=(97, 63), pix_fmt="yuvj420p"),
    "h264 odd size": Kind(options=GOP, size=(97, 63), pix_fmt="yuv444p"),
    "pixels not square": Kind(options=GOP, pixel_aspect=Fraction(4, 3)),
    "untagged hd": Kind(options=GOP, size=(1280, 720), frames=10),
    "sound first": Kind(options=GOP, audio_first=True),
    "one picture": Kind(options=GOP, frames=1),
}
