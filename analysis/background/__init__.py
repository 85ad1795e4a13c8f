"""The background of a film: where each frame looks, and whether two films look from the same place."""

from analysis.background.follow import follow_background

__all__ = ["follow_background"]
