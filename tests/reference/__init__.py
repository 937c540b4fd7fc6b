"""Formulae that only tests need, each with its equation, units, range and source.

The tool is checked against them, so they share with it only the closed forms that are checked themselves.
"""
