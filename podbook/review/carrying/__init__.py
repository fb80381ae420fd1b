"""From an old workbook into a new one."""
