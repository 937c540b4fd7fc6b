"""Service loads: stress and contact traction over (z, θ) from the harmonics of the load cases."""
