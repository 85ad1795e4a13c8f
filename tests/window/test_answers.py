"""The answers in the window: each goes to the frames that it rests on, and the coach has the last word."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QLabel

from analysis.report.body import spots_on
from analysis.values.command import Change, Command, Kind
from analysis.values.conditions import Stance
from analysis.values.project import bare
from analysis.values.questions import Question
from app.run.answers.evidence_link import MOST_STOPS, EvidenceLink, ends_of_many
from app.run.link_button import LinkButton
from tests.helpers.accessible import assert_accessible
from tests.helpers.evidence_frames import TruthFrames


@pytest.fixture
def reader(coach):
    """A coach at the first run of the demo project."""
    assert coach.window.open_demo()
    coach.wait_for_picture()
    return coach


def click(coach, button):
    coach.window.run_workspace.summary.ensureWidgetVisible(button)
    coach.qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def test_the_first_cause_stands_first_and_says_what_it_is_not(reader):
    answers = reader.workspace.summary.answers
    cause = reader.bench.reading.first_cause
    assert answers.cause.text() == cause.sentence
    # put into the first demo run: its trunk opens before the hips go
    assert cause.question is Question.LAUNCH
    assert "not a diagnosis" in answers.cause.text()
    assert_accessible(answers)


def test_each_click_on_a_departure_goes_to_an_end_of_the_frames_that_it_rests_on(reader):
    (departure, *_) = reader.bench.reading.questions[0].departures
    assert len(departure.frames) > MOST_STOPS
    link = reader.workspace.summary.answers.answers[Question.LAUNCH].departures[0]
    for frame in (min(departure.frames), max(departure.frames)):
        click(reader, link.go)
        reader.wait_for(int(frame))


def test_a_frame_that_an_answer_rests_on_is_shown_close_by_until_the_film_is_elsewhere(reader):
    view = reader.workspace.pane.view
    link = reader.workspace.summary.answers.answers[Question.LAUNCH].departures[0]
    whole = view.mapping.scale
    frames = reader.bench.reading.questions[0].departures[0].frames
    click(reader, link.go)
    reader.wait_for(int(min(frames)))
    assert view.mapping.scale > 1.5 * whole
    room = view.rect()
    spots = spots_on(reader.bench.run, reader.bench.tracks, int(min(frames)))
    assert len(spots) > 10
    for spot in spots.values():
        assert room.contains(QPointF(*view.mapping.to_widget(*spot.place)).toPoint())
    reader.press("Right")  # a frame on it is still close by
    reader.wait_for(int(min(frames)) + 1)
    assert not view.is_fitted
    for _ in range(7):
        reader.press("Shift+Right")
    reader.wait_for(int(min(frames)) + 71)
    assert view.is_fitted
    # a view of the coach's own is left as large as it is
    view.zoom(3.0)
    own = view.mapping.scale
    click(reader, link.go)
    reader.wait_for(int(max(frames)))
    assert view.mapping.scale == own


def test_the_legend_does_not_lie_over_the_foot_that_an_answer_rests_on(reader):
    """At 1280 x 800 the athlete fills the picture that is shown close by."""
    reader.window.resize(1280, 800)
    view = reader.workspace.pane.view
    link = reader.workspace.summary.answers.answers[Question.STRIKE].departures[0]
    frames = reader.bench.reading.questions[2].departures[0].frames
    for frame in ends_of_many(frames):
        click(reader, link.go)
        reader.wait_for(int(frame))
        surface = QPixmap(view.size())
        painter = QPainter(surface)
        painter.setFont(view.font())
        box = view._legend(painter).box
        painter.end()
        spots = spots_on(reader.bench.run, reader.bench.tracks, int(frame))
        assert len(spots) > 10
        for name, spot in spots.items():
            assert not box.contains(QPointF(*view.mapping.to_widget(*spot.place))), name


def test_measures_unfold_with_number_band_and_verdict_and_go_to_their_frames(reader):
    view = reader.workspace.summary.answers.answers[Question.LAUNCH]
    click(reader, view.more)
    words = " ".join(label.text() for label in view.measures.findChildren(QLabel) if not label.isHidden())
    answer = reader.bench.reading.questions[0]
    lead = next(one for one in answer.measures if one.measure == "trunk_lead_deg")
    assert "departs, band \N{MINUS SIGN}5 to 8°" in words
    links = view.measures.findChildren(type(view.more))
    button = next(link for link in links if link.accessibleName().startswith("Trunk lead"))
    click(reader, button)
    reader.wait_for(int(lead.frames[0]))


def test_the_coach_sees_it_otherwise_and_both_are_kept(reader):
    form = reader.workspace.summary.answers.coach
    before = reader.bench.reading.first_cause
    click(reader, form.open)
    reader.press("Down", 2, on=form.question)
    reader.qtbot.keyClicks(form.reason, "shoe slipped")
    reader.press("Return", on=form.reason)
    after = reader.bench.reading.first_cause
    assert (after.coach.question, after.coach.reason) == (Question.STRIKE, "shoe slipped")
    assert (after.question, after.sentence) == (before.question, before.sentence)
    assert "strike. shoe slipped" in form.words.text()
    click(reader, form.back)
    assert reader.bench.run.overruled is None
    reader.press("Ctrl+Z")
    assert reader.bench.run.overruled is not None


def test_what_the_coach_is_writing_stays_when_a_new_reading_comes(reader):
    form = reader.workspace.summary.answers.coach
    click(reader, form.open)
    reader.press("Down", 1, on=form.question)
    reader.qtbot.keyClicks(form.reason, "seen from")
    before = reader.bench.reading
    reader.press("Right")
    reader.wait_for_picture()
    reader.press("Q")  # another first movement: another reading
    assert reader.bench.reading is not before
    assert form.reason.isVisible()
    assert form.reason.text() == "seen from"
    reader.qtbot.keyClicks(form.reason, " behind")
    reader.press("Return", on=form.reason)
    assert reader.bench.run.overruled.reason == "seen from behind"
    assert not form.reason.isVisible()


def test_what_was_begun_for_one_run_is_not_taken_to_another(reader):
    form = reader.workspace.summary.answers.coach
    click(reader, form.open)
    reader.qtbot.keyClicks(form.reason, "of this run")
    chooser = reader.window.run_chooser
    chooser.setCurrentIndex(1 - chooser.currentIndex())
    chooser.activated.emit(chooser.currentIndex())
    assert not form.reason.isVisible()
    assert form.reason.text() == ""


def test_of_many_frames_a_link_goes_to_the_first_and_the_last(qtbot):
    link = EvidenceLink("The trunk opens.", range(35, 86), None)
    qtbot.addWidget(link)
    asked = []
    link.frame_requested.connect(asked.append)
    assert link.go.text() == "Show frame 35, 1 of 2"
    for _ in range(3):
        qtbot.mouseClick(link.go, Qt.MouseButton.LeftButton)
    assert asked == [35, 85, 35]


def test_of_few_frames_a_link_goes_to_each(qtbot):
    link = EvidenceLink("The foot lands in front.", (93, 41), None)
    qtbot.addWidget(link)
    asked = []
    link.frame_requested.connect(asked.append)
    for _ in range(3):
        qtbot.mouseClick(link.go, Qt.MouseButton.LeftButton)
    assert asked == [93, 41, 93]


def test_a_day_is_planned_for_it_in_one_click(reader):
    click(reader, reader.workspace.summary.answers.plan)
    (day,) = (one for one in reader.bench.project.days.values() if one.id != "demo-day")
    assert day.question is Question.LAUNCH
    assert day.athlete_ids == (reader.bench.run.athlete_id,)
    assert day.drills
    assert reader.window.workspaces.currentWidget() is reader.window.plan_workspace


def test_how_ragged_the_times_are_stands_with_the_rhythm(reader):
    answers = reader.workspace.summary.answers
    beside = answers.answers[Question.RHYTHM].beside
    assert beside.isVisibleTo(answers)
    assert beside.text() == reader.bench.reading.questions[-1].beside
    assert "chance" in beside.text()
    assert not answers.answers[Question.LAUNCH].beside.isVisibleTo(answers)


def test_the_words_beside_a_day_that_is_planned_are_of_a_drill_in_it(reader):
    plan = reader.window.plan_workspace
    reader.press("Ctrl+3")
    plan.drills.shown.emit("ankle-hop")  # what the coach last read
    assert plan.drill_panel.drill.id == "ankle-hop"
    reader.press("Ctrl+1", on=plan)
    click(reader, reader.workspace.summary.answers.plan)
    ids = [one.drill_id for one in plan.day.drills]
    assert "ankle-hop" not in ids
    assert plan.drill_panel.drill.id == ids[0]
    assert plan.drill_panel.drill.name in plan.drill_panel.words.toPlainText()


def test_what_was_taken_for_granted_is_said_in_one_click(reader):
    """The starting bands are for adults from a split stance; a coach who said neither is told so."""
    run = reader.bench.run
    answers = reader.workspace.summary.answers
    assert not answers.unsaid.isVisible()
    unsaid = replace(run, conditions=replace(run.conditions, stance=None))
    reader.bench.edit(Command("", (Change(Kind.RUN, run.id, bare(run), bare(unsaid)),)))
    assert "Nobody said the start stance" in answers.cause.text()
    assert answers.unsaid.text() == "Say it: start stance"
    click(reader, answers.unsaid)
    stance = reader.workspace.facts.conditions.stance
    assert stance.isVisible()
    assert stance.hasFocus()
    reader.press("Down", on=stance)
    reader.qtbot.waitUntil(lambda: reader.bench.run.conditions.stance is Stance.SPLIT)
    assert "Nobody said" not in answers.cause.text()
    assert answers.unsaid.isHidden()


def test_a_run_with_nothing_on_it_says_that_nothing_could_be_judged(coach, small):
    assert coach.window.open_path(small)
    coach.wait_for_picture()
    answers = coach.workspace.summary.answers
    assert "Nothing could be judged yet" in answers.cause.text()
    assert answers.plan.isHidden()


def test_every_link_of_every_answer_goes_to_the_frames_of_its_true_events(reader):
    """The frames come from the renderer's own events, not from the reading that the window shows."""
    truth = TruthFrames("wing_day1")
    gone = []
    for question, view in reader.workspace.summary.answers.answers.items():
        answer = reader.bench.reading.questions[list(Question).index(question)]
        if not view.more.isChecked():
            click(reader, view.more)
        there = [one for one in (*answer.measures, *answer.over_steps) if one.frames]
        links = [one for one in view.measures.findChildren(LinkButton) if one.isVisibleTo(view.measures)]
        assert len(links) == len(there) > 0
        for one, link in zip(there, links, strict=True):
            click(reader, link)
            gone.append(reader.pane.wanted)
            assert link.text() == f"frame {reader.pane.wanted}"
            whole = one.measure.removeprefix("by_step_").removeprefix("left_less_right_")
            if whole != one.measure:
                firsts = {min(truth.whole(whole))}
            else:
                rhythm = question is Question.RHYTHM
                firsts = truth.first_frames(one.measure, one.moment, one.step, change=rhythm)
            assert reader.pane.wanted in firsts, (one.name, one.step)
        click(reader, view.more)
        for rests, link in zip(answer.departures or (answer,), view.departures, strict=True):
            stops = ends_of_many(sorted(rests.frames))
            assert stops
            for frame in (*stops, stops[0]):
                click(reader, link.go)
                assert reader.pane.wanted == frame
    assert len(set(gone)) > 30  # from the set position to the last step
    reader.wait_for_picture()
