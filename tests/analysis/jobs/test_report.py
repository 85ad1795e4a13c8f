"""Pages of a project's runs as files: with the film and without, whole or not at all."""

import re
from dataclasses import replace

import pytest

from analysis.cli import main
from analysis.film import open_film
from analysis.jobs import film_check
from analysis.jobs import report as reporting
from analysis.jobs.report import report, report_run, seasons_of
from analysis.plan.library import common_drills
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.conditions import Conditions
from analysis.values.day_plan import DayPlan, PlannedDrill
from analysis.values.drill_film import DrillFilm, DrillKind, DrillRep
from analysis.values.errors import CinderlaneError
from analysis.values.film import FrameNumber
from analysis.values.project import Project, bare
from analysis.values.run import Athlete, BodyPoint, Run
from tests.helpers.films import project_on, small_film

TABLES = ("steps", "posture", "frames", "points", "speed", "history", "gates", "dictionary")
FILES = [*(f"{name}.csv" for name in TABLES), "tables.xlsx"]
PAGES = ["first-coach.html", "first-coach.pdf", "first-athlete.html", "first-athlete.pdf"]
HIPS = [("run0", frame) for frame in (20, 230)]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A small film with two marked runs; the hips of the first are placed."""
    film = small_film(tmp_path_factory.mktemp("report") / "rep.mp4")
    path = project_on(film, runs=2)
    points = [BodyPoint(FrameNumber(f), "right_hip", 40.0 + f, 100.0) for _, f in HIPS]
    with ProjectFile.open(path) as file:
        file.commit(Command("", tuple(Change(Kind.POINT, p.id, None, p, "run0") for p in points)))
    return film, path


def test_one_run_is_written_with_the_frames_of_its_strip(made, tmp_path):
    _, project = made
    files = report(project, "first", tmp_path / "out").files
    assert [path.name for path in files] == [*PAGES, *FILES]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(p.name for p in files)
    text = files[0].read_text(encoding="utf-8")
    assert text.count("data:image/jpeg;base64,") == 9  # the events tagged on the small film
    assert "320 × 180" in text
    assert "The picture has 320 × 180 pixels" in text  # the check of the film


def test_a_film_of_two_runs_is_checked_once(made, tmp_path, monkeypatch):
    seen = []
    monkeypatch.setattr(film_check, "findings_of", lambda film: seen.append(film) or ())
    report(made[1], None, tmp_path)
    assert len(seen) == 1


def test_a_project_is_written_whole_from_the_command_line(made, tmp_path, capfdbinary):
    _, project = made
    assert main(["report", str(project), "--out", str(tmp_path)]) == 0
    said = capfdbinary.readouterr().out.decode().split()
    assert len(said) == 8 + len(FILES)
    assert {path.name for path in tmp_path.iterdir()} == {line.rpartition("/")[2] for line in said}
    second = (tmp_path / "second-coach.html").read_text(encoding="utf-8")
    assert "Not shown, since nothing tells where the athlete is: Set position, Rear foot off" in second


def test_a_film_that_went_away_is_said(made, tmp_path):
    film, project = made
    away = film.rename(film.with_suffix(".away"))
    try:
        with pytest.raises(CinderlaneError, match=r"rep\.mp4"):
            report(project, "first", tmp_path)
        with pytest.raises(CinderlaneError) as refused:
            report(project, None, tmp_path / "out")
    finally:
        away.rename(film)
    assert len(re.findall(r"(?:first|second) was left out\. .*rep\.mp4", str(refused.value))) == 2
    assert not (tmp_path / "out").exists()


def test_without_its_film_a_run_whose_times_are_known_has_pages_without_the_strip(made, tmp_path):
    film, project = made
    own = tmp_path / "own.cinderlane"
    own.write_bytes(project.read_bytes())  # its film does not lie beside it
    with ProjectFile.open(own) as file:
        entry = next(iter(file.project.films.values()))
        known = replace(entry, facts=open_film(film).facts, path=str(tmp_path / "gone.mp4"))
        file.commit(Command("", (Change(Kind.FILM, entry.id, entry, known),)))
    files, notes = report_run(own, "first", tmp_path / "rep.html")
    assert [path.name for path in files] == ["rep.html", "rep.pdf", "rep-athlete.html", "rep-athlete.pdf"]
    text = files[0].read_text(encoding="utf-8")
    assert "The film is not there" in text
    assert "data:image/jpeg" not in text
    assert any("gone.mp4" in note for note in notes)


def test_a_page_that_can_not_be_made_leaves_the_old_one(made, tmp_path, monkeypatch):
    _, project = made
    (tmp_path / "first-coach.html").write_text("before", encoding="utf-8")

    def broken(told):
        raise CinderlaneError("no page")

    monkeypatch.setattr(reporting, "athlete_content", broken)
    with pytest.raises(CinderlaneError, match="no page"):
        report(project, "first", tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["first-coach.html"]
    assert (tmp_path / "first-coach.html").read_text(encoding="utf-8") == "before"


def test_a_folder_that_can_not_be_made_is_said(made, tmp_path):
    _, project = made
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(CinderlaneError, match="Choose another folder"):
        report(project, "first", tmp_path / "file")


def test_a_project_with_an_athlete_has_squad_and_season_too(made, tmp_path):
    _, project = made
    own = tmp_path / "own.cinderlane"
    own.write_bytes(project.read_bytes())
    film = next(project.parent.glob("rep.mp4"))
    (tmp_path / film.name).write_bytes(film.read_bytes())
    with ProjectFile.open(own) as file:
        runs = [bare(run) for run in file.project.runs.values()]
        days = [f"2026-03-{n + 1:02}" for n in range(len(runs))]
        changes = [Change(Kind.ATHLETE, "a", None, Athlete("a", "W/7"))]
        for run, day in zip(runs, days, strict=True):
            told = replace(run, athlete_id="a", conditions=Conditions(day=day))
            changes.append(Change(Kind.RUN, run.id, run, told))
        drill = next(iter(common_drills().values()))
        planned = PlannedDrill("p", drill.id, drill.blocks[0], 3, 4, 90.0)
        plan = DayPlan("d", days[0], ("a",), None, (planned,))
        changes.append(Change(Kind.DAY, "d", None, plan))
        file.commit(Command("", tuple(changes)))
    files = report(own, None, tmp_path / "out").files
    names = {path.name for path in files}
    assert {"squad.html", "squad.pdf", "season-W_7.html", "2026-03-01-W_7-first-coach.pdf"} <= names
    season = (tmp_path / "out" / "season-W_7.html").read_text(encoding="utf-8")
    assert drill.name in season
    assert "2026-03-01 to 2026-03-02" in season


def test_a_season_counts_the_reps_that_were_filmed_of_the_athlete():
    day = DayPlan("d", "2026-03-10", ("a", "b"), None)
    runs = {one: Run(one, "f", one, FrameNumber(0), FrameNumber(99), athlete_id=one) for one in "ab"}
    reps = tuple(DrillRep(str(n), FrameNumber(10 * n), FrameNumber(10 * n + 9)) for n in range(4))
    films = {
        "x": DrillFilm("x", "a", "d", "split_jump", DrillKind.JUMP, reps),
        "y": DrillFilm("y", "a", "d", "split_jump", DrillKind.JUMP, reps[:2]),
        "z": DrillFilm("z", "b", "d", "split_jump", DrillKind.JUMP, reps[:1]),
    }
    athletes = {one: Athlete(one, one.upper()) for one in "ab"}
    project = Project(athletes=athletes, runs=runs, days={"d": day}, drill_films=films)
    found = {one.code: dict(one.filmed) for one in seasons_of(project, {})}
    assert found == {"A": {("d", "split_jump"): 6}, "B": {("d", "split_jump"): 1}}
