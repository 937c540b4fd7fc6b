"""What can go wrong below the tool: a mesh that cannot be drawn, a system that was not solved."""


class MeshError(ValueError):
    """The outline cannot be meshed: names the body, the place and what is wrong."""


class MeshSizeError(MeshError):
    """The mesh would take more nodes than allowed."""


class SolveError(RuntimeError):
    """A linear or contact solve did not reach its tolerance; carries the residual or the count."""
