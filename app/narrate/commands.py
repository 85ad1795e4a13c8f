"""Narrations: from what the coach does to a command. What was spoken goes together with its narration."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from analysis.values.command import Change, Command, Kind, command
from analysis.values.narration import Narration, Stop
from analysis.values.project import Project
from analysis.values.recording import Recording
from analysis.values.words import tr


def fresh(project: Project, run_ids: tuple[str, ...]) -> Narration:
    """An empty narration over these runs, under a name that no other one over them has."""
    taken = {one.name for one in of_runs(project, run_ids)}
    number = next(n for n in range(1, len(taken) + 2) if _numbered(n) not in taken)
    return Narration(uuid4().hex, _numbered(number), run_ids)


def of_runs(project: Project, run_ids: tuple[str, ...]) -> list[Narration]:
    """The narrations over these very runs, whichever of two leads, by name."""
    told = (one for one in project.narrations.values() if sorted(one.run_ids) == sorted(run_ids))
    return sorted(told, key=_by_name)


def change(project: Project, new: Narration, words: str) -> Command:
    """The narration becomes another value, or is there from now on."""
    return command(words, (Change(Kind.NARRATION, new.id, project.narrations.get(new.id), new),))


def remove(project: Project, narration: Narration) -> Command:
    """Take a narration out of the project, and what was spoken over it."""
    gone = Change(Kind.NARRATION, narration.id, narration, None)
    return Command(tr("Remove the narration"), (gone, *_recordings(project, narration, None)))


def speak(project: Project, narration: Narration, new: Recording | None, words: str) -> Command:
    """``new`` is what is spoken over the narration from now on; None: nothing is."""
    then = replace(narration, recording_id=None if new is None else new.id)
    held = project.narrations.get(narration.id)
    changed = Change(Kind.NARRATION, narration.id, held, then)
    return command(words, (*_recordings(project, narration, new), changed))


def split_in_two(project: Project, narration: Narration, parts: tuple[Recording, Recording]) -> Command:
    """The first part stays with the narration, the second gets one of its own with the same stops."""
    first, second = parts
    rest = replace(
        narration,
        id=uuid4().hex,
        name=tr("{name}, part 2").format(name=narration.name),
        recording_id=second.id,
    )
    kept = speak(project, narration, first, tr("Split what was spoken"))
    added = Change(Kind.RECORDING, second.id, None, second), Change(Kind.NARRATION, rest.id, None, rest)
    return Command(kept.text, (*kept.changes, *added))


def place_for(narration: Narration, stop: Stop) -> int:
    """Where a new stop stands in the list: by its frame where all others do, else at the end."""
    frames = [one.frame for one in narration.stops]
    if frames != sorted(frames):
        return len(frames)
    return sum(frame <= stop.frame for frame in frames)


def stepped(narration: Narration, stop_id: str, by: int) -> Narration:
    """A stop so many places on in the list; as it is where it would leave it."""
    ids = [one.id for one in narration.stops]
    stop, place = narration.stop(stop_id), ids.index(stop_id) + by if stop_id in ids else -1
    return narration if stop is None or not 0 <= place < len(ids) else narration.with_stop(stop, place)


def _recordings(project: Project, narration: Narration, new: Recording | None) -> tuple[Change, ...]:
    """The old recording goes unless another narration holds it; the new one comes."""
    old = project.recordings.get(narration.recording_id or "")
    others = {one.recording_id for one in project.narrations.values() if one.id != narration.id}
    changes = []
    if old is not None and old.id not in others and (new is None or new.id != old.id):
        changes.append(Change(Kind.RECORDING, old.id, old, None))
    if new is not None:
        changes.append(Change(Kind.RECORDING, new.id, project.recordings.get(new.id), new))
    return tuple(changes)


def _numbered(number: int) -> str:
    return tr("Narration {number}").format(number=number)


def _by_name(narration: Narration) -> tuple[str, str]:
    return narration.name, narration.id
