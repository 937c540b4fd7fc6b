"""Closed forms: one formula, one function, with its equation, units, range and source.

These formulae judge the finite-element results, so this package imports numpy and nothing of the
project. Units are mm, N, MPa, K and s unless a function says otherwise. Scalars give scalars and
arrays broadcast, so a million sampled fits are one call.
"""
