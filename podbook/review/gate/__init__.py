"""A workbook from outside: may it be opened at all, and what stands in it."""
