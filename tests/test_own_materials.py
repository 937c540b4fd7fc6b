"""A file of the user's own materials: read, refused, listed, recorded, told apart. Invented values."""

from __future__ import annotations

import io
import json
import re
import shutil
import sys

import pytest
from small_cases import ROUTE, SLIPS_IN
from test_json_documents import faults_of

import hoopwright
from hoopwright import status
from hoopwright.case.read import CASE
from hoopwright.case.schema import schema
from hoopwright.cli import main
from hoopwright.diff.inputs import changed_inputs
from hoopwright.diff.sides import case_inputs, read_side
from hoopwright.display import Units
from hoopwright.document.heading import heading_part
from hoopwright.errors import CaseError, OutputError
from hoopwright.materials import table
from hoopwright.pressing.heat import heat_plan
from hoopwright.record.files import case_files
from hoopwright.record.pages.bodies import materials as material_blocks
from hoopwright.sizing.alternatives import material

LEAST = """[material."shop 6005"]
young_modulus = "69 GPa"
poisson_ratio = 0.33
expansion = "23e-6 /K"
yield_strength = "200 MPa"
"""
METALS = f'{LEAST}density = "2700 kg/m^3"\nsource = "certificate 12"\n'
ROW = 'metals.toml: [material."shop 6005"]'
NAMED = 'materials = "metals.toml"\n' + SLIPS_IN.replace("6061-T6", "shop 6005")
PUSHED = NAMED.replace('method = "heat"\n[press.heat]\nshell_most = "110 degC"\nclearance = "10 um"\n', "")


@pytest.fixture
def shop(tmp_path):
    """A folder with a case and its materials; write(...) changes either."""

    def write(case=NAMED, metals=METALS):
        (tmp_path / "mine.toml").write_text(case, encoding="utf-8")
        (tmp_path / "metals.toml").write_text(metals, encoding="utf-8")
        return str(tmp_path / "mine.toml")

    write()
    write.folder = tmp_path
    return write


def faults(path):
    with pytest.raises(CaseError) as caught:
        hoopwright.read_case(path)
    return str(caught.value)


def test_a_part_is_made_of_a_material_of_the_file_and_says_so(shop):
    case = hoopwright.read_case(shop())
    metal = case.shell_material
    assert (metal.young_modulus, metal.yield_strength, metal.density) == (69e3, 200.0, 2700.0)
    assert metal.ultimate_strength is None
    assert metal.source_of("yield_strength").source == "the user's own in metals.toml: certificate 12"
    document = hoopwright.check(case).document()
    assert faults_of(document, "check") == []
    assert document["case"]["materials"]["file"] == "metals.toml"
    row = next(row for row in document["checks"] if row["id"] == "shell_yields")
    line = next(line for line in row["working"]["lines"] if line["value"] == 200.0)
    assert "the user's own in metals.toml" in line["source"]
    assert row["capacity"] == 200.0


def test_four_values_and_no_source_suffice_where_the_sleeve_is_pushed(shop):
    case = hoopwright.read_case(shop(PUSHED, LEAST))
    metal = case.shell_material
    assert (metal.density, metal.ultimate_strength, metal.heat_limit) == (None, None, None)
    assert metal.source_of("expansion").source == "the user's own in metals.toml"
    assert {way.time_s for way in heat_plan(case).ways} == {None}  # what cools by its mass is not known
    found = hoopwright.press(case).document()
    assert faults_of(found, "press") == []
    assert any("no temper limit is known here" in note for note in found["heat_and_cold"]["notes"])


def test_what_slips_in_by_heat_needs_a_density(shop):
    assert f"{ROW} density: missing" in faults(shop(NAMED, LEAST))
    route = ROUTE + 'material = "shop 6005"\n'
    beside = NAMED.replace('"shop 6005"', '"6061-T6"')
    assert f"{ROW} density: missing" in faults(shop(beside + route, LEAST))
    case = hoopwright.read_case(shop(beside, LEAST))
    with pytest.raises(CaseError, match="its density is missing"):
        material(case, "shop 6005")


FAULTS = {
    "shadows a row of the table": (
        METALS.replace("shop 6005", "6061-T6"),
        "metals.toml: [material] 6061-T6 = { ... }: already a built-in material; give it another name",
    ),
    "leaves out what is needed": (
        METALS.replace('yield_strength = "200 MPa"\n', ""),
        f"{ROW} yield_strength: missing",
    ),
    "gives a number without unit": (METALS.replace('"69 GPa"', "69"), f"{ROW} young_modulus = 69: "),
    "has an unknown key": (METALS + 'hardness = "90 HB"\n', f"{ROW} hardness: unknown key"),
    "has an unknown table": (METALS + "[shell]\n", "metals.toml: shell: unknown key"),
    "has no material": ("", "metals.toml: no material in it; write [material.NAME]"),
    "is no TOML": ("[material", "metals.toml: line 1: not TOML"),
    "is weaker than it yields": (
        METALS + 'ultimate_strength = "150 MPa"\n',
        f'{ROW} ultimate_strength = "150 MPa": below yield_strength',
    ),
}


@pytest.mark.parametrize(("metals", "said"), FAULTS.values(), ids=FAULTS)
def test_a_fault_of_the_file_names_file_table_and_key(shop, metals, said):
    assert said in faults(shop(metals=metals))


def test_a_file_that_is_not_there_or_lies_elsewhere_is_refused(shop, monkeypatch):
    assert "metals.toml: no such file" in re.sub(
        r"\S*/", "", faults(shop(NAMED.replace("metals", "no_metals")))
    )
    for name in ("../metals.toml", "/metals.toml", "C:/metals.toml", "a\\\\..\\\\..\\\\metals.toml"):
        said = faults(shop(NAMED.replace("metals.toml", name)))
        assert "leads outside the folder of the case; put the file beside the case" in said
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(NAMED.encode())))
    said = faults("-")
    assert (
        'standard input: materials = "metals.toml": standard input lies in no folder; save the case' in said
    )


def test_a_material_of_the_case_does_not_shadow_one_of_the_file(shop):
    said = faults(shop(NAMED + METALS))
    assert "[material] shop 6005 = { ... }: already in the file that `materials` names" in said


def test_a_text_finds_the_file_beside_the_file_it_is_of(shop):
    case = hoopwright.parse_case(NAMED, file=shop())
    assert case.materials_file.materials == (case.shell_material,)
    with pytest.raises(CaseError, match=r"metals.toml: no such file"):
        hoopwright.parse_case(NAMED, file=str(shop.folder / "elsewhere" / "mine.toml"))


def test_sleeves_may_be_compared_in_materials_of_the_file(shop):
    case = hoopwright.read_case(shop(NAMED.replace('"shop 6005"', '"6061-T6"')))
    assert material(case, "shop 6005").yield_strength == 200.0


def test_the_list_shows_them_first_and_marked(shop, capsys):
    shop(metals=LEAST)
    assert main(["materials", "--with", str(shop.folder / "metals.toml")]) == status.ALL_HOLD
    shown = capsys.readouterr().out
    assert shown.startswith("shop 6005 (your own, metals.toml): shop 6005, as stated there\n")
    assert "ultimate not given" in shown.split("\n\n")[0]
    assert all(f"\n{name}: " in shown for name in table())
    assert max(map(len, shown.splitlines())) <= 80
    assert main(["materials", "--with", str(shop.folder / "none.toml")]) == status.BAD_INPUT
    assert "none.toml: no such file" in capsys.readouterr().err


def test_the_schema_of_a_case_knows_the_key_and_what_a_material_must_have():
    found = schema(CASE)["properties"]
    assert found["materials"]["type"] == "string"
    needed = found["material"]["additionalProperties"]["required"]
    assert set(needed) == {"young_modulus", "poisson_ratio", "expansion", "yield_strength", "source"}


def test_a_change_of_the_file_shows_as_an_input_and_in_the_checksum(shop):
    path = shop.folder / "mine.toml"
    before, old = case_inputs(path), heading_part(hoopwright.read_case(path), "check")
    shop(metals=METALS.replace("200 MPa", "180 MPa"))
    (changed,) = changed_inputs(before, case_inputs(path))
    assert (changed.table, changed.key) == ("[material.shop 6005]", "yield_strength")
    assert (changed.old, changed.new) == ("200 MPa", "180 MPa")
    new = heading_part(hoopwright.read_case(path), "check")
    assert old["case"]["sha256"] == new["case"]["sha256"]
    assert old["case"]["materials"]["sha256"] != new["case"]["materials"]["sha256"]


def test_a_record_takes_the_file_that_was_solved_and_no_other(shop):
    case = hoopwright.read_case(shop())
    files = case_files(shop.folder / "mine.toml", case)
    assert {name: data.decode() for name, data in files.items()} == {
        "mine.toml": NAMED,
        "metals.toml": METALS,
    }
    shop(metals=METALS + "# changed\n")
    with pytest.raises(OutputError, match=r"metals.toml: changed while it was being solved"):
        case_files(shop.folder / "mine.toml", case)


def test_the_pages_say_what_is_not_given():
    numbers = ("young_modulus_MPa", "poisson_ratio", "expansion_per_K", "yield_strength_MPa")
    one = {"name": "x", "sources": [], **dict.fromkeys(numbers, 0.3)}
    one |= {"ultimate_strength_MPa": None, "density_kg_m3": None}
    one |= {"stock": {"words": "", "yield_strength_MPa": 0.3, "basis": "", "source": "", "zones": []}}
    blocks = material_blocks({"materials": {"shell": one, "sleeve": one}}, Units("metric"))
    assert json.dumps(blocks).count("not given") == 4


@pytest.mark.slow
def test_the_record_holds_it_and_verify_and_diff_notice_a_change(shop, tmp_path, capsys):
    case = hoopwright.read_case(shop())
    folder = hoopwright.write_record(case, tmp_path / "records")
    assert (folder / "metals.toml").read_text(encoding="utf-8") == METALS
    results = json.loads((folder / "results.json").read_text(encoding="utf-8"))
    assert "metals.toml" in results["files"]
    assert main(["verify", str(folder)]) == status.ALL_HOLD
    again = hoopwright.write_record(hoopwright.read_case(folder / "mine.toml"), tmp_path / "again")
    assert (again / "metals.toml").read_bytes() == (folder / "metals.toml").read_bytes()
    shop(metals=METALS.replace("200 MPa", "180 MPa"))
    capsys.readouterr()
    assert main(["diff", str(folder), str(tmp_path / "mine.toml")]) == status.ALL_HOLD
    shown = capsys.readouterr().out
    assert re.search(r"\[material\.shop 6005\] yield_strength\s.*200 MPa.*180 MPa", shown, re.S)
    assert read_side(str(folder)).notes == ()
    shutil.copy(tmp_path / "metals.toml", folder / "metals.toml")
    assert main(["verify", str(folder)]) == status.SOME_FAIL
    shown = capsys.readouterr().out
    assert "metals.toml" in shown
    assert "materials.shell.yield_strength_MPa" in shown
