import copy
import tomllib
from importlib import resources

import pytest

from hoopwright.closed_form.fatigue_life import MPA_PER_KSI, sn_strength
from hoopwright.materials import Material, listing, parse_materials, table

RAW = tomllib.loads(resources.files("hoopwright.materials").joinpath("table.toml").read_text("utf-8"))


@pytest.mark.parametrize(
    ("key", "yields", "breaks"),
    [
        # EN 1999-1-1 Table 3.2b: f_o, f_u parent; f_o,haz, f_u,haz welded, N/mm²
        ("6061-T4", 110, 180),
        ("6061-T6", 240, 260),
        ("6061-T6 welded", 115, 175),
        ("6005A-T6", 215, 255),  # ET, t <= 5; open profiles have 225/270
        ("6005A-T6 welded", 115, 165),
        ("6063-T6", 160, 195),
        ("6063-T6 welded", 65, 110),
        ("6060-T6", 140, 170),
        ("6060-T6 welded", 60, 100),
    ],
)
def test_extruded_aluminium_has_the_strengths_of_en_1999(key, yields, breaks):
    assert (table()[key].yield_strength, table()[key].ultimate_strength) == (yields, breaks)


def test_6061_yield_agrees_with_the_35_ksi_minimum_of_49_cfr_178_46():
    assert table()["6061-T6"].yield_strength / MPA_PER_KSI == pytest.approx(35.0, rel=0.01)


def test_6061_fully_reversed_amplitude_at_a_million_cycles_is_20_ksi():
    # MIL-HDBK-5J curve worked at R = -1; coefficients and answer from memory, not seen
    curve = table()["6061-T6"].fatigue
    assert curve is not None
    amplitude = sn_strength(cycles=1e6, stress_ratio=-1.0, curve=curve) / MPA_PER_KSI
    assert amplitude == pytest.approx(20.0, abs=0.06)


def test_a_fatigue_curve_rejects_zero_cycles():
    with pytest.raises(ValueError, match="cycles must be above 0"):
        sn_strength(cycles=0.0, stress_ratio=-1.0, curve=table()["6061-T6"].fatigue)


def test_every_value_states_its_basis_and_source():
    for key, row in table().items():
        for field in (
            "young_modulus",
            "poisson_ratio",
            "expansion",
            "yield_strength",
            "ultimate_strength",
            "density",
        ):
            line = row.source_of(field)
            assert line is not None, (key, field)
            assert line.basis, (key, field)
            assert line.source, (key, field)
        assert (row.heat_limit is None) == (row.source_of("heat_limit") is None)
        assert (row.fatigue is None) == (row.source_of("fatigue") is None)


def test_an_unseen_source_is_marked_on_every_value_it_supports():
    for key, row in table().items():
        for line in row.provenance:
            if "not seen" in line.source:
                assert "memory" in line.basis, (key, line)
            if "memory" in line.basis:
                assert "not seen" in line.source, (key, line)


def test_metals_have_moduli_expansion_and_density_of_their_family():
    """Wide bands for any grade of the family: catches a slipped digit or a wrong unit."""
    bands = {
        "aluminium": ((68e3, 74e3), (22e-6, 24.5e-6), (2650, 2850)),
        "steel": ((190e3, 212e3), (10.5e-6, 18e-6), (7750, 8050)),
        "iron": ((95e3, 125e3), (9e-6, 13e-6), (7000, 7400)),
        "titanium": ((105e3, 120e3), (8e-6, 10e-6), (4400, 4550)),
        "bronze": ((90e3, 115e3), (17e-6, 20e-6), (8600, 9000)),
        "bearing ring": ((200e3, 212e3), (11e-6, 13e-6), (7750, 7900)),
    }
    for key, row in table().items():
        family = next(name for name in bands if name in row.name)
        for value, (low, high) in zip(
            (row.young_modulus, row.expansion, row.density), bands[family], strict=True
        ):
            assert low <= value <= high, (key, value)


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("young_modulus", -1.0, r"6061-T6\].*young_modulus must be positive"),
        ("expansion", 0.0, "expansion must be positive"),
        ("density", float("nan"), "density must be positive"),
        ("poisson_ratio", 0.5, "between 0 and 0.5"),
        ("yield_strength", 400.0, "below yield_strength"),
    ],
)
def test_a_value_out_of_range_is_rejected_by_row_and_field(field, value, message):
    data = copy.deepcopy(RAW)
    data["6061-T6"][field]["value"] = value
    with pytest.raises(ValueError, match=message):
        parse_materials(data, where="table.toml")


def test_a_value_without_a_known_source_is_rejected():
    data = copy.deepcopy(RAW)
    data["6061-T6"]["density"]["source"] = "hearsay"
    with pytest.raises(ValueError, match="density: no source 'hearsay'"):
        parse_materials(data, where="table.toml")
    data["6061-T6"]["density"].pop("source")
    with pytest.raises(ValueError, match="density: no source"):
        parse_materials(data, where="table.toml")


def test_a_missing_value_is_rejected():
    data = copy.deepcopy(RAW)
    del data["6063-T6"]["expansion"]
    with pytest.raises(ValueError, match=r"\[6063-T6\] expansion: missing"):
        parse_materials(data, where="table.toml")


def test_a_heat_affected_row_must_lie_below_its_parent():
    data = copy.deepcopy(RAW)
    data["6061-T6 welded"]["yield_strength"]["value"] = 250.0
    data["6061-T6 welded"]["ultimate_strength"]["value"] = 270.0
    with pytest.raises(ValueError, match="yields above its parent"):
        parse_materials(data, where="table.toml")


def test_listing_fits_80_columns_and_shows_every_row_in_both_unit_systems():
    text = listing()
    assert max(len(line) for line in text.splitlines()) <= 80
    for key, row in table().items():
        assert f"{key}:" in text
        assert f"yield {row.yield_strength:.0f} MPa" in text
        for line in row.provenance:
            assert line.source.split(",")[0].split()[0] in text
    assert "240 MPa (34.8 ksi)" in text


def test_a_custom_material_needs_no_table():
    own = Material("offcut", "as found", 70e3, 0.33, 23e-6, 100.0, 150.0, 2700.0, provenance=())
    assert own.source_of("density") is None
