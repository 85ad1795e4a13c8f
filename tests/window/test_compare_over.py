"""What lies over two films: the other run's body, and the legend."""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap

from analysis.report.narrated import BODIES
from analysis.values.narration import Overlay


def lies_over(side):
    """What of the other run's body lies over a film: limbs, and what the legend says."""
    other = side.pane.view._scene.other
    return (0, "") if other is None else (len(other.strokes), other.words)


def test_the_other_body_lies_over_the_film_in_hand_at_its_events(two):
    down = two.upper.look.reading.steps[1].touchdown
    two.upper.pane.go_to(down)
    two.frames()
    two.press("Shift+H")
    limbs, words = lies_over(two.upper)
    assert limbs > 5
    assert words == "wing_day2, 2 R touchdown, hips together"
    assert lies_over(two.lower) == (0, "")
    assert two.upper.other_body.isChecked()
    two.press("Right")
    two.frames()
    assert lies_over(two.upper) == (0, "wing_day2: go to an event of both runs")
    two.press(",")
    two.frames()
    assert lies_over(two.upper)[0] == limbs
    two.press("Shift+U")
    assert lies_over(two.upper)[1].endswith("stance toes together")
    two.press("A")  # each film has its own
    assert not two.window.actions_table["other_body"].isChecked()
    two.press("A")
    two.press("Shift+H")
    assert lies_over(two.upper) == (0, "")


def test_the_other_body_comes_back_with_the_pair(two, qtbot):
    qtbot.mouseClick(two.lower.other_body, Qt.MouseButton.LeftButton)
    two.press("Shift+U")
    two.press("Ctrl+1")
    two.press("Ctrl+2", on=two.view)
    two.frames()
    kept = two.compare.pairing._choices.of(two.upper.look.run.id, two.lower.look.run.id)
    assert (kept.upper.other_body, kept.lower.other_body, kept.meet) == (False, True, "stance toe")
    assert two.lower.other_body.isChecked()


def test_a_stop_holds_the_other_body_as_it_lies_over_the_films(two, qtbot):
    """It is presented over both films at events of both, chosen for each stop, and one way at a time."""
    down = two.upper.look.reading.steps[1].touchdown
    two.upper.pane.go_to(down)
    two.press("O")  # both films are at this event
    two.frames()
    two.press("Shift+H")
    two.press("Shift+N")
    two.press("Right")
    two.press("Shift+H")
    two.press("Shift+N")
    (told,) = two.bench.project.narrations.values()
    assert [Overlay.OTHER in stop.drawn for stop in told.stops] == [True, False]
    panel = two.compare.told
    two.compare.beside.setCurrentWidget(panel)
    panel.stops.setCurrentItem(panel.stops.topLevelItem(1))
    toe, hips = (panel.shows.overlays[one] for one in (Overlay.OTHER_TOE, Overlay.OTHER))
    assert toe.isVisible()
    for action, drawn in ((hips, Overlay.OTHER), (toe, Overlay.OTHER_TOE), (toe, None)):
        action.trigger()
        (told,) = two.bench.project.narrations.values()
        assert [one for one in told.stops[1].drawn if one in BODIES] == [drawn] * (drawn is not None)
    two.press("Shift+P")
    stage = two.window.run_workspace.narrating.stage.stage
    first, second = (screen.pane for screen in stage.screens)
    qtbot.waitUntil(lambda: first.shown == down and second.shown == second.wanted >= 0)
    for screen, name in zip(stage.screens, ("wing_day2", "wing_day1"), strict=True):
        other = screen.pane.view._scene.other
        assert len(other.strokes) > 5
        assert other.words == f"{name}, 2 R touchdown, hips together"
    qtbot.keyClick(stage, Qt.Key.Key_PageDown)
    qtbot.keyClick(stage, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: first.shown == down + 1 and second.shown == second.wanted)
    assert all(screen.pane.view._scene.other is None for screen in stage.screens)
    stage.close()


def test_no_legend_lies_over_the_lane_on_a_small_screen(two, qtbot):
    """The least screen: the marks on the lane show where the feet land, and the legend is a dark plate."""
    two.window.resize(1280, 800)
    qtbot.waitUntil(lambda: two.window.size().toTuple() == (1280, 800))
    for side in (two.upper, two.lower):
        view = side.pane.view
        surface = QPixmap(view.size())
        painter = QPainter(surface)
        painter.setFont(view.font())
        box = view._legend(painter).box
        painter.end()
        feet = [
            QPointF(*view._mapping.to_widget(mark.u, mark.v)) for mark in side.look.run.marks if mark.y_m == 0
        ]
        assert len(feet) >= 3
        assert not [place for place in feet if box.contains(place)]
