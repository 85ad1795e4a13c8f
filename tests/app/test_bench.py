"""The way of an edit: into the file, onto the stack, then to whoever listens; and back."""

import random
from dataclasses import replace

import pytest

from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.errors import CinderlaneError, FilmError, MarkError, ProjectError
from analysis.values.film import FrameNumber
from analysis.values.run import LineKind, Side
from app.bench import Bench
from app.marking import events, placing
from app.marking.events import EventRef
from app.selection import PartRef
from tests.analysis.film.making import Kind as FilmKind
from tests.analysis.film.making import make
from tests.helpers.films import FRAMES, project_on, small_film


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("clip") / "clip.mp4")


@pytest.fixture
def film(clip, tmp_path):
    path = tmp_path / "run.mp4"
    path.write_bytes(clip.read_bytes())
    return path


@pytest.fixture
def bench(qapp):
    bench = Bench()
    yield bench
    bench.close()


@pytest.fixture
def opened(bench, film):
    """A bench with two marked runs on one film."""
    bench.open_project(project_on(film, runs=2))
    return bench


class Heard:
    """What a bench says, in order; at each signal also what the file holds by then."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.said: list[str] = []
        self.went: list[int] = []
        self.in_file: list[bool] = []
        bench.said.connect(self.hear)
        bench.go_to.connect(self.go)
        for signal in (bench.run_changed, bench.reading_changed, bench.stack.indexChanged):
            signal.connect(self.look)

    def hear(self, sentence: str) -> None:
        self.said.append(sentence)

    def go(self, frame: int) -> None:
        self.went.append(frame)

    def look(self) -> None:
        if self.bench.path is None:  # closed
            return
        with ProjectFile.open(self.bench.path) as file:
            self.in_file.append(file.project == self.bench.project)


def touchdown(bench: Bench, frame: int) -> Command:
    return events.tag_touchdown(bench.run, frame, Side.RIGHT)[0]


def test_an_edit_is_in_the_file_before_anyone_hears_of_it(opened):
    heard = Heard(opened)
    before = opened.project
    opened.edit(touchdown(opened, 250))
    assert opened.project != before
    assert len(heard.in_file) >= 3
    assert all(heard.in_file)
    assert len(opened.reading.steps) == 4
    opened.undo()
    opened.redo()
    assert all(heard.in_file)


def test_what_can_not_be_saved_changes_nothing_and_is_said(opened, monkeypatch):
    before, stack = (opened.project, opened.reading), opened.stack.count()
    heard = Heard(opened)

    def refuse(self, *_):
        raise ProjectError("The disk is full. Make room.")

    command = touchdown(opened, 250)
    with monkeypatch.context() as patch:
        patch.setattr(ProjectFile, "commit", refuse)
        assert not opened.attempt(lambda: command)
        with pytest.raises(ProjectError):
            opened.edit(command)
    assert heard.said == ["The disk is full. Make room."]
    assert (opened.project, opened.reading) == before
    assert opened.stack.count() == stack
    assert not heard.in_file
    assert opened.attempt(lambda: command)


def test_an_undo_that_can_not_be_saved_leaves_the_edit_and_the_stack(opened, monkeypatch):
    opened.edit(touchdown(opened, 250))
    after = opened.project

    def refuse(self, *_):
        raise ProjectError("The disk is full. Make room.")

    with monkeypatch.context() as patch:
        patch.setattr(ProjectFile, "commit", refuse)
        with pytest.raises(ProjectError):
            opened.undo()
    assert opened.project == after
    assert opened.stack.canUndo()
    opened.undo()
    assert opened.project != after


def test_an_edit_that_changes_nothing_leaves_no_trace(opened):
    opened.edit(Command("nothing", ()))
    assert opened.stack.count() == 0


def test_undo_goes_to_the_run_and_the_frame_and_says_so(opened):
    first, second = sorted(opened.project.runs.values(), key=lambda run: run.name)
    opened.edit(touchdown(opened, 250))
    opened.choose_run(second.id)
    opened.edit(events.delete_event(opened.run, EventRef("c", "toe_off")))
    heard = Heard(opened)
    opened.undo()
    assert opened.run.id == second.id
    assert heard.went[-1] == 230
    assert heard.said[-1] == "Undone: Delete toe-off"
    opened.undo()
    assert opened.run.id == first.id
    assert heard.went[-1] == 250
    assert heard.said[-1] == "Undone: Touchdown"
    opened.choose_run(second.id)
    opened.redo()
    assert opened.run.id == first.id
    assert heard.said[-1] == "Done again: Touchdown"
    opened.undo()
    opened.undo()
    assert heard.said[-1] == "There is nothing to undo."


def test_times_are_stored_with_frames_also_by_an_undo_from_another_run(opened, film):
    second = sorted(opened.project.runs.values(), key=lambda run: run.name)[1]
    pts = {n: entry.pts for n, entry in enumerate(opened.film.index)}
    opened.edit(events.move_event(opened.run, EventRef("a", "touchdown"), 92))
    opened.choose_run(second.id)
    opened.undo()
    with ProjectFile.open(opened.path) as file:
        stored = file.recorded_pts("film")
    assert stored[90] == pts[90]


def test_the_selection_ends_with_the_run(opened):
    second = sorted(opened.project.runs.values(), key=lambda run: run.name)[1]
    opened.select(EventRef("", "first_movement"))
    opened.choose_run(second.id)
    assert opened.selected is None
    opened.select(PartRef(Kind.MARK, "m0"))
    opened.close()
    assert opened.selected is None


def _random_command(bench: Bench, rng: random.Random) -> Command:
    run, frame, place = bench.run, rng.randrange(FRAMES), (rng.uniform(0, 319), rng.uniform(0, 179))
    side = rng.choice(list(Side))
    known = events.events(run)
    deeds = {
        "touchdown": lambda: events.tag_touchdown(run, frame, side)[0],
        "toe_off": lambda: events.tag_toe_off(run, frame, side)[0],
        "start": lambda: events.tag_start(run, rng.choice(events.START_EVENTS), frame)[0],
        "move": lambda: events.move_event(run, rng.choice(known)[1], frame),
        "delete": lambda: events.delete_event(run, rng.choice(known)[1]),
        "doubt": lambda: events.change_doubt(run, rng.choice(run.footfalls).id, rng.randrange(3)),
        "side": lambda: events.change_side(run, rng.choice(run.footfalls).id),
        "front": lambda: events.set_front_side(run, side),
        "mark": lambda: placing.place_mark(run, frame, *place, rng.randrange(20), 0.0),
        "distance": lambda: placing.change_mark(
            run, mark := rng.choice(run.marks), replace(mark, x_m=float(rng.randrange(20)))
        ),
        "point": lambda: placing.place_point(run, frame % 7, "left_toe", *place),
        "line": lambda: placing.draw_line(run, frame % 7, rng.choice(list(LineKind)), side, place, (1, 2)),
        "away": lambda: placing.delete_part(
            run,
            *rng.choice(
                [(Kind.MARK, m.id) for m in run.marks]
                + [(Kind.POINT, p.id) for p in run.points]
                + [(Kind.LINE, n.id) for n in run.lines]
            ),
        ),
        "camera": lambda: placing.change_run(
            run, replace(run, camera_distance_m=rng.uniform(5, 20)), "camera"
        ),
    }
    return deeds[rng.choice(list(deeds))]()


@pytest.mark.parametrize("seed", [1])
def test_200_random_edits_undone_give_back_the_first_project_and_reopened_the_same(opened, bench, seed):
    rng, first, done = random.Random(seed), opened.project, 0
    runs = list(first.runs)
    while done < 200:
        if rng.random() < 0.1:
            opened.choose_run(rng.choice(runs))
        try:
            command = _random_command(opened, rng)
        except (CinderlaneError, IndexError):  # refused, or nothing there to change
            continue
        done += not command.empty
        opened.edit(command)
    last, path = opened.project, opened.path
    assert opened.stack.count() == 200
    while opened.stack.canUndo():
        opened.undo()
    assert opened.project == first
    while opened.stack.canRedo():
        opened.redo()
    assert opened.project == last
    opened.open_project(path)
    assert opened.project == last


def test_a_preview_keeps_nothing(opened):
    before = opened.project
    run, reading = opened.preview(touchdown(opened, 250))
    assert len(reading.steps) == 4
    assert len(run.footfalls) == 4
    assert opened.project == before


def test_an_edit_without_a_project_is_refused(bench):
    with pytest.raises(CinderlaneError, match="Open a film or a project first"):
        bench.edit(Command("x", (Change(Kind.RUN, "r", None, None), Change(Kind.RUN, "r", None, 1))))


def test_what_was_open_stays_open_when_another_project_can_not_be_opened(opened, tmp_path):
    before, path = opened.project, opened.path
    bad = tmp_path / "bad.cinderlane"
    bad.write_text("no project")
    for act in (lambda: opened.open_project(bad), lambda: opened.new_project(path)):
        with pytest.raises(ProjectError):
            act()
    assert (opened.project, opened.path) == (before, path)
    opened.edit(touchdown(opened, 250))


def test_a_film_opened_twice_is_one_run(bench, film, tmp_path):
    bench.new_project(tmp_path / "p.cinderlane")
    bench.add_film(film)
    bench.add_film(film)
    assert len(bench.project.runs) == len(bench.project.films) == 1


def test_a_film_that_was_moved_is_followed_when_it_is_opened_again(bench, film, tmp_path):
    bench.new_project(tmp_path / "p.cinderlane")
    bench.add_film(film)
    bench.edit(touchdown(bench, 100))
    (tmp_path / "elsewhere").mkdir()
    moved = film.rename(tmp_path / "elsewhere" / "named anew.mp4")
    bench.open_project(bench.path)
    assert bench.film is None
    assert "not there any more" in bench.trouble
    bench.add_film(moved)
    assert bench.film is not None
    assert bench.trouble == ""
    assert len(bench.run.footfalls) == 1
    bench.open_project(bench.path)
    assert bench.film is not None


@pytest.mark.parametrize("making", [{"rate": 120}, {"frames": 60}, {"frames": FRAMES + 10}])
def test_marks_are_not_shown_on_a_film_whose_pictures_come_at_other_times(bench, film, tmp_path, making):
    bench.new_project(tmp_path / "p.cinderlane")
    bench.add_film(film)
    bench.edit(touchdown(bench, 50))
    path, before = bench.path, bench.project
    bench.close()
    make(film, FilmKind(**{"frames": FRAMES, "rate": 240, "size": (320, 180), **making}))
    bench.open_project(path)
    assert bench.film is None
    assert bench.film_state.other is None
    assert "its pictures come at other times" in bench.trouble
    assert bench.project == before
    assert bench.reading is not None  # from the times that the project keeps
    bench.accept_film()
    assert bench.film is None


def test_the_same_film_encoded_anew_is_shown_when_the_coach_says_that_it_is(bench, film, tmp_path):
    bench.new_project(tmp_path / "p.cinderlane")
    bench.add_film(film)
    bench.edit(touchdown(bench, 50))
    path, before = bench.path, bench.project
    bench.close()
    make(film, FilmKind(frames=FRAMES, rate=240, size=(160, 90)))
    bench.open_project(path)
    assert bench.film is None
    assert "Is it the same film" in bench.trouble
    bench.accept_film()
    assert bench.film is not None
    assert bench.trouble == ""
    assert bench.project.runs == before.runs
    bench.undo()
    assert bench.film is None
    assert bench.project == before


def test_a_file_that_is_no_film_changes_nothing(opened, tmp_path):
    text = tmp_path / "text.mp4"
    text.write_text("no film")
    before = opened.project
    with pytest.raises(FilmError):
        opened.add_film(text)
    assert opened.project == before


def test_a_refused_edit_is_said(opened):
    heard = Heard(opened)

    def refused() -> Command:
        raise MarkError("Two marks stand at 5 m. Move one.")

    assert not opened.attempt(refused)
    assert heard.said == ["Two marks stand at 5 m. Move one."]


def test_the_frame_shown_is_told_once(opened):
    shown = []
    opened.frame_changed.connect(shown.append)
    for frame in (5, 5, 6):
        opened.show_frame(FrameNumber(frame))
    assert shown == [5, 6]
