"""Fields under one heading."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hoopwright.page.fields import FieldView


@dataclass(frozen=True)
class Group:
    """Fields under one heading. note: what is to be said of all of them.

    together: they are one form, since a case is sound only with all of them. fault: what is wrong with all
    of them alike.
    """

    title: str
    fields: tuple[FieldView, ...]
    note: str = ""
    together: bool = False
    fault: str = ""

    @property
    def wants_a_look(self) -> bool:
        """Whether something in it is wrong or missing, so that it is not folded away."""
        lacks = any(f.fault or (f.required and f.state == "nothing") for f in self.fields)
        return bool(self.fault) or lacks


def together(title: str, fields: tuple[FieldView, ...], note: str = "") -> Group:
    """Fields that are taken at once. What is wrong with several alike is said once."""
    words = [f.fault for f in fields if f.fault]
    if len(words) < 2 or len(set(words)) > 1:
        return Group(title, fields, note, together=True)
    return Group(title, tuple(replace(f, fault="") for f in fields), note, together=True, fault=words[0])
