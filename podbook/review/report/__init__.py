"""The report: a verdict as a page of HTML."""
