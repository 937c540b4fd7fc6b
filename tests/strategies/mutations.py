"""Strategies for case files with something wrong in them."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from strategies.cases import valid
from strategies.toml_writer import Document
from strategies.values import Draw, maybe

NASTY: tuple[Any, ...] = (
    "",
    " ",
    "mm",
    "83",
    "83 mmm",
    "-5 mm",
    "0 mm",
    "1e-12 mm",
    "1e400 mm",
    "nan mm",
    "inf mm",
    "1,5 mm",
    "1/0 in",
    "9**9**9 mm",
    "1e308 mm",
    "5 m",
    "2 mil",
    "83 MM",
    "±3 mm",
    "1e-320 mm",
    "20 degC",
    "-300 degC",
    "0 K",
    "1 kg",
    "0 N*m",
    "0.05 mm 0.06 mm",
    "0 0 0 mm",
    "nan 1 mm",
    "x" * 5000,
    "\u202e",
    "\x00",
    "−3 mm",
    "µm",
    "100 km",
    0,
    -1,
    1,
    10**400,
    0.0,
    -0.0,
    1e-300,
    1e300,
    float("inf"),
    float("nan"),
    True,
    False,
    [],
    {},
    [[]],
    [{}],
    [1, "a", {}],
    {"a": {"b": {}}},
    ["39 mm", "40 mm"],
)
"""Values to put where something else is expected."""


def _places(node: Any) -> Iterator[tuple[Any, Any]]:
    """Yield (container, key) of every value inside `node`, nested containers included."""
    items = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in items:
        yield node, key
        yield from _places(value)


@st.composite
def mutated(draw: Draw, *, loads: bool = True) -> Document:
    """A valid case with one to four changes: some stay valid, most do not."""
    document = deepcopy(draw(valid(loads=loads)))
    for _ in range(draw(st.integers(1, 4))):
        places = list(_places(document))
        if places:
            _change(draw, *draw(st.sampled_from(places)), [c[k] for c, k in places])
    return document


def _change(draw: Draw, container: Any, key: Any, values: list[Any]) -> None:
    how = draw(st.sampled_from(("drop", "nasty", "rename", "transplant", "rescale", "text")))
    value = container[key]
    if how == "drop":
        del container[key]
    elif how == "rename" and isinstance(container, dict):
        container[draw(st.text(max_size=8)) if maybe(draw) else f"{key}s"] = container.pop(key)
    elif how == "transplant":
        container[key] = deepcopy(draw(st.sampled_from(values)))
    elif how == "rescale" and isinstance(value, str) and " " in value:
        figure, _, unit = value.partition(" ")
        container[key] = f"{figure}e{draw(st.integers(-6, 6))} {unit}"
    elif how == "text":
        container[key] = draw(st.text(max_size=30))
    else:
        container[key] = deepcopy(draw(st.sampled_from(NASTY)))


TABLE = st.recursive(
    st.one_of(st.sampled_from(NASTY), st.text(max_size=10), st.integers(), st.floats(), st.booleans()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.text(max_size=8), inner, max_size=4)
    ),
    max_leaves=12,
)
"""Any TOML value."""
