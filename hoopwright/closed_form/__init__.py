"""Closed-form solutions, one function per formula, each with its equation, units, range and source.

The finite-element results are checked against these formulae, so this package imports numpy and
nothing else of the project. Units are mm, N, MPa, K and s unless a function says otherwise.
Scalars return scalars and arrays broadcast, so a million sampled fits take one call. Only formulae that
the tool itself runs are here; those that only its tests need are in tests/reference.
"""
