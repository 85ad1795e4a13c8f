"""Annotated films of a project: who may be shown, names over them, two runs, narrations, faces."""

import io
import wave
from dataclasses import replace

import av
import numpy as np
import pytest
from PIL import Image

from analysis.jobs.annotate import annotate
from analysis.jobs.film_runs import film_plan
from analysis.jobs.film_wish import FilmWish
from analysis.reading.laying import Lock, LockKind
from analysis.report.film_frames import Look
from analysis.report.film_order import Pace
from analysis.report.other_body import Meet
from analysis.store import ProjectFile
from analysis.values.audience import Audience, Faces
from analysis.values.command import Change, Command, Kind
from analysis.values.conditions import AgeGroup, Conditions
from analysis.values.consent import Agreement, Consent
from analysis.values.errors import CinderlaneError
from analysis.values.face_cover import FaceCover, FacePlace
from analysis.values.film import FrameNumber
from analysis.values.narration import Narration, Overlay, Stop
from analysis.values.posture import Moment
from analysis.values.project import bare
from analysis.values.recording import Recording, Shown
from analysis.values.run import Athlete, BodyPoint, Side
from tests.helpers.films import FOOTFALLS, SIZE, project_on, small_film

LEFT_TO_RIGHT = "\N{LEFT-TO-RIGHT MARK}"
SHOWN = Audience(Faces.SHOWN)
NAMES = ["=cmd()", '"Ann", <b>o\'K</b>', "שלום", "🏃🏽‍♀️ A1", "a\nb"]


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return small_film(tmp_path_factory.mktemp("clip") / "clip.mp4")


@pytest.fixture
def project(clip, tmp_path):
    film = tmp_path / "clip.mp4"
    film.write_bytes(clip.read_bytes())
    return project_on(film, runs=2)


def edit(project, *changes):
    with ProjectFile.open(project) as file:
        file.commit(Command("", changes))


def named(project, code="A1", age=None, sharing=None):
    """The athlete ran the first run; what was agreed to."""
    with ProjectFile.open(project) as file:
        run = bare(file.project.runs["run0"])
    athlete = Athlete("ann", code, age=age)
    changes = [
        Change(Kind.ATHLETE, "ann", None, athlete),
        Change(Kind.RUN, run.id, run, replace(run, athlete_id="ann")),
    ]
    if sharing is not None:
        changes.append(Change(Kind.CONSENT, "ann", None, Consent("ann", sharing=sharing)))
    edit(project, *changes)


def plan(project, wish, run="run0"):
    with ProjectFile.open(project) as file:
        return film_plan(file, run, wish)


GIVEN = Agreement(athlete=True, guardian=True, given="2026-01-02")
PUBLIC = FilmWish(audience=Audience(public=True, named=True), first=90, last=91)


def test_a_public_version_is_refused_without_the_consent_to_be_shown(project, tmp_path):
    out = tmp_path / "a.png"
    with pytest.raises(CinderlaneError, match="say who ran"):
        annotate(project, "run0", out, PUBLIC)
    named(project, age=AgeGroup.YOUTH, sharing=replace(GIVEN, guardian=False))
    with pytest.raises(CinderlaneError, match="guardian"):
        annotate(project, "run0", out, PUBLIC)
    assert not out.exists()


def test_a_withdrawn_consent_counts_from_then_on(project, tmp_path):
    named(project, sharing=GIVEN)
    annotate(project, "run0", tmp_path / "a.png", PUBLIC)
    old = Consent("ann", sharing=GIVEN)
    gone = Consent("ann", sharing=replace(GIVEN, withdrawn="2026-02-03"))
    edit(project, Change(Kind.CONSENT, "ann", old, gone))
    with pytest.raises(CinderlaneError, match="withdrawn on 2026-02-03"):
        annotate(project, "run0", tmp_path / "b.png", PUBLIC)


def test_both_runs_of_a_pair_need_their_consent(project):
    named(project, sharing=GIVEN)
    with pytest.raises(CinderlaneError, match="second"):
        plan(project, replace(PUBLIC, beside="run1"))


@pytest.mark.parametrize("name", NAMES)
def test_a_name_stands_over_the_film_as_written_and_a_public_version_has_none(project, tmp_path, name):
    named(project, code=name, sharing=GIVEN)
    wish = replace(PUBLIC, audience=Audience(named=True))
    assert plan(project, wish).runs[0].title.replace(LEFT_TO_RIGHT, "") == f"{' '.join(name.split())} · first"
    assert plan(project, PUBLIC).runs[0].title == ""
    annotate(project, "run0", tmp_path / "named.png", wish)
    annotate(project, "run0", tmp_path / "public.png", PUBLIC)
    with Image.open(tmp_path / "named.png") as with_name, Image.open(tmp_path / "public.png") as without:
        assert without.size == SIZE
        band = with_name.height - SIZE[1]
        assert band > 10
        lit = np.asarray(with_name.convert("L"))[:band]
        assert lit.max() > 200
        # below the name stands the same picture
        assert np.array_equal(np.asarray(with_name)[band:], np.asarray(without))


def test_two_runs_stand_one_above_the_other_laid_together_by_all_events(project, tmp_path):
    wish = FilmWish(Pace(1.0), first=90, last=100, beside="run1", lock=Lock(LockKind.ALL_EVENTS))
    found = plan(project, wish)
    assert {shot.frames for shot in found.reel.shots} == {(f, f) for f in found.reel.frames(0)}
    annotate(project, "run0", tmp_path / "a.png", wish)
    with Image.open(tmp_path / "a.png") as picture:
        width, height = picture.size
        lit = np.asarray(picture.convert("L"))
    band = (height - 2 * SIZE[1]) // 2
    assert width == SIZE[0]
    assert band > 10
    for top in (0, band + SIZE[1]):
        assert lit[top : top + band].max() > 200  # a title over each


@pytest.mark.parametrize(
    ("days", "public", "titles"),
    [
        (("2026-01-02", "2026-03-04"), False, ["2026-01-02", "2026-03-04"]),
        (("2026-01-02", "2026-03-04"), True, ["first", "second"]),
        (("2026-01-02", "2026-01-02"), False, ["first", "second"]),
        (("2026-01-02", ""), False, ["first", "second"]),
        (("", ""), False, ["first", "second"]),
    ],
)
def test_two_runs_are_told_apart_where_nobody_is_named(project, days, public, titles):
    named(project, sharing=GIVEN)
    with ProjectFile.open(project) as file:
        runs = [bare(file.project.runs[one]) for one in ("run0", "run1")]
    edit(
        project,
        *(
            Change(Kind.RUN, run.id, run, replace(run, athlete_id="ann", conditions=Conditions(day=day)))
            for run, day in zip(runs, days, strict=True)
        ),
    )
    found = plan(
        project, FilmWish(audience=Audience(public=public, named=public), first=90, last=91, beside="run1")
    )
    assert [run.title for run in found.runs] == titles


def test_a_stretch_goes_from_event_to_event_by_their_names(project):
    found = plan(project, FilmWish(Pace(0.25), first="touchdown:1", last="toe_off:2"))
    shown = found.reel.frames(0)
    assert (shown[0], shown[-1]) == (FOOTFALLS[0][2], FOOTFALLS[1][3])
    for wrong in ("touchdown:9", "lunch", "touchdown:x"):
        with pytest.raises(CinderlaneError, match="first_movement"):
            plan(project, FilmWish(first=wrong))
    with pytest.raises(CinderlaneError, match="300 frames"):
        plan(project, FilmWish(first=200, last=100))


def test_a_smaller_picture_is_as_high_as_was_asked_and_none_is_enlarged(project, tmp_path):
    annotate(project, "run0", tmp_path / "a.png", FilmWish(look=Look(height=480), first=90, last=91))
    with Image.open(tmp_path / "a.png") as picture:
        assert picture.size == SIZE
    with pytest.raises(CinderlaneError, match="480, 720, 1080"):
        FilmWish(look=Look(height=333))


def test_a_wish_is_the_same_after_json():
    focus = ("shin_deg", 2, Moment.TOUCHDOWN, Side.LEFT)
    audience = Audience(Faces.ALL, public=True, named=True)
    wish = FilmWish(
        Pace(0.5, 1.0),
        Look(height=720, rail=True, bodies=(1,), meet=Meet.TOE),
        3,
        "toe_off:1",
        audience,
        "run1",
    )
    wish = replace(wish, lock=Lock(LockKind.PLACE), narration="n", focus=focus)
    assert FilmWish.of_json(wish.as_json()) == wish


def test_the_other_runs_body_lies_over_the_film_at_the_events_of_both(project, tmp_path):
    """Both runs have the same marks, so that limbs keep their pixels: the other's thigh hangs on this hip."""
    hip, other_hip, other_knee = (100.0, 60.0), (150.0, 70.0), (165.0, 95.0)
    placed = (
        ("run0", "right_hip", hip),
        ("run1", "right_hip", other_hip),
        ("run1", "right_knee", other_knee),
    )
    for run_id, name, place in placed:
        point = BodyPoint(FrameNumber(90), name, *place)
        edit(project, Change(Kind.POINT, point.id, None, point, run_id))

    def upper(name, frame, **look):
        out = tmp_path / f"{name}.png"
        wish = FilmWish(
            look=Look(**look), first=frame, last=frame, beside="run1", lock=Lock(LockKind.ALL_EVENTS)
        )
        annotate(project, "run0", out, wish)
        with Image.open(out) as picture:
            title = (picture.height - 2 * SIZE[1]) // 2
            return np.asarray(picture.convert("RGB")).astype(int)[title : title + SIZE[1]]

    laid = np.abs(upper("with", 90, bodies=(0,)) - upper("without", 90)).max(axis=2) > 40
    rows, columns = np.nonzero(laid[:130])  # the words stand below
    along = np.subtract(other_knee, other_hip) / np.hypot(*np.subtract(other_knee, other_hip))
    away = np.column_stack([columns, rows]) - hip
    across = away @ (-along[1], along[0])
    assert np.abs(across).max() < 5
    assert abs(across.mean()) < 1.0
    ends = away @ along
    assert (ends.min(), ends.max()) == pytest.approx((0, np.hypot(15, 25)), abs=4)
    assert np.array_equal(upper("later with", 92, bodies=(0,)), upper("later without", 92))
    assert np.array_equal(upper("lower", 90, bodies=(1,)), upper("without", 90))


@pytest.mark.parametrize(("overlay", "limbs"), [(Overlay.OTHER, True), (Overlay.OTHER_TOE, False)])
def test_a_stop_of_two_runs_lays_the_other_body_over_the_film(project, tmp_path, overlay, limbs):
    """The same thigh hangs on this hip; together at the toe there is nothing to hang it on, for nobody placed
    the other run's, and a film says no more. A stop without it, and a frame that is no event, have none."""
    hip, other_hip, other_knee = (100.0, 60.0), (150.0, 70.0), (165.0, 95.0)
    for run_id, name, place in (
        ("run0", "right_hip", hip),
        ("run1", "right_hip", other_hip),
        ("run1", "right_knee", other_knee),
    ):
        point = BodyPoint(FrameNumber(90), name, *place)
        edit(project, Change(Kind.POINT, point.id, None, point, run_id))
    toe = BodyPoint(FrameNumber(90), "left_toe", 60.0, 148.0)
    edit(project, Change(Kind.POINT, toe.id, toe, None, "run1"))

    def told(name, frame, drawn):
        stop = Stop("s", FrameNumber(frame), "", drawn, None, 0.1, beside=FrameNumber(frame))
        edit(project, Change(Kind.NARRATION, name, None, Narration(name, name, ("run0", "run1"), (stop,))))
        annotate(project, None, tmp_path / f"{name}.png", FilmWish(narration=name))
        with Image.open(tmp_path / f"{name}.png") as picture:
            title = (picture.height - 2 * SIZE[1]) // 2
            return np.asarray(picture.convert("RGB")).astype(int)[title : title + SIZE[1]]

    laid = np.abs(told("with", 90, (overlay,)) - told("without", 90, ())).max(axis=2) > 40
    middle = np.add(hip, np.subtract(other_knee, other_hip) / 2).astype(int)
    near = laid[middle[1] - 3 : middle[1] + 4, middle[0] - 3 : middle[0] + 4]
    assert near.any() == laid.any() == limbs
    assert np.array_equal(told("later with", 92, (overlay,)), told("later without", 92, ()))


def tone(seconds):
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(48_000)
        file.writeframes((8000 * np.sin(np.arange(round(48_000 * seconds)) / 9)).astype(np.int16).tobytes())
    return out.getvalue()


def test_a_narration_brings_its_captions_its_zoom_its_rail_and_its_sound(project, tmp_path):
    words = "Push the ground away. שלום 🏃"
    stop = Stop("s", FrameNumber(90), words, (Overlay.LINES, Overlay.RAIL), (40.0, 60.0, 80.0, 45.0), 0.5)
    spoken = Recording("r", tone(1.0), 1.0, (Shown(0.0, FrameNumber(90), stop_id="s"),))
    told = Narration("told", "n", ("run0",), (stop,), "r")
    edit(
        project,
        Change(Kind.RECORDING, "r", None, spoken),
        Change(Kind.NARRATION, "told", None, told),
    )
    annotate(project, None, tmp_path / "a.mp4", FilmWish(narration="told"))
    with av.open(str(tmp_path / "a.mp4")) as container:
        assert [stream.type for stream in container.streams] == ["video", "audio"]
        pictures = [frame.to_ndarray(format="rgb24") for frame in container.decode(video=0)]
    assert len(pictures) == 60
    height, width = pictures[0].shape[:2]
    assert width > SIZE[0]  # the rail
    assert height > SIZE[1]  # the caption
    assert pictures[0][SIZE[1] + 2 :].max() > 200
    with pytest.raises(CinderlaneError, match="No narration is called another"):
        plan(project, FilmWish(narration="another"))


def test_where_no_stop_shows_the_rail_no_room_is_left_for_it(project, tmp_path):
    stop = Stop("s", FrameNumber(90), "", (Overlay.LINES,), None, 0.1)
    edit(project, Change(Kind.NARRATION, "told", None, Narration("told", "n", ("run0",), (stop,))))
    annotate(project, None, tmp_path / "a.png", FilmWish(look=Look(rail=True), narration="told"))
    with Image.open(tmp_path / "a.png") as picture:
        assert picture.size == SIZE


def test_a_part_of_the_picture_fills_the_view_with_the_lines_in_their_places(project, tmp_path):
    # four times as large: the trunk from (80, 100) to (110, 70) of the film
    stop = Stop("s", FrameNumber(90), "", (Overlay.LINES,), (60.0, 60.0, 80.0, 45.0), 0.1)
    edit(project, Change(Kind.NARRATION, "told", None, Narration("told", "n", ("run0",), (stop,))))
    annotate(project, None, tmp_path / "a.png", FilmWish(narration="told"))
    with Image.open(tmp_path / "a.png") as picture:
        white = np.asarray(picture.convert("RGB")).min(axis=2) > 240
    assert picture.size == SIZE
    for share in (0.3, 0.5, 0.7):
        u, v = 80 + 30 * share, 100 - 30 * share
        x, y = (u + 0.5 - 60) * 4 - 0.5, (v + 0.5 - 60) * 4 - 0.5
        rows, columns = np.nonzero(white[round(y) - 8 : round(y) + 9, round(x) - 8 : round(x) + 9])
        across = ((columns + round(x) - 8 - x) + (rows + round(y) - 8 - y)) / 2**0.5
        assert abs(across.mean()) < 1.0


def test_a_covered_face_is_covered_on_every_frame_or_nothing_is_written(project, tmp_path):
    wish = FilmWish(Pace(1.0), first=90, last=110, audience=Audience(Faces.ALL))
    out = tmp_path / "a.mp4"
    with pytest.raises(CinderlaneError, match="No face is covered"):
        annotate(project, "run0", out, wish)
    places = tuple(FacePlace(FrameNumber(frame), 180.0, 32.0, 20.0, 20.0) for frame in (90, 106))
    cover = FaceCover("face", "film", places)
    edit(project, Change(Kind.FACE_COVER, "face", None, cover))
    with pytest.raises(CinderlaneError, match="not covered on frames 110"):
        annotate(project, "run0", out, wish)
    assert not out.exists()
    annotate(project, "run0", out, replace(wish, last=106))
    annotate(project, "run0", tmp_path / "bare.mp4", replace(wish, last=106, audience=SHOWN))
    detail = []
    for path in (out, tmp_path / "bare.mp4"):
        with av.open(str(path)) as container:
            shown = [
                f.to_ndarray(format="gray")[24:41, 172:189].astype(int) for f in container.decode(video=0)
            ]
        detail.append([np.abs(np.diff(part, 2, axis=1)).mean() for part in shown])
    assert len(detail[0]) == len(detail[1]) > 3
    # what tells one thing from another is in the fine detail
    assert max(detail[0]) < 0.3 * min(detail[1])


@pytest.mark.parametrize(("name", "said"), [("A \U0001f3c3 \u0639\u0631\u0628", 0), ("A \ue000", 1)])
def test_a_sign_that_no_font_has_is_said(project, tmp_path, name, said):
    with ProjectFile.open(project) as file:
        run = file.project.runs["run0"]
    edit(project, Change(Kind.RUN, run.id, bare(run), bare(replace(run, name=name))))
    wish = FilmWish(first=98, last=98, audience=Audience(named=True))
    notes = annotate(project, run.id, tmp_path / "a.png", wish)
    assert len([note for note in notes if "no font" in note]) == said


def test_every_face_of_a_film_is_covered_or_nothing_is_written(project, tmp_path):
    faces = {1: (180.0, 32.0), 2: (60.0, 110.0)}
    for number, middle in faces.items():
        places = tuple(FacePlace(FrameNumber(frame), *middle, 20.0, 20.0) for frame in (90, 106))
        if number == 2:
            places = (FacePlace(FrameNumber(0), 0, 0, 0, 0), FacePlace(FrameNumber(98), *middle, 20.0, 20.0))
        cover = FaceCover(f"face{number}", "film", places, number)
        edit(project, Change(Kind.FACE_COVER, cover.id, None, cover))
    wish = FilmWish(Pace(1.0), first=98, last=98)
    out, bare = tmp_path / "a.png", tmp_path / "bare.png"
    with pytest.raises(CinderlaneError, match="Face 2 is not covered on frames 102, 106"):
        annotate(project, "run0", tmp_path / "a.mp4", replace(wish, last=106))
    annotate(project, "run0", out, wish)
    annotate(project, "run0", bare, replace(wish, audience=SHOWN))
    covered, open_ = (np.asarray(Image.open(path).convert("L")).astype(int) for path in (out, bare))
    for u, v in faces.values():
        part = slice(int(v) - 12, int(v) + 13), slice(int(u) - 12, int(u) + 13)
        assert np.abs(covered[part] - open_[part]).max() > 5
        fine = [np.abs(np.diff(one[part], 2, axis=1)).mean() for one in (covered, open_)]
        assert fine[0] < 0.5 * fine[1]
