"""A film that was written, decoded with PyAV: pictures, times, size, and what it says of itself."""

from fractions import Fraction

import av
import numpy as np
import pytest
from PIL import Image

from analysis.report.canvas import bgra
from analysis.report.film_writing import write_film


def plain(grey, size=(320, 180)):
    return np.full((size[1], size[0], 4), grey, np.uint8)


def decoded(path):
    with av.open(str(path)) as container:
        return [
            (frame.pts * frame.time_base, frame.to_ndarray(format="rgb24"))
            for frame in container.decode(video=0)
        ]


def test_pictures_and_times_come_back_as_they_were_given(tmp_path):
    greys = [20, 20, 200, 90, 90, 90, 240]
    once = {grey: plain(grey) for grey in greys}
    assert write_film(tmp_path / "a.mp4", (once[g] for g in greys), Fraction(30_000, 1001)) == len(greys)
    found = decoded(tmp_path / "a.mp4")
    assert [time for time, _ in found] == [Fraction(1001 * n, 30_000) for n in range(len(greys))]
    # lossy: a few grey levels
    assert [picture.mean() for _, picture in found] == pytest.approx(greys, abs=4)


def test_colours_are_those_of_high_definition(tmp_path):
    write_film(tmp_path / "a.mp4", [bgra(Image.new("RGB", (640, 360), (213, 94, 0)))] * 3, Fraction(30))
    with av.open(str(tmp_path / "a.mp4")) as container:
        context = container.streams.video[0].codec_context
        # ITU-T H.273, tables 2 to 4: 1 is BT.709
        assert (context.colorspace, context.color_primaries, context.color_trc) == (1, 1, 1)
    # the converter takes the tag into account
    assert decoded(tmp_path / "a.mp4")[1][1].mean(axis=(0, 1)) == pytest.approx((213, 94, 0), abs=6)


def test_it_is_what_phones_play_and_says_nothing_of_its_maker(tmp_path):
    write_film(tmp_path / "a.mp4", [plain(90, (321, 181))] * 3, Fraction(60))
    with av.open(str(tmp_path / "a.mp4")) as container:
        stream = container.streams.video[0]
        assert (stream.codec_context.name, stream.codec_context.pix_fmt) == ("h264", "yuv420p")
        assert (stream.width, stream.height) == (320, 180)
        assert not {"creation_time", "encoder", "location", "comment"} & {
            *container.metadata,
            *stream.metadata,
        }
    content = (tmp_path / "a.mp4").read_bytes()
    assert content.index(b"moov") < content.index(
        b"mdat"
    )  # ISO/IEC 14496-12: what is needed to begin comes first


def test_an_odd_edge_is_left_out_and_nothing_is_stretched(tmp_path):
    pixels = np.full((181, 321, 4), 30, np.uint8)
    pixels[100:, 200:] = 220
    write_film(tmp_path / "a.mp4", [pixels] * 2, Fraction(30))
    picture = decoded(tmp_path / "a.mp4")[0][1].mean(axis=2)
    assert int((picture[150] < 125).sum()) == 200
    assert int((picture[:, 300] < 125).sum()) == 100


def test_a_place_that_is_not_there_is_an_error(tmp_path):
    with pytest.raises(OSError, match="No such"):
        write_film(tmp_path / "gone" / "a.mp4", [plain(90)], Fraction(30))
