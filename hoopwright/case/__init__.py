"""The case file: TOML text with units in, frozen dataclasses in mm, N, MPa and K out."""

from hoopwright.case.faults import CaseError, Fault
from hoopwright.case.model import Case, Factors, FitInput, HoldDemand, Job, MeshInput
from hoopwright.case.read import parse_case, read_case
from hoopwright.case.starter import starter_text

__all__ = [
    "Case",
    "CaseError",
    "Factors",
    "Fault",
    "FitInput",
    "HoldDemand",
    "Job",
    "MeshInput",
    "parse_case",
    "read_case",
    "starter_text",
]
