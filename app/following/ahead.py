"""The body of the marked frames before, followed on to the frame on show, to be proposed there."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot

from analysis.body.proposed import proposed_points
from analysis.jobs.following import FollowingJob
from analysis.values.run import BodyPoint, Run
from analysis.values.tracks import Tracks
from app.bench import Bench
from app.job_watch import JobWatch
from app.marking.bodies import marked_beside

REACH_S = 0.15
"""Marked frames farther away than this are not followed from: legs are lost by then (own)."""


class AheadDesk(QObject):
    """Follows beside the window; one frame at a time.

    Signals: came(int, object): the frame, and the points that may be proposed there. failed(str): why none
    could be found.
    """

    came = Signal(int, object)
    failed = Signal(str)

    def __init__(self, bench: Bench, parent: QObject) -> None:
        super().__init__(parent)
        self._bench = bench
        self._frame = -1
        self._watch = JobWatch(self)
        self._watch.finished.connect(self._followed)
        self._watch.failed.connect(self.failed)

    def ask(self, frame: int) -> bool:
        """Follow to a frame; False where no marked frame is near enough."""
        run, film = self._bench.run, self._bench.film
        points = () if run is None else self._points(run, frame)
        if run is None or film is None or not points:
            return False
        entry, evidence = self._bench.project.films[run.film_id], self._bench.evidence
        frames = [*(int(p.frame) for p in points), frame]
        self._frame = frame
        self._watch.watch(
            FollowingJob(
                Path(film.path),
                points,
                min(frames),
                max(frames),
                run.direction,
                camera=None if evidence is None else evidence.camera,
                ahead=True,
                coach_rate_hz=entry.coach_rate_hz,
                every=entry.every or 1,
            )
        )
        return True

    def give_up(self) -> None:
        """Nobody waits for it any more."""
        self._watch.shutdown()

    def _points(self, run: Run, frame: int) -> tuple[BodyPoint, ...]:
        facts = self._bench.facts
        frames = marked_beside(run, frame)
        if facts is None or not frames:
            return ()
        times = facts.times
        if abs(times.at(frame) - times.at(frames[0])) > REACH_S:
            return ()
        return tuple(p for p in run.points if p.frame in (*frames, frame))

    @Slot(object)
    def _followed(self, tracks: Tracks) -> None:
        self.came.emit(self._frame, proposed_points(tracks, self._frame))
