"""Frames that were decoded whole, told from those that a decoder patched or that refer to such."""

from __future__ import annotations

from typing import NamedTuple

from av.video.frame import PictureType, VideoFrame


class _Held(NamedTuple):
    frame: VideoFrame
    place: int | None
    """Which of the packets it was, in the order of decoding; None where that is not known."""


class WholeFrames:
    """Takes packets as they are decoded, frames in presentation order, and gives back frames that are whole.

    A decoder shows something for every damaged picture, and for those that refer to it until the next key
    frame, patched from what it has: another something by another way there. Before the first key frame behind
    a seek nothing is judged: what is missing there may be whole from further back. A decoder gives frames
    away later than it decodes them: those that it had when it met damage are whole.

    ``hurt``: times of frames that were not whole, so far.
    """

    def __init__(self) -> None:
        self.hurt: set[int] = set()
        self.begin()

    def begin(self) -> None:
        """What comes next does not follow what came last."""
        self._held: list[_Held] = []
        self._from_key = self._patched = False
        self._lost: set[int] = set()
        self._lost_at: int | None = None  # the place of the first picture of the group that was lost
        self._fed = 0
        self._places: dict[int, int] = {}

    @property
    def judges(self) -> bool:
        """Whether a key frame has come, so that what is not whole can be told."""
        return self._from_key

    def feed(self, pts: int | None) -> None:
        """A packet is decoded next; ``pts``: when its picture is shown, None where the file does not say."""
        self._fed += 1
        if pts is not None:
            self._places[pts] = self._fed

    def lose(self, pts: int | None) -> None:
        """The packet fed last could not be decoded: pictures that refer to it are not whole."""
        if pts is not None:
            self._lost.add(pts)
        if not self._patched:
            self._patched, self._lost_at = True, self._fed

    def take(self, frame: VideoFrame) -> list[VideoFrame]:
        """Frames that can be given now; those that may refer to one ahead wait for it."""
        place = None if frame.pts is None else self._places.pop(frame.pts, None)
        self._held.append(_Held(frame, place))
        if PictureType(frame.pict_type) is PictureType.B and not frame.key_frame:
            return []
        return self.rest()

    def rest(self) -> list[VideoFrame]:
        """Those that waited, where no more come."""
        held, self._held = self._held, []
        if not held:
            return []
        last = held[-1]
        if not self._from_key:
            if not last.frame.key_frame:
                return [one.frame for one in held]
            self._from_key = True
            self._begin_group(last)
            return self._judged(held)
        if any(map(self._is_hurt, held)):
            self._patched, self._lost_at = True, None
        if not last.frame.key_frame:
            return self._judged(held)
        before = self._judged(held[:-1])
        self._begin_group(last)
        return before + self._judged([last])

    def _begin_group(self, key: _Held) -> None:
        """A key frame refers to nothing; what was lost is behind, unless it was met after the key frame."""
        if not self._precedes_loss(key):
            self._patched, self._lost_at = self._is_hurt(key), None
        if key.place is not None:
            self._places = {pts: place for pts, place in self._places.items() if place > key.place}

    def _is_hurt(self, one: _Held) -> bool:
        return one.frame.is_corrupt or one.frame.pts in self._lost

    def _precedes_loss(self, one: _Held) -> bool:
        return self._lost_at is not None and one.place is not None and one.place < self._lost_at

    def _judged(self, held: list[_Held]) -> list[VideoFrame]:
        if not self._patched:
            return [one.frame for one in held]
        hurt = [one.frame.pts for one in held if not self._precedes_loss(one)]
        self.hurt |= {pts for pts in hurt if pts is not None}
        return [one.frame for one in held if self._precedes_loss(one)]
