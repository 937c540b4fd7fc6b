"""Formulae that only tests need."""
