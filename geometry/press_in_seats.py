"""Published bores of press-in bicycle shells, so that a case can name one."""

from __future__ import annotations

PRESS_IN_SEATS = {
    "37 mm": 37.0,
    "41 mm": 41.0,
    "41.96 mm": 41.96,
    "46 mm": 46.0,
    "51.3 mm": 51.3,
}
"""Nominal bore, mm, by name; 41.96 mm takes a 42 mm bearing. Published interface sizes; the maker's own
limits of size take precedence."""
