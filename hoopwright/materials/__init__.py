"""Materials: a table in which every value has a source."""

from hoopwright.materials.listing import listing
from hoopwright.materials.model import Material, Provenance, SNCurve
from hoopwright.materials.read_table import parse_materials, table

__all__ = ["Material", "Provenance", "SNCurve", "listing", "parse_materials", "table"]
