"""What a second process works out is the same, and its death costs time only."""

from __future__ import annotations

import os
import signal
import sys

import pytest

from hoopwright.record.aside import aside

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="forks as on Linux")


def test_items_come_in_order_and_only_once():
    with aside(lambda: iter(range(5))) as items:
        assert list(items) == [0, 1, 2, 3, 4]


@LINUX
def test_a_second_process_that_dies_or_fails_is_replaced_here():
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

    with aside(dying) as items:
        assert list(items) == ["a", "b"]
    with aside(failing) as items:
        assert list(items) == ["a"]


@LINUX
def test_an_error_of_the_work_itself_is_raised_here():
    def broken():
        yield 1
        raise ValueError("everywhere")

    with aside(broken) as items:
        assert next(items) == 1
        with pytest.raises(ValueError, match="everywhere"):
            next(items)


@LINUX
def test_no_process_is_left_behind_when_the_first_gives_up():
    def endless():
        while True:
            yield b"x" * 10_000

    def given_up():
        with aside(endless) as items:
            next(items)
            raise KeyError

    with pytest.raises(KeyError):
        given_up()
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)
