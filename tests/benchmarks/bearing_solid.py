"""The same loads in three dimensions with NGSolve, half the body, two threads. Run as a module: order,
size."""

from __future__ import annotations

import json
import resource
import sys
import time

import ngsolve as ng

sys.path.insert(0, "tests")

from solid_model import BORE, Solid, solid


def solve(order: int, size: float) -> tuple[list[float], int]:
    """rr, zz and θθ, MPa, at the sleeve's bore, z 5.5 mm, θ 0, and the number of unknowns."""
    mesh = solid([0, 11, 20, 53, 62, 73], half=True, size=size, order=order)
    body = Solid(mesh, order=order, dirichlet="outside@20", dirichlety="cut|outside@20")
    radius = ng.sqrt(ng.x**2 + ng.y**2)
    c, outwards = ng.x / radius, ng.CF((ng.x, ng.y, 0)) / radius
    body.load += 10.0 * ng.IfPos(c, c, 0) * outwards * body.v * ng.ds("bore@0", bonus_intorder=8)
    body.load += 10.0 * ng.IfPos(-c, -c, 0) * outwards * body.v * ng.ds("bore@62", bonus_intorder=8)
    tensor = body.stress(ng.Sym(ng.Grad(body.solve())))
    found = body.cylindrical(tensor, BORE * 1.0005, 0.02, 5.5)
    return [float(found[k]) for k in (0, 2, 1)], body.space.ndof


def main(order: str, size: str) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    ng.SetNumThreads(2)
    ng.ngsglobals.msg_level = 0
    seconds = []
    with ng.TaskManager():
        for _ in range(3):
            start = time.perf_counter()
            values, unknowns = solve(int(order), float(size))
            seconds.append(time.perf_counter() - start)
    print()
    print(
        json.dumps(
            {"values": values, "unknowns": unknowns, "seconds": sorted(seconds)[1], "before_MB": before}
        )
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
