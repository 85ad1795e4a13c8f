"""Films put together from pictures of two sizes: what has another size than the first is not shown stretched.

Which frames those are is said by `ffprobe`; what the others show by a straight decode.
"""

import pytest

from analysis.film import FrameReader, open_film
from analysis.film.check import check_film
from analysis.values.errors import OtherSizeError
from tests.analysis.film.making import GOP, Kind, joined, make, straight
from tests.analysis.film.not_shown import check_shown, each_frames


@pytest.fixture(scope="module", params=[".ts", ".mkv"])
def mixed(request, tmp_path_factory):
    """A film whose second half is larger."""
    folder = tmp_path_factory.mktemp("sizes")
    first = make(folder / "first.ts", Kind(suffix=".ts", options=GOP, frames=24))
    second = make(folder / "second.ts", Kind(suffix=".ts", options=GOP, frames=24, size=(192, 128)))
    return joined(folder / f"mixed{request.param}", [first, second])


def test_what_has_another_size_is_never_shown(mixed):
    film, (_, pictures), wide = open_film(mixed), straight(mixed), each_frames("width", mixed)
    other = {number for number, width in enumerate(wide) if width != wide[0]}
    assert other == set(range(24, 48))
    with FrameReader(film, 60_000) as reader:
        asked = [*range(47, -1, -1), *range(48)]
        check_shown(reader, asked, pictures, other, OtherSizeError, "has another size")


def test_the_check_says_so_first(mixed):
    finding = check_film(open_film(mixed)).findings[0]
    assert (finding.topic, finding.good) == ("sizes", False)
    assert finding.value >= 24


def test_a_film_of_one_size_is_not_called_so(film_of_kind):
    topics = [finding.topic for finding in check_film(open_film(film_of_kind("mpeg-ts"))).findings]
    assert "sizes" not in topics
