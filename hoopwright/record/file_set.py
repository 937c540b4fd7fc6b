"""The fixed set of files of a record: what the writer writes and what verify demands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from hoopwright.record.case_inputs import materials_name
from hoopwright.record.figures import FIGURES, SERVICE_FIGURES
from hoopwright.record.file_names import PAGES, RESULTS, SECTION, safe_name

KINDS = ("svg", "png")
"""Formats of every figure."""


def files_of(document: Mapping[str, Any], case_name: str, *, revolved: bool) -> tuple[str, ...]:
    """The paths of all files of a record but SHA256SUMS, sorted. document: content of results.json;
    case_name: of the case file in the record; revolved: also every load case on the revolved mesh."""
    if document["record"]["kind"] == "comparison":
        given = case_name, *materials_name(document)
        return tuple(sorted((RESULTS, PAGES, *given, *figure_files(("compare",)))))
    log = document["settings"]["press_log"]
    loads = _load_cases(document)
    return tuple(
        sorted(
            (
                RESULTS,
                PAGES,
                SECTION,
                case_name,
                *materials_name(document),
                *((log,) if log else ()),
                *figure_files(_figures(document, loads)),
                *(load_files(loads) if revolved else ()),
            )
        )
    )


def with_file_set(document: Mapping[str, Any], case_name: str, *, revolved: bool) -> dict[str, Any]:
    """The document with the name of the case file in its record, and the paths of all its files."""
    files = list(files_of(document, case_name, revolved=revolved))
    return {**document, "case": {**document["case"], "file": case_name}, "files": files}


def is_revolved(document: Mapping[str, Any]) -> bool:
    """Whether a record holds the load cases on the revolved mesh, as its results.json says."""
    return any(str(name).startswith("service/") for name in document.get("files") or ())


def figure_files(names: Sequence[str]) -> list[str]:
    """Paths of figures in every format, by name without extension."""
    return [figure_file(name, kind) for name in names for kind in KINDS]


def figure_file(name: str, kind: str) -> str:
    """Path of a figure, e.g. "figures/wall.svg"."""
    return f"figures/{name}.{kind}"


def load_files(load_cases: Sequence[str]) -> list[str]:
    """Paths of the load cases on the revolved mesh, one per load case, in their order."""
    found: list[str] = []
    for case in load_cases:
        name = f"service/{safe_name(case, fallback='load')}.vtu"
        while name in found:
            name = name.replace(".vtu", "-.vtu")
        found.append(name)
    return found


def _figures(document: Mapping[str, Any], loads: Sequence[str]) -> list[str]:
    press = document["press"]
    is_pushed_in = not press["blocked"] and press["force_against_travel"] is not None
    return [
        *FIGURES,
        *(SERVICE_FIGURES if loads else ()),
        *(("readings",) if document["readings"] else ()),
        *(("press",) if is_pushed_in else ()),
    ]


def _load_cases(document: Mapping[str, Any]) -> list[str]:
    return [case["name"] for case in (document["loads"] or {}).get("cases", ())]
