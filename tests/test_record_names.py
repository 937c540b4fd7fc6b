"""Names of records: safe for any text, and numbered."""

from __future__ import annotations

import pytest
from record_folders import FILES

from hoopwright.record.atomic_write import write_record
from hoopwright.record.file_names import MAX_BYTES, safe_name


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Tretlagergehäuse  groß", "Tretlagergehäuse-groß"),
        ("кожух 73 мм", "кожух-73-мм"),
        ("套筒", "套筒"),
        ("../../etc/passwd", "etc-passwd"),
        ("a/b\\c:d*e?", "a-b-c-d-e"),
        ("...", "record"),
        ("", "record"),
        ("\u202egnp.exe", "gnp.exe"),
        ("x\x00y\ny", "x-y-y"),
        ("\ud800", "record"),
        ("v1.2", "v1.2"),
        ("🚲", "record"),
        ("e\u0301", "é"),
    ],
)
def test_any_text_gives_a_safe_name_with_its_characters_unchanged(text, name):
    assert safe_name(text) == name


def test_a_very_long_name_is_cut_between_characters(tmp_path):
    name = safe_name("ж" * 500)
    assert name == "ж" * (MAX_BYTES // 2)
    assert write_record(tmp_path / "mit Leerzeichen ü", "ж" * 500, FILES).name == name + "-001"


def test_stem_and_number_stay_apart_for_names_that_look_like_patterns(tmp_path):
    assert [write_record(tmp_path, s, FILES).name for s in ("a.c", "abc", "a.c")] == [
        "a.c-001",
        "abc-001",
        "a.c-002",
    ]
