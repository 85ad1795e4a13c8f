"""Where a face is to be made unrecognisable in pictures that leave the program, as the coach placed it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from analysis.values.film import FrameNumber


@dataclass(frozen=True)
class FacePlace:
    """An upright ellipse over a face on one frame, px: its centre and its half axes.

    Half axes of 0: from this frame to the next place no face is in the picture.
    """

    frame: FrameNumber
    u: float
    v: float
    half_u: float
    half_v: float

    @property
    def gone(self) -> bool:
        """Whether no face is in sight from here on."""
        return not (self.half_u > 0 and self.half_v > 0)

    def holds(self, u: float, v: float) -> bool:
        """Whether a place lies within the ellipse."""
        if self.gone:
            return False
        return ((u - self.u) / self.half_u) ** 2 + ((v - self.v) / self.half_v) ** 2 <= 1

    def towards(self, other: FacePlace, frame: int) -> FacePlace:
        """The place on a frame between this and another, on the straight way from one to the other."""
        share = (frame - self.frame) / (other.frame - self.frame)
        ends = ((getattr(self, name), getattr(other, name)) for name in ("u", "v", "half_u", "half_v"))
        return FacePlace(FrameNumber(frame), *(a + share * (b - a) for a, b in ends))


@dataclass(frozen=True)
class FaceCover:
    """One face on one film. ``places``: in order of their frames, one a frame. ``number``: tells the faces of
    a film apart, from 1.
    """

    id: str
    film_id: str
    places: tuple[FacePlace, ...] = ()
    number: int = 1

    @property
    def seen(self) -> tuple[FrameNumber, FrameNumber] | None:
        """The first and the last frame on which the face was placed; None where it was on none."""
        frames = [place.frame for place in self.places if not place.gone]
        return (frames[0], frames[-1]) if frames else None

    def on(self, frame: int) -> FacePlace | None:
        """What was placed on this very frame."""
        return next((place for place in self.places if place.frame == frame), None)

    def with_place(self, place: FacePlace) -> FaceCover:
        """With a place on its frame, whatever stood there."""
        kept = (*self.without(place.frame).places, place)
        return replace(self, places=tuple(sorted(kept, key=lambda one: one.frame)))

    def without(self, frame: int) -> FaceCover:
        """Without what was placed on a frame."""
        return replace(self, places=tuple(place for place in self.places if place.frame != frame))
