"""Whether two films look from the same place, and the map between them where the camera was shifted."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import cv2
import numpy as np

from analysis.background.fitting import Fit, fit
from analysis.background.following import Bools, corners, follow, grid, mapped, rms
from analysis.background.parallax import cell_offsets
from analysis.background.pictures import LONGEST_PX, Floats, Grey
from analysis.background.shaping import resized, shown_part, warped
from analysis.background.turning import off_turn_and_zoom_px
from analysis.film.picture import Picture
from analysis.values.words import tr

_SAME_PX = 0.5
_FEWEST_COMPARED, _FEWEST_ALIKE, _WORST_PX = 6, 0.5, 1.5
_PARTS_PX, _EDGES = 1.2, 0.3
"""Pixels by which a part of the picture is off the map; and how many such parts the edges of people make, for
each part that people fill.
"""

_LIGHT_SPREADS = 40
"""Light changes over no less than this part of the picture; what changes quicker is the place."""

_ALIKE, _CELLS = 0.5, (8, 6)
_GROUND_ALIKE = 0.25
"""Share of the nearest ground that looks alike at least: people may stand on the rest."""

_BARE = 3.0
"""Grey levels by which a part of the picture must vary to be compared at all."""


class Place(StrEnum):
    """What two pictures say of their cameras."""

    SAME = "same"
    SHIFTED = "shifted"
    UNKNOWN = "unknown"


@dataclass(frozen=True, eq=False)
class TiedPlace:
    """``map``: (3, 3), shown pixels of picture b to those of picture a; the unit matrix where unknown.

    ``error_px``: standard uncertainty of a place taken through it, along each axis; infinite where unknown.
    ``moved_px``: how far the background moved, root mean square along one axis.
    """

    verdict: Place
    map: Floats = field(default_factory=lambda: np.eye(3))
    error_px: float = float("inf")
    moved_px: float = 0.0

    def sentence(self) -> str:
        """The verdict, for the coach."""
        if self.verdict is Place.SAME:
            return tr("The camera stands where it stood: the marks hold for this film.")
        if self.verdict is Place.SHIFTED:
            return tr(
                "The camera was shifted: the background moved by {moved:.0f} pixels. The marks were moved "
                "along with it; look whether they lie right."
            ).format(moved=self.moved_px * 2**0.5)
        return tr(
            "Whether this film was taken from the same place can't be told from its background. If it was, "
            "say so; else set marks on this film."
        )


def tie_backgrounds(picture_a: Picture | Grey, picture_b: Picture | Grey) -> TiedPlace:
    """Compare the backgrounds of two pictures, one of each film; other light and people do no harm.

    Found by distinctive places (SIFT, Lowe 2004), refined by following corners, and believed only where a
    camera could have turned or zoomed so, where near things fit the map as well, and where the pictures are
    then alike in most parts that show anything and along the nearest ground. Pictures: (height, width) grey
    or (height, width, 4) blue, green, red, 255.
    """
    a, scale_a = _grey(picture_a)
    b, scale_b = _grey(picture_b)
    rough = _rough(a, b)
    refined = None if rough is None else _refined(a, b, rough)
    if refined is None:  # hardly shifted, perhaps, and full of people
        refined = _refined(a, b, np.eye(3))
    if refined is None:
        return TiedPlace(Place.UNKNOWN)
    found, cells = refined
    elsewhere = off_turn_and_zoom_px(found.map, b.shape)
    error_px = float(np.hypot(found.error_px, elsewhere))
    alike, bare = _alike(a, b, found.map)
    compared = int((~bare).sum())
    # What differs is people; what is alike and yet lies off the map is near, and tells of another place.
    sizes = np.linalg.norm(cells[alike & ~np.isnan(cells[:, 0])], axis=1)
    near = int((sizes > _PARTS_PX).sum())
    if compared < _FEWEST_COMPARED or alike.sum() < _FEWEST_ALIKE * compared:
        return TiedPlace(Place.UNKNOWN)
    if _ground_differs(alike, bare):
        return TiedPlace(Place.UNKNOWN)
    if near > _EDGES * (compared - alike.sum()) or error_px > _WORST_PX:
        return TiedPlace(Place.UNKNOWN)
    through = _enlarging(scale_a) @ found.map @ np.linalg.inv(_enlarging(scale_b))
    through /= through[2, 2]
    places = grid(picture_b.shape[:2])
    moved, error = rms(mapped(through, places) - places), error_px * scale_a
    same = moved <= max(_SAME_PX * scale_a, 2 * error) and picture_a.shape[:2] == picture_b.shape[:2]
    return TiedPlace(Place.SAME if same else Place.SHIFTED, through, error, moved)


def _ground_differs(alike: Bools, bare: Bools) -> bool:
    """Whether the nearest ground looks another way in nearly all its width, as no people make it: from
    further back or higher up it lies elsewhere, while a far wall only seems smaller or lower.
    """
    columns, rows = _CELLS
    for row in reversed(range(rows)):
        of = slice(row * columns, (row + 1) * columns)
        compared = int((~bare[of]).sum())
        if compared >= columns // 2:
            return int(alike[of].sum()) < _GROUND_ALIKE * compared
    return False


def _grey(picture: Picture | Grey) -> tuple[Grey, float]:
    """A grey picture no larger than is followed, its light evened out; and pixels of the given one in one."""
    plain = picture if picture.ndim == 2 else np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGRA2GRAY), np.uint8)
    scale = max(1.0, max(plain.shape) / LONGEST_PX)
    if scale > 1:
        size = round(plain.shape[1] / scale), round(plain.shape[0] / scale)
        plain = resized(plain, size)
    full = plain.astype(np.float32)
    around = cv2.GaussianBlur(full, (0, 0), max(plain.shape) / _LIGHT_SPREADS)
    even = 110 * full / np.maximum(around, 8.0)
    return np.asarray(np.clip(even, 0, 255), np.uint8), scale


def _enlarging(scale: float) -> Floats:
    off = (scale - 1) / 2
    return np.array([[scale, 0, off], [0, scale, off], [0, 0, 1.0]])


def _rough(a: Grey, b: Grey) -> Floats | None:
    """The map from b to a by places that look alike in both and like nothing else."""
    finder = cv2.SIFT.create(3000)
    a, b = (np.asarray(cv2.createCLAHE(2.0, (8, 6)).apply(each), np.uint8) for each in (a, b))
    spots_a, looks_a = finder.detectAndCompute(a, None)
    spots_b, looks_b = finder.detectAndCompute(b, None)
    if np.size(looks_a) < 256 or np.size(looks_b) < 256:  # fewer than two
        return None
    pairs = cv2.BFMatcher(cv2.NORM_L2).knnMatch(looks_b, looks_a, k=2)
    clear = [two[0] for two in pairs if len(two) == 2 and two[0].distance < 0.8 * two[1].distance]
    before = np.array([spots_b[pair.queryIdx].pt for pair in clear], np.float32).reshape(-1, 2)
    after = np.array([spots_a[pair.trainIdx].pt for pair in clear], np.float32).reshape(-1, 2)
    found = fit(before, after, b.shape, within_px=3.0)
    return None if found is None else found.map


def _refined(a: Grey, b: Grey, rough: Floats) -> tuple[Fit, Floats] | None:
    """The map from b to a by corners of a, followed into b warped upon a; and how far each part of a lies off
    it, px, (parts, 2).
    """
    brought = warped(b, rough, a.shape)
    places = corners(a, 800, 7)
    there, ok = follow(a, brought, places, 21, 4)
    in_b = np.asarray(mapped(np.asarray(np.linalg.inv(rough), np.float64), there), np.float32)
    inside = (in_b > 2).all(axis=1) & (in_b < np.array(b.shape[::-1]) - 3).all(axis=1) & ok
    found = fit(in_b[inside], places[inside], b.shape)
    if found is None:
        return None
    rest = mapped(found.map, in_b[inside]) - places[inside]
    return found, cell_offsets(np.asarray(places[inside], np.float64), rest, a.shape)


def _alike(a: Grey, b: Grey, through: Floats) -> tuple[Bools, Bools]:
    """In which parts of a the picture b, warped, looks the same; and which show nothing to compare."""
    brought = warped(b, through, a.shape)
    shown = shown_part(b.shape, through, a.shape)
    columns, rows = _CELLS
    height, width = a.shape[0] // rows, a.shape[1] // columns
    alike, bare = np.zeros(rows * columns, np.bool_), np.zeros(rows * columns, np.bool_)
    for row in range(rows):
        for column in range(columns):
            part = np.s_[row * height : (row + 1) * height, column * width : (column + 1) * width]
            one, two = a[part].astype(np.float64), brought[part].astype(np.float64)
            number = row * columns + column
            bare[number] = shown[part].mean() < 250 or one.std() < _BARE
            if not bare[number] and two.std() >= _BARE:
                alike[number] = np.corrcoef(one.ravel(), two.ravel())[0, 1] > _ALIKE
    return alike, bare
