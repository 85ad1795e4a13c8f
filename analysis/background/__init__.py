"""The background of a film: where each frame looks, and whether two films look from the same place."""

from analysis.background.follow import follow_background
from analysis.background.saying import sentences, summary
from analysis.background.tie import Place, TiedPlace, tie_backgrounds

__all__ = ["Place", "TiedPlace", "follow_background", "sentences", "summary", "tie_backgrounds"]
