"""A program that is killed in the middle of its work leaves the project as before or after an edit."""

import sqlite3
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from random import Random

from analysis.store import ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import bare, run_changes
from analysis.values.run import GroundMark, Run

MARKS = 30
ROOT = Path(__file__).parents[3]


def state(number):
    """The run after edit ``number``: its name and every mark say so."""
    marks = tuple(
        GroundMark(f"m{i:02d}", float(i), 0.0, FrameNumber(0), float(number), 0.0) for i in range(MARKS)
    )
    return Run("r", "film", str(number), FrameNumber(0), FrameNumber(9), notes="x" * 2000, marks=marks)


def edit(number):
    """The command from state ``number`` to the next; it touches many rows."""
    old, new = state(number), state(number + 1)
    changes = [Change(Kind.RUN, "r", bare(old), bare(new))]
    changes += [Change(Kind.MARK, a.id, a, b, "r") for a, b in zip(old.marks, new.marks, strict=True)]
    return Command("edit", tuple(changes))


def commit_for_ever(path):
    """What the child does: says each number once its edit is in the file."""
    with ProjectFile.open(path) as file:
        number = int(file.project.runs["r"].name)
        while True:
            file.commit(edit(number))
            number += 1
            print(number, flush=True)


def test_killed_at_any_moment(tmp_path):
    path = tmp_path / "a.cinderlane"
    with ProjectFile.create(path) as file:
        film = Change(Kind.FILM, "film", None, FilmEntry("film", "", ""))
        file.commit(Command("add", (film, *run_changes(replace(state(0))))))
    random = Random(5)
    for _ in range(10):
        program = (
            "import sys; from tests.analysis.store.test_kill import commit_for_ever as go; go(sys.argv[1])"
        )
        child = subprocess.Popen(
            [sys.executable, "-c", program, path], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
        out = child.stdout
        assert out is not None
        try:
            said = 0
            for _ in range(random.randrange(1, 12)):
                said = int(out.readline())
            for _ in range(random.randrange(100_000)):  # to strike anywhere within an edit
                pass
        finally:
            child.kill()
            rest = out.read()
            out.close()
            child.wait()
        said = max([said, *map(int, rest.split(b"\n")[:-1])])
        with ProjectFile.open(path) as file:
            found = file.project.runs["r"]
            # a journal that was begun and holds nothing yet goes with the next edit
            file.commit(edit(int(found.name)))
        assert [p.name for p in tmp_path.iterdir()] == ["a.cinderlane"]
        assert int(found.name) in (said, said + 1)
        assert found == state(int(found.name))
        raw = sqlite3.connect(path)
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        raw.close()
