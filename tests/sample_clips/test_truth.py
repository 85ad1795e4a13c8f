"""The sample clips obey the laws that their truth claims."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import sample_clips
from sample_clips.check import LIMITS, check, failures
from sample_clips.film import Film
from sample_clips.scenario import CameraKind, Side
from sample_clips.scenarios import CAMERAS, SCENARIOS, drawn
from sample_clips.truth import Truth, read_truth, truth_of

FOLDER = Path(sample_clips.__file__).parent


@pytest.fixture(scope="module")
def stored() -> dict[str, Truth]:
    return {name: read_truth(FOLDER, name) for name in SCENARIOS}


@pytest.mark.parametrize("name", sorted(SCENARIOS))
def test_a_stored_clip_obeys_every_law(stored: dict[str, Truth], name: str) -> None:
    found = check(stored[name], FOLDER / f"{name}.mp4")
    assert set(found) == set(LIMITS)
    assert failures(found) == []


@pytest.mark.parametrize("name", sorted(SCENARIOS))
def test_the_stored_truth_is_what_the_renderer_would_write(stored: dict[str, Truth], name: str) -> None:
    fresh, kept = truth_of(Film(SCENARIOS[name])), stored[name]
    np.testing.assert_allclose(fresh.arrays["pixels"], kept.arrays["pixels"], atol=1e-6)
    assert fresh.sheet["footfalls"] == kept.sheet["footfalls"]
    assert fresh.sheet["start"] == kept.sheet["start"]


@pytest.mark.parametrize(("camera", "direction"), list(zip(CAMERAS, ["left", "right"] * 3, strict=True)))
def test_drawn_runs_obey_the_laws_for_every_camera_and_both_directions(
    camera: CameraKind, direction: Side
) -> None:
    scenario = drawn(20 + len(camera), fps=60.0, direction=direction, camera=camera)
    truth = truth_of(Film(scenario))
    assert failures(check(truth)) == []
    pixels = truth.arrays["pixels"][:, list(truth.arrays["names"]).index("head"), 0]
    forwards = pixels[-1] > pixels[0]
    assert forwards == (direction == "right") or camera in ("panning", "walking")


def test_the_two_clips_hide_what_they_say_they_hide(stored: dict[str, Truth]) -> None:
    poor, better = (stored[name].numbers for name in ("wing_day1", "wing_day2"))
    assert poor["start"]["trunk_lead_deg"] > 15 > better["start"]["trunk_lead_deg"]
    for step in (1, 3):
        ahead = [run["steps"][step]["touchdown_distance_m"] for run in (poor, better)]
        assert ahead[0] - ahead[1] > 0.1
    assert poor["steps"][2]["contact_s"] > better["steps"][2]["contact_s"] + 0.015


@pytest.mark.parametrize("broken", ["com_m", "metres", "pixels"])
def test_a_spoilt_truth_is_found_out(stored: dict[str, Truth], broken: str) -> None:
    truth = stored["wing_day1"]
    spoilt = truth.arrays[broken].copy()
    spoilt[300:330] += 0.06 * np.linspace(0, 1, 30).reshape(-1, *[1] * (spoilt.ndim - 1)) ** 2
    if broken == "metres":
        spoilt[:, ::2] *= 1.0001
    assert failures(check(replace(truth, arrays={**truth.arrays, broken: spoilt})))
