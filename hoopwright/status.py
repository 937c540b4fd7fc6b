"""Exit status of the command, as documented in the README and in --help."""

ALL_HOLD = 0
SOME_FAIL = 1
BAD_INPUT = 2
NOT_SOLVED = 3
NOT_WRITTEN = 4
