"""One module per command: `add` declares its arguments, `run` executes it and returns the exit status."""
