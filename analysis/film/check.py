"""How well a film serves for reading a run: each point with what it costs and how to film better."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from analysis.film.body_motion import BodyMotion, body_motion
from analysis.film.bursts import take_bursts
from analysis.film.camera_motion import CameraMotion, Motion, camera_motion
from analysis.film.ground_tilt import ground_tilt
from analysis.film.spacing import Spacing, put_together_note, spacing
from analysis.ground.carried import spread
from analysis.steps.events import read_event
from analysis.values.errors import InterlacedError, OtherSizeError
from analysis.values.film import Film, FrameTimes, RateWitness
from analysis.values.finding import GOOD_TILT_DEG, Finding
from analysis.values.words import tr, tr_count

GOOD_RATE_HZ = 200.0
GOOD_HEIGHT_PX = 720
GOOD_BLUR_PX = 4.0
RUNS_FROM_HEIGHTS_S = 1.3
"""Body heights per second; a walk has some 0.8, a start over ten metres some 3 to 4, of which slow motion at
240 that plays at 60 leaves a quarter."""


@dataclass(frozen=True)
class FilmCheck:
    """``findings``: in the order in which they matter. ``camera``: what the camera did. ``given_up``: it was
    told to stop, and the points that need pictures are missing.
    """

    findings: tuple[Finding, ...]
    camera: CameraMotion = CameraMotion.UNKNOWN
    given_up: bool = False


def contact_halfwidth_s(begins_s: float, ends_s: float | None = None) -> float:
    """Half of the 95 % interval of a contact time in s, as a reading has it (docs/measures.md, Time).

    ``begins_s``, ``ends_s``: intervals to the frame before at touchdown and at toe-off; alike where one is
    given. Not yet tagged twice, and no draft.
    """
    times = FrameTimes.from_seconds([0.0, begins_s, begins_s + (begins_s if ends_s is None else ends_s)])
    touchdown, toe_off = read_event(times, 1), read_event(times, 2)
    assert touchdown is not None
    assert toe_off is not None
    return spread(toe_off.time - touchdown.time)[1]


def check_film(
    film: Film,
    progress: Callable[[float], None] | None = None,
    stopped: Callable[[], bool] | None = None,
    threads: int = 1,
) -> FilmCheck:
    """Judge rate, spacing and size by the facts, camera, tilt, blur and pace by some fifty pictures.

    ``progress``: told the share that is done, 0 to 1. ``stopped``: asked between frames; when it says yes,
    what is known by then is given. ``threads``: how many decode; one, so that it may run beside stepping.
    The athlete's size, the metres in view and the ground's tilt with its uncertainty come from marks.
    Raises FilmError or MissingFilmError where the film can't be opened any more.
    """
    frames = spacing(film.facts.times)
    findings = [] if frames is None else [_rate(frames.ordinary_s), _spacing(frames)]
    findings.append(_size(film))
    bursts = take_bursts(film, progress=progress, stopped=stopped, threads=threads)
    if bursts.given_up:
        return FilmCheck(tuple(findings), given_up=True)
    for kind, told in ((OtherSizeError, _sizes), (InterlacedError, _interlaced)):
        if kind in bursts.unfit:
            findings.insert(0, told(bursts.unfit[kind]))
    motion = camera_motion(bursts)
    findings.append(_camera(motion))
    if motion.kind in (CameraMotion.STILL, CameraMotion.SHAKING):
        findings += _tilt(ground_tilt(bursts))
    if motion.kind is CameraMotion.STILL:
        body = body_motion(bursts)
        findings += [*_blur(body), *_pace(film, body)]
    return FilmCheck(tuple(findings), motion.kind)


def _interlaced(frame: int) -> Finding:
    sentence = tr(
        "Part of the film is interlaced, from about frame {frame} on: each picture holds two moments there, "
        "and is not shown. Film with a progressive setting (such as 60p instead of 60i)."
    )
    return Finding("interlaced", False, float(frame), sentence.format(frame=frame))


def _sizes(frame: int) -> Finding:
    sentence = tr(
        "The picture changes its size at about frame {frame}: films were put together, and what has another "
        "size than the first picture is not shown. Open the file that the camera wrote."
    )
    return Finding("sizes", False, float(frame), sentence.format(frame=frame))


def _rate(interval: float) -> Finding:
    rate = 1 / interval
    cost = tr(
        "At {rate:.0f} frames per second a contact time is good to {ms:.0f} ms either way, 95 %."
    ).format(rate=rate, ms=contact_halfwidth_s(interval) * 1000)
    if rate >= GOOD_RATE_HZ:
        return Finding("rate", True, rate, cost)
    better = tr("Film at 240 frames per second (slow motion): then it is {ms:.0f} ms.").format(
        ms=contact_halfwidth_s(1 / 240) * 1000
    )
    return Finding("rate", False, rate, f"{cost} {better}")


def _spacing(frames: Spacing) -> Finding:
    longest, ordinary = frames.longest_s, frames.ordinary_s
    if frames.even:
        even = tr("The frames follow each other evenly.")
        if unit := frames.rounded_to_s:
            even += " " + tr("The file keeps times to {unit:.2g} ms only; the numbers allow for it.").format(
                unit=unit * 1000
            )
        return Finding("spacing", True, longest, even)
    if frames.put_together:
        return Finding("spacing", False, longest, put_together_note(frames))
    if frames.quicker_s is not None and not frames.has_gap:
        sentence = tr(
            "The film changes its rate: {ordinary:.0f} frames per second as a rule, {quicker:.0f} in places. "
            "If it was slowed down in part, times there are too long, and so are contacts: use the file as "
            "the camera wrote it."
        ).format(ordinary=1 / ordinary, quicker=1 / frames.quicker_s)
        return Finding("spacing", False, longest, sentence)
    if frames.shortest_s is not None and not frames.has_gap:
        sentence = tr(
            "The rate varies: from {shortest:.0f} to {longest:.0f} ms from frame to frame, again and again. "
            "A contact time between two of the longest is good to {cost:.0f} ms either way. "
            "Film in good light and with a fixed rate, where the camera offers it."
        ).format(
            shortest=frames.shortest_s * 1000,
            longest=longest * 1000,
            cost=1000 * contact_halfwidth_s(longest),
        )
        return Finding("spacing", False, longest, sentence)
    sentence = tr(
        "The rate varies: {ordinary:.1f} ms from frame to frame as a rule, {longest:.0f} ms at most, before "
        "frame {frame}. A contact time with an event in that gap is good to {cost:.0f} ms either way. "
        "Film in good light and with a fixed rate, where the camera offers it."
    ).format(
        ordinary=ordinary * 1000,
        longest=longest * 1000,
        frame=frames.before,
        cost=1000 * contact_halfwidth_s(longest, ordinary),
    )
    return Finding("spacing", False, longest, sentence)


def _size(film: Film) -> Finding:
    width, height = film.shown_size
    if width < height:
        sentence = tr(
            "The film is upright, {width} × {height}: a run needs width, and the athlete is small in it. "
            "Hold the phone lengthways."
        )
    elif height < GOOD_HEIGHT_PX:
        sentence = tr(
            "The picture has {width} × {height} pixels: a pixel off in a click is more centimetres than "
            "need be. Film with 1280 x 720 at least, and send the file itself, not a copy made smaller by a "
            "messenger."
        )
    else:
        sentence = tr("The picture has {width} × {height} pixels.")
    good = width >= height >= GOOD_HEIGHT_PX
    return Finding("size", good, float(height), sentence.format(width=width, height=height))


def _camera(motion: Motion) -> Finding:
    if motion.kind is CameraMotion.STILL:
        return Finding("camera", True, motion.shift_px, tr("The camera stands still."))
    if motion.kind is CameraMotion.SHAKING:
        sentence = tr_count(
            "The camera shakes: the background moves by up to {shift} pixel. Places and speeds are off "
            "by as much where marks were set on another frame. Put the phone on a stand.",
            "The camera shakes: the background moves by up to {shift} pixels. Places and speeds are off "
            "by as much where marks were set on another frame. Put the phone on a stand.",
            max(1, round(motion.shift_px)),
        ).format(shift=max(1, round(motion.shift_px)))
        return Finding("camera", False, motion.shift_px, sentence)
    if motion.kind is CameraMotion.PANNING:
        sentence = tr(
            "The camera follows the athlete: marks on the ground hold only for the frame they were set on, "
            "so that times can be read but no speeds. Put the phone on a stand, far enough away to see the "
            "whole run."
        )
        return Finding("camera", False, None, sentence)
    sentence = tr(
        "Whether the camera stood still can't be told from the pictures. If it did, all is well; use a stand."
    )
    return Finding("camera", False, None, sentence)


def _tilt(roll_deg: float | None) -> list[Finding]:
    if roll_deg is None:
        return []
    if abs(roll_deg) <= GOOD_TILT_DEG:
        sentence = tr("By the lines along it the ground lies about level in the picture.")
        return [Finding("tilt", True, roll_deg, sentence)]
    sentence = tr(
        "By the lines along it the ground is tilted in the picture by about {deg:.0f}°. Without marks every "
        "angle would be off by as much. Level the phone by its grid lines; marks say the tilt exactly."
    ).format(deg=abs(roll_deg))
    return [Finding("tilt", False, roll_deg, sentence)]


def _blur(body: BodyMotion) -> list[Finding]:
    if body.blur_px is None:
        return []
    if body.blur_px <= GOOD_BLUR_PX:
        return [Finding("blur", True, body.blur_px, tr("Moving edges are about as sharp as standing ones."))]
    sentence = tr(
        "Moving edges are smeared over some {blur:.0f} pixels: a click on a toe or a knee is uncertain by "
        "about half of that, and touchdowns look early. Film in more light, or with a shorter exposure."
    ).format(blur=body.blur_px)
    return [Finding("blur", False, body.blur_px, sentence)]


def _pace(film: Film, body: BodyMotion) -> list[Finding]:
    """Slow motion that nothing in the file tells of: many programs export it to play at 50 or 60, too. Said
    only where neither the camera nor the coach says how it was filmed.
    """
    told = film.rate_said_by in (RateWitness.CAMERA, RateWitness.COACH)
    if told or body.heights_s is None or body.heights_s >= RUNS_FROM_HEIGHTS_S:
        return []
    sentence = tr(
        "By the times in the file the athlete moves at {pace:.1f} body heights a second, no faster than "
        "walking. If this is a run, the film is slow motion: say at how many frames per second it was "
        "filmed, else every time is too long and every speed too low."
    ).format(pace=body.heights_s)
    return [Finding("pace", False, body.heights_s, sentence)]
