"""Pixels to metres through the marks that the coach placed, and how errors are carried along."""

from analysis.ground.marks import check_marks

__all__ = ["check_marks"]
