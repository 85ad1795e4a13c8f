"""Small films of one contact each, as a phone would write them: shoe, shin, ground, shadow, light and camera
drawn at random. Colours are blue, green, red, 0 to 255.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from io import BytesIO

import av
import cv2
import numpy as np
import numpy.typing as npt

from tests.bench.contact_motion import FootMotion, PassingFoot, Pose

Floats = npt.NDArray[np.float64]
Levels = npt.NDArray[np.float32]

BEFORE_S, AFTER_S, BARE = 0.16, 0.16, 12
"""Film around a contact; frames of bare ground before and after that."""
WIDE_M, OVER_M, UNDER_M = 0.62, 0.42, 0.22
FINE, BITS = 2, 4
LUMA = np.array([0.114, 0.587, 0.299])  # ITU-R BT.601, of blue, green and red
LEAST_CONTRAST = 14.0


@dataclass(frozen=True, eq=False)
class ContactFilm:
    """``luma`` (n, h, w) and ``tints`` (n, h / 2, w / 2, 2) as decoded. ``on``, ``off``: touchdown and
    toe-off in frames; ``column``: where the tip stands; ``line``: row of the ground as marks would tell it;
    ``height_px``: of the body as these would; ``forwards``: 1 to the right, -1 to the left; ``pace_px``: how
    far the body goes from frame to frame; ``bare``: which frames show no foot.
    """

    luma: npt.NDArray[np.uint8]
    tints: npt.NDArray[np.uint8]
    rate_hz: float
    on: float
    off: float
    column: float
    line: float
    height_px: float
    forwards: float
    pace_px: float
    bare: npt.NDArray[np.bool_]


class Drawn:
    """One contact of one runner on one ground."""

    def __init__(self, seed: int, rate_hz: float, soft: bool = False) -> None:
        """``soft``: the foot lands nearly at rest."""
        draw = self._draw = np.random.default_rng([seed, 905])
        self.rate_hz = rate_hz
        self._size = float(draw.uniform(0.85, 1.1))
        self._scale = float(np.exp(draw.uniform(np.log(36), np.log(210))))  # px in a metre
        self._foot = FootMotion(draw, self._size, soft)
        self._other = PassingFoot(draw, self._size, self._foot.off_s)
        self._width, self._rows = (2 * round(n * self._scale / 2) for n in (2 * WIDE_M, OVER_M + UNDER_M))
        self._ground, self._middle = OVER_M * self._scale, self._width / 2 + float(draw.uniform(-1, 1))
        self._open = float(draw.choice([0.0, draw.uniform(0, 0.9)])) / rate_hz
        self._light = float(draw.uniform(0.5, 1.15))
        self._colours()
        self._scene = self._paint()
        self._outline = self._shoe_outline()
        self._shadow = draw.uniform([-1.6, -0.25, 0.15], [1.6, 0.15, 0.65]) * [1, 1, draw.random() < 0.7]
        self._thick = float(draw.uniform(0.03, 0.14))
        self._mirror = float(draw.choice([0.0, draw.uniform(0.05, 0.4)], p=[0.8, 0.2]))
        self._shakes = float(draw.choice([0.0, draw.uniform(0.05, 0.5)], p=[0.6, 0.4]))
        self._flickers = float(draw.choice([0.0, draw.uniform(0, 0.03)], p=[0.6, 0.4]))

    def film(self) -> ContactFilm:
        """Drawn, written and read again."""
        draw, rate = self._draw, self.rate_hz
        phase = float(draw.uniform())
        first, last = -round(BEFORE_S * rate), round((self._foot.off_s + AFTER_S) * rate)
        times = [None] * BARE + [(n + phase) / rate for n in range(first, last)] + [None] * BARE
        noise = [draw.standard_normal((self._rows, self._width, 1)).astype(np.float32) for _ in range(5)]
        strong, sharpens = float(draw.uniform(0.3, 4.5)), float(draw.choice([0.0, 0.0, draw.uniform(0, 1.2)]))
        soft, haze = float(draw.choice([0.0, draw.uniform(0.4, 1.2)])), float(draw.choice([0.0, 0.0, 40.0]))
        to_left = draw.random() < 0.5
        pictures = []
        for number, t in enumerate(times):
            picture = self._picture(t, number)
            if soft:
                picture = cv2.GaussianBlur(picture, (0, 0), soft)
            if sharpens:
                picture = picture + sharpens * (picture - cv2.GaussianBlur(picture, (0, 0), 1.5))
            picture = haze + (255 - haze) / 255 * picture + strong * noise[int(draw.integers(5))]
            shown = np.clip(picture + 0.5, 0, 255).astype(np.uint8)
            pictures.append(np.ascontiguousarray(shown[:, ::-1]) if to_left else shown)
        luma, tints = _coded(pictures, rate, int(draw.integers(17, 31)))
        seen = self._scale / (1.0 if self._size > 0.97 else float(draw.uniform(0.9, 1.05)))
        column = self._width - 1 - self._middle if to_left else self._middle
        begin = BARE - first - phase
        return ContactFilm(
            luma=luma,
            tints=tints,
            rate_hz=rate,
            on=begin,
            off=begin + self._foot.off_s * rate,
            column=column,
            line=self._ground + float(draw.uniform(-0.01, 0.035)) * 1.75 * self._scale,
            height_px=1.75 * seen,
            forwards=-1.0 if to_left else 1.0,
            pace_px=float(draw.uniform(4, 9.5)) * self._scale / rate,
            bare=np.array([t is None for t in times]),
        )

    def _colours(self) -> None:
        draw = self._draw

        def tone(low: float = 10, high: float = 245) -> Floats:
            grey = draw.uniform(low, high)
            return np.clip(grey + draw.normal(0, 35, 3), low, high)

        self._base, self._shoe, self._sole = tone(25, 225), tone(), tone()
        while abs(float(LUMA @ (self._shoe - self._base))) < LEAST_CONTRAST:
            self._shoe = tone()
        while abs(float(LUMA @ (self._sole - self._base))) < LEAST_CONTRAST:
            self._sole = tone()
        self._cloth = [tone(), draw.uniform([50, 75, 100], [160, 185, 230]), tone()]
        self._dim = float(draw.uniform(0.65, 1.0))

    def _paint(self) -> Levels:
        draw, shape = self._draw, (self._rows + 8, self._width + 8)
        out = np.ones((*shape, 3), np.float32) * self._base.astype(np.float32)
        fine = draw.standard_normal(shape).astype(np.float32)
        wide = cv2.GaussianBlur(
            draw.standard_normal(shape).astype(np.float32), (0, 0), float(draw.uniform(2, 12))
        )
        blades = cv2.GaussianBlur(
            fine, (0, 0), sigmaX=float(draw.uniform(0.5, 4)), sigmaY=float(draw.uniform(0.5, 2))
        )
        for part, most in ((fine, 14.0), (wide / wide.std(), 8.0), (blades / blades.std(), 18.0)):
            strength = float(draw.choice([0.0, draw.uniform(0, most)]))
            out += strength * part[..., None] * draw.uniform(0.7, 1.0, 3).astype(np.float32)
        for _ in range(int(draw.choice([0, 0, 1, 2, 3]))):  # lines and edges
            u, v = draw.uniform([0, 0], [shape[1], shape[0]])
            turn = float(draw.choice([0.0, draw.uniform(-1.5, 1.5)]))
            far = 2000 * np.array([np.cos(turn), np.sin(turn)])
            ends = [tuple(int(c) for c in np.array([u, v]) + way * far) for way in (-1, 1)]
            cv2.line(out, *ends, draw.uniform(0, 255, 3).tolist(), int(draw.integers(1, 7)), cv2.LINE_AA)
        return cv2.GaussianBlur(out, (0, 0), float(draw.uniform(0.4, 1.0))) * self._light

    def _shoe_outline(self) -> tuple[Floats, Floats, Floats]:
        """Of the rear part, along heel to ball; of the front part, along ball to tip; of the rim's height."""
        draw = self._draw
        high = draw.uniform([0.08, 0.06, 0.045, 0.02], [0.14, 0.11, 0.08, 0.05])
        blunt, spring = float(draw.uniform(0, 0.05)), float(draw.uniform(0, 0.015))
        rear = np.array(
            [[-0.03, 0], [1, 0], [1.02, high[2]], [0.45, high[1]], [0.05, high[0]], [-0.05, high[0] * 0.6]]
        )
        front = np.array(
            [
                [-0.1, 0],
                [0.75, 0],
                [1.0, spring],
                [1.0 + blunt, spring + high[3] * 0.6],
                [0.7, high[3]],
                [-0.1, high[2]],
            ]
        )
        rim = draw.uniform(0.008, 0.035)
        return rear, front, np.array([rim, draw.choice([0.0, 1.0])])

    def _picture(self, t: float | None, number: int) -> Levels:
        shift = self._shakes * np.array([np.sin(0.13 * number), np.cos(0.21 * number + 1)])
        onto = np.array([[1.0, 0, shift[0] - 4], [0, 1.0, shift[1] - 4]])
        picture = cv2.warpAffine(self._scene, onto, (self._width, self._rows), flags=cv2.INTER_LINEAR)
        if t is not None:
            self._stand(picture, t, shift)
        gain = 1 + self._flickers * np.sin(2.6 * number)
        return np.asarray(picture * np.float32(gain), np.float32)

    def _stand(self, picture: Levels, t: float, shift: Floats) -> None:
        if self._shadow[2]:
            dark = self._shade(t, shift)
            picture *= (1 - self._shadow[2] * cv2.GaussianBlur(dark, (0, 0), 0.8 + 0.004 * self._scale))[
                ..., None
            ]
        times = [t] if not self._open else [t - self._open / 2, t, t + self._open / 2]
        if self._mirror:
            tones, cover = self._figure(times[:1], shift, mirrored=True)
            picture += self._mirror * cover[..., None] * (tones * self._light - picture)
        tones, cover = self._figure(times, shift)
        picture *= (1 - cover)[..., None]
        picture += tones * self._light * (1.0 if len(times) > 1 else cover[..., None])

    def _pixels(self, places: Floats, shift: Floats, mirrored: bool = False) -> Floats:
        up = -1.0 if mirrored else 1.0
        return (
            np.column_stack(
                [self._middle + places[:, 0] * self._scale, self._ground - up * places[:, 1] * self._scale]
            )
            + shift
        )

    def _shade(self, t: float, shift: Floats) -> Levels:
        out = np.zeros((self._rows, self._width), np.float32)
        for pose in (self._foot.pose(t), self._other.pose(t)):
            body = pose.knee + np.array([[0.1, 0.45], [0.3, 1.0]]) * self._size
            places = np.concatenate([pose.points, body])
            high = np.maximum(places[:, 1:], 0)
            places = np.column_stack([places[:, :1] + self._shadow[0] * high, -self._shadow[1] * high])
            ends = np.round(np.clip(self._pixels(places, shift), -3000, 3000) * 8).astype(int)
            for a, wide in enumerate((0.5, 0.7, 1.0, 1.0, 1.5, 3.0)):
                thick = max(1, round(wide * self._thick * self._scale * (0.4 + abs(self._shadow[1]))))
                cv2.line(
                    out, tuple(ends[a].tolist()), tuple(ends[a + 1].tolist()), 1.0, thick, cv2.LINE_AA, 3
                )
        return out

    def _figure(self, times: list[float], shift: Floats, mirrored: bool = False) -> tuple[Levels, Levels]:
        """Colours times cover, and cover, over the shutter's time; of one picture the colours alone."""
        total, cover = (
            np.zeros((self._rows, self._width, 3), np.float32),
            np.zeros((self._rows, self._width), np.float32),
        )
        for t in times:
            canvas = np.zeros((self._rows * FINE, self._width * FINE, 3), np.uint8)
            mask = np.zeros((self._rows * FINE, self._width * FINE), np.uint8)
            self._leg(canvas, mask, self._other.pose(t), shift, self._dim, mirrored)
            self._leg(canvas, mask, self._foot.pose(t), shift, 1.0, mirrored)
            size = (self._width, self._rows)
            part = cv2.resize(mask, size, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
            tones = cv2.resize(canvas, size, interpolation=cv2.INTER_AREA).astype(np.float32)
            total, cover = total + tones / len(times), cover + part / len(times)
        if len(times) == 1:
            return total / np.maximum(cover, 1e-3)[..., None], cover
        return total, cover

    def _leg(
        self,
        canvas: npt.NDArray[np.uint8],
        mask: npt.NDArray[np.uint8],
        pose: Pose,
        shift: Floats,
        dim: float,
        mirrored: bool,
    ) -> None:
        k = self._size

        def fill(places: Floats, tone: Floats) -> None:
            corners = ((self._pixels(places, shift, mirrored) + 0.5) * FINE - 0.5) * 2**BITS
            corners = np.round(np.clip(corners, -30000, 30000)).astype(np.int32)
            cv2.fillPoly(canvas, [corners], np.clip(tone * dim, 1, 255).tolist(), cv2.LINE_8, BITS)
            cv2.fillPoly(mask, [corners], 255, cv2.LINE_8, BITS)

        along = (pose.knee - pose.ankle) / (np.hypot(*(pose.knee - pose.ankle)) + 1e-9)
        across = np.array([-along[1], along[0]])
        for tone, (low, high), (thin, thick) in zip(
            self._cloth[:2] if self._size > 1 else self._cloth[1:],
            ((-0.08, 0.35), (0.3, 1.0)),
            ((0.035, 0.045), (0.045, 0.06)),
            strict=True,
        ):
            begin, end = (pose.ankle + (pose.knee - pose.ankle) * share for share in (low, high))
            fill(
                np.stack(
                    [
                        begin - across * thin * k,
                        begin + across * thin * k,
                        end + across * thick * k,
                        end - across * thick * k,
                    ]
                ),
                tone,
            )
        rear, front, (rim, worn) = self._outline
        for a, b, shape in ((pose.heel, pose.ball, rear), (pose.ball, pose.tip, front)):
            way = b - a
            length = float(np.hypot(*way))
            unit = way / (length + 1e-9)
            over = np.array([-unit[1], unit[0]])
            fill(a + shape[:, :1] * way + shape[:, 1:] * k * over, self._shoe)
            if worn:
                edge = np.array([[-0.04, 0], [1.0, 0], [1.0, rim], [-0.04, rim]])
                fill(a + edge[:, :1] * way + edge[:, 1:] * k * over, self._sole)


def _coded(
    pictures: list[npt.NDArray[np.uint8]], rate: float, crf: int
) -> tuple[npt.NDArray[np.uint8], npt.NDArray[np.uint8]]:
    """Written as H.264 and read again: brightness and colours."""
    held = BytesIO()
    with av.open(held, "w", format="mp4") as container:
        options = {"crf": str(crf), "preset": "veryfast", "g": "60", "threads": "1"}
        stream = container.add_stream("libx264", rate=Fraction(rate).limit_denominator(1001), options=options)
        stream.height, stream.width = pictures[0].shape[:2]
        stream.pix_fmt = "yuv420p"
        for picture in pictures:
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode())
    held.seek(0)
    luma, tints = [], []
    with av.open(held) as container:
        container.streams.video[0].thread_count = 1
        for frame in container.decode(video=0):
            planes = frame.to_ndarray()  # (3 h / 2, w): brightness, then both colours
            height, width = frame.height, frame.width
            luma.append(np.maximum(planes[:height], 1))
            halves = planes[height:].reshape(2, height // 2, width // 2)
            tints.append(np.stack([halves[0], halves[1]], axis=-1))
    return np.stack(luma), np.stack(tints)
