"""A face between the frames on which it was placed: followed in the pictures, else on a straight way."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from analysis.derive.face_guess import LargeGuess, guessed_halves, large_guesses, slack_px
from analysis.derive.face_seen import FaceSeen
from analysis.derive.following import follow_points
from analysis.derive.following.follow import LONGEST
from analysis.values.camera import CameraPath
from analysis.values.errors import FilmError, PointError
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import Film
from analysis.values.run import BodyPoint, Direction
from analysis.values.tracks import Tracks
from analysis.values.words import tr

_CLICK_PX = 2.0
_TIMES_U = 2.0


@dataclass(frozen=True)
class FaceWay:
    """Where a face is covered. ``number``: of the cover. ``places``: by frame, None where it is not in sight;
    ``guessed``: frames on which it was not followed; ``large``: where the cover is large there. A frame in
    neither is not covered.
    """

    number: int
    places: Mapping[int, FacePlace | None]
    guessed: tuple[int, ...]
    large: tuple[LargeGuess, ...] = ()

    def check(self, frames: Sequence[int]) -> None:
        """Raises FilmError where one of the frames is not covered."""
        bare = sorted(set(frames) - set(self.places))
        if bare:
            raise FilmError(
                tr(
                    "Face {number} is not covered on frames {frames}. Go there and place the cover, or say "
                    "that it is not in sight, or choose a shorter stretch. Nothing was written."
                ).format(number=self.number, frames=stretches(bare))
            )

    def notes(self, frames: Sequence[int]) -> tuple[str, ...]:
        """What is to be looked at before the film is handed over."""
        seen = sorted(set(frames) & set(self.guessed))
        if not seen:
            return ()
        words = tr(
            "Face {number} could not be followed on frames {frames}: there a larger cover goes straight "
            "from one place to the next. Look at them before you hand it over."
        )
        more = tr("Face {number}: {large}.")
        return (
            words.format(number=self.number, frames=stretches(seen)),
            *(more.format(number=self.number, large=one.words) for one in self.large),
        )


def face_way(
    film: Film,
    cover: FaceCover,
    frames: Sequence[int],
    direction: Direction = Direction.RIGHT,
    camera: CameraPath | None = None,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
) -> FaceWay:
    """Follow a covered face through ``frames``. Arguments as for ``follow_points``, whose code does it: the
    face is the stiff piece between its upper and its lower end. Raises ReadingStopped.
    """
    wanted = range(min(frames), max(frames) + 1)
    pairs = [
        pair for pair in pairwise(cover.places) if pair[1].frame >= wanted[0] and pair[0].frame <= wanted[-1]
    ]
    places: dict[int, FacePlace | None] = {}
    guessed: list[int] = []
    with FaceSeen(film, stopped) as seen:
        for done, (one, other) in enumerate(pairs):
            if one.gone:
                places |= dict.fromkeys(range(one.frame, other.frame))
            elif not other.gone:
                tracks = _followed(film, one, other, direction, camera, stopped)
                for frame in range(one.frame, other.frame + 1):
                    places[frame], sure = _between(film, one, other, frame, tracks, seen)
                    if not sure:
                        guessed.append(frame)
            if progress is not None:
                progress((done + 1) / len(pairs))
    for place in cover.places:
        places[place.frame] = None if place.gone else place
    if cover.places and cover.places[-1].gone:
        places |= dict.fromkeys(range(cover.places[-1].frame, wanted[-1] + 1))
    placed = {int(place.frame) for place in cover.places}
    bare = tuple(frame for frame in guessed if frame not in placed)
    shown = set(frames) & set(bare)
    return FaceWay(cover.number, places, bare, large_guesses(film.facts.times.seconds, cover, shown))


def stretches(frames: Sequence[int]) -> str:
    """Frames in words, such as "4 to 9, 12"."""
    parts: list[list[int]] = []
    for frame in frames:
        if parts and frame == parts[-1][1] + 1:
            parts[-1][1] = frame
        else:
            parts.append([frame, frame])
    return ", ".join(str(a) if a == b else tr("{a} to {b}").format(a=a, b=b) for a, b in parts)


def _followed(
    film: Film,
    one: FacePlace,
    other: FacePlace,
    direction: Direction,
    camera: CameraPath | None,
    stopped: Callable[[], bool] | None,
) -> Tracks | None:
    if not 1 < other.frame - one.frame < LONGEST:
        return None
    points = [point for place in (one, other) for point in _ends(place)]
    try:
        return follow_points(film, points, one.frame, other.frame, direction, camera, None, stopped)
    except (FilmError, PointError):
        return None


def _ends(place: FacePlace) -> tuple[BodyPoint, BodyPoint]:
    """The face as a stiff piece: its upper and its lower end."""
    head = BodyPoint(place.frame, "head", place.u, place.v - place.half_v, _CLICK_PX)
    return head, BodyPoint(place.frame, "neck", place.u, place.v + place.half_v, _CLICK_PX)


def _between(
    film: Film, one: FacePlace, other: FacePlace, frame: int, tracks: Tracks | None, seen: FaceSeen
) -> tuple[FacePlace, bool]:
    """Where the face is on a frame between two places, and whether it was seen there: followed to where the
    picture looks most like it. Else the cover reaches as far as a head may be off the straight way.
    """
    way = one.towards(other, frame)
    slack = slack_px(film.facts.times.seconds, one, other, frame)
    ends = [tracks.point(frame, name) for name in ("head", "neck")] if tracks is not None else []
    known = [point for point in ends if point is not None]
    if tracks is not None and len(known) == 2 and not any(tracks.guessed(frame, p.name) for p in known):
        middle = sum(p.u for p in known) / 2, sum(p.v for p in known) / 2
        if seen.agrees(frame, middle, way, slack, (one, other)):
            more = _TIMES_U * max(p.error_px for p in known)
            return FacePlace(way.frame, *middle, way.half_u + more, way.half_v + more), True
    across, down = guessed_halves(way, slack)
    return replace(way, half_u=across, half_v=down), False
