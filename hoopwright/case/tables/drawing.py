"""[drawing]: what a drawing of the parts says besides their sizes. What it allows the bore of the
sleeve counts: where a pilot is in it as small as its ± lets it be, and for the stress of the sleeve on the
thin side of its wall. No other verdict depends on it."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from hoopwright.case.drawing_model import BoreFeatures, DrawingInput, SleeveFeatures
from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.table import Table

THREADED = ("[[sleeve.bore]] thread or [[sleeve.bore]] bored_after or [sleeve] bored_after",)


def _text(name: str, meaning: str, example: str, max_length: int = 60, **more: Any) -> Key:
    return Key(name, "text", meaning, example, default="", max_length=max_length, **more)


def _tolerance(name: str, meaning: str, example: str = "0.02 mm", **more: Any) -> Key:
    return optional(name, "length", meaning, example, "above 0 mm to 5 mm", **more)


_SLEEVE = TableKeys(
    "sleeve",
    "features of the sleeve; the texture of its outside is [fit] roughness_sleeve",
    keys=(
        _tolerance("length_plus_minus", "on its length", "0.1 mm"),
        _tolerance(
            "bore_plus_minus",
            "on the diameter of its plain bores: what a pilot leaves in them counts from the least, its "
            "wall from the greatest",
            "0.1 mm",
        ),
        _tolerance("squareness", "of its end faces to the outside"),
        _tolerance("roundness", "of its outside", "5 um"),
        _tolerance(
            "bore_runout",
            "of its plain bores to the outside, total indicator reading; its stress is judged on the thin "
            "side",
        ),
        _tolerance(
            "thread_runout",
            "of its threads to the outside, total indicator reading; likewise",
            "0.05 mm",
            needs=THREADED,
        ),
        optional(
            "incomplete_thread",
            "length",
            "of thread at its end that is not cut to full depth",
            "2 mm",
            "from 0 mm to 50 mm",
            needs=THREADED,
        ),
        _text("thread_class", "of its threads", "6H", needs=THREADED),
        _text("texture", "of all its surfaces but the outside, ISO 21920-1", "Ra 3.2"),
        _text("blank", "what it is cut from, where [sleeve] stock does not say", "tube 45 x 6"),
        _text("condition", "of its metal, as delivered", "normalised"),
    ),
)
_BORE = TableKeys(
    "bore",
    "features of the shell's bore; its texture is [fit] roughness_bore, its runout [shell] runout",
    keys=(
        _tolerance("squareness", "of the shell's faces to the bore", "0.05 mm"),
        _tolerance("roundness", "of the bore", "10 um"),
    ),
)
KEYS = TableKeys(
    "drawing",
    "what a drawing says besides the sizes; what is left out stands there as not stated",
    keys=(
        _text("title", "of the part, if not that of the case", "Sleeve, crank shell"),
        _text("number", "of the drawing", "S-104", 30),
        _text("revision", "of the drawing", "B", 12),
        _text("drawn_by", "who answers for it", "name", 40),
        optional(
            "projection",
            "choice",
            "its method",
            options=named("first angle", "third angle"),
            what="projection",
        ),
        _text("general_tolerance", "where a size has none of its own", "ISO 2768-m", 80),
        _text("edges", "of undefined shape, ISO 13715", "ISO 13715: outside -0.3, inside +0.3", 80),
    ),
    tables=(_SLEEVE, _BORE),
)


def read(table: Table) -> dict[str, Any]:
    own = (key.name for key in KEYS.keys)
    parts = {
        name: _features(table, name, model)
        for name, model in (("sleeve", SleeveFeatures), ("bore", BoreFeatures))
    }
    return {"drawing": table.build(DrawingInput, **table.fields(*own), **parts)}


def _features(table: Table, name: str, model: type) -> Any:
    inner = table.subtable(name)
    if inner is None:
        inner = table.empty_subtable(name)
    return inner.build(model, **inner.fields(*(one.name for one in fields(model))))
