"""Work during which the interpreter does not look for objects that only hold on to each other."""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


def uncollected(work: Callable[P, R]) -> Callable[P, R]:
    """A function that makes many values, none of which hold on to each other in a ring: looking for such
    rings after every seven hundred of them would take a twentieth of its time and find none. What is made
    elsewhere in the meantime waits until it is done.
    """

    @wraps(work)
    def done(*args: P.args, **kwargs: P.kwargs) -> R:
        if not gc.isenabled():
            return work(*args, **kwargs)
        gc.disable()
        try:
            return work(*args, **kwargs)
        finally:
            gc.enable()

    return done
