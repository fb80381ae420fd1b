"""The workbook: its description, its formulas, its layout and the file."""
