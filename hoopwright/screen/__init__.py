"""Results as text for a terminal of 80 columns, one file per command or part."""
