"""A farm's own figures, read from CSV files: trees weighed and laboratory sheets."""
