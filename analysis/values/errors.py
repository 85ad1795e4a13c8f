"""One family of errors. Each is a sentence for the coach: what happened and what to do."""

from __future__ import annotations


class CinderlaneError(Exception):
    """Base of every error that a coach may see; ``str(error)`` is the sentence."""


class FilmError(CinderlaneError, ValueError):
    """The file can't be used as a film."""


class MissingFilmError(FilmError, FileNotFoundError):
    """The film is not where it is said to be."""

    def __str__(self) -> str:  # OSError would print an error number
        return str(self.args[0]) if self.args else ""


class UnfitFrameError(FilmError):
    """A frame that is whole, but can't stand among the others of its film."""


class InterlacedError(UnfitFrameError):
    """A frame of a film that holds two moments, each in every other line."""


class OtherSizeError(UnfitFrameError):
    """A frame that is larger or smaller than the film's first."""


class FrameError(CinderlaneError, IndexError):
    """A frame that the film does not hold."""


class MarkError(CinderlaneError, ValueError):
    """Marks of place that can't be used together."""


class FootfallError(CinderlaneError, ValueError):
    """Events of footfalls that contradict each other."""


class PointError(CinderlaneError, ValueError):
    """A body point or line that can't be what it says."""


class SheetError(CinderlaneError, ValueError):
    """A run sheet that can't be read."""


class ProjectError(CinderlaneError, ValueError):
    """A project file that can't be used."""


class PlanError(CinderlaneError, ValueError):
    """A drill or a planned day that can't be what it says."""


class BandError(CinderlaneError, ValueError):
    """A table of bands that can't be read."""


class NarrationError(CinderlaneError, ValueError):
    """A narration or a recording that can't be what it says."""


class GateError(CinderlaneError, ValueError):
    """A time from a timing gate, or a table of them, that can't be read."""
