"""Films of which some frames are not shown: which those are by `ffprobe`, and that the others are right."""

import json
import subprocess

import numpy as np
import pytest

from tests.helpers.programs import need


def each_frames(entry, path):
    """What the program says of each frame of a film, such as its width."""
    command = [need("ffprobe"), "-v", "error", "-select_streams", "v:0", "-of", "json", str(path)]
    said = subprocess.run(
        [*command, "-show_entries", f"frame={entry}"], capture_output=True, check=True, text=True
    )
    return [one[entry] for one in json.loads(said.stdout)["frames"]]


def check_shown(reader, asked, pictures, refused, error, words):
    """Of the frames asked for the refused ones say why, and the others are those of a straight decode."""
    for number in asked:
        if number in refused:
            with pytest.raises(error, match=f"Frame {number} {words}"):
                reader.picture(number)
        else:
            assert np.array_equal(reader.picture(number), pictures[number]), number
