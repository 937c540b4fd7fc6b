"""Thread formulae against printed tables and worked examples."""

import numpy as np
import pytest

from hoopwright.closed_form.thread import (
    external_shear_area,
    internal_shear_area,
    tightening_torque,
)

# size, pitch, least major and pitch diameter of 6g, greatest minor and pitch diameter of 6H, mm
# (ISO 965-2; the 6g limits of M5 and M6 seen on a supplier's page, the rest from memory), then the
# printed strip areas for an engagement of one diameter, mm²: bolt 6g, nut 6H. Areas seen in the
# table of metric thread stress and shear areas at engineersedge.com, which takes them from
# Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed.
STRIP_AREAS = [
    (5.0, 0.80, 4.826, 4.361, 4.334, 4.605, 35.366, 49.994),
    (6.0, 1.00, 5.794, 5.212, 5.153, 5.500, 51.875, 73.145),
    (8.0, 1.25, 7.760, 7.042, 6.912, 7.348, 97.290, 134.63),
    (10.0, 1.50, 9.732, 8.862, 8.676, 9.206, 155.80, 214.77),
    (20.0, 2.50, 19.623, 18.164, 17.744, 18.600, 665.58, 907.76),
]


@pytest.mark.parametrize("row", STRIP_AREAS, ids=lambda row: f"M{row[0]:g}")
def test_shear_areas_match_the_printed_metric_table(row):
    size, pitch, major, pitch_ext, minor, pitch_int, bolt, nut = row
    external = external_shear_area(
        engagement=size, pitch=pitch, internal_minor_max=minor, external_pitch_min=pitch_ext
    )
    internal = internal_shear_area(
        engagement=size, pitch=pitch, external_major_min=major, internal_pitch_max=pitch_int
    )
    # The table prints five digits.
    assert external == pytest.approx(bolt, rel=5e-5)
    assert internal == pytest.approx(nut, rel=5e-5)


def test_screw_jack_takes_2840_inch_pounds():
    # Statics text at adaptivebooks.org, section 5.6.1, problem 2: square thread, two per inch, mean
    # diameter 2 in, μ 0.2, 10 000 lb; printed answer 2840 in·lb. Units go straight in.
    torque = tightening_torque(
        preload=10000.0, pitch=0.5, pitch_diameter=2.0, thread_friction=0.2, flank_angle_deg=0.0
    )
    assert torque == pytest.approx(2840.0, abs=5.0)


def test_acme_screw_takes_the_torque_of_motts_example():
    # R. L. Mott, Machine Elements in Mechanical Design, 4th ed., Example 17-1: 12 500 lb, pitch
    # diameter 1.3429 in, 4 threads per inch, flank 14.5°, μ 0.15; printed 1809 lb·in. The book's own
    # numbers in its own equation give 1814, so the limit is 0.5 %.
    torque = tightening_torque(
        preload=12500.0,
        pitch=0.25,
        pitch_diameter=1.3429,
        thread_friction=0.15,
        flank_angle_deg=14.5,
    )
    assert torque == pytest.approx(1809.0, rel=5e-3)
    assert 12500.0 * 0.25 / (2.0 * np.pi * torque) == pytest.approx(0.275, abs=0.001)
