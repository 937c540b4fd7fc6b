"""Limit the matrix library to one thread, as the command does: two test processes with two threads each
wait for one another. The variable is read when numpy is first imported, which happens after this."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from browser import bench_page, chromium, served  # noqa: F401 - one browser for all files of tests
