"""What a public version must not hold, in every kind of file that is written: a name, a body, a day, a place
on the machine, a device, a time of writing, a word that the coach wrote.

Every one of them is put into the project as a word or number that is nowhere else, and into the film's own
metadata; then each file is read back by a program that knows its format.
"""

import io
import json
import re
import subprocess
from base64 import b64decode
from dataclasses import replace

import av
import numpy as np
import pypdfium2
import pytest
from PIL import Image

from analysis.cli import main
from analysis.film import open_film
from analysis.store import SUFFIX, ProjectFile
from analysis.values.bands import Band, BandOrigin, BandTable
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.comparison import PublishedError
from analysis.values.conditions import AgeGroup, Conditions, Stance
from analysis.values.consent import Agreement, Consent
from analysis.values.film import FrameNumber
from analysis.values.gate import GateTime
from analysis.values.narration import Narration, Stop
from analysis.values.posture import Moment
from analysis.values.project import bare, run_changes
from analysis.values.questions import Overruling, Question
from analysis.values.run import Athlete, BodyPoint, Sex
from tests.helpers.films import marked_run, small_film
from tests.helpers.programs import need

SECRET = "Zebra"
DAYS = ("2026-03-06", "2026-03-20")
TELLING = (SECRET, *DAYS, "197.5", "1.937", "adult", "/", "\\")
"""Names and words, days, mass and stature, what is known of the person, parts of a path: none may be told."""
STRETCH = ("--from", "touchdown:1", "--to", "toe_off:1")
KINDS = {
    "film.mp4": ["annotate", "--run", "run0", "--from", "touchdown:1", "--to", "toe_off:1"],
    "picture.png": ["annotate", "--run", "run0", "--from", "touchdown:1"],
    "pair.mp4": [
        "annotate",
        "--run",
        "run0",
        "--beside",
        "run1",
        "--from",
        "touchdown:1",
        "--to",
        "toe_off:1",
    ],
    "told.mp4": ["annotate", "--narration", "told"],
    "strip.png": ["strip", "--run", "run0"],
    "strips.png": ["strip", "--run", "run0", "--beside", "run1"],
}


def telling_film(path):
    """A film whose container says who, where, when and with what it was made."""
    plain = small_film(path.with_name("plain.mp4"))
    with (
        av.open(str(plain)) as source,
        av.open(str(path), "w", options={"movflags": "use_metadata_tags"}) as out,
    ):
        out.metadata.update({"title": SECRET, "comment": SECRET, "location": SECRET, "device": SECRET})
        out.metadata["creation_time"] = f"{DAYS[0]}T10:00:00Z"
        stream = out.add_stream_from_template(source.streams.video[0])
        for packet in source.demux(video=0):
            if packet.dts is not None:
                packet.stream = stream
                out.mux(packet)
    plain.unlink()
    assert SECRET.encode() in path.read_bytes()
    return path


def telling_run(number, film_id):
    run = marked_run(film_id, f"run{number}", f"{SECRET} run")
    hips = tuple(BodyPoint(FrameNumber(f), "right_hip", 30.0 + f, 100.0) for f in (20, 90, 145, 196, 230))
    noted = Conditions(DAYS[number], Stance.SPLIT, surface=SECRET, shoe=SECRET, cue=SECRET)
    said = Overruling(Question.SWAP, SECRET)
    told = {"athlete_id": "ann", "conditions": noted, "notes": SECRET, "overruled": said}
    return replace(run, points=(*run.points, *hips), **told)


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    folder = tmp_path_factory.mktemp(f"{SECRET}-club")
    film = telling_film(folder / f"{SECRET}-film.mp4")
    ann = Athlete("ann", f"{SECRET}-7", Sex.MALE, stature_m=1.937, mass_kg=197.531, age=AgeGroup.ADULT)
    bands = (Band("trunk_deg", Moment.TOUCHDOWN, 1, None, 10.0, 20.0, SECRET),)
    stops = (
        Stop("a", FrameNumber(95), "Hips high", hold_s=0.2, speed_after=1.0),
        Stop("b", FrameNumber(100)),
    )
    things = (
        (Kind.ATHLETE, ann),
        (Kind.FILM, FilmEntry("film", str(film), open_film(film).fingerprint)),
        (Kind.CONSENT, Consent("ann", sharing=Agreement(athlete=True, given=DAYS[0]))),
        (Kind.BANDS, BandTable("own", SECRET, 1, BandOrigin.COACH, bands)),
        (Kind.GATE, GateTime("g", "ann", DAYS[0], 5.0, 1.6, SECRET)),
        (Kind.PUBLISHED_ERROR, PublishedError("step_length_m", 0.0001, SECRET)),
    )
    path = folder / f"{SECRET}{SUFFIX}"
    with ProjectFile.create(path) as file:
        file.commit(Command("", tuple(Change(kind, one.id, None, one) for kind, one in things)))
        for number in range(2):
            file.commit(Command("", run_changes(telling_run(number, "film"))))
        told = Narration("told", SECRET, ("run0",), stops)
        file.commit(Command("", (Change(Kind.NARRATION, "told", None, told),)))
    return path


@pytest.fixture(scope="module")
def written(project, tmp_path_factory):
    """Every kind of file in public, and for the coach a strip and the pages of a run."""
    out = tmp_path_factory.mktemp("public")
    for name, (command, *how) in KINDS.items():
        assert main([command, str(project), *how, "--out", str(out / name), "--public"]) == 0, name
    assert main(["report", str(project), "--run", "run1", "--out", str(out), "--public"]) == 0
    coach = tmp_path_factory.mktemp("coach")
    strip = ["strip", str(project), "--run", "run0", "--out", str(coach / "strip.png"), "--named"]
    assert main(strip) == 0
    assert main(["report", str(project), "--run", "run0", "--out", str(coach)]) == 0
    return {"public": out, "coach": coach}


def said_by(path):
    """Everything that a reader of the format gets out of a file beside its pictures."""
    match path.suffix:
        case ".html":
            text = path.read_text(encoding="utf-8")
            text = re.sub(r"<style>.*?</style>", "", text, flags=re.DOTALL)
            return re.sub(r"data:image/jpeg;base64,[^\"]+|</|/>|<meta[^>]*>|m/s|°/s", "", text)
        case ".pdf":
            with pypdfium2.PdfDocument(path.read_bytes()) as document:
                texts = [sheet.get_textpage().get_text_range() for sheet in document]
                about = document.get_metadata_dict(skip_empty=True)
            del about["CreationDate"]
            text = json.dumps(about) + " ".join(texts)
            return re.sub(r"m/s|°/s|\d+/\d+|\\u[0-9a-f]{4}", "", text)
        case ".png":
            with Image.open(path) as picture:
                return json.dumps(picture.info)
        case ".mp4":
            command = [
                need("ffprobe"),
                "-v",
                "error",
                "-of",
                "json",
                "-show_format",
                "-show_streams",
                str(path),
            ]
            found = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)
            tags = [found["format"].get("tags", {}), *(one.get("tags", {}) for one in found["streams"])]
            return json.dumps(tags)
    raise AssertionError(path)


def names(folder, kind):
    return sorted(path for path in folder.iterdir() if path.suffix == kind)


@pytest.mark.parametrize("kind", [".html", ".pdf", ".png", ".mp4"])
def test_nothing_of_it_is_told_in_public(written, kind):
    files = names(written["public"], kind)
    assert len(files) >= 2
    for path in files:
        said = said_by(path)
        assert [one for one in TELLING if one in said] == [], path.name
        assert SECRET not in path.name
        raw = path.read_bytes()
        for coded in ("utf-8", "utf-16-le", "utf-16-be"):
            assert SECRET.encode(coded) not in raw, path.name


def test_of_the_time_and_means_of_writing_nothing_is_told(written):
    """The times of ISO/IEC 14496-12's movie header are zero; a PDF's information holds the title alone (ISO
    32000-2, 14.3.3); a PNG no chunk but its picture (PNG, third edition, 5.6); a JPEG no APP1 segment, where
    cameras write (Exif 2.32)."""
    for path in names(written["public"], ".mp4"):
        raw = path.read_bytes()
        header = raw.index(b"mvhd") + 4
        assert raw[header : header + 12] == bytes(12)  # version, flags, made, changed
        assert b"encoder" not in raw[:4000].lower()
    for path in names(written["public"], ".pdf"):
        with pypdfium2.PdfDocument(path.read_bytes()) as document:
            about = document.get_metadata_dict(skip_empty=True)
        assert set(about) == {"Title", "CreationDate"}
        assert about["CreationDate"] == "D:19700101000000Z"  # none: where such clocks begin
    for path in names(written["public"], ".png"):
        with Image.open(path) as picture:
            picture.load()
            assert picture.info == {}
        assert not re.search(rb"tEXt|zTXt|iTXt|eXIf|tIME", path.read_bytes())
    for path in names(written["public"], ".html"):
        for packed in re.findall(r"data:image/jpeg;base64,([^\"]+)", path.read_text(encoding="utf-8")):
            with Image.open(io.BytesIO(b64decode(packed))) as picture:
                assert not picture.getexif()
                assert not {"exif", "comment", "icc_profile", "xmp"} & set(picture.info)


def test_in_public_there_are_pages_films_and_pictures_and_no_table(written):
    kinds = {path.suffix for path in written["public"].iterdir()}
    assert kinds == {".html", ".pdf", ".png", ".mp4"}


def test_for_the_coach_it_is_told(written):
    """The checks above can fail: the same files for the coach hold names and days."""
    for kind in (".html", ".pdf"):
        said = " ".join(map(said_by, names(written["coach"], kind)))
        assert SECRET in said
        assert DAYS[0] in said
    assert any(SECRET in path.name for path in written["coach"].iterdir())
    public, coach = ((written[who] / "strip.png") for who in ("public", "coach"))
    with Image.open(public) as bare, Image.open(coach) as named:
        line = (0, 0, bare.width, 70)  # where athlete, run and day stand
        dark = [np.count_nonzero(np.asarray(one.crop(line).convert("L")) < 128) for one in (bare, named)]
    assert dark[0] == 0 < dark[1]


@pytest.fixture
def consents(project, tmp_path):
    """A project whose second athlete has not agreed to be shown, and one in which nobody has."""
    made = []
    for name, agreed in (("some", {"ann"}), ("none", set())):
        own = tmp_path / f"{name}{SUFFIX}"
        own.write_bytes(project.read_bytes())
        with ProjectFile.open(own) as file:
            (film,), runs = file.project.films.values(), file.project.runs
            there = replace(film, path=str(project.parent / f"{SECRET}-film.mp4"))
            changes = [Change(Kind.FILM, film.id, film, there)]
            changes.append(Change(Kind.ATHLETE, "bea", None, Athlete("bea", "W9")))
            one = bare(runs["run1"])
            changes.append(Change(Kind.RUN, one.id, one, replace(one, athlete_id="bea")))
            if "ann" not in agreed:
                changes.append(Change(Kind.CONSENT, "ann", file.project.consents["ann"], None))
            file.commit(Command("", tuple(changes)))
        made.append(own)
    return made


@pytest.mark.parametrize(
    ("command", "count"),
    [(["report"], 4), (["annotate", *STRETCH], 1), (["strip"], 1)],
    ids=["report", "annotate", "strip"],
)
def test_of_a_whole_project_the_refused_are_named_and_the_code_says_so(
    consents, tmp_path, capfd, command, count
):
    some, none = consents
    done, left = tmp_path / "done", tmp_path / "left"
    assert main([command[0], str(some), *command[1:], "--out", str(done), "--public"]) == 4
    assert len(list(done.iterdir())) == count
    said = capfd.readouterr()
    assert len(said.out.split("\n")) == count + 1
    assert f"{SECRET} run was left out. " in said.err
    assert "consent" in said.err
    assert main([command[0], str(none), *command[1:], "--out", str(left), "--public"]) == 2
    assert capfd.readouterr().err.count(f"{SECRET} run was left out. ") == 2
    assert not left.exists()


@pytest.mark.parametrize("command", [["report"], ["annotate", *STRETCH], ["strip"]], ids=lambda one: one[0])
def test_a_run_without_consent_is_refused_and_nothing_is_left(consents, tmp_path, capfd, command):
    out = tmp_path / {"report": "out", "annotate": "a.mp4", "strip": "a.png"}[command[0]]
    how = [command[0], str(consents[0]), "--run", "run1", *command[1:], "--out", str(out)]
    assert main([*how, "--public"]) == 2
    assert "consent" in capfd.readouterr().err
    assert not out.exists()
    assert main(how) == 0


def test_a_caption_that_names_the_athlete_is_refused_in_public(project, tmp_path, capfd):
    with ProjectFile.open(project) as file:
        told = file.project.narrations["told"]
        naming = replace(told, id="naming", stops=(replace(told.stops[0], words=f"Look, {SECRET}-7!"),))
        file.commit(Command("", (Change(Kind.NARRATION, "naming", None, naming),)))
    command = ["annotate", str(project), "--narration", "naming", "--out", str(tmp_path / "a.mp4")]
    assert main([*command, "--public"]) == 2
    assert f"a stop says “Look, {SECRET}-7!”" in capfd.readouterr().err
    assert not list(tmp_path.iterdir())
    assert main(command) == 0
    assert main([*command[:3], "told", *command[4:], "--public"]) == 0
    assert "do they name anybody?" in capfd.readouterr().err
