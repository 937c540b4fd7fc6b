"""One file per table of the case file: each turns its table into the fields of Case it fills."""
