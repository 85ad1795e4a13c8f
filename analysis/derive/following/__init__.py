"""Body points followed between the frames on which they were placed."""

from analysis.derive.following.correcting import follow_again
from analysis.derive.following.follow import METHOD, follow_points

__all__ = ["METHOD", "follow_again", "follow_points"]
