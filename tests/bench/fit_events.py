"""Fit what tells touchdown and toe-off from a foot's close-up. `python3 -m tests.bench.fit_events FOLDER`

Draws small films of single contacts (kept in FOLDER, close up), which share nothing with the figures of the
runs that judge, and fits a net for each kind of event. `--write` sets `event_net.npz` anew; without it only
the errors are printed that nets make on contacts kept out. Never to be shown the runs that judge. Needs two
packages that nothing else does: `pip install jax optax`.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from analysis.derive.footfalls import event_net
from analysis.derive.footfalls.chances import KINDS, MOMENTS, Chances, Kind
from analysis.derive.footfalls.close_up import REACH, UNIT_S, close_up_of
from tests.bench.contact_pictures import Drawn
from tests.bench.contact_strips import seen_in

Floats = npt.NDArray[np.float64]
Levels = npt.NDArray[np.float32]

RATES_HZ = (240.0, 120.0, 240.0, 60.0, 240.0, 200.0, 120.0, 240.0, 50.0, 100.0)
FIRST, CONTACTS, BLOCK = 20000, 1600, 200
SOFT, SOFT_CONTACTS = 30000, 400  # for touchdowns, of feet that land nearly at rest
KEPT_OUT = 1  # of so many blocks at the end
ROUNDS, BATCH, RATE = 9, 24, 2e-3


@dataclass(frozen=True, eq=False)
class Contacts:
    """Events seen close up: ``pictures`` (n, moments, rows, columns), ``stands`` (n, rows, columns), ``true``
    (n,) in units from the middle moment, ``rate_hz`` (n,), ``height_px`` (n,).
    """

    pictures: Levels
    stands: Levels
    true: Levels
    rate_hz: Levels
    height_px: Levels

    def some(self, which: npt.NDArray[np.int64] | npt.NDArray[np.bool_]) -> Contacts:
        """Some of them."""
        return Contacts(*(one[which] for one in vars(self).values()))


def drawn_block(first: int, kind: Kind, folder: Path) -> Contacts:
    """The events of one kind of a block of contacts, drawn where they are not in the folder already."""
    file = folder / f"contacts_{first}.npz"
    if not file.exists():
        found: dict[str, list[tuple[Levels, ...]]] = {one: [] for one in KINDS}
        for seed in range(first, first + BLOCK):
            film = Drawn(seed, RATES_HZ[seed % len(RATES_HZ)], soft=seed >= SOFT).film()
            seen = seen_in(film)
            if seen is None:
                continue
            strip, one = seen
            scale = (film.height_px, film.rate_hz, film.forwards)
            for name in KINDS:
                event, true = (one.begin, film.on) if name == "touchdown" else (one.end, film.off)
                if not 1 < event < len(strip.picture) - 1:
                    continue
                close = close_up_of(name, strip, one, scale)
                units = np.float32((true - (event - 0.5)) / (film.rate_hz * UNIT_S))
                told = units, np.float32(film.rate_hz), np.float32(film.height_px)
                found[name].append(
                    (close.pictures.astype(np.float16), close.stands.astype(np.float16), *told)
                )
        columns = {
            f"{k}{n}": np.stack(part) for k, v in found.items() for n, part in enumerate(zip(*v, strict=True))
        }
        np.savez(file, **columns)
        print(f"contacts {first} to {first + BLOCK - 1} drawn", flush=True)
    with np.load(file) as held:
        every = Contacts(*(held[f"{kind}{n}"].astype(np.float32) for n in range(5)))
    return every.some(np.abs(every.true) < MOMENTS[-1] - 1)


def drawn(firsts: Sequence[int], kind: Kind, folder: Path) -> Contacts:
    """Those of several blocks."""
    blocks = [drawn_block(first, kind, folder) for first in firsts]
    return Contacts(
        *(np.concatenate(parts) for parts in zip(*(vars(b).values() for b in blocks), strict=True))
    )


def varied(some: Contacts, draw: np.random.Generator) -> Contacts:
    """Shifted by a cell or two and by some frames, brighter or darker, noisier."""
    pictures, stands, true = some.pictures.copy(), some.stands.copy(), some.true.copy()
    for n in range(len(true)):
        by = int(draw.integers(-1, 2)), int(draw.integers(-2, 3))
        pictures[n], stands[n] = np.roll(pictures[n], by, (1, 2)), np.roll(stands[n], by, (0, 1))
        late = int(draw.integers(-6, 7))
        if abs(true[n] + late) < MOMENTS[-1] - 1:
            pictures[n] = pictures[n][np.clip(np.arange(2 * REACH + 1) - late, 0, 2 * REACH)]
            true[n] += late
    gain = draw.uniform(0.8, 1.25, (len(true), 1, 1, 1)).astype(np.float32)
    noise = draw.choice([0.0, 0.02, 0.06], (len(true), 1, 1, 1)).astype(np.float32)
    pictures = gain * pictures + noise * draw.standard_normal(pictures.shape, np.float32)
    return Contacts(pictures, gain[:, 0] * stands, true, some.rate_hz, some.height_px)


def errors_in_frames(weights: dict[str, Levels], some: Contacts) -> Floats:
    """By how many frames the likeliest moments are off."""
    off = []
    for pictures, stands, true, rate in zip(some.pictures, some.stands, some.true, some.rate_hz, strict=True):
        share = event_net.chances(weights, pictures, stands)
        off.append((Chances(MOMENTS.astype(float), share).best - true) * rate * UNIT_S)
    return np.array(off)


def main() -> None:
    """Draw, fit, print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--write", action="store_true")
    wishes = asked.parse_args()
    wishes.folder.mkdir(parents=True, exist_ok=True)
    firsts = list(range(FIRST, FIRST + CONTACTS, BLOCK))
    soft = list(range(SOFT, SOFT + SOFT_CONTACTS, BLOCK))
    from tests.bench.event_fitting import fitted

    nets = {}
    for kind in KINDS:
        learnt = drawn(firsts[:-KEPT_OUT] + soft * (kind == "touchdown"), kind, wishes.folder)
        kept_out = drawn(firsts[-KEPT_OUT:], kind, wishes.folder)
        nets[kind] = fitted(learnt, varied, (ROUNDS, BATCH, RATE))
        off = np.abs(errors_in_frames(nets[kind], kept_out))
        for low, high in ((45, 99), (100, 199), (200, 241)):
            part = off[(kept_out.rate_hz >= low) & (kept_out.rate_hz < high)]
            within = f"within 1 {np.mean(part <= 1):.0%}, within 3 {np.mean(part <= 3):.0%}"
            told = f"{len(part)} kept out: median {np.median(part):.1f} frames, {within}"
            print(f"{kind}, {low} to {high} a second, {told}", flush=True)
    if wishes.write:
        event_net.save(nets)


if __name__ == "__main__":
    main()
