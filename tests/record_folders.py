"""What the tests of writing records share: a small record and the entries of a folder."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

FILES = {"results.json": b"{}\n", "figures/section.svg": b"<svg/>\n", "record.pdf": b"%PDF\n"}
NEEDS_LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="kills and locks as on Linux")


def entries(parent: Path) -> list[str]:
    return sorted(p.name for p in parent.iterdir())
