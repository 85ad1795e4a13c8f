"""Follows the clicked points of the sample clips and writes the tracks that the demo project begins with:
``python -m tests.bench.demo_tracks``, after the method of following or a clip has changed.
"""

from __future__ import annotations

import time
from pathlib import Path

from analysis.derive.following import follow_points
from analysis.film import open_film
from analysis.sheet import read_sheet
from analysis.values.tracks_file import write_tracks
from app.demo import CLIPS, SAMPLES, sheet_of, tracks_of


def write(clip: str) -> Path:
    """Follow one clip's points from their first frame to their last; the file written."""
    run = read_sheet(sheet_of(clip)).run
    frames = [int(point.frame) for point in run.points]
    film = open_film(SAMPLES / f"{clip}.mp4")
    write_tracks(follow_points(film, run.points, min(frames), max(frames), run.direction), tracks_of(clip))
    return tracks_of(clip)


if __name__ == "__main__":
    for name in CLIPS:
        begun = time.perf_counter()
        print(f"{write(name).name}: {time.perf_counter() - begun:.1f} s")
