"""Drafts in the real window: a coach's count from the film to a confirmed step table, and what is said.

What the table has to say is the renderer's truth; where the marks lie is the clip's own sheet.
"""

import json
import math
import shutil
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QToolButton

from analysis.film import open_film
from analysis.jobs.draft_wish import DraftWish, wish_for
from analysis.jobs.drafted import Drafted, StripPicture, packed
from analysis.jobs.drafting import DraftingJob
from analysis.store import SUFFIX, ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.estimate import Estimate
from analysis.values.film import FrameNumber
from analysis.values.project import run_changes
from analysis.values.run import Footfall, Run, Side
from app.drafts.answers import confirm
from app.marking.events import EventRef
from app.theme.apply import current_theme
from tests.helpers.films import project_on
from tests.helpers.patience import PATIENCE_MS

SAMPLES = Path(__file__).resolve().parents[2] / "sample_clips"
SHEET = json.loads((SAMPLES / "wing_day1.json").read_text(encoding="utf-8"))
TRUTH = json.loads((SAMPLES / "wing_day1.truth.json").read_text(encoding="utf-8"))
MOST_ACTS = 25
FRAME_S = 1 / 240


class Counting:
    """Counts every key and click that goes through a coach's hands."""

    def __init__(self, coach):
        self.coach = coach
        self.acts = 0

    def press(self, key, on=None):
        self.acts += 1
        self.coach.press(key, on=on)

    def click(self, u, v):
        self.acts += 1
        self.coach.click(u, v)

    def go_to(self, frame):
        """Steps of ten and of one, each a key."""
        self.acts += sum(divmod(abs(frame - self.coach.pane.wanted), 10))
        self.coach.go_to(frame)

    def mark_two(self):
        """The marks at the distances that are proposed."""
        question = self.coach.workspace.toolbox.question
        self.press("M")
        for x_m in (0.0, 5.0):
            self.click(*mark(x_m))
            self.coach.qtbot.waitUntil(question.isVisible)
            self.press("Return", on=question.along)
        self.press("Escape")


@pytest.fixture
def wing(coach, window, tmp_path):
    """A coach in front of the sample clip, nothing marked on it."""
    film = Path(shutil.copy(SAMPLES / "wing_day1.mp4", tmp_path / "wing.mp4"))
    assert window.open_path(film)
    coach.wait_for_picture()
    return coach


@pytest.fixture(scope="module")
def kept_draft():
    """What drafting the sample clip without marks gives, made once."""
    job = DraftingJob(DraftWish(SAMPLES / "wing_day1.mp4", ""))
    try:
        job._process.wait(PATIENCE_MS / 1000)
        return packed(job.result())
    finally:
        job.close()


@pytest.fixture
def drafted(coach, window, tmp_path, kept_draft):
    """A coach who opens a project whose film was drafted the day before; its drafts were all refused."""
    film = Path(shutil.copy(SAMPLES / "wing_day1.mp4", tmp_path / "wing.mp4"))
    entry = FilmEntry("film", str(film), open_film(film).fingerprint)
    run = Run("run", "film", "first", FrameNumber(0), FrameNumber(719))
    path = film.with_suffix(SUFFIX)
    with ProjectFile.create(path) as file:
        file.commit(Command("", (Change(Kind.FILM, "film", None, entry),)))
        file.commit(Command("", run_changes(run)))
        file.keep_draft("film", wish_for(file.project, run, film).key, kept_draft)
    assert window.open_path(path)
    coach.wait_for_picture()
    return coach


def wait_for_drafts(coach):
    finder = coach.workspace.drafts.finder
    coach.qtbot.waitUntil(lambda: not finder.busy)
    coach.wait_for_picture()


def mark(u_v):
    found = next(m for m in SHEET["marks"] if (m["x_m"], m["y_m"]) == (u_v, 0.0))
    return found["u"], found["v"]


def test_from_the_film_to_a_confirmed_step_table_in_few_acts(wing):
    hand = Counting(wing)
    hand.mark_two()
    hand.press("Ctrl+D")
    wait_for_drafts(wing)
    drafted = wing.bench.run.footfalls
    assert len(drafted) >= 8
    assert all(f.draft for f in drafted)
    assert wing.bench.reading.steps == ()
    # those that are sure by one key, the others and the start looked at one by one
    hand.press("Shift+Return")
    while any(f.draft for f in wing.bench.run.footfalls) or wing.bench.run.start.drafts:
        wing.wait_for_picture()
        hand.press("Return")
        assert hand.acts <= 60
    assert hand.acts <= MOST_ACTS
    assert wing.bench.run.start.front_toe_off is not None

    run, reading = wing.bench.run, wing.bench.reading
    assert [f.side for f in run.footfalls] == [Side(s["side"]) for s in TRUTH["steps"]][: len(run.footfalls)]
    assert len(reading.steps) == len(drafted)
    off = []
    for step, true in zip(reading.steps, TRUTH["steps"], strict=False):
        # taken as drafted, unmoved: not one contact is off by more than 6 frames
        assert isinstance(step.contact_s, Estimate)
        off.append(abs(step.contact_s.value - true["contact_s"]) / FRAME_S)
        assert off[-1] < 6
        # this figure's foot comes to rest before it lands: in its last three frames it goes less than a pixel
        assert step.touchdown * FRAME_S == pytest.approx(true["touchdown_s"], abs=4 * FRAME_S)
        if isinstance(step.step_length_m, Estimate):
            assert step.step_length_m.low <= true["step_length_m"] <= step.step_length_m.high
    # two frames at each end, as a draft is called right, for all but one
    assert sum(frames <= 4.5 for frames in off) >= len(drafted) - 1
    assert sum(isinstance(step.step_length_m, Estimate) for step in reading.steps) >= len(drafted) - 1
    assert len([p for p in run.points if p.name.endswith("toe")]) == len(drafted)


def test_the_tool_in_hand_is_put_away_before_drafts_are_looked_at(drafted):
    """Its close-up would cover the athlete, and Return would be the tool's."""
    drafted.press("M")
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    assert not drafted.workspace.toolbox.in_hand.placing
    waiting = sum(f.draft for f in drafted.bench.run.footfalls)
    drafted.press("Return")
    drafted.press("Return")
    assert sum(f.draft for f in drafted.bench.run.footfalls) == waiting - 1


def test_by_hand_the_same_takes_many_times_as_many_acts(wing):
    """A coach who knows each frame beforehand, the renderer's truth, and only steps there and tags it."""
    hand = Counting(wing)
    hand.mark_two()
    events = TRUTH["events"]
    keys = [
        (events["first_movement_s"], "Q"),
        (events["rear_toe_off_s"], "W"),
        (events["front_toe_off_s"], "E"),
    ]
    downs = events["touchdown_s"][: len(events["toe_off_s"])]
    keys += [(s, "D") for s in downs] + [(s, "F") for s in events["toe_off_s"]]
    for event_s, key in sorted(keys):
        hand.go_to(math.ceil(event_s / FRAME_S))
        hand.press(key)
    run = wing.bench.run
    assert len(wing.bench.reading.steps) == len(downs)
    assert run.start.front_toe_off == math.ceil(events["front_toe_off_s"] / FRAME_S)
    assert [f.touchdown for f in run.footfalls] == [math.ceil(s / FRAME_S) for s in downs]
    assert hand.acts > 5 * MOST_ACTS


def test_what_was_not_found_is_said_and_the_draft_is_one_edit(drafted):
    before = drafted.bench.project
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    bar = drafted.workspace.drafts.bar
    # the truth: the last contact is cut off by the film's end, and its foot stands in the picture then
    assert "The film ends at 3.00 s, before the runner leaves the picture" in bar.words.text()
    last = len(TRUTH["events"]["touchdown_s"]) - len(TRUTH["events"]["toe_off_s"])
    assert last == 1
    assert bar.swap.isVisible()
    assert drafted.bench.run.start.drafts
    drafted.press("Ctrl+Z")
    assert drafted.bench.project == before


def test_keys_move_refuse_and_confirm_a_draft(drafted):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    run = drafted.bench.run
    first, second = run.footfalls[:2]
    assert drafted.bench.selected == EventRef(first.id, "touchdown")
    drafted.wait_for(first.touchdown)
    drafted.press("Ctrl+Right")
    drafted.wait_for(first.touchdown + 1)
    assert drafted.bench.run.footfalls[0].touchdown == first.touchdown + 1
    assert drafted.bench.run.footfalls[0].draft
    drafted.press("Return")
    drafted.wait_for(first.toe_off)
    drafted.press("Return")
    drafted.wait_for(second.touchdown)
    assert not drafted.bench.run.footfalls[0].draft
    drafted.press("Delete")
    drafted.wait_for(run.footfalls[2].touchdown)
    assert second.id not in {f.id for f in drafted.bench.run.footfalls}
    sides = [f.side for f in drafted.bench.run.footfalls]
    drafted.press("Shift+S")
    assert [f.side for f in drafted.bench.run.footfalls] == [sides[0], *(side.other for side in sides[1:])]
    # on the rail Return goes on too
    rail = drafted.workspace.rail
    third = run.footfalls[2]
    drafted.press("Return", on=rail)
    drafted.wait_for(third.toe_off)


def test_the_draft_in_hand_stays_in_hand_while_its_frames_are_looked_at(drafted):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    first, second, third = drafted.bench.run.footfalls[:3]
    drafted.press("Right", 3)
    drafted.wait_for(first.touchdown + 3)
    drafted.press("Ctrl+Left")
    drafted.wait_for(first.touchdown - 1)
    assert drafted.bench.run.footfalls[0].touchdown == first.touchdown - 1
    drafted.press("Left", 4)
    drafted.wait_for(first.touchdown - 5)
    drafted.press("Return")
    drafted.wait_for(first.toe_off)
    drafted.press("Right", 2)
    drafted.wait_for(first.toe_off + 2)
    drafted.press("Return")
    drafted.wait_for(second.touchdown)
    assert [f.draft for f in drafted.bench.run.footfalls[:3]] == [False, True, True]
    drafted.press("Left", 6)
    drafted.wait_for(second.touchdown - 6)
    drafted.press("Delete")
    drafted.wait_for(third.touchdown)
    assert second.id not in {f.id for f in drafted.bench.run.footfalls}
    assert third.id in {f.id for f in drafted.bench.run.footfalls}
    # on the rail too
    rail = drafted.workspace.rail
    drafted.press("Down", 4, on=rail)
    drafted.wait_for(third.touchdown + 4)
    drafted.press("Return", on=rail)
    drafted.wait_for(third.toe_off)


def test_far_from_every_draft_no_key_answers_one(drafted):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    before = drafted.bench.run
    first = before.footfalls[0]
    drafted.go_to(0)
    drafted.press("Delete")
    assert drafted.bench.run == before
    assert "Select an event" in drafted.notice
    drafted.press("Return")  # shows the next one, answers none
    drafted.wait_for(first.touchdown)
    assert drafted.bench.run == before
    # come back by hand: the nearest is in hand again
    drafted.go_to(0)
    drafted.go_to(first.touchdown + 2)
    drafted.press("Delete")
    assert first.id not in {f.id for f in drafted.bench.run.footfalls}


def test_a_streak_clicked_on_the_strip_takes_its_draft_in_hand(drafted, qtbot):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    third, fourth = drafted.bench.run.footfalls[2:4]
    strip = drafted.workspace.beside.strip
    cells = strip._cells
    box = strip._box(third, cells)
    place = box.center().toPoint()
    place.setY(round(box.top()) + 1)
    qtbot.mouseClick(strip, Qt.MouseButton.LeftButton, pos=place)
    drafted.wait_for_picture()
    assert drafted.bench.selected == EventRef(third.id, "touchdown")
    # the keys go on from where the click left them: on the strip itself
    focus = drafted.window.focusWidget()
    drafted.press("Return", on=focus)
    drafted.wait_for(third.toe_off)
    drafted.press("Return", on=focus)
    drafted.wait_for(fourth.touchdown)
    assert [f.draft for f in drafted.bench.run.footfalls[:4]] == [True, True, False, True]
    drafted.press("Delete", on=focus)
    assert fourth.id not in {f.id for f in drafted.bench.run.footfalls}


def test_after_a_drag_of_the_film_s_own_strip_return_is_the_draft_s(drafted, qtbot):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    second = drafted.bench.run.footfalls[1]
    scrub = drafted.pane.strip
    place = QPoint(round(scrub.x_of(second.touchdown)), scrub.height() // 2)
    qtbot.mouseClick(scrub, Qt.MouseButton.LeftButton, pos=place)
    drafted.wait_for_picture()
    drafted.press("Right", abs(second.touchdown - drafted.pane.wanted), on=scrub)
    drafted.wait_for_picture()
    drafted.press("Return", on=scrub)
    drafted.wait_for(second.toe_off)


def test_all_sure_drafts_are_confirmed_by_one_key(drafted):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    surest = max(f.confidence for f in drafted.bench.run.footfalls)
    drafted.workspace.drafts.bar.level.setValue(int(100 * surest))
    sure = [f.id for f in drafted.bench.run.footfalls if f.confidence >= int(100 * surest) / 100]
    drafted.press("Shift+Return")
    assert [f.id for f in drafted.bench.run.footfalls if not f.draft] == sure
    drafted.workspace.drafts.bar.level.setValue(100)
    drafted.press("Shift+Return")
    assert "No draft is so sure" in drafted.notice


def test_drafts_count_by_the_coach_s_word_only(drafted):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    action = drafted.window.actions_table["count_drafts"]
    assert drafted.bench.reading.steps == ()
    action.trigger()
    assert len(drafted.bench.reading.steps) == len(drafted.bench.run.footfalls)
    assert any("nobody has confirmed" in note for note in drafted.bench.reading.notes)
    action.trigger()
    assert drafted.bench.reading.steps == ()


def test_a_film_without_a_runner_says_so(coach, window, small):
    """The small film's pictures are noise and bars: nobody runs there."""
    assert window.open_path(project_on(small))
    coach.wait_for(20)
    before = coach.bench.run
    coach.press("Ctrl+D")
    wait_for_drafts(coach)
    assert coach.bench.run == before
    bar = coach.workspace.drafts.bar
    assert bar.isVisible()
    assert bar.words.text()
    bar.close_notes.click()
    assert not bar.isVisible()


def test_drafts_are_offered_until_the_coach_has_tagged_or_says_no(wing):
    bar = wing.workspace.drafts.bar
    assert bar.offer.isVisible()
    wing.press("D")
    assert wing.bench.run.footfalls
    assert not bar.isVisible()
    wing.press("Ctrl+Z")
    assert bar.draft.isVisible()
    bar.draft.click()
    assert wing.workspace.drafts.finder.busy
    assert not bar.draft.isVisible()
    bar.cancel.click()
    assert bar.by_hand.isVisible()
    bar.by_hand.click()
    assert not bar.isVisible()


def test_looking_can_be_cancelled(wing):
    before = wing.bench.project
    wing.press("Ctrl+D")
    bar = wing.workspace.drafts.bar
    bar.cancel.click()
    wait_for_drafts(wing)
    assert wing.bench.project == before
    assert "was stopped" in wing.notice
    assert not bar.cancel.isVisible()


def test_the_strip_begins_on_the_frame_that_the_film_shows(marked):
    """A strip comes while the film stands: its playhead is where the rail's is."""
    marked.go_to(40)
    finder, run = marked.workspace.drafts.finder, marked.bench.run
    bare = np.zeros((marked.bench.film.frames, 160), dtype=np.uint8)
    finder._kept[marked.bench.path, run.film_id] = "", Drafted(strip=StripPicture(bare, 0.0, 0.0, 100.0))
    finder.strip_changed.emit()
    assert marked.workspace.beside.strip.isVisible()
    assert marked.workspace.beside.strip.value() == marked.workspace.rail.value() == 40


def test_the_strip_is_there_at_once_when_a_project_is_opened_again(drafted):
    assert drafted.workspace.beside.strip.isVisible()
    assert not drafted.bench.run.footfalls
    drafted.press("Ctrl+G")
    assert not drafted.workspace.beside.strip.isVisible()


def test_what_is_tagged_by_hand_is_outlined_on_the_strip(drafted):
    """The third contact of the film, tagged by hand; where its shoe stands is the renderer's truth."""
    true = TRUTH["steps"][2]
    down = round(true["touchdown_s"] / FRAME_S)
    up = round((true["touchdown_s"] + true["contact_s"]) / FRAME_S)
    tagged = Footfall("by hand", Side(true["side"]), FrameNumber(down), FrameNumber(up))
    run = drafted.bench.run
    assert drafted.bench.attempt(
        lambda: Command("", (Change(Kind.FOOTFALL, tagged.id, None, tagged, run.id),))
    )
    strip = drafted.workspace.drafts.finder.strip
    scale = [(m["u"], m["x_m"]) for m in SHEET["marks"] if m["y_m"] == 0.0]
    u = np.interp(true["shoe_tip_x_m"], *[[one[k] for one in sorted(scale)] for k in (1, 0)])
    column = drafted.workspace.beside.strip._places[tagged.id]
    assert strip.pixel(down, column)[0] == pytest.approx(u, abs=30)  # a shoe is some 28 cm, 24 px, long


def test_the_strip_alone_can_be_asked_for(wing):
    before = wing.bench.project
    assert not wing.workspace.beside.strip.isVisible()
    wing.press("Ctrl+G")
    assert "ground strip" in wing.workspace.drafts.bar.words.text()
    wait_for_drafts(wing)
    assert wing.workspace.beside.strip.isVisible()
    assert wing.bench.project == before
    # what was found for the strip serves the draft: nothing is looked at again
    wing.press("Ctrl+D")
    assert not wing.workspace.drafts.finder.busy
    assert any(f.draft for f in wing.bench.run.footfalls)


@pytest.mark.parametrize("size", [(1280, 800), (1440, 900), (1920, 1080)])
def test_the_row_under_the_film_is_whole_with_and_without_the_strip(drafted, qtbot, size):
    window, transport = drafted.window, drafted.workspace.transport
    window.resize(*size)
    qtbot.waitUntil(lambda: window.size().toTuple() == size)
    parts = [transport.where, transport.next_foot, transport.speed, *transport.findChildren(QToolButton)]

    def whole():
        boxes = [QRect(part.mapTo(transport, QPoint()), part.size()) for part in parts]
        return all(transport.rect().contains(box) for box in boxes)

    def height_it_needs():
        return transport.height() == transport.minimumSizeHint().height()

    for _ in range(3):
        qtbot.waitUntil(lambda: whole() and height_it_needs())
        drafted.press("Ctrl+G")


def test_drafts_are_hollow_on_the_film_s_strip_until_they_are_confirmed(drafted, qtbot):
    drafted.press("Ctrl+D")
    wait_for_drafts(drafted)
    first = drafted.bench.run.footfalls[0]
    drafted.go_to(0)
    strip = drafted.pane.strip
    filled = QColor(current_theme().side(first.side).fill)

    def inside():
        picture = strip.grab().toImage()
        middle = round(strip.x_of((first.touchdown + first.toe_off) / 2))
        ratio = picture.width() / strip.width()
        top = strip.height() / 2 - (7 if first.side is Side.LEFT else 0) + 3.5
        return picture.pixelColor(round(middle * ratio), round(top * ratio))

    assert inside() != filled
    assert drafted.bench.attempt(lambda: confirm(drafted.bench.run, EventRef(first.id, "touchdown"), {}))
    assert inside() == filled
