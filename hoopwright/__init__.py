"""Stress margins for sleeved thin-walled shells: will the fit hold, and what does it cost the wall."""

__version__ = "0.1.0"
