"""What stands in for a solve in a process of its own; that process imports this file and little else."""

from __future__ import annotations

import os
import time
from pathlib import Path

from hoopwright.errors import CaseError
from hoopwright.record.partial_output import PREFIX, locked_partial


def made_in(folder):
    """What is written, as far as it is."""
    path = folder / f"{PREFIX}{16 * '0'}"
    path.write_text("half")
    return path


def in_steps(question, progress):
    """Stands in for a solve: told what to do by the text."""
    if question.text == "bad case":
        raise CaseError.at(question.file, "too thin")
    if question.text == "memory":
        raise MemoryError
    if question.text == "mistake":
        raise ZeroDivisionError
    if question.text == "deaf":
        time.sleep(60.0)
    if question.text == "deaf while it writes":
        with locked_partial(made_in, Path.cwd()):
            progress("wall_left", 0, 2)
            time.sleep(60.0)
    for step in range(10_000 if question.text == "long" else 2):
        progress("wall_left", step, 2)
        time.sleep(0.002)
    return {"state": question.text, "pid": os.getpid(), "folder": os.getcwd()}
