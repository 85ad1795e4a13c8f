"""docs/measures.md: its examples run, its figures are the program's, every key of the output is explained."""

import doctest
import json
import math

import pytest

from analysis import cli
from analysis.body import segment
from analysis.ground import camera, ground, line_map, near
from analysis.ground.carried import spread
from analysis.reading import notes
from analysis.reading.tables import STEP_COLUMNS
from analysis.speed import curve, local, pelvis, swing, zero
from analysis.steps import hips, plausible, shoes
from analysis.steps.events import DEFAULT_DOUBT_S, read_event
from analysis.values import gate
from analysis.values.bands import judging
from analysis.values.film import FrameTimes
from analysis.values.posture import Moment
from analysis.values.run import DEFAULT_ERROR_PX
from analysis.values.starting_bands import starting_bands
from tests.docs.pages import ROOT, blocks, explained, keys, page, rows
from tests.helpers.sheets import sheet


@pytest.mark.parametrize("source", blocks(page("measures.md"), "python"))
def test_the_examples_run(source):
    example = doctest.DocTestParser().get_doctest(source, {}, "measures.md", None, None)
    assert example.examples
    said = []
    result = doctest.DocTestRunner(verbose=False).run(example, out=said.append)
    assert result.failed == 0, "".join(said)


def test_every_key_that_the_program_prints_is_explained(tmp_path, capfdbinary):
    path = tmp_path / "run.json"
    path.write_text(json.dumps(sheet()), encoding="utf-8")
    assert cli.main(["read", str(path)]) == 0
    printed = keys(json.loads(capfdbinary.readouterr().out))
    assert {"contact_s", "value", "reason", "told_apart"} <= printed
    assert printed <= explained(page("measures.md")) | explained(page("run-sheet.md"))


def test_every_measure_of_a_step_stands_among_the_definitions():
    assert set(STEP_COLUMNS) <= explained(page("measures.md"))


def frame_rate_limits(rate_hz):
    """In ms: half interval of a contact and least difference of two contacts, usual and sure, to a tenth."""
    times = FrameTimes.from_seconds([n / rate_hz for n in range(100)])
    for unsure in (None, 0):
        down, off, next_down, next_off = (read_event(times, f, unsure).time for f in (10, 20, 30, 40))
        yield 1000 * spread(off - down)[1], 1000 * spread((next_off - next_down) - (off - down))[1]


def test_the_table_of_least_differences_is_the_programs():
    found = rows(
        page("measures.md"),
        "| frames a second | ± of a contact, usual | sure | least difference, usual | sure |",
    )
    assert len(found) == 5
    for rate, *figures in found:
        (usual, usual_least), (sure, sure_least) = frame_rate_limits(float(rate))
        for said, is_so in zip(figures, (usual, sure, usual_least, sure_least), strict=True):
            assert float(said) == pytest.approx(is_so, abs=0.051), rate  # half of the last figure


def test_the_readme_says_the_same():
    (_, slow), _ = frame_rate_limits(30.0)
    (_, usual), (_, sure) = frame_rate_limits(240.0)
    words = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    assert f"differ by {slow:.0f} ms at 30 frames a second and by {usual:.0f} ms at 240 before" in words
    assert f"by {sure:.0f} ms at 240 where you are sure" in words


def test_the_limits_of_the_questions_are_the_programs():
    asked = dict(rows(page("measures.md"), "| asks about | where outside |"))
    limits = {
        "contact of step 1": plausible.FIRST_CONTACT_S,
        "later contacts": plausible.LATER_CONTACT_S,
        "first flight": plausible.FIRST_FLIGHT_S,
        "step frequency": plausible.FREQUENCY_HZ,
        "length of the first step": plausible.FIRST_STEP_M,
    }
    for name, (low, high) in limits.items():
        words = asked[name].split()
        assert (float(words[0]), float(words[2])) == (low, high), name
    assert f"any contact over {plausible.SLOW_MOTION_CONTACT_S:g} s" in asked


# phrases of the page, with the figure that the program works with
FIGURES = {
    "read off to {:g} s: rectangular": gate.RESOLUTION_S,
    "looks doubtful | {:g} ms; 0 where": 1000 * DEFAULT_DOUBT_S,
    "an error of {:g} px along each axis": DEFAULT_ERROR_PX,
    "square-on, good to {:.0f}°": math.degrees(line_map.TURN_U_RAD),
    "square to the horizon to {:.0f}°": math.degrees(line_map.VERTICAL_U_RAD),
    "{:.2f} m towards the camera or away": ground.FOOT_OFFSET_M,
    "away from it | ± {:.2f} m, rectangular": ground.FOOT_OFFSET_HALF_M,
    "body's middle | {:.2f} m likewise": ground.HIP_OFFSET_M,
    "middle is taken | ± {:.2f} m, rectangular": ground.HIP_OFFSET_HALF_M,
    "`u` = {:.2f} m, constant over a film": ground.HIP_ANATOMY_M,
    "usual lens, {:g} of the picture's": camera.TYPICAL_FOCAL,
    "| {:.0f} %; what the marks allow": 100 * camera.MEASURED_U,
    "what the marks allow; {:.0f} %": 100 * camera.TYPICAL_FOCAL_U,
    "(without a toe-off: {:g} s from": shoes.OPEN_CONTACT_S,
    "between clicks up to {:g} s apart": hips.WIDEST_GAP_S,
    "up to {:.0f} ms or 3 frames from": 1000 * near.REACH_S,
    "ms or {:d} frames from the event's": near.REACH_FRAMES,
    "moved, at up to {:g} m/s (own)": shoes.SWING_M_S,
    "± {:g} m/s times the time between": shoes.SWING_M_S,
    "± {:.1f} cm for one and a half frames at 240": 100 * shoes.SWING_M_S * 1.5 / 240,
    "with ± {:g} m/s (`u`, own) for that rate": hips.RATE_U,
    "where more than {:d} steps ask": plausible.MANY,
    "may then read {:g} m/s too high": notes.ALTERNATING_M_S,
    "pass {:.0f} mm forward of their rest": 1000 * zero.FORWARD_M,
    "after at least {:g} s of rest": zero.REST_S,
    "(every {:g} s or closer)": zero.DENSE_S,
    "Body wobble {:.0f} mm; uneven steps": 1000 * local.WOBBLE_M,
    "uneven steps {:g} m/s": local.UNEVEN_U_M_S,
    "fading by {:g} ±": -local.FADING_M_S3[0],
    "± {:g} m/s³": local.FADING_M_S3[1],
    "for {:.0f} ms (own)": 1000 * swing.WOBBLE_LASTS_S,
    "goes {:g} mm forward and back": 1000 * pelvis.TURN_U_M,
    "acceleration {:g} ±": local.ACCELERATION_M_S2[0],
    "± {:g} m/s², fading": local.ACCELERATION_M_S2[1],
    "swing 0 ± {:g} cm": 100 * swing.SWING_U_M,
    "Body wobble {:.0f} mm; how far real runs": 1000 * curve.WOBBLE_M,
    "so simple a curve {:g} m/s": curve.MODEL_U_M_S,
    "At least {:d} hips": curve.FEWEST_POINTS,
    "frames within {:.0f} ms, else": 1000 * segment.CLOSE_S,
    "nearest ones within {:.0f} ms, with": 1000 * segment.NEAR_S,
    "{:g}°/s for a shin at touchdown": segment.SHIN_DOWN.rate_u,
    "{:g}°/s at toe-off": segment.SHIN_OFF.rate_u,
    "adds {:g}°/s for a shin over half the way": segment.SHIN_DOWN.kink_u,
    "{:g}°/s for a trunk": segment.TRUNK.rate_u,
    "a shin of 0.43 m ({:.1f}°)": segment.SHIN_DOWN.anatomy_deg,
    "a trunk of 0.50 m ({:.1f}°)": segment.TRUNK.anatomy_deg,
}


@pytest.mark.parametrize(("phrase", "figure"), FIGURES.items())
def test_the_figures_of_the_page_are_those_that_the_program_works_with(phrase, figure):
    assert phrase.format(figure) in " ".join(page("measures.md").split())


def test_the_starting_bands_on_the_page_are_the_programs():
    head = "| measure | start push or step 1 | step 2 | step 3 | step 4 on |"
    named = {
        "spine bend at the set position, deg": ("spine_bend_deg", Moment.SET, 0),
        "hip share": ("hip_share", Moment.PUSH, 0),
        "trunk lead, deg": ("trunk_lead_deg", Moment.PUSH, 0),
        "trunk opening to front toe-off, deg": ("trunk_opening_deg", Moment.PUSH, 0),
        "trunk at toe-off, deg": ("trunk_deg", Moment.TOE_OFF, 0),
        "trunk against shin at front toe-off, deg": ("trunk_shin_match_deg", Moment.TOE_OFF, 0),
        "touchdown distance, m": ("touchdown_distance_m", Moment.TOUCHDOWN, 1),
        "shin at touchdown, deg": ("shin_deg", Moment.TOUCHDOWN, 1),
        "knee gap at touchdown, m": ("knee_gap_m", Moment.TOUCHDOWN, 1),
    }
    found = rows(page("measures.md"), head)
    assert [row[0] for row in found] == list(named)
    shown = set()
    for words, *cells in found:
        measure, moment, first = named[words]
        plain = [cells[0] if cell == "same" else cell.replace("(front foot)", "") for cell in cells]
        for step, cell in zip((first, 2, 3, 4), plain, strict=True):
            if cell.strip():
                band = judging([starting_bands()], measure, moment, step).band
                assert tuple(map(float, cell.split(" to "))) == (band.low, band.high)
                shown.add(band)
    assert shown == set(starting_bands().bands)
