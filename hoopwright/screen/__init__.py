"""Results as text for an 80-column terminal, one module per command or part."""
