"""Loads on shell and sleeve as Fourier series of traction on named faces. Units: mm, N, MPa, radians."""
