"""Footfalls in order, the times of their events, and the step table."""

from analysis.steps.order import Conflict, check_footfalls, check_start, conflicts

__all__ = ["Conflict", "check_footfalls", "check_start", "conflicts"]
