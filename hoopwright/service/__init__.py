"""Loads in use: from the harmonics of load cases to stress and contact over (z, θ)."""
