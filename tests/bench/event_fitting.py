"""The fitting of a net for events, by gradient descent in JAX."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import jax
import jax.numpy as jnp
import numpy as np
import optax

from analysis.derive.footfalls.chances import MOMENTS
from analysis.derive.footfalls.event_net import BEFORE, FAR

if TYPE_CHECKING:
    from tests.bench.fit_events import Contacts

LAYERS, FOUND, TOGETHER = (8, 12, 16), 16, 20
SPANS = (9, 11)
WIDE = 0.7  # units by which a moment beside the true one is still nearly as good
DECAY, DROPPED = 2e-5, 0.2
CELLS = 3 * 7  # that are left of a picture after the last layer over it


def fitted(
    learnt: Contacts,
    varied: Callable[[Contacts, np.random.Generator], Contacts],
    how: tuple[int, int, float],
) -> dict[str, Any]:
    """A net for which the true moments are likely; ``how``: rounds, events at a time, rate of learning."""
    rounds, batch, rate = how
    draw, key = np.random.default_rng(0), jax.random.PRNGKey(1)
    weights = _begin(jax.random.PRNGKey(0))
    steps = rounds * (len(learnt.true) // batch)
    optimiser = optax.adam(optax.cosine_onecycle_schedule(steps, rate, pct_start=0.15))
    state = optimiser.init(weights)

    @jax.jit
    def step(weights, state, pictures, stands, true, key):  # type: ignore[no-untyped-def]
        slope = jax.grad(_loss)(weights, pictures, stands, true, key)
        change, state = optimiser.update(slope, state)
        return optax.apply_updates(weights, change), state

    for _ in range(rounds):
        order = draw.permutation(len(learnt.true))
        for begin in range(0, len(order) - batch + 1, batch):
            some = varied(learnt.some(order[begin : begin + batch]), draw)
            key, own = jax.random.split(key)
            weights, state = step(weights, state, some.pictures, some.stands, some.true, own)
    return {name: np.asarray(one) for name, one in weights.items()}


def _begin(key: Any) -> dict[str, Any]:
    keys = iter(jax.random.split(key, 8))
    shapes = {"w1": (3, 3, 3, LAYERS[0]), "w2": (3, 3, *LAYERS[:2]), "w3": (3, 3, *LAYERS[1:])}
    shapes |= {
        "wd": (CELLS * LAYERS[2], FOUND),
        "wt": (SPANS[0], FOUND, TOGETHER),
        "wo": (SPANS[1], TOGETHER, 1),
    }
    out: dict[str, Any] = {"far": jnp.zeros(2)}
    for name, shape in shapes.items():
        spread = np.sqrt(2 / np.prod(shape[:-1])) * (0.3 if name == "wo" else 1.0)
        out[name] = spread * jax.random.normal(next(keys), shape)
        if name != "wo":
            out["b" + name[1:]] = jnp.zeros(shape[-1])
    return out


def _scores(weights: Any, pictures: Any, stands: Any, dropped: Any) -> Any:
    """As ``event_net.chances`` computes them, of many events."""
    before = jnp.concatenate([pictures[:, :1]] * BEFORE + [pictures[:, :-BEFORE]], 1)
    seen = jnp.stack([pictures, pictures - before, pictures - stands[:, None]], -1)
    count, times = seen.shape[:2]
    seen = seen.reshape(count * times, *seen.shape[2:])
    for name, stride in (("1", 2), ("2", 1), ("3", 2)):
        over = ("NHWC", "HWIO", "NHWC")
        seen = jax.lax.conv_general_dilated(
            seen, weights["w" + name], (stride, stride), "VALID", dimension_numbers=over
        )
        seen = jax.nn.relu(seen + weights["b" + name])
    seen = seen.reshape(count, times, -1)
    seen = seen * jax.random.bernoulli(dropped, 1 - DROPPED, (count, 1, seen.shape[-1])) / (1 - DROPPED)
    found = jax.nn.relu(seen @ weights["wd"] + weights["bd"])
    found = jax.nn.relu(_in_time(found, weights["wt"]) + weights["bt"])
    off = jnp.asarray(MOMENTS / FAR)
    return _in_time(found, weights["wo"])[..., 0] + weights["far"][0] * off + weights["far"][1] * off**2


def _in_time(seen: Any, weights: Any) -> Any:
    return jax.lax.conv_general_dilated(seen, weights, (1,), "VALID", dimension_numbers=("NWC", "WIO", "NWC"))


def _loss(weights: Any, pictures: Any, stands: Any, true: Any, dropped: Any) -> Any:
    good = jnp.exp(-0.5 * ((MOMENTS[None] - true[:, None]) / WIDE) ** 2)
    good = good / good.sum(1, keepdims=True)
    off = -(good * jax.nn.log_softmax(_scores(weights, pictures, stands, dropped))).sum(1).mean()
    return off + DECAY * sum((one**2).sum() for name, one in weights.items() if name[0] == "w")
