"""Case files: TOML text with units goes in, frozen dataclasses in mm, N, MPa and K come out."""

from hoopwright.case.model import Case, DemandInput, Factors, FitInput, Job, MeshInput
from hoopwright.case.read import parse_case, read_case
from hoopwright.errors import CaseError, Fault

__all__ = [
    "Case",
    "CaseError",
    "DemandInput",
    "Factors",
    "Fault",
    "FitInput",
    "Job",
    "MeshInput",
    "parse_case",
    "read_case",
]
