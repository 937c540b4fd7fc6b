"""What metal stands: one function for every row, of place, direction, stock, temperature and history."""

from hoopwright.strength.allowable import (
    Allowable,
    allowable,
    as_in_the_table,
    least_allowable,
    own_strength,
    referred,
)
from hoopwright.strength.history import COMMON_HEAT_K, NO_QUESTION_K, heated_to_slip_in

__all__ = [
    "COMMON_HEAT_K",
    "NO_QUESTION_K",
    "Allowable",
    "allowable",
    "as_in_the_table",
    "heated_to_slip_in",
    "least_allowable",
    "own_strength",
    "referred",
]
