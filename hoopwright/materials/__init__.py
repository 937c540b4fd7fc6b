"""Materials: a table with a source beside every value."""

from hoopwright.materials.model import Material, Provenance, SNCurve

__all__ = ["Material", "Provenance", "SNCurve"]
