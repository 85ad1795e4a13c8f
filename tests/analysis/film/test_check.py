"""The film check, on films whose camera, body and shutter are known because they are drawn here."""

from __future__ import annotations

from fractions import Fraction

import av
import numpy as np
import pytest

from analysis.film import open_film
from analysis.film.bursts import take_bursts
from analysis.film.camera_motion import CameraMotion, shift
from analysis.film.check import check_film, contact_halfwidth_s
from analysis.film.spacing import spacing
from analysis.jobs.film_check import findings_of
from analysis.report.film_words import film_words
from analysis.values.film import FrameTimes, RateWitness
from tests.analysis.film.making import GOP, Kind, make, matrix
from tests.truth.ffprobe_tables import CLIPS

SIZE = (640, 360)
WALL = np.random.default_rng(5)
BACKGROUND = np.kron(WALL.integers(40, 200, (60, 120)), np.ones((8, 8))).astype(np.uint8)  # 480 x 960


def hall(path, frames=160, rate=240, camera=lambda n: (0, 0), body_x=None, smear=1):
    """A wall of squares seen by a camera at (right, down); a body 120 px high at ``body_x(n)``, its edges
    smeared over ``smear`` pixels."""
    with av.open(str(path), "w") as container:
        stream = container.add_stream(
            "libx264", rate=rate, options={"g": "20", "preset": "veryfast", "crf": "14"}
        )
        stream.width, stream.height, stream.pix_fmt = *SIZE, "yuv420p"
        stream.codec_context.time_base = Fraction(1, 90_000)
        for number in range(frames):
            right, down = (round(n) for n in camera(number))
            picture = BACKGROUND[60 + down : 420 + down, 160 + right : 800 + right].copy()
            if body_x is not None:
                x = round(body_x(number))
                share = np.zeros(SIZE[0])
                share[max(0, x) : x + 40] = 1
                if smear > 1:
                    share = np.convolve(share, np.ones(smear) / smear, mode="same")
                part = picture[120:240]
                part[:] = part * (1 - share) + 250 * share
            frame = av.VideoFrame.from_ndarray(np.repeat(picture[:, :, None], 3, axis=2), format="rgb24")
            frame = frame.reformat(format="yuv420p", threads=1)
            frame.pts, frame.time_base = round(number / rate * 90_000), Fraction(1, 90_000)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return open_film(path)


def found(film):
    check = check_film(film)
    return check, {finding.topic: finding for finding in check.findings}


@pytest.mark.parametrize("rate", [30, 60, 120, 240])
def test_what_a_rate_costs_in_contact_times(rate):
    """Simulated: an event lies anywhere between two frames, and 5 ms either way of where it seems to; a
    contact has two (JCGM 101:2008, propagation of distributions).
    """
    chance, count = np.random.default_rng(rate), 2_000_000
    frame, doubt = (chance.uniform(-half, half, (2, count)) for half in (0.5 / rate, 0.005))
    off = np.abs(np.diff(frame + doubt, axis=0)[0])
    assert contact_halfwidth_s(1 / rate) == pytest.approx(np.quantile(off, 0.95), rel=0.01)


def test_a_contact_begins_and_ends_in_gaps_of_their_own():
    chance, count = np.random.default_rng(5), 2_000_000
    off = sum(chance.uniform(-half, half, count) for half in (0.005, 0.005, 0.1, 1 / 60))
    assert contact_halfwidth_s(0.2, 1 / 30) == pytest.approx(np.quantile(np.abs(off), 0.95), rel=0.02)
    assert contact_halfwidth_s(1 / 30, 0.2) == pytest.approx(contact_halfwidth_s(0.2, 1 / 30))


def test_the_rate_is_said_with_its_cost(tmp_path):
    _, points = found(open_film(make(tmp_path / "f.mp4", Kind(options=GOP, rate=60))))
    assert (
        "At 60 frames per second a contact time is good to 15 ms either way, 95 %." in points["rate"].sentence
    )
    assert "240" in points["rate"].sentence
    assert not points["rate"].good
    assert "messenger" in points["size"].sentence


def test_the_sample_clip_is_a_good_film():
    check, points = found(open_film(CLIPS / "wing_day1.mp4"))
    assert check.camera is CameraMotion.STILL
    assert all(point.good for point in points.values()), points
    assert set(points) == {"rate", "spacing", "size", "camera", "tilt", "blur"}


def test_a_gap_is_said_with_its_cost(tmp_path):
    kind = Kind(options=GOP, times=lambda n: n * 3000 + (n > 5) * 6000)
    _, points = found(open_film(make(tmp_path / "f.mp4", kind)))
    assert "100 ms at most, before frame 6" in points["spacing"].sentence
    assert points["spacing"].value == pytest.approx(0.1)


def test_a_file_that_keeps_times_to_a_millisecond_says_so(film_of_kind):
    """Matroska's unit is 1 ms unless it says otherwise (RFC 9559, TimestampScale)."""
    _, points = found(open_film(film_of_kind("mkv")))
    assert "The file keeps times to 1 ms only" in points["spacing"].sentence
    assert points["spacing"].good
    _, points = found(open_film(film_of_kind("avi")))
    assert "only" not in points["spacing"].sentence  # its times are whole units


def test_two_rates_are_said(tmp_path):
    """240 frames a second and 30; a single short interval, as of a clock that catches up, is no rate."""
    kind = Kind(options=GOP, frames=40, times=lambda n: n * 375 + min(max(n - 10, 0), 20) * 2625)
    _, points = found(open_film(make(tmp_path / "f.mp4", kind)))
    assert not points["spacing"].good
    assert "30 frames per second as a rule, 240 in places" in points["spacing"].sentence
    kind = Kind(options=GOP, times=lambda n: n * 3000 + (n == 6) * 1400)
    _, points = found(open_film(make(tmp_path / "late.mp4", kind)))
    assert points["spacing"].good


@pytest.mark.parametrize(
    ("kept", "rate", "words"),
    [((0, 2, 3), 60, "from 17 to 33 ms"), ((0, 3, 6, 7, 9, 12, 14), 30, "from 33 to 100 ms")],
)
def test_intervals_of_many_lengths_are_no_even_rate(tmp_path, kept, rate, words):
    """Every so many frames some are missing, again and again: never six short intervals in a row."""
    again = kept[-1] + (2 if rate == 60 else 1)

    def time(n):
        return (n // len(kept) * again + kept[n % len(kept)]) * 90_000 // rate

    film = open_film(make(tmp_path / "f.mp4", Kind(options=GOP, times=time)))
    _, points = found(film)
    assert words in points["spacing"].sentence
    assert not points["spacing"].good
    longest = max(time(n + 1) - time(n) for n in range(59)) / 90
    assert f"variable, longest gap {longest:.0f} ms" in film_words(film)
    assert any("not evenly spaced" in note for note in film.notes)


@pytest.mark.parametrize("rate", [60, 300, 600, 960])
def test_rounding_is_no_other_interval(tmp_path, rate):
    """In whole milliseconds a steady rate gives intervals that differ by one."""
    times = np.unique(np.round(np.arange(100) * 1000 / rate)).astype(int)
    found = spacing(FrameTimes(tuple(int(t) for t in times), Fraction(1, 1000)))
    assert found.shortest_s is None


def test_an_upright_film(tmp_path):
    kind = Kind(options=GOP, frames=14, matrix=matrix(0, 1, -1, 0))
    _, points = found(open_film(make(tmp_path / "f.mp4", kind)))
    assert "upright, 64 × 96" in points["size"].sentence


def test_a_camera_on_a_stand(tmp_path):
    check, points = found(hall(tmp_path / "f.mp4", body_x=lambda n: 3.5 * n))
    assert check.camera is CameraMotion.STILL
    assert points["camera"].good
    assert points["camera"].value < 0.5


def test_a_camera_in_the_hand(tmp_path):
    """To and fro by 8 pixels, thrice a second."""
    film = hall(tmp_path / "f.mp4", camera=lambda n: (8 * np.sin(n / 240 * 6 * np.pi), 3 * np.cos(n / 40)))
    check, points = found(film)
    assert check.camera is CameraMotion.SHAKING
    assert 5 < points["camera"].value < 18
    assert "stand" in points["camera"].sentence


@pytest.mark.parametrize("speed", [0.6, -0.4])
def test_a_camera_that_follows(tmp_path, speed):
    film = hall(tmp_path / "f.mp4", camera=lambda n: (speed * n, 0), body_x=lambda n: 300 + n % 3)
    check, points = found(film)
    assert check.camera is CameraMotion.PANNING
    assert "no speeds" in points["camera"].sentence
    assert "blur" not in points


def test_nothing_to_hold_on_to(tmp_path):
    path = make(tmp_path / "f.mp4", Kind(options=GOP, frames=30, shows=lambda _: 0, size=(64, 48)))
    assert check_film(open_film(path)).camera in (CameraMotion.UNKNOWN, CameraMotion.STILL)


@pytest.mark.parametrize("smear", [12, 24])
def test_smeared_edges(tmp_path, smear):
    """The edge of a body that moves by so many pixels while the shutter is open rises over as many."""
    _, points = found(hall(tmp_path / "f.mp4", body_x=lambda n: 3.5 * n, smear=smear))
    assert not points["blur"].good
    assert points["blur"].value == pytest.approx(smear, rel=0.35)


def test_sharp_edges(tmp_path):
    _, points = found(hall(tmp_path / "f.mp4", body_x=lambda n: 3.5 * n))
    assert points["blur"].good


def test_a_film_that_is_slow_for_a_while_is_not_taken_for_quick(tmp_path):
    """240 a second, 30 for fewer frames but most of the time, 240 again: as phones export a slowed part."""
    kind = Kind(options=GOP, frames=60, times=lambda n: n * 375 + min(max(n - 20, 0), 18) * 2625)
    film = open_film(make(tmp_path / "f.mp4", kind))
    assert any("30 frames per second as a rule, 240 from frame 0 to frame 20" in note for note in film.notes)
    _, points = found(film)
    assert points["rate"].value == pytest.approx(30, rel=0.01)
    assert not points["spacing"].good


def test_rounded_times_give_no_other_rate(tmp_path):
    """Matroska's milliseconds at 240: intervals of 4 and 5."""
    _, points = found(open_film(make(tmp_path / "f.mkv", Kind(suffix=".mkv", options=GOP, rate=240))))
    assert points["rate"].value == pytest.approx(240, rel=0.005)


def test_a_few_times_that_a_program_made_up_are_enough(tmp_path):
    """Two films cut and joined without encoding anew: 3, 2 and 5 units apart, others between them."""
    near = {20: 3, 21: 5, 23: 10}
    kind = Kind(
        options=GOP, times=lambda n: 3000 * n - sum(3000 - gap for at, gap in near.items() if n >= at)
    )
    film = open_film(make(tmp_path / "f.mp4", kind))
    assert any("frames 19 to 23 are made up" in note for note in film.notes)


def test_times_that_a_program_made_up_are_no_rate(tmp_path):
    """Frames one unit of the clock apart: so programs write times that would run backwards."""
    film = open_film(
        make(tmp_path / "f.mp4", Kind(options=GOP, times=lambda n: min(n, 30) * 375 + max(n - 30, 0)))
    )
    assert any("frames 30 to 59 are made up" in note for note in film.notes)
    assert not any("changes its rate" in note for note in film.notes)
    _, points = found(film)
    assert "put together" in points["spacing"].sentence
    assert not points["spacing"].good


def test_repeated_pictures_belie_the_rate_of_the_file(tmp_path):
    kind = Kind(options=GOP, frames=160, rate=240, shows=lambda n: n // 8)
    found_of = findings_of(open_film(make(tmp_path / "f.mp4", kind)))
    topics = [finding.topic for finding in found_of]
    assert "repeats" in topics[0]
    assert not {"rate", "spacing"} & set(topics)


@pytest.mark.parametrize("plays_at", [50, 60])
def test_slow_motion_that_was_exported_to_play_at_television_rates(tmp_path, plays_at):
    """3 heights a second filmed at 240, but the file says 50 or 60 and plays so."""
    _, points = found(hall(tmp_path / "f.mp4", frames=400, rate=plays_at, body_x=lambda n: 1.5 * n))
    assert points["pace"].value == pytest.approx(3 * plays_at / 240, rel=0.15)
    _, points = found(
        hall(tmp_path / "true.mp4", frames=100, rate=plays_at, body_x=lambda n: 360 / plays_at * n)
    )
    assert "pace" not in points


def test_slow_motion_that_nothing_tells_of(tmp_path):
    """The same run, 3 heights a second at 240, in a file that plays at 30; and one that was filmed at 30."""
    step = 3 * 120 / 240
    _, points = found(hall(tmp_path / "slow.mp4", frames=400, rate=30, body_x=lambda n: step * n))
    assert points["pace"].value == pytest.approx(3 / 8, rel=0.15)
    assert "slow motion" in points["pace"].sentence
    _, points = found(hall(tmp_path / "true.mp4", frames=60, rate=30, body_x=lambda n: 8 * step * n))
    assert "pace" not in points


def test_an_athlete_who_mostly_stands_is_no_slow_motion(tmp_path):
    """Waiting, a second of running at 3 heights a second, walking off: filmed at 30, nothing says so."""

    def place(frame):
        return 40 + 12 * min(max(frame - 180, 0), 30) + 0.1 * max(frame - 210, 0)

    _, points = found(hall(tmp_path / "f.mp4", frames=320, rate=30, body_x=place))
    assert "pace" not in points


@pytest.mark.parametrize(("camera", "coach_hz"), [("30.000000", None), (None, 30.0)])
def test_who_knows_the_rate_is_not_told_of_slow_motion(tmp_path, camera, coach_hz):
    """The body crawls, but the camera or the coach says that it was filmed as it plays."""
    path = tmp_path / "f.mp4"
    hall(path, frames=400, rate=30, body_x=lambda n: 1.5 * n)
    if camera is not None:
        path = with_metadata(path, "com.android.capture.fps", camera)
    film = open_film(path, coach_hz)
    assert film.rate_said_by is (RateWitness.CAMERA if camera else RateWitness.COACH)
    _, points = found(film)
    assert "pace" not in points


def with_metadata(path, key, value):
    """A copy of the film that holds one word more."""
    copy = path.with_stem("told")
    with (
        av.open(str(path)) as film,
        av.open(str(copy), "w", options={"movflags": "use_metadata_tags"}) as out,
    ):
        out.metadata[key] = value
        stream = out.add_stream_from_template(film.streams.video[0])
        for packet in film.demux(film.streams.video[0]):
            if packet.size:
                packet.stream = stream
                out.mux(packet)
    return copy


def test_told_to_stop(tmp_path):
    film = open_film(make(tmp_path / "f.mp4", Kind(options=GOP)))
    check = check_film(film, stopped=lambda: True)
    assert check.given_up
    assert [finding.topic for finding in check.findings] == ["rate", "spacing", "size"]
    shares = []
    check_film(film, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1


def test_a_shift_is_measured_to_a_fraction_of_a_pixel():
    before, after = BACKGROUND[60:420, 160:800], BACKGROUND[57:417, 165:805]
    right, down = shift(np.ascontiguousarray(before), np.ascontiguousarray(after))
    assert (right, down) == (pytest.approx(-5, abs=0.1), pytest.approx(3, abs=0.1))


def test_a_damaged_film_is_judged_by_what_is_whole(tmp_path, film_of_kind):
    data = bytearray(film_of_kind("h264 with B-frames").read_bytes())
    begin, end = data.index(b"mdat") + 8, data.index(b"moov") - 4
    middle = (begin + end) // 2
    data[middle : middle + (end - begin) // 6] = bytes((end - begin) // 6)
    path = tmp_path / "hurt.mp4"
    path.write_bytes(data)
    assert check_film(open_film(path)).findings


def test_bursts_are_of_the_frames_they_say(film_of_kind):
    film = open_film(film_of_kind("h264 with B-frames"))
    bursts = take_bursts(film)
    for burst in bursts.bursts:
        assert len(burst.times_s) == len(burst.pictures)
        assert burst.times_s[-1] - burst.times_s[0] <= 0.2 + 1e-6
        assert burst.pictures[0].shape == (64, 96)
