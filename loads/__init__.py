"""What acts on shell and sleeve: tractions as Fourier series on named faces. mm, N, MPa, radians."""
