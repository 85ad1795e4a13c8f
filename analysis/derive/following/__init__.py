"""Body points followed between the frames on which they were placed."""

from analysis.derive.following.correcting import follow_again
from analysis.derive.following.follow import follow_points

__all__ = ["follow_again", "follow_points"]
