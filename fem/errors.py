"""Exceptions of the finite-element package."""


class MeshError(ValueError):
    """A body cannot be meshed or lacks its data; the message names the body, the place and the fault."""


class MeshSizeError(MeshError):
    """The mesh would have more nodes than allowed."""


class SolveError(RuntimeError):
    """A linear, contact or plastic solve failed; the message gives the residual or the iteration count."""
