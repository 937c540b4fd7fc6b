"""One file per command: `add` declares its arguments, `run` does the work and returns the exit status."""
