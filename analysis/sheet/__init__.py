"""Run sheets: one run as plain JSON, in and out."""

from analysis.sheet.reading import read_sheet
from analysis.sheet.sheet import Sheet
from analysis.sheet.writing import sheet_text, write_sheet

__all__ = ["Sheet", "read_sheet", "sheet_text", "write_sheet"]
