"""Frames that were decoded whole, told from those that a decoder patched or that refer to such."""

from __future__ import annotations

from av.video.frame import PictureType, VideoFrame


class WholeFrames:
    """Takes frames in presentation order and gives back those that are whole.

    A decoder shows something for every damaged picture, and for those that refer to it until the next key
    frame, patched from what it has: another something by another way there. Before the first key frame behind
    a seek nothing is judged: what is missing there may be whole from further back.

    ``hurt``: times of frames that were not whole, so far.
    """

    def __init__(self) -> None:
        self.hurt: set[int] = set()
        self.begin()

    def begin(self) -> None:
        """What comes next does not follow what came last."""
        self._held: list[VideoFrame] = []
        self._from_key = self._patched = False

    def take(self, frame: VideoFrame) -> list[VideoFrame]:
        """Frames that can be given now; those that may refer to one ahead wait for it."""
        self._held.append(frame)
        if PictureType(frame.pict_type) is PictureType.B and not frame.key_frame:
            return []
        return self.rest()

    def lose(self) -> None:
        """A picture could not be decoded at all: those that refer to it are not whole."""
        self._patched |= self._from_key

    def rest(self) -> list[VideoFrame]:
        """Those that waited, where no more come."""
        held, self._held = self._held, []
        if not held:
            return []
        last = held[-1]
        if not self._from_key:
            self._from_key = bool(last.key_frame)
            self._patched = self._from_key and last.is_corrupt
            if not self._patched:
                return held
        elif last.key_frame:
            before = held[:-1]
            patched = self._patched or any(frame.is_corrupt for frame in held)
            self._patched = last.is_corrupt
            return [*self._judged(before, patched), *self._judged([last], self._patched)]
        else:
            self._patched |= any(frame.is_corrupt for frame in held)
        return self._judged(held, self._patched)

    def _judged(self, frames: list[VideoFrame], patched: bool) -> list[VideoFrame]:
        if not patched:
            return frames
        self.hurt |= {frame.pts for frame in frames if frame.pts is not None}
        return []
