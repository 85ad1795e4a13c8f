"""Body points followed between the frames on which they were placed."""

from analysis.derive.following.follow import METHOD, follow_points

__all__ = ["METHOD", "follow_points"]
