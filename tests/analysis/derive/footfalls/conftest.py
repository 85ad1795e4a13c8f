"""A short drawn run, filmed as it is, mirrored and in other light."""

import av
import numpy as np
import pytest

from analysis.values.film import FrameNumber
from analysis.values.run import GroundMark
from tests.helpers.capsule_runs import CapsuleFilm, drawn_run, events_of

RATE_HZ = 120.0


def write(path, frames, rate_hz=RATE_HZ):
    """Frames (height, width, 3), blue first, as a film."""
    height, width = frames[0].shape[:2]
    with av.open(str(path), "w") as container:
        stream = container.add_stream(
            "libx264", rate=round(rate_hz), options={"crf": "17", "preset": "veryfast"}
        )
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        for picture in frames:
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="bgr24")))
        container.mux(stream.encode())
    return path


def as_marks(listed, width=None):
    """Marks of a drawn run; of its mirrored picture where ``width`` is given."""
    return tuple(
        GroundMark(f"m{x:g}", x, 0.0, FrameNumber(0), u if width is None else width - 1 - u, v)
        for x, u, v in listed
    )


@pytest.fixture(scope="session")
def drawn():
    """The run and its frames."""
    run = drawn_run(44, RATE_HZ, small=True, direction="right", seconds=2.0)
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
        "plain": write(folder / "plain.mp4", frames),
        "mirrored": write(folder / "mirrored.mp4", [np.ascontiguousarray(f[:, ::-1]) for f in frames]),
        "darker": write(folder / "darker.mp4", [(f * 0.75).astype(np.uint8) for f in frames]),
    }
