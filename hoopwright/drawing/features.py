"""What stands on a drawing in words: features of both parts, and the sizes to work to at the machine."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.display import Units
from hoopwright.drawing.sizes import BORES, THREADS, Content, Size
from hoopwright.drawing.wording import NOT_STATED, covered, limits_text, number
from hoopwright.geometry.thread import Thread
from hoopwright.materials import Material


@dataclass(frozen=True)
class Feature:
    """One line: what it is, and its value in the units of the drawing or "not stated"."""

    name: str
    value: str


def metals(content: Content) -> tuple[Feature, ...]:
    """What both parts are of, the sleeve with its blank."""
    case, own = content.case, content.case.drawing.sleeve
    stock = "" if case.sleeve_stock is None else str(case.sleeve_stock)
    return (
        Feature("sleeve", _metal(case.sleeve_material, own.condition)),
        Feature("cut from", _text(own.blank or stock)),
        Feature("shell", _metal(case.shell_material, "")),
    )


def sleeve_features(content: Content, units: Units) -> tuple[Feature, ...]:
    case, own = content.case, content.case.drawing.sleeve
    threads = tuple(dict.fromkeys(one.thread for one in content.of("sleeve", *THREADS) if one.thread))
    found = [
        Feature("faces square to outside", _within(own.squareness, units)),
        Feature("outside round", _within(own.roundness, units)),
        Feature("texture of outside", _roughness(case.fit.roughness_sleeve_mm, units)),
        Feature("texture elsewhere", _text(own.texture)),
    ]
    if content.of("sleeve", *BORES):
        found.append(Feature("runout of bore to outside", _within(own.bore_runout, units)))
    if threads:
        found.append(Feature("runout of threads to outside", _within(own.thread_runout, units)))
        found.append(Feature("class of threads", _text(own.thread_class)))
        found.append(Feature("incomplete thread, at most", _length(own.incomplete_thread, units)))
    return (*found, *_minors(threads, units))


def bore_features(content: Content, units: Units) -> tuple[Feature, ...]:
    case, own = content.case, content.case.drawing.bore
    return (
        Feature("faces square to bore", _within(own.squareness, units)),
        Feature("bore round", _within(own.roundness, units)),
        Feature("texture of bore", _roughness(case.fit.roughness_bore_mm, units)),
        Feature("runout of bore to outside", _within(case.runout_mm or None, units)),
    )


@dataclass(frozen=True)
class WorkTo:
    """One size to work to: at 20 °C, as the gauge shows it in the shop, and the class that lies inside."""

    name: str
    limits: str
    shop: str
    within: str


def sizes_to_work_to(content: Content, units: Units) -> tuple[WorkTo, ...]:
    """The diameters that are cut to fit, as `size` gives them."""
    if content.cut is None:
        return ()
    fitted = content.of(content.cut, "outside" if content.cut == "sleeve" else "bore")
    return tuple(_work_to(one, units) for one in fitted if one.basis in ("size", "not stated"))


def _work_to(size: Size, units: Units) -> WorkTo:
    where = f"z {units.along_span(size.z_start, size.z_end)}"
    name = f"{size.part} {size.feature}, land {size.index}, {where}"
    limits, shop = size.shown_limits(units.system), size.shop_limits(units.system)
    if limits is None or shop is None:
        return WorkTo(name, NOT_STATED, NOT_STATED, "")
    within = "none" if size.within is None else f"{size.within.basic:g} mm {size.within.name} lies inside"
    return WorkTo(name, limits_text(*limits, units), limits_text(*shop, units), within)


def tapers(content: Content, units: Units) -> tuple[str, ...]:
    """What is to be said of lands that taper."""
    return tuple(
        f"{one.part} {one.feature}, land {one.index}: its right end is {number(abs(one.tapered), units)} "
        f"{units.label('mm')} {'larger' if one.tapered > 0 else 'smaller'} than its left one"
        for one in content.sizes
        if one.tapered
    )


def _minors(threads: tuple[Thread, ...], units: Units) -> list[Feature]:
    """Minor diameters: limits where the case gives them, else that of the basic profile."""
    found = []
    for minor, limits in dict.fromkeys((one.minor, one.limits) for one in threads):
        shown = f"Ø{units.text(minor, 'mm')}, basic"
        if limits is not None:
            shown = f"Ø{units.span(limits.internal_minor_min, limits.internal_minor_max, 'mm')}"
        found.append(Feature("minor diameter of thread", shown))
    return found


def _metal(material: Material, condition: str) -> str:
    stated = condition or material.condition or f"condition {NOT_STATED}"
    return covered(f"{material.name}, {stated}")


def _text(given: str) -> str:
    return covered(given) or NOT_STATED


def _length(value: float | None, units: Units) -> str:
    return NOT_STATED if value is None else f"{number(value, units)} {units.label('mm')}"


def _within(value: float | None, units: Units) -> str:
    return NOT_STATED if value is None else f"within {_length(value, units)}"


def _roughness(rz: float, units: Units) -> str:
    """Rz of a surface, of which 0 stands for none given."""
    if not rz:
        return NOT_STATED
    return f"Rz {1e3 * rz:g} µm" if units.system == "metric" else f"Rz {units.text(1e3 * rz, 'um')}"
