"""Two films of other rates side by side: each shows the frame that is due by a motion known in closed form.

Pictures carry their own number, which is read back from what is on show.
"""

import math

import numpy as np
import pytest
from PySide6.QtCore import QPointF

from analysis.film import open_film
from analysis.reading.laying import LockKind
from analysis.store import SUFFIX, ProjectFile
from analysis.values.command import Change, Command, FilmEntry, Kind
from analysis.values.film import FrameNumber
from analysis.values.project import run_changes
from analysis.values.run import BodyPoint, Direction, Footfall, GroundMark, Run, Side, StartPush
from tests.analysis.film.making import Kind as FilmKind
from tests.analysis.film.making import make
from tests.window.comparing import ComparingCoach

SIZE = (320, 180)
LASTS_S = 1.5
PX_PER_M = 60.0
EVENTS_S = {"upper": (0.1, 0.31, 0.45, 0.62, 0.74), "lower": (0.2, 0.38, 0.61, 0.73, 0.97)}
"""First movement, front toe-off, touchdown 1, toe-off 1, touchdown 2."""
SPEED_M_S = {"upper": 5.0, "lower": 4.0}
START_M = {"upper": -0.5, "lower": -0.8}


def tagged(time_s, rate):
    """The first frame at or after an event: on this a coach tags it."""
    return FrameNumber(math.ceil(time_s * rate - 1e-9))


def run_of(which, rate, direction):
    """A run whose hips go evenly along the lane; to the left the picture is the other way about."""

    def u(x_m):
        return 10 + PX_PER_M * x_m if direction is Direction.RIGHT else SIZE[0] - 10 - PX_PER_M * x_m

    frames = [tagged(time_s, rate) for time_s in EVENTS_S[which]]
    hips = tuple(
        BodyPoint(FrameNumber(n), f"{side}_hip", u(START_M[which] + SPEED_M_S[which] * n / rate), 100.0)
        for n in range(round(0.25 * rate), round(1.1 * rate), max(1, rate // 20))
        for side in ("left", "right")
    )
    return Run(
        which,
        which,
        which,
        FrameNumber(0),
        FrameNumber(round(LASTS_S * rate) - 1),
        direction=direction,
        start=StartPush(frames[0], None, frames[1], Side.RIGHT),
        marks=tuple(GroundMark(f"m{x}", float(x), 0.0, frames[0], u(x), 150.0) for x in (0, 2, 5)),
        footfalls=(
            Footfall("a", Side.LEFT, frames[2], frames[3]),
            Footfall("b", Side.RIGHT, frames[4], None),
        ),
        points=hips,
    )


@pytest.fixture(params=[(240, 60), (30, 240)], ids=["240 and 60", "30 and 240"])
def rates(request):
    return request.param


@pytest.fixture
def compared(qtbot, window, tmp_path, rates):
    """The upper film runs to the right, the lower one to the left."""
    project = tmp_path / f"rates{SUFFIX}"
    with ProjectFile.create(project) as file:
        for which, rate, way in zip(EVENTS_S, rates, (Direction.RIGHT, Direction.LEFT), strict=True):
            kind = FilmKind(
                frames=round(LASTS_S * rate), rate=rate, size=SIZE, options={"g": "30", "preset": "veryfast"}
            )
            path = make(tmp_path / f"{which}.mp4", kind)
            entry = FilmEntry(which, str(path), open_film(path).fingerprint)
            file.commit(Command("", (Change(Kind.FILM, which, None, entry),)))
            file.commit(Command("", run_changes(run_of(which, rate, way))))
    assert window.open_path(project)
    coach = ComparingCoach(qtbot, window)
    coach.begin()
    if coach.upper.look.run.name != "upper":
        coach.press("Y")
        coach.press("A")
    coach.frames()
    assert (coach.upper.look.run.name, coach.lower.look.run.name) == ("upper", "lower")
    return coach


def number_on_show(side):
    """The number that the picture itself carries, in ten squares of a side of an eighth of its height."""
    image = side.pane.view._image
    square = SIZE[1] // 8
    across, down = image.width() / SIZE[0], image.height() / SIZE[1]
    bits = [
        image.pixelColor(round((square * (1.5 + bit)) * across), round(1.5 * square * down)).lightness() > 127
        for bit in range(10)
    ]
    return sum(1 << bit for bit, lit in enumerate(bits) if lit)


def assert_due(coach, rates, other_s):
    """At every upper frame looked at, the lower film shows the frame on show at the time that is due."""
    upper_rate, lower_rate = rates
    begin, end = (tagged(EVENTS_S["upper"][n], upper_rate) for n in (0, 4))
    for frame in np.linspace(begin, end, 7).round().astype(int):
        coach.upper.pane.go_to(int(frame))
        shown = coach.frames()
        due = other_s(frame / upper_rate) * lower_rate
        assert shown[0] == frame
        assert math.floor(due - 0.02) <= shown[1] <= math.floor(due + 0.02), (frame, due)
        coach.qtbot.waitUntil(lambda f=shown: number_on_show(coach.upper) == f[0])
        coach.qtbot.waitUntil(lambda f=shown: number_on_show(coach.lower) == f[1])


def tagged_s(which, rate):
    return [tagged(time_s, rate) / rate for time_s in EVENTS_S[which]]


@pytest.mark.parametrize("event", [0, 2])
def test_by_an_event(compared, rates, event):
    one, two = tagged_s("upper", rates[0])[event], tagged_s("lower", rates[1])[event]
    compared.upper.pane.go_to(round(one * rates[0]))
    compared.press("O")
    assert_due(compared, rates, lambda time_s: two + time_s - one)


def test_by_all_events(compared, rates):
    one, two = tagged_s("upper", rates[0]), tagged_s("lower", rates[1])
    compared.press("Shift+O")
    assert_due(compared, rates, lambda time_s: float(np.interp(time_s, one, two)))


def place_due(one_rate, two_rate):
    """When the lower athlete is where the upper one is, from two even motions.

    Before the first metre at which the hips of both were placed: evenly from first movement on.
    """
    first = [
        START_M[which] + SPEED_M_S[which] * round(0.25 * rate) / rate
        for which, rate in zip(EVENTS_S, (one_rate, two_rate), strict=True)
    ]
    low = max(first)
    meets = [(low - START_M[which]) / SPEED_M_S[which] for which in EVENTS_S]
    begin = tagged_s("upper", one_rate)[0], tagged_s("lower", two_rate)[0]

    def due(time_s):
        if time_s >= meets[0]:
            return (START_M["upper"] - START_M["lower"] + SPEED_M_S["upper"] * time_s) / SPEED_M_S["lower"]
        return float(np.interp(time_s, (begin[0], meets[0]), (begin[1], meets[1])))

    return due


def test_by_place_and_before_the_first_place_from_first_movement_on(compared, rates):
    compared.press("P")
    assert compared.compare.bar.trouble.text() == ""
    assert_due(compared, rates, place_due(*rates))


def test_runs_to_opposite_sides_stand_at_one_scale(compared):
    """Five metres are as long in both, to the other side, about the same middle; also once zoomed."""

    def across(side, x_m):
        mark = next(m for m in side.look.run.marks if m.x_m == x_m)
        return side.pane.view.mapping.to_widget(mark.u, mark.v)[0]

    for _ in range(2):
        lengths = [across(side, 5) - across(side, 0) for side in (compared.upper, compared.lower)]
        assert lengths[0] == pytest.approx(-lengths[1], rel=0.01)
        middles = [across(side, 5) + across(side, 0) for side in (compared.upper, compared.lower)]
        assert middles[0] == pytest.approx(middles[1], abs=4)
        compared.wheel(compared.upper.pane.view, QPointF(300, 100), 2)


def test_lock_and_slips_of_two_runs_come_back_with_them(compared):
    compared.press("P")
    compared.press("K", 3)
    slips = compared.upper.slip_frames, compared.lower.slip_frames
    assert slips == (3, 0)
    pairing, chooser = compared.compare.pairing, compared.lower.chooser

    def choose(name):
        place = chooser.findText(name)
        chooser.setCurrentIndex(place)
        chooser.activated.emit(place)
        compared.frames()

    choose("upper")
    assert compared.lower.look.run.name == "upper"
    compared.press("I")
    choose("lower")
    assert pairing.lock.kind is LockKind.PLACE
    assert (compared.upper.slip_frames, compared.lower.slip_frames) == slips


def test_what_was_chosen_for_two_runs_is_there_after_a_new_start(compared, open_window, qtbot):
    """Lock, slips, which is above, mirrored, and whether at one scale; also from the other run's side."""
    compared.press("P")
    compared.press("K", 3)
    compared.press("H")
    compared.press("Y")
    compared.press("U")
    project = compared.bench.path
    compared.window.close()
    again = ComparingCoach(qtbot, open_window())
    assert again.window.open_path(project)
    again.begin()
    pairing = again.compare.pairing
    assert (again.upper.look.run.name, again.lower.look.run.name) == ("lower", "upper")
    assert pairing.lock.kind is LockKind.PLACE
    assert (again.upper.slip_frames, again.lower.slip_frames) == (0, 3)
    assert [side.pane.view.mapping.mirrored for side in (again.upper, again.lower)] == [False, True]
    assert not again.window.actions_table["same_scale"].isChecked()
