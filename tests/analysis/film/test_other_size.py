"""Films put together from pictures of two sizes: what has another size than the first is not shown stretched.

Which frames those are is said by `ffprobe`; what the others show by a straight decode.
"""

import json
import subprocess

import numpy as np
import pytest

from analysis.film import FrameReader, open_film
from analysis.film.check import check_film
from analysis.values.errors import OtherSizeError
from tests.analysis.film.making import GOP, Kind, joined, make, straight
from tests.helpers.programs import need


@pytest.fixture(scope="module", params=[".ts", ".mkv"])
def mixed(request, tmp_path_factory):
    """A film whose second half is larger."""
    folder = tmp_path_factory.mktemp("sizes")
    first = make(folder / "first.ts", Kind(suffix=".ts", options=GOP, frames=24))
    second = make(folder / "second.ts", Kind(suffix=".ts", options=GOP, frames=24, size=(192, 128)))
    return joined(folder / f"mixed{request.param}", [first, second])


def widths(path):
    command = [need("ffprobe"), "-v", "error", "-select_streams", "v:0", "-of", "json", str(path)]
    said = subprocess.run(
        [*command, "-show_entries", "frame=width"], capture_output=True, check=True, text=True
    )
    return [one["width"] for one in json.loads(said.stdout)["frames"]]


def test_what_has_another_size_is_never_shown(mixed):
    film, (_, pictures), wide = open_film(mixed), straight(mixed), widths(mixed)
    other = {number for number, width in enumerate(wide) if width != wide[0]}
    assert other == set(range(24, 48))
    with FrameReader(film, 60_000) as reader:
        for number in [*range(47, -1, -1), *range(48)]:
            if number in other:
                with pytest.raises(OtherSizeError, match=f"Frame {number} has another size"):
                    reader.picture(number)
            else:
                assert np.array_equal(reader.picture(number), pictures[number]), number


def test_the_check_says_so_first(mixed):
    finding = check_film(open_film(mixed)).findings[0]
    assert (finding.topic, finding.good) == ("sizes", False)
    assert finding.value >= 24


def test_a_film_of_one_size_is_not_called_so(film_of_kind):
    topics = [finding.topic for finding in check_film(open_film(film_of_kind("mpeg-ts"))).findings]
    assert "sizes" not in topics
