"""Following under the keys: begin it, keep it up with corrections, go from one doubtful point to the next."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal, Slot
from PySide6.QtWidgets import QWidget

from analysis.jobs.following import FollowingJob
from analysis.report.body import FOLLOWED_PART, spots_on
from analysis.values.command import Kind
from analysis.values.errors import CinderlaneError
from analysis.values.posture import PointDoubt
from analysis.values.run import BodyPoint, Run
from analysis.values.tracks import Tracks, followable, stretch_of
from analysis.values.words import tr
from app.actions import Actions
from app.bench import Bench
from app.following.bar import FollowBar
from app.following.saying import done_words, doubt_words, offer_words
from app.job_watch import JobWatch
from app.marking.placing import place_point
from app.selection import PartRef

QUIET_MS = 600
"""So long after a correction its stretch is followed anew: a few clicks make one piece of work."""


class FollowDesk(QObject):
    """Starts the work beside, keeps what comes of it, and shows where to look.

    Signals: looked_at(int, float, float): frame and place on its picture, px, that the coach is to look at.

    ``hold_still``: whether the bar must not come or go now.

    Once points were followed, a point that is placed, moved or taken away has the stretch around it followed
    anew without being asked; a point of a new name waits for the coach, since it costs the whole stretch.
    """

    looked_at = Signal(int, float, float)

    def __init__(self, bench: Bench, actions: Actions, parent: QWidget) -> None:
        super().__init__(parent)
        self._bench = bench
        self._job_for: tuple[Path | None, str] = (None, "")
        self._unasked = False
        self._tried: tuple[str, tuple[BodyPoint, ...]] = ("", ())
        self._declined: set[str] = set()
        self._read: tuple[PointDoubt, ...] = ()
        self._called_right: set[tuple[str, PointDoubt]] = set()
        self.hold_still: Callable[[], bool] = _never
        self.bar = FollowBar(actions, parent)
        self._watch = JobWatch(self)
        self._watch.went_on.connect(self._say)
        self._watch.finished.connect(self._followed)
        self._watch.failed.connect(self._failed)
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(QUIET_MS)
        self._quiet.timeout.connect(self._catch_up)
        self.bar.cancelled.connect(self._watch.cancel)
        self.bar.read.connect(self._put_aside)
        actions.do("follow_points", self._follow)
        actions.do("next_doubt", self._next)
        actions.do("point_right", self._right)
        bench.reading_changed.connect(self._reading_came)
        bench.frame_changed.connect(self.refresh)

    @property
    def busy(self) -> bool:
        """Whether points are being followed."""
        return self._watch.busy

    @property
    def settled(self) -> bool:
        """Whether nothing goes on and nothing is about to."""
        return not self._watch.busy and not self._quiet.isActive()

    @Slot()
    def refresh(self) -> None:
        """Another frame is on show, or another tool in hand: say again what is to be said."""
        self._say()

    def shutdown(self) -> None:
        """Stop what goes on."""
        self._quiet.stop()
        self._watch.shutdown()

    # the work beside

    @Slot()
    def _follow(self) -> None:
        run = self._bench.run
        if run is None or self._bench.film is None:
            self._bench.said.emit(tr("Open a film first: points are followed in its pictures."))
            return
        if self.busy:
            self._bench.said.emit(tr("The points are still being followed. Cancel stops it."))
            return
        if stretch_of(run.points, int(run.first_frame), int(run.last_frame)) is None:
            self._bench.said.emit(
                tr("Points are followed between frames. Place them on two first, some 12 frames apart.")
            )
            return
        tracks = self._bench.tracks
        if tracks is not None and not tracks.behind:
            self._bench.said.emit(
                tr("The points are followed already. A point that you move is followed anew.")
            )
            return
        self._declined.discard(run.id)
        self._start(run, tracks, unasked=False)

    @Slot()
    def _catch_up(self) -> None:
        """Follow the stretch around corrections anew."""
        run, tracks = self._bench.run, self._bench.tracks
        if run is None or tracks is None or not self._may_catch_up(run, tracks):
            return
        if self.busy and not self._unasked:
            return  # what was asked for ends first; what changed meanwhile comes after it
        self._tried = run.id, run.points
        self._start(run, tracks, unasked=True)

    def _may_catch_up(self, run: Run, tracks: Tracks) -> bool:
        points = followable(run.points, int(run.first_frame), int(run.last_frame))
        same_names = {p.name for p in points} == set(tracks.names)
        return (
            bool(tracks.behind) and same_names and self._can_follow() and self._tried != (run.id, run.points)
        )

    def _start(self, run: Run, before: Tracks | None, *, unasked: bool) -> None:
        film, entry = self._bench.film, self._bench.project.films[run.film_id]
        ends = stretch_of(run.points, int(run.first_frame), int(run.last_frame))
        if film is None or ends is None:
            return
        evidence = self._bench.evidence
        job = FollowingJob(
            Path(film.path),
            run.points,
            *ends,
            run.direction,
            camera=None if evidence is None else evidence.camera,
            before=before,
            coach_rate_hz=entry.coach_rate_hz,
            every=entry.every or 1,
        )
        self._job_for, self._unasked = (self._bench.path, run.id), unasked
        self._watch.watch(job)
        self._say()

    @Slot(object)
    def _followed(self, tracks: Tracks) -> None:
        path, run_id = self._job_for
        if self._bench.path != path or run_id not in self._bench.project.runs:
            return
        try:
            self._bench.keep_tracks(run_id, tracks)
        except CinderlaneError as error:
            self._bench.said.emit(str(error))
        else:
            if not self._unasked:
                self._bench.said.emit(done_words(len(tracks), len(self.doubts)))
        self._say()

    @Slot(str)
    def _failed(self, sentence: str) -> None:
        self._bench.said.emit(sentence)
        self._say()

    # what the coach looks at

    @property
    def doubts(self) -> tuple[PointDoubt, ...]:
        """What is to be looked at in the run at hand; nothing placed that the coach called right, as long as
        the same is to be said of it.
        """
        reading, run = self._bench.reading, self._bench.run
        if reading is None or run is None:
            return ()
        return tuple(d for d in reading.point_doubts if (run.id, d) not in self._called_right)

    @Slot()
    def _next(self) -> None:
        run, doubts, here = self._bench.run, self.doubts, int(self._bench.frame)
        if not doubts:
            self._bench.said.emit(tr("No point looks doubtful."))
            return
        doubt = next((d for d in doubts if d.frame > here), doubts[0])
        self._read = ()
        self._bench.go_to.emit(int(doubt.frame))
        self._bench.select(_ref(doubt.frame, doubt.name, followed=doubt.followed))
        spot = (
            spots_on(run, self._bench.tracks, int(doubt.frame)).get(doubt.name) if run is not None else None
        )
        if spot is not None:
            self.looked_at.emit(int(doubt.frame), *spot.place)
        self._say()

    @Slot()
    def _right(self) -> None:
        """The point that is asked about here, or the selected followed one, lies where it should."""
        run, tracks, frame = self._bench.run, self._bench.tracks, int(self._bench.frame)
        here = [d for d in self.doubts if d.frame == frame]
        names, placed = [d.name for d in here if d.followed], [d for d in here if not d.followed]
        selected = self._bench.selected
        if isinstance(selected, PartRef) and selected.end == FOLLOWED_PART:
            on, _, name = selected.id.partition(":")
            names = [name] if on == str(frame) else names
        point = tracks.point(frame, names[0]) if tracks is not None and names else None
        if run is not None and point is None and placed:
            self._called_right.add((run.id, placed[0]))
            self._next_after(frame)
            self._say()
            return
        if run is None or point is None:
            self._bench.said.emit(tr("No point is in doubt on this frame. Go to the next place first."))
            return
        if self._bench.attempt(lambda: place_point(run, frame, point.name, point.u, point.v)):
            self._next_after(frame)

    def _next_after(self, frame: int) -> None:
        if any(d.frame != frame for d in self.doubts):
            self._next()

    @Slot()
    def _put_aside(self) -> None:
        run = self._bench.run
        if run is not None and self.bar.follow.isVisibleTo(self.bar):
            self._declined.add(run.id)
        else:
            self._read = self.doubts
        self._say()

    # what is said

    @Slot(object)
    def _reading_came(self, reading: object) -> None:
        run, tracks = self._bench.run, self._bench.tracks
        if self.busy and self._bench.path != self._job_for[0]:
            self._watch.shutdown()  # the project that asked for it is closed
        if run is not None and tracks is not None and self._may_catch_up(run, tracks):
            self._quiet.start()
        else:
            self._quiet.stop()
        self._say()

    @Slot()
    def _say(self) -> None:
        """Say what is to be said; while points are being placed the bar neither comes nor goes, nor does it
        come for work that nobody asked for: the picture would jump under the coach's hand.
        """
        run, bar = self._bench.run, self.bar
        bar.held = self.hold_still() or (self.busy and self._unasked)
        if self.busy:
            bar.show_work(self._watch.progress, waiting=self._watch.waiting)
        elif run is None:
            bar.show_nothing()
        elif self._quiet.isActive():
            return
        elif (
            run.id not in self._declined
            and self._can_follow()
            and (offer := offer_words(run, self._bench.kept_tracks))
        ):
            bar.show_offer(offer)
        elif self.doubts and self.doubts != self._read:
            frame = int(self._bench.frame)
            here = next((d for d in self.doubts if d.frame == frame), None)
            bar.show_doubt(doubt_words(self.doubts, frame), here=here is not None)
        else:
            bar.show_nothing()

    def _can_follow(self) -> bool:
        return self._bench.film is not None and not self._bench.read_only


def _ref(frame: int, name: str, *, followed: bool) -> PartRef:
    return PartRef(Kind.POINT, f"{int(frame)}:{name}", FOLLOWED_PART if followed else "")


def _never() -> bool:
    return False
