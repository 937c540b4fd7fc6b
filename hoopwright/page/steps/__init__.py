"""The steps of the job, in the order of work."""

from __future__ import annotations

from hoopwright.page.model import Step

STEPS: tuple[Step, ...] = ()
