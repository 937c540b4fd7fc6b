"""A worker process gives the same results, and its death costs only time."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from hoopwright.record import worker
from hoopwright.record.worker import in_worker

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="forks as on Linux")


def test_items_arrive_in_order_and_only_once():
    with in_worker(lambda: iter(range(5))) as items:
        assert list(items) == [0, 1, 2, 3, 4]


def test_without_a_fork_the_work_is_done_here(monkeypatch):
    monkeypatch.delattr(os, "fork", raising=False)
    with in_worker(lambda: iter([os.getpid()])) as items:
        assert list(items) == [os.getpid()]


@LINUX
def test_work_of_a_worker_that_dies_or_fails_is_redone_in_the_parent():
    first = os.getpid()

    def dying():
        yield "a"
        if os.getpid() != first:
            os.kill(os.getpid(), signal.SIGKILL)
        yield "b"

    def failing():
        if os.getpid() != first:
            raise ValueError("only there")
        yield "a"

    with in_worker(dying) as items:
        assert list(items) == ["a", "b"]
    with in_worker(failing) as items:
        assert list(items) == ["a"]


@LINUX
def test_an_error_of_the_work_itself_is_raised_in_the_parent():
    def broken():
        yield 1
        raise ValueError("everywhere")

    with in_worker(broken) as items:
        assert next(items) == 1
        with pytest.raises(ValueError, match="everywhere"):
            next(items)


@LINUX
def test_a_worker_that_works_is_waited_for_and_one_that_does_nothing_is_not(monkeypatch):
    first = os.getpid()
    monkeypatch.setattr(worker, "TIMEOUT_S", 0.3)
    monkeypatch.setattr(worker.threading, "active_count", lambda: 1)  # other tests may have left some

    def busy():
        while time.process_time() < 1.0 and os.getpid() != first:
            pass
        yield os.getpid()

    def stopped():
        if os.getpid() != first:
            time.sleep(60.0)
        yield os.getpid()

    with in_worker(busy) as items:
        assert next(items) != first
    with in_worker(stopped) as items:
        assert next(items) == first


def children() -> set[str]:
    """Processes that this one has started and that are not gone; other tests may have left some."""
    tasks = Path(f"/proc/{os.getpid()}/task")
    return {pid for task in tasks.iterdir() for pid in (task / "children").read_text().split()}


@LINUX
def test_no_worker_is_left_behind_when_the_parent_raises():
    def endless():
        while True:
            yield b"x" * 10_000

    def given_up():
        with in_worker(endless) as items:
            next(items)
            raise KeyError

    before = children()
    with pytest.raises(KeyError):
        given_up()
    assert children() == before
