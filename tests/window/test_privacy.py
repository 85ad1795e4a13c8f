"""Faces covered with the mouse, consent noted with ticks and days; each is one edit that can be undone."""

import re
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from tests.helpers.accessible import assert_accessible


@pytest.fixture
def consent(marked):
    """The form of consent on show, for a run whose athlete is named."""
    panel = marked.workspace.facts
    marked.workspace.panels.show_panel(panel)
    panel.athlete.code.setFocus()
    marked.qtbot.keyClicks(panel.athlete.code, "A1")
    marked.qtbot.keyClick(panel.athlete.code, Qt.Key.Key_Return)
    return panel.consent


def places(marked):
    covers = marked.bench.project.covers_of("film")
    return covers[0].places if covers else ()


def write(marked, field: QLineEdit, text: str):
    field.setFocus()
    field.selectAll()
    marked.qtbot.keyClicks(field, text)
    marked.qtbot.keyClick(field, Qt.Key.Key_Return)


def noted(marked):
    (consent,) = marked.bench.project.consents.values()
    return consent


def test_a_face_is_covered_by_a_drag_and_on_later_frames_by_a_click_of_the_same_size(marked):
    marked.window.actions_table["face_tool"].trigger()
    marked.drag((150.0, 60.0), (160.0, 72.0))
    (first,) = places(marked)
    assert (first.frame, first.u, first.v) == (20, pytest.approx(150, abs=0.5), pytest.approx(60, abs=0.5))
    assert (first.half_u, first.half_v) == (pytest.approx(10, abs=0.5), pytest.approx(12, abs=0.5))
    marked.go_to(40)
    marked.click(170.0, 64.0)
    assert [place.frame for place in places(marked)] == [20, 40]
    later = places(marked)[1]
    assert (later.half_u, later.half_v) == (first.half_u, first.half_v)
    assert later.u == pytest.approx(170, abs=0.5)


def test_the_cover_is_seen_while_its_tool_is_in_hand_broken_where_nobody_placed_it(marked):
    marked.window.actions_table["face_tool"].trigger()
    marked.drag((150.0, 60.0), (160.0, 72.0))
    marked.go_to(40)
    marked.click(170.0, 60.0)
    (ring,) = marked.view._ghost.rings
    assert ring.look == "placed"
    marked.go_to(30)
    (ring,) = marked.view._ghost.rings
    assert ring.look == "guessed"
    assert ring.u == pytest.approx(160, abs=0.5)
    marked.press("Esc")
    assert not marked.view._ghost.rings


def test_a_cover_is_taken_off_undone_and_ends_where_no_face_is_in_sight(marked):
    actions = marked.window.actions_table
    actions["face_tool"].trigger()
    marked.drag((150.0, 60.0), (160.0, 72.0))
    marked.go_to(21)
    actions["no_face"].trigger()
    assert [place.gone for place in places(marked)] == [False, True]
    actions["uncover_face"].trigger()
    assert len(places(marked)) == 1
    actions["uncover_face"].trigger()
    assert re.search(r"on frames 20\b", marked.notice)
    marked.press("Ctrl+Z", on=marked.window)
    assert len(places(marked)) == 2


def test_a_cover_too_small_to_hide_a_face_is_refused(marked):
    marked.window.actions_table["face_tool"].trigger()
    marked.drag((150.0, 60.0), (158.0, 60.5))
    assert places(marked) == ()
    assert "larger" in marked.notice


def test_several_faces_on_one_film_each_have_their_own_places(marked):
    actions = marked.window.actions_table
    actions["face_tool"].trigger()
    marked.drag((150.0, 60.0), (160.0, 72.0))
    marked.press("Return")
    assert "Face 2" in marked.view._prompt
    marked.drag((60.0, 90.0), (68.0, 100.0))
    first, second = marked.bench.project.covers_of("film")
    assert (first.number, second.number) == (1, 2)
    assert second.places[0].u == pytest.approx(60, abs=0.5)
    assert [ring.label for ring in marked.view._ghost.rings] == ["1", "2"]
    actions["no_face_before"].trigger()
    assert [place.gone for place in marked.bench.project.covers_of("film")[1].places] == [True, False]
    assert marked.bench.project.covers_of("film")[1].places[0].frame == 0
    # a press on the first one's cover takes it in hand, on a later frame a click goes on with it
    marked.click(150.0, 60.0)
    marked.go_to(40)
    marked.click(170.0, 64.0)
    first, second = marked.bench.project.covers_of("film")
    assert [place.frame for place in first.places] == [20, 40]
    actions["next_face"].trigger()
    actions["no_face"].trigger()
    first, second = marked.bench.project.covers_of("film")
    assert [(place.frame, place.gone) for place in second.places] == [(0, True), (20, False), (40, True)]
    marked.bench.undo()
    assert [place.frame for place in marked.bench.project.covers_of("film")[1].places] == [0, 20]


def test_a_face_that_was_not_placed_here_did_not_come_here(marked):
    marked.window.actions_table["face_tool"].trigger()
    marked.window.actions_table["no_face_before"].trigger()
    assert "Cover the face on this frame first" in marked.notice
    assert not marked.bench.project.face_covers


def test_consent_is_noted_with_its_day_and_withdrawn(marked, consent):
    assert_accessible(marked.window)
    assert "No consent to share" in consent.state.text()
    for tick in (consent.sharing.athlete, consent.sharing.guardian):
        tick.click()
    assert noted(marked).sharing.given == date.today().isoformat()  # noqa: DTZ011 - as the form has it
    assert not noted(marked).filming.athlete
    assert "may be shown" in consent.state.text()
    write(marked, consent.sharing.withdrawn, "2026-11-03")
    assert noted(marked).sharing.withdrawn == "2026-11-03"
    assert "withdrawn on 2026-11-03" in consent.state.text()
    marked.bench.undo()
    assert "may be shown" in consent.state.text()


def test_what_is_no_day_is_refused_and_nothing_is_lost(marked, consent):
    consent.filming.athlete.click()
    given = noted(marked).filming.given
    write(marked, consent.filming.given, "yesterday")
    assert "is no day" in marked.notice
    assert noted(marked).filming.given == given
    assert consent.filming.given.text() == given


def test_without_an_athlete_nothing_can_be_noted(marked):
    form = marked.workspace.facts.consent
    assert "who ran" in form.state.text()
    assert not form.sharing.isEnabled()
    assert not form.sharing.given.isEnabled()
