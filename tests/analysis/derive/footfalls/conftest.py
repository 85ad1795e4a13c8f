"""A short drawn run, filmed as it is, mirrored and in other light."""

import numpy as np
import pytest

from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from tests.helpers.capsule_runs import CapsuleFilm, events_of
from tests.helpers.hard_runs import plain_run, write_frames


def as_marks(listed, width=None):
    """Marks of a drawn run; of its mirrored picture where ``width`` is given."""
    return tuple(
        GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u if width is None else width - 1 - u, v)
        for x, u, v in listed
    )


@pytest.fixture(scope="session")
def drawn():
    """The run and its frames."""
    run = plain_run()
    film = CapsuleFilm(run)
    return run, film, [film.frame(i) for i in range(run.frames)]


@pytest.fixture(scope="session")
def truth(drawn):
    """Of each contact that is seen: first frame on the ground, first frame clear of it, x in m."""
    run = drawn[0]
    return [(int(np.ceil(on * run.fps)), int(np.ceil(off * run.fps)), x) for on, off, _, x in events_of(run)]


@pytest.fixture(scope="session")
def films(drawn, tmp_path_factory):
    """Paths by name: the run, mirrored, darker."""
    folder = tmp_path_factory.mktemp("drafts")
    frames = drawn[2]
    return {
        "plain": write_frames(folder / "plain.mp4", frames),
        "mirrored": write_frames(folder / "mirrored.mp4", [np.ascontiguousarray(f[:, ::-1]) for f in frames]),
        "darker": write_frames(folder / "darker.mp4", [(f * 0.75).astype(np.uint8) for f in frames]),
    }
