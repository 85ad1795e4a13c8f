"""The commands, as somebody at a terminal meets them."""

import csv
import io
import json
import logging
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import av
import pytest
from PIL import Image

from analysis import cli
from analysis.jobs.export import part_of
from analysis.store import ProjectFile
from analysis.values.command import Change, Command, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import run_changes
from analysis.values.run import BodyPoint
from tests.helpers.films import SIZE, project_on, small_film
from tests.helpers.sheets import sheet, without_times

ROOT = Path(__file__).parents[2]
PROGRAM = "import sys; from analysis.cli import main; sys.exit(main(sys.argv[1:]))"


@pytest.fixture
def run(capfdbinary, monkeypatch, tmp_path):
    """Runs one command in the test's folder; gives exit code, output and what was said on standard error."""
    monkeypatch.chdir(tmp_path)

    def run(*argv):
        capfdbinary.readouterr()
        code = cli.main([str(word) for word in argv])
        sys.stdout.flush()
        out, err = capfdbinary.readouterr()
        return code, out.decode("utf-8"), err.decode("utf-8")

    return run


@pytest.fixture
def sheet_path(tmp_path):
    path = tmp_path / "run.json"
    path.write_text(json.dumps(sheet()), encoding="utf-8")
    return path


def write(path, content):
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def refused(run, *argv):
    """The sentence with which a command ends; never a traceback, nothing on standard output."""
    code, out, err = run(*argv)
    assert code == 2
    assert out == ""
    assert "Traceback" not in err
    assert 'File "' not in err
    return err


def test_a_sheet_goes_in_and_comes_out_the_same(run, sheet_path, tmp_path):
    code, out, err = run("add", "club.cinderlane", sheet_path)
    assert code == 0
    run_id = out.strip()
    assert run("runs", "club.cinderlane")[1].split("\t")[:2] == [run_id, "clip"]
    assert "The run was added with the times of its sheet. The film clip.mp4" in err
    for wanted in (run_id, run_id[:6]):
        code, out, _ = run("sheet", "club.cinderlane", wanted)
        assert code == 0
        assert json.loads(out) == sheet()


def test_run_by_name(run, tmp_path):
    write(tmp_path / "a.json", {**sheet(), "name": "First", "odd": {"key": ["kept"]}})
    write(tmp_path / "b.json", {**sheet(), "name": "Öst 中"})
    for name in ("a.json", "b.json"):
        assert run("add", "club.cinderlane", name)[0] == 0
    assert json.loads(run("sheet", "club.cinderlane", "First")[1]) == {
        **sheet(),
        "name": "First",
        "odd": {"key": ["kept"]},
    }
    assert json.loads(run("sheet", "club.cinderlane", "Öst 中")[1])["name"] == "Öst 中"
    code, out, _ = run("runs", "club.cinderlane")
    assert code == 0
    lines = [line.split("\t") for line in out.splitlines()]
    assert sorted(line[1:] for line in lines) == [
        [name, "W7", "clip.mp4", "frames 0 to 686", "4 footfalls"] for name in ("First", "Öst 中")
    ]
    # film and athlete are the same for both
    with ProjectFile.open(tmp_path / "club.cinderlane") as file:
        assert (len(file.project.films), len(file.project.athletes)) == (1, 1)
    assert "No run is called Third." in refused(run, "sheet", "club.cinderlane", "Third")
    several = refused(run, "read", "club.cinderlane")
    assert "there are several" in several
    assert "First" in several


def test_reading_a_sheet_and_the_project_that_it_went_into(run, sheet_path):
    code, out, err = run("read", sheet_path)
    assert (code, err) == (0, "")
    reading = json.loads(out, parse_constant=lambda name: pytest.fail(f"{name} in JSON"))
    assert [step["side"] for step in reading["steps"][:3]] == ["left", "right", "left"]
    assert reading["steps"][0]["contact_s"]["value"] == pytest.approx(43 / 240, abs=1e-5)
    assert reading["film"] == {"frames": 687, "capture_rate_hz": pytest.approx(240, rel=1e-3)}
    run("add", "club.cinderlane", sheet_path)
    code, again, err = run("read", "club.cinderlane")
    assert code == 0
    assert "The times of the run sheet are used." in err
    assert again == out


def test_csv_by_its_rules(run, sheet_path):
    code, out, _ = run("read", sheet_path, "--format", "csv")
    assert code == 0
    assert out.endswith("\r\n")
    assert "\r\n" in out
    assert "\n" not in out.replace("\r\n", "")
    rows = list(csv.reader(io.StringIO(out, newline="")))
    assert len({len(row) for row in rows}) == 1
    again = io.StringIO(newline="")
    csv.writer(again).writerows(rows)
    assert again.getvalue() == out
    records = list(csv.DictReader(io.StringIO(out, newline="")))
    reading = json.loads(run("read", sheet_path)[1])
    assert [float(r["contact_s"]) if r["contact_s"] else None for r in records] == [
        step["contact_s"]["value"] for step in reading["steps"]
    ]


def test_read_and_add_need_the_film_where_there_are_no_times(run, tmp_path):
    path = write(tmp_path / "bare.json", without_times())
    assert "The film clip.mp4 is not at" in refused(run, "read", path)
    assert "The film clip.mp4 is not at" in refused(run, "add", "new.cinderlane", path)
    assert not (tmp_path / "new.cinderlane").exists()


def test_project_is_made_only_when_there_is_something_for_it(run, tmp_path):
    path = write(tmp_path / "wrong.json", {**sheet(), "direction": "up"})
    assert "direction: must be one of left, right" in refused(run, "add", "new.cinderlane", path)
    assert not (tmp_path / "new.cinderlane").exists()
    before = sorted(tmp_path.iterdir())
    assert "Choose a folder" in refused(
        run, "add", "none/new.cinderlane", write(tmp_path / "wrong.json", sheet())
    )
    assert sorted(tmp_path.iterdir()) == before


def bad_files(tmp_path):
    """The names of files with bad input of every kind, some of them not there."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "text.mp4").write_text("no film")
    (tmp_path / "empty").write_bytes(b"")
    (tmp_path / "cut.json").write_text('{"format": ')
    (tmp_path / "other.cinderlane").write_bytes(b"SQLite format 3\0" + b"\x01" * 5000)
    (tmp_path / "list.json").write_text("[1]")
    overlap = sheet()
    overlap["footfalls"][0]["toe_off"] = 340
    write(tmp_path / "overlap.json", overlap)
    order = sheet()
    order["footfalls"].reverse()
    write(tmp_path / "order.json", order)
    marks = sheet()
    marks["marks"][1]["x_m"] = 0.0
    write(tmp_path / "marks.json", marks)
    there = sorted(p.name for p in tmp_path.iterdir())
    return [*there, "missing", "missing.json", "missing.cinderlane", "nul\0"]


def test_bad_input_of_every_kind_is_a_sentence(run, tmp_path):
    said = {}
    for name in bad_files(tmp_path):
        if not name.endswith(".json") or name.startswith(("cut", "list")):
            said["film", name] = refused(run, "film", name)
        said["read", name] = refused(run, "read", name)
        said["add", name] = refused(run, "add", "new.cinderlane", name)
        if name.endswith((".cinderlane", "folder", "empty", ".mp4")):
            said["runs", name] = refused(run, "runs", name)
            said["sheet", name] = refused(run, "sheet", name, "x")
            said["into", name] = refused(run, "add", name, "text.mp4")
    assert not (tmp_path / "new.cinderlane").exists()
    assert "is not a film" in said["film", "text.mp4"]
    assert "footfalls, number" in said["read", "overlap.json"]
    assert "list them in order of time" in said["read", "order.json"]
    assert "Two marks stand at 0 m" in said["add", "marks.json"]
    assert "not a project" in said["read", "other.cinderlane"]
    assert "There is no project" in said["read", "missing.cinderlane"]
    for sentence in said.values():
        assert sentence.strip().endswith((".", "."))


def test_sheets_into_what_is_no_project_leave_it_alone(run, tmp_path, sheet_path):
    other = tmp_path / "song.db"
    other.write_bytes(b"something else")
    assert "not a project" in refused(run, "add", other, sheet_path)
    assert other.read_bytes() == b"something else"


@pytest.mark.parametrize("argv", [[], ["dance"], ["read"], ["read", "a", "--format", "xml"], ["sheet", "p"]])
def test_commands_that_are_none(run, argv):
    code, out, err = run(*argv)
    assert (code, out) == (2, "")
    assert "usage" in err
    assert "Traceback" not in err


def test_help(run):
    code, out, _ = run("--help")
    assert code == 0
    for name in ("film", "read", "add", "sheet", "runs"):
        assert name in out


def test_a_sheet_holds_one_run(run, sheet_path):
    assert "Leave out --run" in refused(run, "read", sheet_path, "--run", "x")


def test_empty_project(run, tmp_path):
    ProjectFile.create(tmp_path / "e.cinderlane").close()
    assert run("runs", "e.cinderlane") == (0, "", "")
    assert "holds no run" in refused(run, "read", "e.cinderlane")


def test_unexpected_errors_are_a_sentence_and_a_log_record(run, sheet_path, monkeypatch, expect_log):
    def broken(path):
        raise ZeroDivisionError("inside")

    monkeypatch.setattr("analysis.jobs.evidence.evidence_of_sheet", broken)
    with expect_log("unexpected", logging.ERROR):
        code, out, err = run("read", sheet_path)
    assert (code, out) == (3, "")
    assert err.startswith("Something went wrong inside the program")
    assert "Traceback" not in err
    for argv in (("--debug", "read", sheet_path), ("read", sheet_path, "--debug")):
        with expect_log("unexpected", logging.ERROR):
            code, _, err = run(*argv)
        assert code == 3
        assert "ZeroDivisionError: inside" in err


def test_debug_shows_where_a_sentence_came_from(run):
    code, _, err = run("runs", "none.cinderlane", "--debug")
    assert code == 2
    assert "Traceback" in err


def test_stopped_from_the_keyboard(run, sheet_path, monkeypatch):
    def stop(path):
        raise KeyboardInterrupt

    monkeypatch.setattr("analysis.jobs.evidence.evidence_of_sheet", stop)
    code, out, err = run("read", sheet_path)
    assert (code, out, err.strip()) == (130, "", "Stopped.")


@pytest.fixture(params=["", "1"], ids=["buffered", "unbuffered"])
def long_answer(request, tmp_path):
    """A program whose answer is larger than a pipe holds, started, its output not yet read."""
    project = tmp_path / "p.cinderlane"
    path = write(tmp_path / "long.json", {**sheet(frames=60_000), "stretch": [0, 59_999]})
    assert cli.main(["add", str(project), str(path)]) == 0
    child = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, "sheet", project, ""],
        cwd=ROOT,
        env={**os.environ, "PYTHONUNBUFFERED": request.param},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdout is not None
    assert child.stderr is not None
    with child.stdout, child.stderr:
        yield child
        child.kill()
        child.wait()


def test_a_long_answer_arrives_whole(long_answer):
    content = json.loads(long_answer.stdout.read())
    assert len(content["film"]["times_s"]) == 60_000
    assert long_answer.wait() == 0


def test_nobody_reads_on(long_answer):
    """As with ``| head -c 1``: the reader goes away in the middle of a long answer."""
    assert long_answer.stdout.read(1) == b"{"
    long_answer.stdout.close()
    said = long_answer.stderr.read().decode()
    assert long_answer.wait() == cli.PIPE_CLOSED
    assert said == ""


def test_output_is_utf_8_whatever_the_terminal_says(tmp_path, sheet_path):
    write(sheet_path, {**sheet(), "name": "Öst 中"})
    program = [sys.executable, "-c", PROGRAM]
    environment = {"PYTHONIOENCODING": "ascii", "PYTHONPATH": str(ROOT), "PATH": ""}
    project = tmp_path / "p.cinderlane"
    subprocess.run([*program, "add", project, sheet_path], cwd=ROOT, check=True, capture_output=True)
    done = subprocess.run([*program, "runs", project], env=environment, check=True, capture_output=True)
    assert "Öst 中" in done.stdout.decode("utf-8")


def test_a_start_loads_only_what_its_command_needs():
    """The terminal answers at once: help needs neither numerics nor the database nor the decoder."""
    program = (
        "import sys; from analysis.cli import main; main(['--help']);"
        "print([m for m in ('numpy', 'sqlalchemy', 'av', 'cv2', 'pandas', 'PySide6') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, check=True, capture_output=True, text=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


def test_two_sample_runs_compared(run, tmp_path):
    """The long third contact of the first sample clip is none of the second: by the truth of both."""
    for clip in ("wing_day1", "wing_day2"):
        assert run("add", "club.cinderlane", ROOT / "sample_clips" / f"{clip}.clicked.json")[0] == 0
    code, out, _ = run("compare", "club.cinderlane", "--before", "wing_day1", "--after", "wing_day2")
    assert code == 0
    found = {(row["measure"], row["step"], row["x_m"]): row for row in json.loads(out)["measures"]}
    step = found["contact_s", 3, None]
    assert step["claim"] == "differs"
    assert step["difference"]["value"] == pytest.approx(step["after"]["value"] - step["before"]["value"])
    truths = [
        json.loads((ROOT / "sample_clips" / f"{clip}.truth.json").read_text(encoding="utf-8"))
        for clip in ("wing_day1", "wing_day2")
    ]
    contacts = [truth["steps"][2]["contact_s"] for truth in truths]
    assert step["difference"]["low"] <= contacts[1] - contacts[0] <= step["difference"]["high"]
    assert all(row["change"] is None for row in found.values())
    assert (
        "no run"
        in refused(run, "compare", "club.cinderlane", "--before", "x", "--after", "wing_day2").lower()
    )


def two_sample_days(run):
    for clip in ("wing_day1", "wing_day2"):
        assert run("add", "club.cinderlane", ROOT / "sample_clips" / f"{clip}.clicked.json")[0] == 0


def test_a_run_that_is_named_three_times_is_one_run_and_changes_no_athlete(run):
    two_sample_days(run)
    code, once, _ = run("compare", "club.cinderlane", "--before", "wing_day1", "--after", "wing_day2")
    assert code == 0
    sides = ("--before", *["wing_day1"] * 3, "--after", *["wing_day2"] * 3)
    code, thrice, said = run("compare", "club.cinderlane", *sides)
    assert code == 0
    assert json.loads(thrice) == json.loads(once)
    assert json.loads(thrice)["changed"].startswith("The runs differ")
    for clip in ("wing_day1", "wing_day2"):
        assert f"{clip} is named more than once and counts as one run." in said


def test_runs_of_a_day_count_in_the_order_in_which_they_were_run_however_they_are_named(run, tmp_path):
    """What is asked first hangs on the last run of a day."""
    clips = ROOT / "sample_clips"
    for name, clip, day, rep in (
        ("first", "wing_day2", "2031-05-01", 1),
        ("second", "wing_day1", "2031-05-01", 2),
        ("later", "wing_day2", "2031-06-01", 1),
    ):
        made = json.loads((clips / f"{clip}.clicked.json").read_text(encoding="utf-8"))
        made["film"]["path"] = str(clips / f"{clip}.mp4")
        write(tmp_path / "made.json", {**made, "name": name, "conditions": {"day": day, "rep": rep}})
        assert run("add", "club.cinderlane", tmp_path / "made.json")[0] == 0
    found = [
        json.loads(run("compare", "club.cinderlane", "--before", *names, "--after", "later")[1])
        for names in (("first", "second"), ("second", "first"))
    ]
    assert found[0] == found[1]


def test_a_run_and_its_second_tagging_are_one_run(run, tmp_path):
    two_sample_days(run)
    with ProjectFile.open(tmp_path / "club.cinderlane") as file:
        first = next(one for one in file.project.sprints if one.name == "wing_day1")
        file.commit(Command("", run_changes(replace(first, id="again", retags=first.id))))
    sides = "--before", "wing_day1", "again", "--after", "wing_day2"
    assert "counts as one run" in run("compare", "club.cinderlane", *sides)[2]
    assert "with itself" in refused(
        run, "compare", "club.cinderlane", "--before", "again", "--after", "wing_day1"
    )


def test_runs_of_two_athletes_have_no_mean(run, tmp_path):
    two_sample_days(run)
    with ProjectFile.open(tmp_path / "club.cinderlane") as file:
        first = next(one for one in file.project.sprints if one.name == "wing_day1")
        other = replace(file.project.athletes[first.athlete_id], id="b", code="B")
        theirs = replace(first, id="theirs", name="theirs", athlete_id="b")
        file.commit(Command("", (Change(Kind.ATHLETE, "b", None, other), *run_changes(theirs))))
    sides = ("--before", "wing_day1", "theirs", "--after", "wing_day2")
    assert "one athlete on each side" in refused(run, "compare", "club.cinderlane", *sides)


def test_a_run_is_not_compared_with_itself(run):
    two_sample_days(run)
    sides = ("--before", "wing_day1", "--after", "wing_day2", "wing_day1")
    said = refused(run, "compare", "club.cinderlane", *sides)
    assert said == "wing_day1 can't be compared with itself: name each run on one side only.\n"


def test_posture_strips_as_pictures(run, tmp_path):
    project = project_on(small_film(tmp_path / "clip.mp4"), runs=2)
    with ProjectFile.open(project) as file:
        hips = [BodyPoint(FrameNumber(f), "right_hip", 40.0 + f, 100.0) for f in (20, 230)]
        for number in range(2):
            changes = (Change(Kind.POINT, point.id, None, point, f"run{number}") for point in hips)
            file.commit(Command("", tuple(changes)))
    assert run("strip", project, "--run", "first", "--out", "a.png")[:2] == (0, "")
    assert run("strip", project, "--run", "first", "--beside", "second", "--out", "b.png", "--named")[0] == 0
    code, said, _ = run("strip", project, "--out", "strips")
    assert code == 0
    assert [Path(line).name for line in said.split()] == ["first.png", "second.png"]
    with Image.open(tmp_path / "a.png") as one, Image.open(tmp_path / "b.png") as two:
        assert one.width == two.width > 9 * 100  # the nine events that are tagged
        assert two.height > 1.5 * one.height
        with Image.open(tmp_path / "strips" / "first.png") as same:
            assert same.tobytes() == one.tobytes()
    assert "ends in .png" in refused(run, "strip", project, "--run", "first", "--out", "a.mp4")
    assert "Name the run" in refused(run, "strip", project, "--out", "more", "--beside", "first")
    assert "say who ran" in refused(run, "strip", project, "--run", "first", "--out", "c.png", "--public")
    assert not (tmp_path / "c.png").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="a process is ended there without being told")
def test_told_to_end_it_leaves_nothing_half_written(tmp_path):
    """POSIX, kill(1): the usual signal asks a process to end, so that it can put away what it began."""
    project = project_on(small_film(tmp_path / "clip.mp4"))
    out = tmp_path / "films" / "a.mp4"
    out.parent.mkdir()
    asked = ["annotate", project, "--run", "first", "--out", out, "--speed", "0.02", "--hold", "5"]
    with subprocess.Popen(
        [sys.executable, "-m", "analysis", *asked], cwd=ROOT, stderr=subprocess.PIPE, text=True
    ) as child:
        while not part_of(out).exists():
            assert child.poll() is None
        child.terminate()
        _, said = child.communicate()
    assert (child.returncode, said.strip()) == (cli.STOPPED, "Stopped.")
    assert not list(out.parent.iterdir())


def test_a_run_as_an_annotated_film(run, tmp_path):
    project = project_on(small_film(tmp_path / "clip.mp4"))
    assert run("annotate", project, "--run", "first", "--out", "a.mp4", "--speed", "1", "--hold", "0.1")[
        :2
    ] == (0, "")
    with av.open(str(tmp_path / "a.mp4")) as container:
        # 300 frames at 240 a second, every fourth at 60; three touchdowns held for six more
        assert len(list(container.decode(video=0))) == 300 / 4 + 3 * 6
    assert "between" in refused(run, "annotate", project, "--out", "b.mp4", "--speed", "7")
    assert "No run" in refused(run, "annotate", project, "--run", "nobody", "--out", "b.mp4")
    assert "say who ran" in refused(run, "annotate", project, "--run", "first", "--out", "b.mp4", "--public")
    assert "Name the run" in refused(run, "annotate", project, "--out", "films", "--beside", "first")
    more = ("--from", "touchdown:1", "--to", "toe_off:1", "--named", "--no-numbers")
    assert run("annotate", project, "--run", "first", "--out", "b.png", *more)[0] == 0
    with Image.open(tmp_path / "b.png") as picture:
        # the film's own picture, the rail beside it and the name over it
        assert picture.width > SIZE[0]
        assert picture.height > SIZE[1]
    assert sorted(path.name for path in tmp_path.glob("*.mp4*")) == ["a.mp4", "clip.mp4"]
