"""Cost of contact and plastic runs in factorisations, which do not depend on the machine. Run as a module:
prints the rows as JSON.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import asdict
from unittest import mock

import numpy as np

from tests.benchmarks.measure import Row, child, run

sys.path.insert(0, "tests")


def rows(_: int) -> list[Row]:
    return [Row(**row) for row in run(child("solves")).output["rows"]]


def _contact(name: str, meshed_joint) -> Row:
    from fem_models import interference_profile

    from hoopwright.fem import FitSolver

    profile = interference_profile(meshed_joint)
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    counts, steps = [], []
    for stuck in (False, True):
        for shift in (0.0, 1e-4):
            fits: list = []
            counts.append(
                _counted(
                    lambda fits=fits, shift=shift, stuck=stuck: fits.append(
                        solver.press(profile + shift, stuck=stuck)
                    )
                )
            )
            steps.append(str(fits[0].steps))
    return Row(
        f"contact of {name}: factorisations",
        f"{counts[0]} frictionless, {counts[2]} more stuck",
        how=f"{counts[1]} and {counts[3]} more for another interference; contact steps: "
        + ", ".join(steps),
    )


def _plastic(meshed_joint) -> Row:
    from fem_models import interference_profile

    from hoopwright.fem.plastic import Yield
    from hoopwright.fem.plastic_press import PlasticPress

    press = PlasticPress(meshed_joint, {"shell": Yield(50.0), "sleeve": Yield(np.inf)})
    states: list = []
    count = _counted(lambda: states.extend(press.press([1.5 * interference_profile(meshed_joint)])))
    share = float(np.mean(states[-1].history.equivalent > 0.0))
    return Row(
        "pressing past yield, 60 µm into a shell that yields at 50 MPa: factorisations",
        str(count),
        how=f"{100.0 * share:.0f} % of all points yield; the last Newton run took "
        f"{len(states[-1].residuals)} residuals",
    )


def _counted(work: Callable[[], object]) -> int:
    """Number of factorisations while `work` runs; elimination orders are not counted."""
    import hoopwright.fem.linear_solver

    with mock.patch.object(
        hoopwright.fem.linear_solver, "Factor", wraps=hoopwright.fem.linear_solver.Factor
    ) as factor:
        work()
    return factor.call_count


def main() -> None:
    from fem_models import MATERIALS, crank_shell, sleeved_shell

    from hoopwright.fem import Resolution, mesh_joint
    from hoopwright.geometry import Land

    short = mesh_joint(crank_shell(start=16.5, end=56.5), MATERIALS, Resolution())
    lands = (Land(0.0, 60.0, 38.980, 39.040),)
    taper = mesh_joint(
        sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9, turned=lands),
        MATERIALS,
        Resolution(),
    )
    found = [
        _contact("a short sleeve", short),
        _contact("a sleeve tapered from 20 µm clear to 40 µm tight", taper),
        _plastic(short),
    ]
    print(json.dumps({"rows": [asdict(row) for row in found]}))


if __name__ == "__main__":
    main()
