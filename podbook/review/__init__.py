"""A workbook that comes back from outside: guarded, read, compared, reported."""
