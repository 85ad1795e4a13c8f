"""What a chain of maps states at the far ends of long pans, against cameras that are known."""

import numpy as np
import pytest

from analysis.background import follow_background
from analysis.background.chain import ALIKE, Chain, Tie, errors_from
from analysis.background.fitting import fit
from analysis.values.camera import CameraKind
from tests.analysis.background.rendering import SIZE, background, through, true_map
from tests.analysis.background.test_held import SHAPE, link
from tests.bench.walked_films import Shot, cameras, film_of, pictures

NOISE_PX = 0.3
LINKS = 5


def off_along(maps, held, reference):
    """How far maps take places from where the reference's camera sees them, along u, (n, places)."""
    places = background()
    return np.array(
        [
            (through(map_, places) - through(true_map(camera, held[reference]), places))[:, 0]
            for map_, camera in zip(maps, held, strict=True)
        ]
    )


# Seeds other than those by which the factor of a chain was chosen; as fast as after an athlete, or a third of
# that.
FILMS = ((91, True, 2.0), (92, False, 2.0), (93, True, 6.0), (94, False, 1.5))


def test_the_chain_alone_holds_as_much_at_the_far_ends_as_near_the_reference():
    at_ends, within, ends, middles = [], [], [], []
    for seed, grass, seconds in FILMS:
        shot = Shot(seed, sweep_deg=60.0, shake_deg=0.02, grass=grass, seconds=seconds)
        held, chain = cameras(shot), Chain()
        assert [chain.add(grey) for grey in pictures(shot)] == list(range(len(held)))
        middle = len(held) // 2
        back = np.linalg.inv(chain.ties[middle].to_base)
        off = off_along([back @ tie.to_base for tie in chain.ties], held, middle)
        stated = errors_from(chain.ties, middle, SIZE[::-1])
        away = np.abs(np.arange(len(held)) - middle)
        far, near = away > 0.7 * middle, (away > 0) & (away <= 0.7 * middle)
        at_ends.append((off[far] / stated[far, None]).ravel())
        within.append((off[near] / stated[near, None]).ravel())
        ends.append(np.median(stated[far]))
        middles.append(np.median(stated[near]))
    for found in (at_ends, within):
        assert np.mean(np.abs(np.concatenate(found)) <= 2) >= 0.93
        assert np.sqrt(np.mean(np.concatenate(found) ** 2)) > 0.25  # nor idle words
    assert max(middles) < 1.0
    assert min(np.array(ends) / middles) > 1.5


@pytest.mark.parametrize("seed", [95, 96])
def test_a_long_pan_over_ground_that_shows_something_is_stated_to_a_few_pixels(seed, tmp_path):
    shot = Shot(seed, sweep_deg=60.0, shake_deg=0.02)
    film, held = film_of(shot, tmp_path), cameras(shot)
    path = follow_background(film, 0, film.frames - 1)
    assert path.kind is CameraKind.TURNING
    off = off_along(path.maps, held, path.reference)
    away = np.abs(np.arange(len(held)) - path.reference)
    for those in (away > 0.7 * away.max(), away <= 0.7 * away.max()):
        assert np.mean(np.abs(off[those]) <= 2 * path.error_px[those, None]) >= 0.93
    assert np.median(path.error_px[(away > 0) & (away < 0.3 * away.max())]) < 1.0
    assert path.doubt == ""


def test_errors_grow_along_a_chain_as_many_draws_of_its_corners_tell():
    """Turns in closed form (``test_held``), 40 corners a link, each drawn 300
    times with an error of its own: what places are off is what the chain states but for its factor.
    """
    chance = np.random.default_rng(7)
    true = [np.eye(3)]
    for number in range(LINKS):
        true.append(true[-1] @ np.linalg.inv(link(7.0, 0.0, -17.0 + 7.0 * number)))
    places = np.array([[160.0, 90.0], [480.0, 90.0], [160.0, 270.0], [480.0, 270.0]])
    off, stated = [], []
    for _ in range(300):
        ties = drawn(chance, true)
        back = np.linalg.inv(ties[0].to_base)
        pairs = zip(ties, true, strict=True)
        off.append([through(back @ tie.to_base, places) - through(map_, places) for tie, map_ in pairs])
        stated.append(errors_from(ties, 0, SHAPE))
    found = np.sqrt(np.mean(np.square(off), axis=(0, 2, 3)))[1:]
    told = np.sqrt(np.mean(np.square(stated), axis=0))[1:] / ALIKE
    assert found[-1] > 8 * found[0]
    # Stated for the whole picture, found nearer its middle; neither hangs on how long the chain is.
    share = found / told
    assert share.max() / share.min() < 1.5
    assert share.min() > 0.3
    assert share.max() < 1.0


def drawn(chance, true):
    none = np.empty((0, 2))
    ties = [Tie(np.eye(3), -1, np.zeros((8, 8)), none, none, none)]
    for number in range(LINKS):
        map_ = np.linalg.inv(true[number + 1]) @ true[number]
        before = chance.uniform([120, 30], [600, 330], (40, 2))
        after = through(map_, before) + chance.normal(0, NOISE_PX, before.shape)
        found = fit(before.astype(np.float32), after.astype(np.float32), SHAPE)
        assert found is not None
        to_base = ties[-1].to_base @ np.linalg.inv(found.map)
        ties.append(Tie(to_base / to_base[2, 2], number, found.covariance, none, none, none))
    return ties
