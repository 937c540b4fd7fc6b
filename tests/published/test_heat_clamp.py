"""A heated bolt in a tube: a printed worked example."""

import numpy as np
import pytest
from reference.thermal import thermal_preload_change


def test_steel_bolt_in_a_copper_tube_gains_3940_newtons():
    # Worked example seen at expertsmind.com (composite bars, compatibility condition): steel bolt 18 mm,
    # copper tube 30/18 mm, free strains 3.0e-4 and 4.5e-4 (25 K of 12e-6 and 18e-6), strains per kN
    # 1.965e-5 and 1.8421e-5 (E 200 and 120 GPa); printed 3.94 kN, 15.5 and -8.71 N/mm².
    length, bolt, tube = 600.0, np.pi / 4 * 18**2, np.pi / 4 * (30**2 - 18**2)
    force = thermal_preload_change(
        length=length,
        tension_stiffness=200e3 * bolt / length,
        compression_stiffness=120e3 * tube / length,
        tension_alpha=12e-6,
        compression_alpha=18e-6,
        temperature_change=25.0,
    )
    assert force == pytest.approx(3940.0, abs=5.0)
    assert force / bolt == pytest.approx(15.5, abs=0.05)
    assert force / tube == pytest.approx(8.71, abs=0.01)
