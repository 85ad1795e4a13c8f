"""Where it began: the earliest question with a departure that can be told, and what would settle it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from analysis.body.posture_measures import points_words
from analysis.reading.key_names import measure_name
from analysis.reading.series import RISES
from analysis.reading.wording import series_name
from analysis.steps.naming import in_steps
from analysis.values.answers import Answer, Departure, FirstCause, InPart, Judged, Settling, Unsaid
from analysis.values.estimate import NoValue
from analysis.values.film import FrameTimes
from analysis.values.not_cleared import names_of, not_cleared
from analysis.values.posture import Moment
from analysis.values.questions import QUESTION_NAMES, Overruling, Question, Verdict
from analysis.values.run import Run
from analysis.values.words import capital, inside, listed, tr

_TO_TOE_OFF = ("contact_s", "flight_s")
_CHANGES = (*RISES, "com_rise_m")
"""Whose names say from which step to which."""
_MOST = 4
"""So many measures of one question are asked for; the rest would say little more."""


def first_cause(
    answers: Sequence[Answer],
    coach: Overruling | None,
    unsaid: tuple[Unsaid, ...] = (),
    cut_step: int | None = None,
) -> FirstCause:
    """The first cause of a run. The questions are a chain: what departs later may follow from it. ``unsaid``:
    what was taken for granted for the starting bands. ``cut_step``: the step at whose toe-off the film is
    over (``beyond_the_film``): what rests on that toe-off is not asked for.
    """
    at = next((n for n, answer in enumerate(answers) if answer.departures), None)
    unread = tuple(a.question for a in answers if a.verdict is Verdict.NOT_JUDGED)
    in_part = tuple(found for answer in answers for found in _in_part(answer))
    if at is None:
        settling = tuple(s for answer in answers for s in _settling(answer, cut_step))
        found = FirstCause(None, False, "", (), (), unread, settling, coach, unsaid, in_part)
        return replace(found, sentence=_nothing(found))
    answer = answers[at]
    before = [a.question for a in answers[:at] if a.verdict is Verdict.NOT_JUDGED or _unread(a)]
    following = tuple(d for later in answers[at + 1 :] for d in later.departures)
    settling = (
        *(s for earlier in answers[:at] for s in _settling(earlier, cut_step)),
        *_untold(answer, cut_step),
        *(s for a in answers[at + 1 :] if a.verdict is Verdict.UNTOLD for s in _untold(a, cut_step)),
    )
    partly = [a.question for a in answers[:at] if a.question not in before and not cleared(a)]
    sentence = _told(answer, _not_cleared(answers[:at]), partly, following, unsaid)
    return FirstCause(
        answer.question,
        bool(before),
        sentence,
        answer.departures,
        following,
        unread,
        settling,
        coach,
        unsaid,
        in_part,
    )


def beyond_the_film(run: Run, times: FrameTimes) -> int | None:
    """The last step, where its toe-off is not tagged and the film ends sooner after its touchdown than the
    shortest contact of the run lasts: nobody can tag it.
    """
    falls, last = run.footfalls, min(int(run.last_frame), len(times) - 1)
    cut = falls[-1] if falls else None
    if cut is None or cut.toe_off is not None or cut.touchdown is None or cut.touchdown < 0:
        return None
    inside = [
        (int(f.touchdown), int(f.toe_off))
        for f in falls
        if f.touchdown is not None and f.toe_off is not None and 0 <= f.touchdown < f.toe_off <= last
    ]
    if not inside:
        return None
    at = times.seconds
    shortest = min(float(at[off] - at[down]) for down, off in inside)
    room = float(at[last] - at[min(int(cut.touchdown), last)])
    return len(falls) if room < shortest else None


def _unread(answer: Answer) -> list[str]:
    """Names of measures with a band that could be read at no step: the question is judged in part at best."""
    banded = [one for one in answer.measures if one.band is not None]
    read = {one.measure for one in banded if not isinstance(one.result, NoValue)}
    names: dict[str, set[str]] = {}
    for one in banded:
        if one.measure not in read:
            names.setdefault(one.measure, set()).add(one.name)
    # a change has another name from each step to the next
    return [min(several) if len(several) == 1 else _over_steps(key) for key, several in names.items()]


def _over_steps(measure: str) -> str:
    """What is read from step to step, within a sentence."""
    if measure in RISES:
        return series_name(measure, many=True)
    return inside(measure_name(measure))


def _in_part(answer: Answer) -> list[InPart]:
    judged = answer.verdict is not Verdict.NOT_JUDGED and not answer.departures
    without = _unread(answer) if judged else []
    return [InPart(answer.question, tuple(without))] if without else []


def _not_cleared(answers: Sequence[Answer]) -> str:
    """A sentence on earlier questions in which it may have begun; empty where there is none."""
    whole = [a.question for a in answers if a.verdict is Verdict.NOT_JUDGED]
    said = []
    if whole:
        said.append(
            tr("{earlier} could not be judged, so it may have begun there.").format(
                earlier=names_of(whole).capitalize()
            )
        )
    words = tr("{earlier} was judged without its {measures}, so it may have begun there.")
    said += [
        words.format(earlier=capital(QUESTION_NAMES[one.question]), measures=listed(one.without))
        for answer in answers
        for one in _in_part(answer)
    ]
    return " ".join(said)


def cleared(answer: Answer) -> bool:
    """Whether every measure that has a band could be read and lies inside."""
    return all(one.verdict is Verdict.INSIDE for one in answer.measures if one.band is not None)


def _told(
    answer: Answer,
    before: str,
    partly: Sequence[Question],
    following: Sequence[Departure],
    unsaid: Sequence[Unsaid],
) -> str:
    name = QUESTION_NAMES[answer.question]
    if before:
        begin = tr("First readable departure: {name}.").format(name=name) + f" {before}"
    else:
        begin = tr("First cause: {name}.").format(name=name)
    parts = [begin, answer.sentence]
    if partly:
        parts.append(tr("Judged only in part before it: {names}.").format(names=names_of(partly)))
    if following:
        later = names_of(list(dict.fromkeys(d.question for d in following)))
        parts.append(tr("What departs later may follow from it: {later}.").format(later=later))
    if unsaid:
        parts.append(_granted(unsaid))
    return " ".join([*parts, tr("This is a reading of pictures, not a diagnosis.")])


def _granted(unsaid: Sequence[Unsaid]) -> str:
    """What the starting bands took for granted."""
    return tr(
        "Nobody said the {facts}: it is judged as an adult's start from a split stance. For anyone else the "
        "starting bands are wrong."
    ).format(facts=listed([tr(fact.value) for fact in unsaid]))


def _nothing(cause: FirstCause) -> str:
    whole = len(cause.unread) == len(Question)
    said = tr("Nothing could be judged yet.") if whole else tr("No departure can be told.")
    left = "" if whole else not_cleared(cause)
    return " ".join(part for part in (said, left, _granted(cause.unsaid) if cause.unsaid else "") if part)


def _settling(answer: Answer, cut_step: int | None) -> list[Settling]:
    """What would clear or convict a question: points that are missing, and numbers too close to an end."""
    missing = [one for one in _banded(answer, cut_step) if isinstance(one.result, NoValue)]
    return [*(_missing(answer.question, one) for one in missing[:_MOST]), *_untold(answer, cut_step)]


def _banded(answer: Answer, cut_step: int | None) -> list[Judged]:
    return [one for one in answer.measures if one.band is not None and not _is_cut(one, cut_step)]


def _untold(answer: Answer, cut_step: int | None) -> list[Settling]:
    """What would tell that of a question which was read and can't be told."""
    rhythm = answer.question is Question.RHYTHM
    close = [one for one in _banded(answer, cut_step) if one.verdict is Verdict.UNTOLD and not rhythm]
    found = [_other_side(answer.question, one) for one in close if one.closer][:_MOST]
    if unplaced := [one for one in close if not one.closer]:
        found.append(_close(answer.question, unplaced))
    if rhythm and answer.verdict is Verdict.UNTOLD:
        found.append(
            Settling(
                answer.question,
                tr("Film faster, or tag the run a second time unseen: smaller steps could then be told."),
            )
        )
    return found


def _is_cut(one: Judged, cut_step: int | None) -> bool:
    """Whether it rests on a toe-off that no frame of the film shows."""
    rests = one.moment is Moment.TOE_OFF or one.measure in _TO_TOE_OFF
    return rests and bool(one.step) and one.step == cut_step


def _missing(question: Question, one: Judged) -> Settling:
    assert isinstance(one.result, NoValue)
    return Settling(question, f"{_begins(one)}: {one.result.reason}", one.wanted)


def _other_side(question: Question, one: Judged) -> Settling:
    words = tr(
        "{name} lies so close to the end of its band that its error decides, and one side's hip or "
        "shoulder stands for both. Place the other side's too, as well as they can be seen: {points}."
    )
    return Settling(question, words.format(name=_begins(one), points=points_words(one.closer)), one.closer)


def _close(question: Question, several: Sequence[Judged]) -> Settling:
    """All measures of a question that nothing but better measuring would tell."""
    steps: dict[str, list[int]] = {}
    for one in several:
        on = [one.step] if one.step and one.measure not in _CHANGES else []
        steps.setdefault(one.name, []).extend(on)
    places = (
        tr("{name} on {steps}").format(name=name, steps=in_steps(on)) if on else name
        for name, on in steps.items()
    )
    words = tr(
        "So close to the end of the band that the error decides: {names}. Have their points followed, place "
        "them again, or film closer or faster."
    )
    return Settling(question, words.format(names="; ".join(places)))


def _begins(one: Judged) -> str:
    """A measure with its step, at the beginning of a sentence."""
    named = not one.step or one.measure in _CHANGES  # a change says from which step to which
    place = "{name}" if named else tr("{name}, step {step}")
    return capital(place.format(name=one.name, step=one.step))
