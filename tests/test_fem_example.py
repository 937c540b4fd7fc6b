"""The finite elements as a library: the example of the package, and its public names."""

import ast
import textwrap

import matplotlib.pyplot as plt
import numpy as np
import pytest

import hoopwright.fem
import hoopwright.geometry


def example():
    """The code in the docstring of the package: its indented lines."""
    lines = hoopwright.fem.__doc__.splitlines()
    code = [line for line in lines if line.startswith("    ") or not line]
    return textwrap.dedent("\n".join(code)).strip()


@pytest.mark.filterwarnings("ignore:.*non-interactive:UserWarning")
def test_the_example_of_the_package_plots_the_pressure_of_lame():
    assert len([line for line in example().splitlines() if line]) <= 15
    plt.switch_backend("Agg")
    plt.close("all")
    exec(compile(example(), "fem/__init__.py", "exec"), {})
    axes = plt.gca()
    (line,) = axes.lines
    z, pressure = line.get_data()
    assert (z[0], z[-1]) == (0.0, 73.0)
    assert np.trapezoid(pressure, z) / 73.0 == pytest.approx(6.098051, abs=1e-3)
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("z, mm", "contact pressure, MPa")
    plt.close("all")


def test_the_example_of_the_package_uses_public_names_alone():
    tree = ast.parse(example())
    packages = {package.__name__: package for package in (hoopwright.fem, hoopwright.geometry)}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert {alias.name for alias in node.names} <= set(packages[node.module].__all__)
        if isinstance(node, ast.Attribute):
            assert not node.attr.startswith("_")


@pytest.mark.parametrize("package", [hoopwright.fem, hoopwright.geometry])
def test_every_public_name_is_there_and_says_what_it_is(package):
    assert package.__all__ == sorted(package.__all__)
    for name in package.__all__:
        assert getattr(package, name).__doc__, name
