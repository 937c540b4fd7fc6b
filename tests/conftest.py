"""Limit the matrix library to one thread and collect garbage seldom, as the command does: two test
processes with two threads each wait for one another. The variable is read when numpy is first imported,
which happens after this."""

import gc
import os

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from browser import bench_page, chromium, served, solved_steps  # noqa: F401 - one browser for all files of tests

from hoopwright.cli import COLLECT_AFTER

# The same examples in every run: a change is not refused for what the one before got through with.
settings.register_profile("the same in every run", derandomize=True)
settings.load_profile("the same in every run")


def pytest_collection_finish():
    """What the tests themselves are made of is not garbage; what a solve makes is small against it, and
    most of it is freed without a collection, as in the command."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(COLLECT_AFTER)


@pytest.fixture(autouse=True, scope="module")
def studies_of_a_file_are_freed_behind_it(request):
    """What a file of tests keeps for itself between its tests: gigabytes in a whole run, which slow every
    collection of garbage."""
    yield
    for kept in vars(request.module).values():
        if hasattr(kept, "cache_clear") and kept.__module__ == request.module.__name__:
            kept.cache_clear()
