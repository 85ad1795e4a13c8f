"""A first draft of every footfall, from the strip of the picture along the ground line."""

from analysis.derive.footfalls.draft import draft_footfalls
from analysis.derive.footfalls.proposals import Draft, DraftFootfall
from analysis.derive.footfalls.strip import GroundStrip

__all__ = ["Draft", "DraftFootfall", "GroundStrip", "draft_footfalls"]
