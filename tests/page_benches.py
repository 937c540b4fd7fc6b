"""Cases as the steps of the page see them, and their parts as XML."""

from __future__ import annotations

import tomllib
import xml.etree.ElementTree as ET
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import jinja2

from hoopwright.case.read import parse_case
from hoopwright.display import Units
from hoopwright.errors import HoopwrightError
from hoopwright.page.model import Bench
from hoopwright.starters import starter_text

CASES = Path(__file__).parents[1] / "cases"
SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class RefusedBench(Bench):
    """A bench with values that were typed and not taken."""

    rejected: dict[str, tuple[str, str]] = field(default_factory=dict)


def bench(text: str, units: str = "metric", **rejected: tuple[str, str]) -> RefusedBench:
    """The bench of a text, read as the page reads it. rejected: by path, with __ for a full stop."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        tables = {}
    try:
        case, faults = parse_case(text), ()
    except HoopwrightError as error:
        case, faults = None, error.faults
    refused = {path.replace("__", "."): said for path, said in rejected.items()}
    return RefusedBench("a.toml", text, "0" * 64, tables, case, faults, Units(units), rejected=refused)


@lru_cache
def demo(name: str) -> str:
    return (CASES / f"{name}.toml").read_text("utf-8")


TRIKE = "cargo_trike_crank_shell"


def starter(piece: str = "plain", units: str = "metric") -> str:
    return starter_text(piece, units)


def svgs(markup: str) -> list[ET.Element]:
    """The figures of a markup."""
    root = ET.fromstring(f"<r>{markup}</r>")
    return list(root)


def with_class(figure: ET.Element, name: str) -> list[ET.Element]:
    return [e for e in figure.iter() if name in e.get("class", "").split()]


def environment():
    """As the server has it: every text escaped, every name known."""
    made = jinja2.Environment(
        loader=jinja2.PackageLoader("hoopwright.page"), autoescape=True, undefined=jinja2.StrictUndefined
    )
    made.globals["fields"] = (("token", "secret"),)
    return made


ENVIRONMENT = environment()


def html(step, at):
    """The fragment of a step."""
    return ENVIRONMENT.get_template(f"steps/{step.id}.html").render(**step.view(at))
