"""Questions that lead from nothing to a case: one a line, each with an answer that stands there already."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from prompt_toolkit import prompt
from prompt_toolkit.completion import FuzzyWordCompleter
from prompt_toolkit.validation import ValidationError, Validator

from hoopwright import presets
from hoopwright.case import quantity
from hoopwright.case.fill_in import PRESET, Path, filled_by, filled_in, value_at
from hoopwright.case.tables.service import PEDALLING_TESTS
from hoopwright.materials import table
from hoopwright.starters import PIECES, UnitSystem, starter_text

UNIT_SYSTEMS: Mapping[str, UnitSystem] = {"metric": "metric", "inch": "inch"}

LINES_OF_MENU = 6
OWN = "own"
"""The answer that no preset is wanted."""


@dataclass(frozen=True)
class Question:
    """One value of a case. kind: a key of quantity.KINDS, or "" for a text; options: what a text may be.

    One whose path begins with PRESET names a preset, or none. What that fills in is not asked for.
    """

    path: Path
    text: str
    kind: str = ""
    options: Callable[[], list[str]] | None = None


def _materials() -> list[str]:
    return sorted(table())


def _preset(kind: str, text: str) -> Question:
    return Question((PRESET, kind), text, options=lambda: [OWN, *presets.table()[kind]])


_SHELL = (
    Question(("title",), "What is it, in a few words"),
    Question(("shell", "material"), "Material of the shell", options=_materials),
    Question(("shell", "width"), "Width of the shell, face to face", "length"),
    Question(("shell", "outside_diameter"), "Outside diameter of the shell", "length"),
    Question(("boring", "bore_now"), "Bore as it is now, before cutting", "length"),
    Question(("boring", "damage_depth"), "Depth of the damage in it, per side", "length"),
    Question(("shell", "bore_diameter"), "Bore once it is cut", "length"),
    Question(("shell", "bore_plus_minus"), "How sure of that bore, plus or minus", "length"),
    Question(("shell", "least_wall"), "Least wall you would leave", "length"),
    Question(("sleeve", "material"), "Material of the sleeve", options=_materials),
    Question(("sleeve", "outside_diameter"), "Outside diameter you would turn the sleeve to", "length"),
    Question(("sleeve", "outside_plus_minus"), "How close you turn, plus or minus", "length"),
)
_SHOP = (
    Question(("demand", "axial_force"), "Push along the axis it must hold", "force"),
    Question(("temperatures", "use_least"), "Coldest it is used", "temperature"),
    Question(("temperatures", "use_most"), "Hottest it is used", "temperature"),
    _preset("lubrication", "Seat while pressing, for a preset of friction, or own"),
    _preset("press", "Kind of press, for a preset of it, or own"),
    Question(("press", "capacity"), "What your press can push", "force"),
)
_BORE = (Question(("sleeve", "bore_diameter"), "Bore of the sleeve", "length"),)
_BEARING = (
    Question(("service", "bearing", 0, "radial"), "Load of the bearing across the axis", "force"),
    Question(("service", "bearing", 0, "axial"), "Load of the bearing along the axis", "force"),
    Question(("service", "bearing", 0, "from"), "Its seat begins at, from the left face", "length"),
    Question(("service", "bearing", 0, "to"), "Its seat ends at", "length"),
    Question(("service", "bearing", 0, "z"), "Plane of its load", "length"),
)
_CRANK = (
    Question(("sleeve", "bore", 1, "diameter"), "Bore of the sleeve between the threads", "length"),
    Question(("cups", "left", "tightening_torque"), "Tightening torque of the left cup", "torque"),
    Question(("cups", "right", "tightening_torque"), "Tightening torque of the right cup", "torque"),
    _preset("use", "Who rides it, for a preset of the loads, or own"),
    Question(("service", "pedalling_test"), "How it is ridden", options=lambda: list(PEDALLING_TESTS)),
)
_UNLOADED = (Question(("service", "none"), "Why no load goes round it in use"),)

QUESTIONS: dict[str, tuple[Question, ...]] = {
    "crank-shell": (*_SHELL, *_CRANK, *_SHOP),
    "hub": (*_SHELL, *_BORE, *_BEARING, *_SHOP),
    "housing": (*_SHELL, *_BORE, *_BEARING, *_SHOP),
    "plain": (*_SHELL, *_BORE, *_UNLOADED, *_SHOP),
}
"""The questions of each piece, in the order of the job."""


def case_from_questions() -> str:
    """Ask for the piece, the units and every value; the text of the case."""
    print("Each line takes the answer that stands there; type another in its place. Ctrl-C stops.")
    for name, what in PIECES.items():
        print(f"  {name:<12} {what}")
    piece = _choice("Piece", list(PIECES))
    units = UNIT_SYSTEMS[_choice("Units", list(UNIT_SYSTEMS))]
    starter = tomllib.loads(starter_text(piece, units))
    answers: dict[Path, Any] = {}
    for question in QUESTIONS[piece]:
        named = {str(path[1]): name for path, name in answers.items() if path[0] == PRESET}
        if question.path in filled_by(named):
            continue
        default = OWN if question.path[0] == PRESET else str(value_at(starter, question.path))
        answer = _ask(question, default)
        if answer != default:
            answers[question.path] = answer
    return filled_in(piece, units, answers)


def _choice(text: str, options: list[str]) -> str:
    return _prompt(f"{text} ({', '.join(options)})", options[0], _OneOf(options), options)


def _ask(question: Question, default: str) -> str:
    if question.kind:
        unit = default.partition(" ")[2]
        answer = _prompt(question.text, default, _Quantity(question.kind, unit))
        return with_unit(answer, unit)
    options = question.options() if question.options else None
    if options and question.path[0] == PRESET:
        print(f"  {', '.join(options)}")
    return _prompt(question.text, default, _OneOf(options) if options else _Something(), options)


def _prompt(
    text: str,
    default: str,
    validator: Validator,
    options: list[str] | None = None,
) -> str:
    completer = FuzzyWordCompleter(options) if options else None
    answer = prompt(
        f"{text}: ",
        default=default,
        validator=validator,
        validate_while_typing=False,
        completer=completer,
        reserve_space_for_menu=LINES_OF_MENU if options else 1,
    )
    return answer.strip()


def with_unit(answer: str, unit: str) -> str:
    """The answer, with the unit of the question behind a bare number."""
    try:
        float(answer)
    except ValueError:
        return answer
    return f"{answer} {unit}"


class _Quantity(Validator):
    def __init__(self, kind: str, unit: str) -> None:
        self.kind, self.unit = kind, unit

    def validate(self, document: Any) -> None:
        try:
            quantity.parse(with_unit(document.text.strip(), self.unit), self.kind)
        except quantity.QuantityError as error:
            told = "; ".join(part for part in (error.problem, error.hint) if part)
            advice = f"; write e.g. {error.suggestion}" if error.suggestion else ""
            raise ValidationError(len(document.text), told + advice) from None


class _OneOf(Validator):
    def __init__(self, options: list[str]) -> None:
        self.options = options

    def validate(self, document: Any) -> None:
        if document.text.strip() not in self.options:
            near = [name for name in self.options if document.text.strip().lower() in name.lower()][:4]
            told = "one of: " + ", ".join(near or self.options[:6])
            raise ValidationError(len(document.text), told)


class _Something(Validator):
    def validate(self, document: Any) -> None:
        if not document.text.strip():
            raise ValidationError(0, "write a few words")
