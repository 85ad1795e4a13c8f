"""Faces are hidden in every still picture that leaves the program; measured from its pixels.

The film is drawn here: a magenta patch of fine speckles is the face, and nothing else is magenta, so that a
picture tells by itself where the face is and whether any of its detail is left.
"""

import base64
import io
import re
from dataclasses import replace
from fractions import Fraction

import cv2
import numpy as np
import pypdfium2
import pytest
from PIL import Image

from analysis.cli import main
from analysis.film import open_film
from analysis.jobs.report import report, report_run
from analysis.jobs.strips import StripJob, write_strips
from analysis.report.canvas import bgra
from analysis.report.film_writing import write_film
from analysis.store import SUFFIX, ProjectFile
from analysis.values.audience import Audience, Faces
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.conditions import AgeGroup
from analysis.values.consent import Agreement, Consent
from analysis.values.errors import CinderlaneError, FilmError
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber
from analysis.values.project import bare, run_changes
from analysis.values.run import Athlete, BodyPoint, Direction, Footfall, Run, Side, StartPush

FRAMES, SIZE, HALF = 40, (320, 180), 6
EVENTS = (4, 14, 24)
COVERED, SHOWN = Audience(), Audience(Faces.SHOWN)


def middle(frame, direction):
    """Where the face is, px; whoever runs to the left is the mirror image of whoever runs to the right."""
    u = 60 + 4.5 * frame
    return (u if direction is Direction.RIGHT else SIZE[0] - 1 - u), 60 + 9 * np.sin(frame / 6)


def drawn(frame, direction):
    picture = np.full((SIZE[1], SIZE[0], 3), 120, np.uint8)
    speckles = np.kron(np.random.default_rng(2).integers(0, 2, (HALF, HALF)), np.ones((2, 2)))
    u, v = (round(n) for n in middle(frame, direction))
    face = np.where(speckles[..., None] > 0, (255, 0, 255), (130, 0, 130))
    picture[v - HALF : v + HALF, u - HALF : u + HALF] = face
    return bgra(Image.fromarray(picture))


def run_on(film_id, run_id, direction):
    frame = FrameNumber
    faces = {f: middle(f, direction) for f in (*EVENTS, 30)}
    behind = HALF if direction is Direction.LEFT else -HALF
    hips = [BodyPoint(frame(f), "right_hip", u + behind, v + 2.3 * HALF) for f, (u, v) in faces.items()]
    return Run(
        run_id,
        film_id,
        f"Zebra {run_id}",
        frame(0),
        frame(FRAMES - 1),
        direction=direction,
        athlete_id="ann",
        start=StartPush(frame(EVENTS[0])),
        footfalls=(Footfall("a", Side.LEFT, frame(EVENTS[1]), frame(EVENTS[2])),),
        points=tuple(hips),
    )


@pytest.fixture(scope="module")
def films(tmp_path_factory):
    folder = tmp_path_factory.mktemp("faces")
    for way in Direction:
        write_film(folder / f"{way.value}.mp4", (drawn(n, way) for n in range(FRAMES)), Fraction(60))
    return folder


@pytest.fixture
def project(films, tmp_path):
    """Two films on which one athlete runs to either side; the face is covered at both ends of each."""
    path = tmp_path / f"p{SUFFIX}"
    with ProjectFile.create(path) as file:
        changes = [Change(Kind.ATHLETE, "ann", None, Athlete("ann", "Zebra"))]
        for way in Direction:
            film = tmp_path / f"{way.value}.mp4"
            film.write_bytes((films / film.name).read_bytes())
            entry = FilmEntry(way.value, str(film), open_film(film).fingerprint)
            ends = (0, FRAMES - 1)
            places = tuple(FacePlace(FrameNumber(f), *middle(f, way), 1.4 * HALF, 1.4 * HALF) for f in ends)
            cover = FaceCover(f"face {way.value}", way.value, places)
            changes += [
                Change(Kind.FILM, way.value, None, entry),
                Change(Kind.FACE_COVER, cover.id, None, cover),
            ]
        file.commit(Command("", tuple(changes)))
        for way in Direction:
            file.commit(Command("", run_changes(run_on(way.value, f"run {way.value}", way))))
    return path


def edit(project, *changes):
    with ProjectFile.open(project) as file:
        file.commit(Command("", changes))


def uncovered(project, film_id):
    """Take the cover of one film away."""
    with ProjectFile.open(project) as file:
        (cover,) = file.project.covers_of(film_id)
    edit(project, Change(Kind.FACE_COVER, cover.id, cover, None))


def magenta(picture):
    """How magenta each pixel is, 0 to 255; limbs, words and the ground hardly are."""
    pixels = np.asarray(picture.convert("RGB")).astype(float)
    return np.clip((pixels[..., 0] + pixels[..., 2]) / 2 - pixels[..., 1] - 30, 0, None)


def faces_in(picture):
    """Of each face of a picture in a row its middle, column and row, its size, and how much of what it shows
    is finer than a twelfth of it.
    """
    seen = magenta(picture)
    found = []
    for top, bottom in pieces(seen.max(axis=1) > 15):
        for left, right in pieces(seen[top:bottom].max(axis=0) > 15):
            part = seen[top:bottom, left:right]
            fine = part - cv2.GaussianBlur(part, (0, 0), part.shape[1] / 12)
            high, wide = (size // 4 for size in part.shape)  # its edge is none of its detail
            inner = fine[high:-high, wide:-wide].std()
            found.append(((left + right) / 2, (top + bottom) / 2, right - left, inner))
    return np.array(found)


def pieces(there):
    """First and last place of each stretch of True, together where they are less than 12 apart."""
    places = np.flatnonzero(there)
    cuts = np.flatnonzero(np.diff(places) > 12)
    stretches = [one for one in np.split(places, cuts + 1) if len(one) > 8]
    return [(int(one[0]), int(one[-1]) + 1) for one in stretches]


def check_hidden(covered, open_, count):
    """Every face is where it was, and hardly a bit of its detail is left."""
    there, here = faces_in(open_), faces_in(covered)
    assert len(there) == len(here) == count
    assert np.abs(there[:, :2] - here[:, :2]).max() < 0.15 * there[:, 2].min()
    assert (here[:, 3] < 0.3 * there[:, 3]).all()


def strip(project, out, audience, runs=("run right",)):
    write_strips(project, runs, out, audience)
    return Image.open(out)


def test_on_the_strip_of_a_run_every_face_is_covered_where_it_is(project, tmp_path):
    pictures = [strip(project, tmp_path / f"{n}.png", who) for n, who in enumerate((COVERED, SHOWN))]
    check_hidden(*pictures, len(EVENTS))
    # nothing but the faces is another picture
    differ = np.abs(np.subtract(*(np.asarray(one.convert("L")).astype(int) for one in pictures))) > 24
    near = np.zeros(differ.shape, bool)
    for column, row, *_ in faces_in(pictures[1]):
        near[
            max(0, round(row) - 110) : round(row) + 110, max(0, round(column) - 110) : round(column) + 110
        ] = True
    assert differ[near].any()
    assert not differ[~near].any()


def test_on_two_strips_of_which_one_is_mirrored_every_face_is_covered_where_it_is(project, tmp_path):
    both = ("run right", "run left")
    pictures = [strip(project, tmp_path / f"{n}.png", who, both) for n, who in enumerate((COVERED, SHOWN))]
    check_hidden(*pictures, 2 * len(EVENTS))
    upper, lower = np.split(faces_in(pictures[0]), 2)
    # the lower one is turned, its cover too: not turned it would be a whole face away
    assert np.abs(upper[:, 0] - lower[:, 0]).max() < 0.25 * upper[:, 2].min()


def html_pictures(path):
    found = re.findall(r"data:image/jpeg;base64,([^\"]+)", path.read_text(encoding="utf-8"))
    return [Image.open(io.BytesIO(base64.b64decode(one))) for one in found]


def pdf_pictures(path):
    with pypdfium2.PdfDocument(path.read_bytes()) as document:
        objects = [
            one for sheet in document for one in sheet.get_objects() if isinstance(one, pypdfium2.PdfImage)
        ]
        return [one.get_bitmap().to_pil() for one in objects]


@pytest.mark.parametrize(("ending", "read"), [("html", html_pictures), ("pdf", pdf_pictures)])
def test_no_page_shows_a_face_that_was_covered(project, tmp_path, ending, read):
    pages = []
    for name, who in (("covered", COVERED), ("shown", SHOWN)):
        report_run(project, "run left", tmp_path / f"{name}.html", who)
        pages.append(read(tmp_path / f"{name}.{ending}"))
        assert not read(tmp_path / f"{name}-athlete.{ending}")  # the athlete's page has none
    assert len(pages[0]) == len(pages[1]) == len(EVENTS)
    for covered, open_ in zip(*pages, strict=True):
        check_hidden(covered, open_, 1)


def test_where_a_face_was_not_placed_the_page_has_no_pictures_and_says_so(project, tmp_path):
    uncovered(project, "left")
    done = report(project, None, tmp_path / "out", Audience(Faces.ALL))
    files, notes = done.files, done.notes
    bare, covered = (
        next(path for path in files if path.name.startswith(f"Zebra-Zebra_run_{way}-coach.html"))
        for way in ("left", "right")
    )
    assert not html_pictures(bare)
    assert "a face on them could not be hidden" in bare.read_text(encoding="utf-8")
    assert len(html_pictures(covered)) == len(EVENTS)
    assert any("Zebra run left have no pictures. No face is covered" in note for note in notes)


@pytest.mark.parametrize("faces", [Faces.PLACED, Faces.ALL])
def test_a_face_that_is_covered_on_some_frames_only_is_shown_on_none(project, tmp_path, faces):
    with ProjectFile.open(project) as file:
        (cover,) = file.project.covers_of("right")
    first = FacePlace(FrameNumber(10), *middle(10, Direction.RIGHT), 12.0, 12.0)
    edit(project, Change(Kind.FACE_COVER, cover.id, cover, replace(cover, places=(first, cover.places[1]))))
    out = tmp_path / "strip.png"
    with pytest.raises(FilmError, match="Face 1 is not covered on frames 4"):
        write_strips(project, ["run right"], out, Audience(faces))
    assert not out.exists()
    report_run(project, "run right", tmp_path / "page.html", Audience(faces))
    assert not html_pictures(tmp_path / "page.html")


def test_without_a_cover_a_strip_is_written_unless_every_face_is_to_be_covered(project, tmp_path):
    uncovered(project, "right")
    assert len(faces_in(strip(project, tmp_path / "a.png", COVERED))) == len(EVENTS)
    with pytest.raises(FilmError, match="No face is covered on the film of Zebra run right"):
        write_strips(project, ["run right"], tmp_path / "b.png", Audience(Faces.ALL))
    assert not (tmp_path / "b.png").exists()


def test_a_strip_for_anybody_asks_for_the_consent(project, tmp_path):
    with pytest.raises(CinderlaneError, match="No consent to share is noted"):
        write_strips(project, ["run right"], tmp_path / "a.png", Audience(public=True))
    consent = Consent("ann", sharing=Agreement(athlete=True, guardian=True, given="2026-01-02"))
    edit(project, Change(Kind.CONSENT, "ann", None, consent))
    write_strips(project, ["run right"], tmp_path / "a.png", Audience(public=True))
    assert (tmp_path / "a.png").exists()


def test_a_project_for_anybody_holds_those_alone_who_may_be_shown_and_no_name(project, tmp_path, capfdbinary):
    bob = Athlete("bob", "Bob", age=AgeGroup.ADULT)
    consent = Consent("bob", sharing=Agreement(athlete=True, given="2026-01-02"))
    with ProjectFile.open(project) as file:
        run = file.project.runs["run left"]
    edit(project, Change(Kind.ATHLETE, "bob", None, bob), Change(Kind.CONSENT, "bob", None, consent))
    with ProjectFile.open(project) as file:
        plain = bare(run)
        file.commit(Command("", (Change(Kind.RUN, run.id, plain, replace(plain, athlete_id="bob")),)))
    out = tmp_path / "out"
    assert main(["report", str(project), "--out", str(out), "--public"]) == 4
    assert "Zebra run right was left out. No consent" in capfdbinary.readouterr().err.decode()
    assert sorted(path.name for path in out.iterdir()) == [
        f"run_1-{who}.{ending}" for who in ("athlete", "coach") for ending in ("html", "pdf")
    ]
    text = (out / "run_1-coach.html").read_text(encoding="utf-8")
    assert "Bob" not in text
    assert "Zebra" not in text
    assert len(html_pictures(out / "run_1-coach.html")) == len(EVENTS)


def test_strips_written_beside_are_the_same(project, tmp_path):
    job = StripJob(project, ["run right"], tmp_path / "beside.png", COVERED)
    job._process.wait(60)
    assert job.result().path == tmp_path / "beside.png"
    job.close()
    here = strip(project, tmp_path / "here.png", COVERED)
    assert np.array_equal(np.asarray(here), np.asarray(Image.open(tmp_path / "beside.png")))


def test_a_picture_of_the_view_hides_the_face_from_the_command_line_too(project, tmp_path):
    told = ["annotate", str(project), "--run", "run right", "--from", "14", "--to", "14", "--no-rail"]
    assert main([*told, "--out", str(tmp_path / "covered.png")]) == 0
    assert main([*told, "--out", str(tmp_path / "shown.png"), "--show-face"]) == 0
    check_hidden(*(Image.open(tmp_path / f"{name}.png") for name in ("covered", "shown")), 1)
