"""Films: what is in the file, and the picture of frame i, exactly."""

from analysis.film.describing import describe
from analysis.film.opening import open_film
from analysis.film.reader import FrameReader

__all__ = ["FrameReader", "describe", "open_film"]
