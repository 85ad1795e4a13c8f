"""What the bar of followed points says."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.jobs.tracks import KeptTracks
from analysis.values.point_names import point_words
from analysis.values.posture import PointDoubt
from analysis.values.run import Run, limbs_among
from analysis.values.tracks import followable
from analysis.values.words import tr, tr_count


def offer_words(run: Run, kept: KeptTracks) -> str:
    """What could be followed, or followed again; empty for nothing."""
    if kept.outdated:
        return tr("Points were followed before the film or the run's direction changed. Follow them again?")
    if kept.tracks is not None:
        return tr("Points changed that are not followed yet.") if kept.tracks.behind else ""
    with_limbs = _frames_with_limbs(run)
    if with_limbs < 2:
        return ""
    words = tr("Points stand on {count} frames. They can be followed through the frames between.")
    return words.format(count=with_limbs)


def done_words(frames: int, doubts: int) -> str:
    """What came of following that the coach asked for."""
    done = tr("The points were followed through {count} frames.").format(count=frames)
    if not doubts:
        return done
    look = tr_count("{count} point to look at.", "{count} points to look at.", doubts).format(count=doubts)
    return f"{done} {look}"


def doubt_words(doubts: Sequence[PointDoubt], frame: int) -> str:
    """The doubt about a point on the frame that is shown, else how many there are and which comes next."""
    here = next((d for d in doubts if d.frame == frame), None)
    if here is not None:
        return here.sentence + " " + tr("Drag it to its place, or say that it is right.")
    count = tr_count("{count} point to look at.", "{count} points to look at.", len(doubts))
    after = next((d for d in doubts if d.frame > frame), doubts[0])
    coming = tr("Next: {point} on frame {frame}.").format(point=point_words(after.name), frame=after.frame)
    return f"{count.format(count=len(doubts))} {coming}"


def _frames_with_limbs(run: Run) -> int:
    """On how many frames a limb's two ends are placed."""
    on: dict[int, list[str]] = {}
    for p in followable(run.points, int(run.first_frame), int(run.last_frame)):
        on.setdefault(int(p.frame), []).append(p.name)
    return sum(1 for names in on.values() if limbs_among(names))
