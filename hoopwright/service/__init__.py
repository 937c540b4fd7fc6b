"""Loads in use: from the case to load cases, and from their harmonics to stress and contact over (z, θ)."""

from hoopwright.service.loads import Loads, loads_of

__all__ = ["Loads", "loads_of"]
