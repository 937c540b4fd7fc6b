"""One thread for the matrix library, as the command sets it: two processes of tests with two threads each
wait for one another. Read when numpy is first imported, which is later than this."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
