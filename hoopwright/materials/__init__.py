"""Materials: a table with a source beside every value."""

from hoopwright.materials.listing import listing
from hoopwright.materials.load import rows_from, table
from hoopwright.materials.model import Material, Provenance, SNCurve

__all__ = ["Material", "Provenance", "SNCurve", "listing", "rows_from", "table"]
