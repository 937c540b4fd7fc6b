"""Evaluation of measurements: from readings to sizes with their uncertainty."""
