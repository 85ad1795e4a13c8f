"""Films: what is in the file, and the picture of frame i, exactly."""

from analysis.film.describing import describe
from analysis.film.opening import open_film
from analysis.film.reader import FrameReader
from analysis.film.repeats import repeated_pictures

__all__ = ["FrameReader", "describe", "open_film", "repeated_pictures"]
