"""What the pages are made of beside the server: steps, views, templates, static files."""

from __future__ import annotations

import hashlib
import mimetypes
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from hoopwright.page.model import Bench, Step
from hoopwright.page.steps import STEPS
from hoopwright.page.views.frame import frame_view
from hoopwright.page.views.rows import opened_of
from hoopwright.page.views.verdict import verdict_view

HERE = Path(__file__).parent
TYPES = {".woff2": "font/woff2", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml"}


@dataclass(frozen=True)
class Around:
    """What stands round a step and is not of the case: address of a static file by its name, fields that
    every form carries, when the file was last written."""

    address: Callable[[str], str]
    fields: tuple[tuple[str, str], ...]
    saved: str


def case_views(bench: Bench, steps: Sequence[Step], current: str, around: Around) -> Mapping[str, Any]:
    """What every page of a case shows beside its step."""
    frame = frame_view(
        bench, steps, current, saved=around.saved, address=around.address, fields=around.fields
    )
    return {"frame": frame, "verdict": verdict_view(bench)}


Views = Callable[[Bench, Sequence[Step], str, Around], Mapping[str, Any]]
Opened = Callable[[Bench, str, str], Any]


@dataclass(frozen=True)
class Parts:
    """views: what every page of a case shows beside its step, by name. opened: what the template
    components/opened_row.html shows of a row, None for one that is not there."""

    steps: tuple[Step, ...] = STEPS
    views: Views = case_views
    opened: Opened = opened_of
    templates: Path = HERE / "templates"
    static: Path = HERE / "static"


@dataclass(frozen=True)
class StaticFile:
    content: bytes
    type: str
    version: str


class StaticFiles:
    """The files beside the pages, read once; a name is that of one of them or of nothing."""

    def __init__(self, folder: Path) -> None:
        self._files = _static_files(folder)

    def get(self, name: str) -> StaticFile | None:
        return self._files.get(name)

    def address(self, name: str) -> str:
        """The address of a file; it changes with what is in the file."""
        found = self._files.get(name)
        return f"/static/{name}" if found is None else f"/static/{name}?v={found.version}"


@cache
def _static_files(folder: Path) -> Mapping[str, StaticFile]:
    found = {}
    for path in sorted(folder.iterdir()):
        if path.is_file() and not path.name.startswith("."):
            content = path.read_bytes()
            kind = TYPES.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "text/plain"
            found[path.name] = StaticFile(content, kind, hashlib.sha256(content).hexdigest()[:12])
    return found
