"""What metal stands: one function for every row, of place, direction, stock, temperature and history."""

from hoopwright.strength.allowable import (
    Allowable,
    allowable,
    allowable_of_cup,
    at_its_hottest_in_use,
    judged_by,
    least_allowable,
    least_of_zones,
    material_of,
    own_strength,
    referred,
    zones_of,
)
from hoopwright.strength.history import COMMON_HEAT_K, NO_QUESTION_K, heated_to_slip_in

__all__ = [
    "COMMON_HEAT_K",
    "NO_QUESTION_K",
    "Allowable",
    "allowable",
    "allowable_of_cup",
    "at_its_hottest_in_use",
    "heated_to_slip_in",
    "judged_by",
    "least_allowable",
    "least_of_zones",
    "material_of",
    "own_strength",
    "referred",
    "zones_of",
]
