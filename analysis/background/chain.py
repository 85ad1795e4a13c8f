"""Ties every picture to the oldest key picture that still shows the same background."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

import cv2
import numpy as np

from analysis.background.fitting import Fit, bends, fit, local
from analysis.background.following import Bools, Points, corners, follow, grid, mapped
from analysis.background.moving import moving
from analysis.background.nearest import Body, body
from analysis.background.parallax import cell_offsets, common_px
from analysis.background.pictures import Floats, Grey
from analysis.background.shaping import in_the_light_of, resized, resized_mask, warped

STILL_OVERLAPS, NEW_KEY_BELOW, ALONE_FROM = 0.35, 0.5, 0.75
"""Share of a picture that a key picture must show to hold it; share below which a new one is taken; share
from which one key alone holds it.
"""

_KEY_CORNERS, _STEP_CORNERS = 600, 260
_EDGE_PX = 12
_FAR_OFF_PX = 6.0
"""Where a map is so far off, anywhere in the picture, what was followed from it is not to be trusted."""
ALIKE = 2.0
"""Times that a chain of maps is off by more than its corners would make it if each erred by itself:
neighbours share pixels, and all pictures of a key its corners. Chosen by films whose cameras are known, so
that twice the uncertainty holds as many places at the far ends of long pans as near the reference.
"""
_TIRES_AFTER, _TIRES_AT = 4, 0.5
"""A corner that so often was looked for, and that missed in this share, belongs to no background."""


_NONE: Points = np.empty((0, 2), np.float32)


@dataclass
class Key:
    """A picture that others are tied to. ``to_base``: map to the first picture of all; ``node``: its own tie.

    ``asked``, ``missed``: how often each corner was looked for, and was somewhere else.
    """

    picture: Grey
    places: Points
    to_base: Floats
    node: int
    asked: Floats = field(init=False)
    missed: Floats = field(init=False)

    def __post_init__(self) -> None:
        self.asked, self.missed = np.zeros(len(self.places)), np.zeros(len(self.places))

    def overlap(self, to_base: Floats) -> float:
        """Share of a picture with this map to the base that the key shows too."""
        height, width = self.picture.shape
        through = np.linalg.inv(self.to_base) @ to_base
        places = grid(self.picture.shape, 12, 8)
        ahead = places @ through[2, :2] + through[2, 2] > 0
        there = mapped(through / through[2, 2], places)
        inside = (there >= 0).all(axis=1) & (there < [width, height]).all(axis=1) & ahead
        return float(inside.mean())


@dataclass(frozen=True)
class Tie:
    """One picture in the chain. ``parent``: the tie (its place in the list) that it hangs on, -1 for the
    first. ``spread``: (8, 8), covariance of the small map of the parent's picture by which the map between
    the two may be off (``fitting.bends``). ``parted``: per cell of the picture, how far its background lies
    off the map, px, (cells, 2), nan where there is none to be seen. ``places``: the parent's corners that
    hold it, (n, 2), and ``there``: where it shows them. ``followed``: whatever was followed, where the
    picture shows it, (m, 2), and how far off the map, (m, 2). ``before``: the body before it, where one is.
    """

    to_base: Floats
    parent: int
    spread: Floats
    parted: Floats
    places: Points
    there: Points
    followed: tuple[Points, Floats] = field(default_factory=lambda: (_NONE, np.empty((0, 2))))
    before: Body | None = None


class Chain:
    """Takes pictures in turn, all of one size, and ties them. ``ties``: one entry for each that was tied."""

    def __init__(self) -> None:
        self.ties: list[Tie] = []
        self._keys: list[Key] = []
        self._small: Grey | None = None
        self._small_mask: Grey | None = None
        self._last = -1

    def add(self, picture: Grey, off: Grey | None = None) -> int | None:
        """Tie one picture; its place in ``ties``, or None where it can't be tied.

        ``off``: 0 where the caller knows of an athlete, else 255; as large as the picture.
        """
        small = resized(picture, (picture.shape[1] // 2, picture.shape[0] // 2))
        if not self._keys:
            nothing = cell_offsets(np.empty((0, 2)), np.empty((0, 2)), picture.shape)
            self.ties.append(Tie(np.eye(3), -1, np.zeros((8, 8)), nothing, _NONE, _NONE))
            self._add_key(picture, off, 0)
            self._remember(small, off, 0)
            return 0
        expected = self._step(small)
        to_base = self.ties[self._last].to_base @ expected if expected is not None else None
        tied = None if to_base is None else self._anchor(picture, to_base, off)
        if tied is None and to_base is None:
            tied = self._anchor_anywhere(picture, small, off)
        if tied is None:
            return None
        tie, mask, key_overlap = tied
        self.ties.append(tie)
        number = len(self.ties) - 1
        if key_overlap < NEW_KEY_BELOW:
            self._add_key(picture, mask, number)
        self._remember(small, mask, number)
        return number

    def _remember(self, small: Grey, mask: Grey | None, number: int) -> None:
        self._small, self._last = small, number
        self._small_mask = None if mask is None else resized_mask(mask, (small.shape[1], small.shape[0]))

    def _add_key(self, picture: Grey, mask: Grey | None, node: int) -> None:
        places = corners(picture, _KEY_CORNERS, 8, mask)
        self._keys.append(Key(picture, places, self.ties[node].to_base, node))

    def _step(self, small: Grey) -> Floats | None:
        """The map from this picture to the one tied last, to a pixel or so; None where it can't be told."""
        assert self._small is not None
        before = self._small
        for mask in (self._small_mask, None):
            places = corners(before, _STEP_CORNERS, 7, mask)
            there, ok = follow(before, small, places, 15, 3)
            found = fit(there[ok], places[ok], small.shape)
            if found is not None:
                return _twice(found.map)
            if mask is None:
                break
        return None

    def _anchor(self, picture: Grey, to_base: Floats, off: Grey | None) -> tuple[Tie, Grey, float] | None:
        """Tie to the oldest key that still overlaps, and with it to the one that overlaps most where the
        oldest shows but a part: a map from a part of the picture is a poor one for the rest.
        """
        overlaps = [key.overlap(to_base) for key in self._keys]
        fitting = [number for number, overlap in enumerate(overlaps) if overlap >= STILL_OVERLAPS]
        if not fitting:
            return None
        wanted = fitting[:1]
        if overlaps[fitting[0]] < ALONE_FROM:
            wanted = list(dict.fromkeys([fitting[0], max(fitting, key=overlaps.__getitem__)]))
        found = self._held(wanted, picture, to_base, off)
        if not found and fitting[-1] not in wanted:
            found = self._held(fitting[-1:], picture, to_base, off)
        if not found:
            return None
        tie = _together(found[0], found[1], picture, off) if len(found) > 1 else None
        if tie is None:
            key, anchored = found[0]
            tie = _tie(key, anchored.fit, anchored, anchored, anchored.places, anchored.there)
        return tie, found[0][1].mask, self._keys[-1].overlap(tie.to_base)

    def _held(
        self, numbers: Iterable[int], picture: Grey, to_base: Floats, off: Grey | None
    ) -> list[tuple[Key, Anchored]]:
        """Those of these keys that hold a picture, and how."""
        tries = [
            (key := self._keys[n], anchor(key, picture, np.linalg.inv(to_base) @ key.to_base, off))
            for n in numbers
        ]
        return [(key, anchored) for key, anchored in tries if anchored is not None]

    def _anchor_anywhere(
        self, picture: Grey, small: Grey, off: Grey | None
    ) -> tuple[Tie, Grey, float] | None:
        """After a jump: by the shift that makes the whole picture like the last one tied, or like a key."""
        assert self._small is not None
        tries: list[tuple[Grey, Floats]] = [(self._small, self.ties[self._last].to_base)]
        for key in self._keys[-3:]:
            shrunk = resized(key.picture, (small.shape[1], small.shape[0]))
            tries.append((shrunk, key.to_base))
        window = cv2.createHanningWindow((small.shape[1], small.shape[0]), cv2.CV_32F)
        for before, to_base in tries:
            (du, dv), sure = cv2.phaseCorrelate(before.astype(np.float32), small.astype(np.float32), window)
            if sure > 0.08:
                back = np.array([[1, 0, -2 * du], [0, 1, -2 * dv], [0, 0, 1.0]])
                tied = self._anchor(picture, to_base @ back, off)
                if tied is not None:
                    return tied
        return None


@dataclass(frozen=True, eq=False)
class Anchored:
    """A key's hold on a picture. ``fit``: the map from key to picture; ``mask``: what is background in the
    picture (255); ``parted``: how far the cells of the background lie off the map. ``places``: those of the
    key that hold to it, and ``there``: where the picture shows them. ``followed``: all places of the key
    that were followed, and where to; ``rest``: how far these lie off the map.
    """

    fit: Fit
    mask: Grey
    parted: Floats
    places: Points
    there: Points
    followed: tuple[Points, Points]

    rest: Floats

    def against(self, through: Floats, shape: tuple[int, ...]) -> Anchored:
        """The same, parted from another map; the picture's ``shape``."""
        places, there = self.followed
        rest = there - mapped(through, places)
        return replace(self, rest=rest, parted=cell_offsets(np.asarray(there, np.float64), rest, shape))


def _tie(key: Key, found: Fit, near: Anchored, far: Anchored, places: Points, there: Points) -> Tie:
    to_base = key.to_base @ np.linalg.inv(found.map)
    spread = found.covariance * max(1.0, common_px(near.parted) / found.error_px) ** 2
    followed = (far.followed[1], far.rest)
    return Tie(
        to_base / to_base[2, 2], key.node, spread, far.parted, places, there, followed, body(near.mask)
    )


def _together(
    oldest: tuple[Key, Anchored], most: tuple[Key, Anchored], picture: Grey, off: Grey | None
) -> Tie | None:
    """One map through the places of two keys, in pixels of the one that overlaps most; None where the two
    do not agree. Near and far part company the more the longer ago a key was seen: the oldest tells, looked
    at anew where it was held by few corners and expected far from where both see it.
    """
    shape = picture.shape
    (far_key, far), (key, near) = oldest, most
    across = np.linalg.inv(key.to_base) @ far_key.to_base
    before = np.concatenate([mapped(across / across[2, 2], far.places), near.places]).astype(np.float32)
    after = np.concatenate([far.there, near.there])
    joint = fit(before, after, shape)
    if joint is None:
        return None
    through = joint.map @ across
    through /= through[2, 2]
    if _apart_px(through, far.fit.map, shape) > _FAR_OFF_PX:
        far = anchor(far_key, picture, through, off, again=True) or far
        far = far.against(through, shape)
    return _tie(key, joint, near, far, before[joint.inliers], after[joint.inliers])


def anchor(
    key: Key, picture: Grey, expected: Floats, off: Grey | None, *, again: bool = False
) -> Anchored | None:
    """Hold a picture to a key, where ``expected`` is nearly the map from the key to it.

    The key is warped first, so that only a small rest is followed. ``again``: its corners were counted.
    """
    height, width = picture.shape
    expected = expected / expected[2, 2]
    brought = warped(key.picture, expected, picture.shape)
    seen = mapped(expected, key.places)
    inside = (seen > _EDGE_PX).all(axis=1) & (seen < [width - _EDGE_PX, height - _EDGE_PX]).all(axis=1)
    tired = (key.asked >= _TIRES_AFTER) & (key.missed > _TIRES_AT * key.asked)
    chosen = np.flatnonzero(inside)
    places = np.asarray(seen[chosen], np.float32)
    # what is followed must keep its brightness, which a cloud or the phone's exposure may change
    there, ok = follow(brought, in_the_light_of(picture, brought, expected), places, 15, 2)
    mask = moving(brought, picture, expected)
    if off is not None:
        mask &= off
    still = _at(mask, there) > 0
    use = ok & still & ~tired[chosen]
    found = fit(key.places[chosen][use], there[use], picture.shape)
    if found is None:
        return None
    rest = there - mapped(found.map, key.places[chosen])
    if not again:
        key.asked[chosen[ok]] += 1
        key.missed[chosen[ok & (np.linalg.norm(rest, axis=1) > 1.5)]] += 1
    parted = cell_offsets(np.asarray(there[ok], np.float64), rest[ok], picture.shape)
    held = key.places[chosen][use][found.inliers], there[use][found.inliers]
    return Anchored(found, mask, parted, *held, (key.places[chosen][ok], there[ok]), rest[ok])


def _apart_px(one: Floats, other: Floats, shape: tuple[int, ...]) -> float:
    """How far two maps take a place of a picture apart at most."""
    places = grid(shape)
    return float(np.linalg.norm(mapped(one, places) - mapped(other, places), axis=1).max())


def _at(mask: Grey, places: Points) -> Bools:
    rows = np.clip(np.rint(places[:, 1]), 0, mask.shape[0] - 1).astype(int)
    columns = np.clip(np.rint(places[:, 0]), 0, mask.shape[1] - 1).astype(int)
    return np.asarray(mask[rows, columns])


def _twice(small: Floats) -> Floats:
    """A map between pictures of half the size, as one between the whole ones."""
    enlarge = np.array([[2, 0, 0.5], [0, 2, 0.5], [0, 0, 1.0]])
    through = enlarge @ small @ np.linalg.inv(enlarge)
    return np.asarray(through / through[2, 2])


def errors_from(ties: Sequence[Tie], reference: int, shape: tuple[int, ...]) -> Floats:
    """Standard uncertainty (n,) of a place of each tie's picture, brought to that of ``reference``, px of the
    reference along each axis, root mean square over the picture; the pictures' ``shape``.

    Each link between the two moves the place as its own map may be off *there*: beyond the key picture that
    was followed, where a map is the less sure the farther out, and stretched by all maps on the way.
    """
    line, back = links(ties, reference), np.linalg.inv(ties[reference].to_base)
    out = np.zeros(len(ties))
    for number, tie in enumerate(ties):
        square = 0.0
        for link in line ^ links(ties, number):
            parent = ties[ties[link].parent].to_base
            seen = mapped(np.linalg.inv(parent) @ tie.to_base, grid(shape))
            onward = back @ parent
            rows = local(onward / onward[2, 2], seen) @ bends(np.eye(3), seen, shape)
            square += float(np.mean(np.einsum("nij,jk,nik->ni", rows, ties[link].spread, rows)))
        out[number] = ALIKE * np.sqrt(square)
    return out


def links(ties: Sequence[Tie], number: int) -> set[int]:
    """The ties from one to the first of all, both included."""
    found = set()
    while number >= 0:
        found.add(number)
        number = ties[number].parent
    return found
