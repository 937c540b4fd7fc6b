"""Strategies for whole case files that the reader must accept."""

from __future__ import annotations

from hypothesis import strategies as st

from strategies.optional_tables import OPTIONAL_TABLES
from strategies.parts import gauge_table, shell_table, sleeve_table, titles
from strategies.place import place
from strategies.service_tables import cups_table, service_table
from strategies.toml_writer import Document
from strategies.values import Draw, maybe, number, temperature

LOG_NAME = "press.csv"


@st.composite
def valid(draw: Draw, *, loads: bool = True) -> Document:
    """A case the reader must accept. loads: whether it may have a [service] table."""
    bore = number(draw, 8.0, 80.0)
    width = number(draw, max(8.0, 0.4 * bore), 90.0)
    tight = number(draw, 6e-4, 1.5e-3, 6) * bore
    sleeve_bore = round(bore - 2.0 * number(draw, 0.5, 0.15 * bore), 4)
    lies = place(draw, width, bore, sleeve_bore)
    document: Document = {"title": draw(titles), "invented": True}
    if maybe(draw):
        document["units"] = draw(st.sampled_from(("metric", "inch")))
    document["gauge"] = {"g 1": gauge_table(draw)}
    document["shell"] = shell_table(draw, width, bore, lies.shoulder)
    document["sleeve"] = sleeve_table(draw, lies, bore + tight, sleeve_bore)
    low = number(draw, 0.05, 0.15)
    document["fit"] = {"friction_low": low, "friction_high": number(draw, low, 0.3)}
    document["mesh"] = {"elements_through_wall": draw(st.integers(1, 2))}
    if maybe(draw):
        document["fit"] |= {
            "temperature": temperature(draw, -20.0, 40.0),
            "roughness_bore": "2 um",
            "roughness_sleeve": "1 um",
            "smoothing": number(draw, 0.0, 1.0),
        }
    for name, table in OPTIONAL_TABLES.items():
        if maybe(draw):
            document[name] = table(draw, bore, width)
    if document["sleeve"].get("bore") and "thread" in document["sleeve"]["bore"][0] and maybe(draw):
        document["cups"] = cups_table(draw, bore, lies)
    if loads and maybe(draw):
        document["service"] = service_table(draw, lies.start, lies.end, width)
    return document


@st.composite
def pressed_with_log(draw: Draw) -> tuple[Document, str]:
    """A case that names a press log, and the text of that log."""
    document = draw(valid(loads=False))
    press = document.setdefault("press", {})
    for key in ("observed_peak", "observed_gauge", "method"):
        press.pop(key, None)
    press |= {"log": LOG_NAME}
    if maybe(draw):
        press |= {"observed_closure": "12 um", "closure_plus_minus": "2 um"}
    travel_unit, in_travel = draw(st.sampled_from((("mm", 1.0), ("in", 25.4))))
    force_unit, in_force = draw(st.sampled_from((("kN", 1.0), ("lbf", 0.004448))))
    peak = number(draw, 0.5, 60.0)
    rows = [f"travel [{travel_unit}], force [{force_unit}]"]
    for k in range(1, draw(st.integers(2, 40))):
        share = k / 40.0
        push = peak * share * (1.0 + number(draw, -0.1, 0.1))
        rows.append(f"{60.0 * share / in_travel:.4f}, {push / in_force:.3f}")
    return document, "\n".join(rows) + "\n"
