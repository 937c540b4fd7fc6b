"""Exit status of the command, as documented in the README and in --help."""

ALL_HOLD = 0
SOME_FAIL = 1
BAD_INPUT = 2
NOT_SOLVED = 3
NOT_WRITTEN = 4
AS_FAR_AS_JUDGED = 5
PIPE_CLOSED = 141
"""As of a process that SIGPIPE ended (128 + 13): what was printed is not whole."""

WORST_FIRST = (SOME_FAIL, NOT_SOLVED, NOT_WRITTEN, BAD_INPUT, AS_FAR_AS_JUDGED, ALL_HOLD)
"""For several cases at once: the status of the worst of them."""

BY_STATE = {
    "holds": ALL_HOLD,
    "holds as far as judged": AS_FAR_AS_JUDGED,
    "fails": SOME_FAIL,
    "undecided": SOME_FAIL,
    "contradicted": NOT_SOLVED,
}
"""Exit status by the state of the whole, as the document of a command states it."""
