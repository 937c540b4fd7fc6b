"""Everything that is solved for one case: its press fits, and what service adds to them."""

from __future__ import annotations

from functools import cached_property
from typing import Self

from hoopwright.fit import FitStudy
from hoopwright.service.study import ServiceStudy, bore_shapes


class CaseStudy(FitStudy):
    """The press fits of a case and, where it gives service loads or an out-of-round bore, those too."""

    @cached_property
    def service(self) -> ServiceStudy | None:
        """What service loads and an out-of-round bore add, None where the case gives neither."""
        if self.case.service is None and not any(bore_shapes(self.case)):
            return None
        return ServiceStudy(self)

    def alone(self) -> Self:
        other = super().alone()
        if self.service is not None:
            vars(other)["service"] = self.service.alone(other)
        return other
