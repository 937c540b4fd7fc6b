"""Readers of the case file, one module per table, each returning the fields of Case it fills."""
