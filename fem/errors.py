"""Exceptions of the finite-element package."""


class MeshError(ValueError):
    """The outline cannot be meshed; the message names the body, the place and the fault."""


class MeshSizeError(MeshError):
    """The mesh would have more nodes than allowed."""


class SolveError(RuntimeError):
    """A linear, contact or plastic solve failed; the message gives the residual or the iteration count."""
