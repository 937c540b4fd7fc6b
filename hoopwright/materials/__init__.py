"""Materials: a table in which every value has a source."""

from hoopwright.materials.listing import listing
from hoopwright.materials.model import (
    HeatShares,
    Material,
    MeanExpansions,
    Provenance,
    SNCurve,
    SNEquation,
)
from hoopwright.materials.read_table import parse_materials, table
from hoopwright.materials.stock import Stock

__all__ = [
    "HeatShares",
    "Material",
    "MeanExpansions",
    "Provenance",
    "SNCurve",
    "SNEquation",
    "Stock",
    "listing",
    "parse_materials",
    "table",
]
