"""Assembly: force against travel, heating and cooling, and the fit inferred from press readings."""
