"""No value of a case needs an editor: every key stands on some step, lists grow and shrink there."""

from __future__ import annotations

import re
import tomllib

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import TRIKE, bench, demo, html, starter

from hoopwright.case.read import CASE, parse_case
from hoopwright.page.edit import edited
from hoopwright.page.steps import STEPS
from hoopwright.page.steps.more import TABLES, more_of

ELSEWHERE = ("material", "preset", "gauge")
"""Tables with a view of their own."""
LANDS = re.compile(r"(shell|sleeve)\.(outside|bore)(\..*)?")
"""Their sizes are dimensions of the drawing, their readings a step of its own."""
IN_THE_FILE = {"sample", "invented", "materials"}
"""What is a button, or says where the case comes from."""


def declared():
    """Path of every key, of a list of tables that of its first entry."""
    for path, table in CASE.walk():
        if path.split(".")[0] in ELSEWHERE or LANDS.fullmatch(path):
            continue
        at = f"{path}[0]." if table.rows else f"{path}." if path else ""
        yield from (f"{at}{key.name}" for key in table.keys)


def shown(at):
    """Paths of the fields of all steps."""
    pages = "".join(html(step, at) for step in STEPS if step.id != "fit")
    return set(re.findall(r'data-path="([^"]+)"', pages.replace("&#34;", '"')))


@pytest.mark.parametrize("text", [demo(TRIKE), starter("hub", "inch"), ""], ids=["trike", "hub", "nothing"])
def test_every_key_stands_on_some_step(text):
    from_drawing = {
        f"{part}.{surface}_diameter" for part in ("shell", "sleeve") for surface in ("bore", "outside")
    }
    from_drawing |= {path.replace("diameter", "plus_minus") for path in from_drawing}
    assert set(declared()) - shown(bench(text)) - IN_THE_FILE - from_drawing == set()


def entry(at, path):
    (found,) = (
        one for one in more_of(at, "use", ()) if one.adds and one.group.fields[0].path.startswith(path)
    )
    return found.group


def test_entry_of_a_list_is_added_at_once_and_taken_away():
    text = starter("hub")
    before = len(tomllib.loads(text)["service"]["bearing"])
    group = entry(bench(text), "service.bearing")
    assert group.together
    typed = {
        "name": "brake side",
        "z": "20 mm",
        "outside_diameter": "26 mm",
        "width": "8 mm",
        "radial": "900 N",
    }
    edits = [(f.path, typed.get(f.path.rpartition(".")[2], "")) for f in group.fields]
    longer = edited(text, edits, "metric", file="a.toml")
    rows = tomllib.loads(longer)["service"]["bearing"]
    assert len(rows) == before + 1
    assert rows[-1]["radial"] == "900 N"
    away = [one.away for one in more_of(bench(longer), "use", ()) if one.away.startswith("service.bearing")]
    assert away == [f"service.bearing[{k}]" for k in range(before + 1)]
    shorter = edited(longer, [(away[-1], "")], "metric", file="a.toml")
    assert tomllib.loads(shorter) == tomllib.loads(text)


def test_last_tube_is_taken_away_with_the_table_that_came_with_the_first():
    text = starter()
    begin = text.index("\n[service]")
    text = text[:begin] + text[text.index("\n# ---- other ways") :]
    typed = {"name": "mast", "outside_diameter": "30 mm"}
    group = entry(bench(text), "service.tube")
    edits = [(f.path, typed.get(f.path.rpartition(".")[2], "")) for f in group.fields]
    longer = edited(text, edits, "metric", file="a.toml")
    assert tomllib.loads(longer)["service"] == {"tube": [typed]}
    shorter = edited(longer, [("service.tube[0]", "")], "metric", file="a.toml")
    assert tomllib.loads(shorter) == tomllib.loads(text)
    headed = longer.replace("[[service.tube]]", "[service]  # of its use\n[[service.tube]]")
    shorter = edited(headed, [("service.tube[0]", "")], "metric", file="a.toml")
    assert tomllib.loads(shorter)["service"] == {}
    assert "# of its use" in shorter


def test_key_that_is_set_from_there_is_read():
    text = edited(
        starter(), [("press.restart_ratio", "1.5"), ("sleeve.process", "ground")], "metric", file="a.toml"
    )
    assert parse_case(text).press.restart_ratio == 1.5
    assert tomllib.loads(text)["sleeve"]["process"] == "ground"
    given = [
        m.given
        for t in (starter(), text)
        for m in more_of(bench(t), "use", ())
        if "press.method" in {f.path for f in m.group.fields}
    ]
    assert given[1] == given[0] + 1


@pytest.mark.parametrize(
    "step", [s for s in STEPS if s.id in TABLES and s.id != "damage"], ids=lambda step: step.id
)
def test_what_a_step_shows_itself_is_not_shown_again(step):
    page = html(step, bench(demo(TRIKE)))
    above, _, below = page.partition('id="more"')
    paths = re.findall(r'data-path="([^"]+)"', below)
    assert paths
    assert set(paths).isdisjoint(re.findall(r'data-path="([^"]+)"', above))


@pytest.mark.parametrize("text", [demo(TRIKE), starter("hub", "inch")], ids=["trike", "hub"])
def test_fields_of_one_name_stand_in_groups_with_names_of_their_own(text):
    """Six fields are called "name": read aloud, the group says of what."""
    for step in STEPS:
        page = html(step, bench(text))
        assert len(ids := re.findall(r'\bid="([^"]+)"', page)) == len(set(ids))
        groups = re.split(r'role="group" aria-label="([^"]*)"', page.partition('id="more"')[2])
        names = groups[1::2]
        assert len(names) == len(set(names)), step.id
        inside = [group.partition("</section>")[0] for group in groups[2::2]]
        for part in (groups[0], *inside):
            labels = re.findall(r"<label[^>]*>(.*?)</label>", part, re.DOTALL)
            assert len(labels) == len(set(labels)), (step.id, labels)


def test_note_of_a_yes_or_no_says_what_counts_in_the_words_of_its_choices():
    page = html(next(step for step in STEPS if step.id == "use"), bench(demo(TRIKE)))
    assert "no counts while it is empty" in page
    assert not re.search(r"\b(False|false|True) counts|e\.g\. True", page)
