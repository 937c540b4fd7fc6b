"""Step 1, Piece: what is repaired, of what metal, and whose values these are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hoopwright.display import Units
from hoopwright.materials import Material, table
from hoopwright.page.fields import FieldView, field, is_missing
from hoopwright.page.figures.pieces import piece_figure
from hoopwright.page.model import Bench, Mark, Step
from hoopwright.page.paths import value_at
from hoopwright.page.steps.common import is_given, mark_of, shared
from hoopwright.starters import PIECES

NAMES = {"crank-shell": "Crank shell", "hub": "Hub", "housing": "Bearing housing", "plain": "Plain tube"}
TABLES = ("", "job", "material")
WHY = {
    "crank-shell": "it has cups",
    "hub": "a bearing's load goes round it",
    "housing": "a bearing's load stands still in it",
    "plain": "no load goes round it",
}
"""By what the kind of piece is told from the loads of a case."""


@dataclass(frozen=True)
class PieceCard:
    """One of the four pieces. chosen: it is this one; why: by what that is told."""

    key: str
    name: str
    what: str
    figure: Markup
    chosen: bool
    why: str


@dataclass(frozen=True)
class MaterialView:
    """The metal of a part: its field, and what it stands for, each with its basis and source."""

    part: str
    field: FieldView
    lines: tuple[tuple[str, str, str], ...]
    note: str = ""


def piece_of(bench: Bench) -> str | None:
    """The kind of piece, by the loads that the case describes; None where it describes none."""
    tables = bench.tables
    bearings = value_at(tables, "service.bearing")
    if "cups" in tables or value_at(tables, "service.left_cup") or value_at(tables, "service.right_cup"):
        return "crank-shell"
    if isinstance(bearings, list) and bearings:
        turns = any(isinstance(row, Mapping) and row.get("rotates") is True for row in bearings)
        return "hub" if turns else "housing"
    return "plain" if "service" in tables else None


def view(bench: Bench) -> Mapping[str, Any]:
    paths = {
        "title": "title",
        "job.piece": "piece, in your words",
        "job.date": "date",
        "job.notes": "what was found",
        "units": "units of the case and its record",
    }
    fields = tuple(field(bench, path, label, step="piece") for path, label in paths.items())
    metals = tuple(_material(bench, part) for part in ("shell", "sleeve"))
    all_fields = (*fields, *(m.field for m in metals))
    return {
        **shared(bench, "piece", TABLES, all_fields),
        "cards": _cards(bench),
        "texts": fields,
        "materials": metals,
        "sample": value_at(bench.tables, "sample") is True,
        "invented": value_at(bench.tables, "invented") is True,
    }


def mark(bench: Bench) -> Mark:
    needed = ("title", "shell.material", "sleeve.material")
    given = sum(is_given(bench, path) for path in needed)
    found = mark_of(bench, TABLES, given, len(needed))
    wrong = (fault for fault in bench.faults if not is_missing(fault))
    bad = any(f.key == "material" and f.table in ("[shell]", "[sleeve]") for f in wrong)
    return "fault" if bad else found


def _cards(bench: Bench) -> tuple[PieceCard, ...]:
    chosen = piece_of(bench)
    return tuple(
        PieceCard(
            key,
            NAMES[key],
            what,
            piece_figure(key, "piece"),
            key == chosen,
            f"this one, as {WHY[key]}" if key == chosen else "",
        )
        for key, what in PIECES.items()
    )


def _strength(known: Material, units: Units) -> str:
    tensile = known.ultimate_strength
    return "not given" if tensile is None else units.text(tensile, "MPa")


def _material(bench: Bench, part: str) -> MaterialView:
    made = field(bench, f"{part}.material", f"metal of the {part}", step="piece")
    known = _read(bench, part)
    if known is None:
        return MaterialView(part, made, (), made.note)
    lines = tuple(
        (name, value, _grounds(known, key))
        for name, value, key in (
            ("yield", bench.units.text(known.yield_strength, "MPa"), "yield_strength"),
            ("tensile", _strength(known, bench.units), "ultimate_strength"),
            ("Young's modulus", _modulus(known, bench.units), "young_modulus"),
            ("expansion", bench.units.expansion(known.expansion), "expansion"),
        )
    )
    return MaterialView(part, made, lines, f"{known.name}, {known.condition}")


def _modulus(material: Material, units: Units) -> str:
    if units.system == "metric":
        return f"{1e-3 * material.young_modulus:.1f} GPa"
    return f"{1e-3 * float(units.number(material.young_modulus, 'MPa')):.1f} Msi"


def _read(bench: Bench, part: str) -> Material | None:
    if bench.case is not None:
        return bench.case.shell_material if part == "shell" else bench.case.sleeve_material
    key = value_at(bench.tables, f"{part}.material")
    return table().get(key) if isinstance(key, str) else None


def _grounds(material: Material, key: str) -> str:
    found = material.source_of(key)
    return "" if found is None else f"{found.basis}; {found.source}"


STEP = Step("piece", 1, "Piece", "Plan", ("check",), view, mark)
