"""Steps of the bench page: every one is a sound page of any case, and says what it lacks."""

from html.parser import HTMLParser

import pytest
from page_benches import TRIKE, bench, demo, html, starter
from plain_pair import plain_pair

from hoopwright.page.paths import declared_at
from hoopwright.page.steps import damage, piece, sizes, use
from hoopwright.starters import PIECES

STEPS = (piece.STEP, sizes.STEP, damage.STEP, use.STEP)
WITH_PRESETS = demo(TRIKE).replace("[job]", '[preset]\nuse = "cargo"\n[job]', 1)


class Page(HTMLParser):
    """Ids, links to them, texts, and what no page may carry."""

    def __init__(self, text):
        super().__init__()
        self.ids, self.links, self.forbidden, self.paths, self.text = [], [], [], [], ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if "id" in found:
            self.ids.append(found["id"])
        if (found.get("href") or "").startswith("#"):
            self.links.append(found["href"][1:])
        self.links += [found[key] for key in ("for", "aria-describedby") if key in found]
        self.forbidden += [key for key in found if key == "style" or (key.startswith("on") and key != "on")]
        self.forbidden += [tag] if tag in ("script", "style") else []
        if found.get("name") == "path":
            self.paths.append(found["value"])

    def handle_data(self, data):
        self.text += data


def rendered(step, at):
    return Page(html(step, at))


AT = {
    "trike with presets": WITH_PRESETS,
    "hub in inch": starter("hub", "inch"),
    "nothing": "",
    "no TOML": "x = = 3",
    "faults": starter().replace('"50 mm"', '"50"').replace("E355 steel", "<script>x</script>"),
}


@pytest.mark.parametrize("name", AT)
@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
def test_every_step_is_a_sound_page_of_any_case(step, name):
    page = rendered(step, bench(AT[name]))
    assert len(page.ids) == len(set(page.ids)), [i for i in page.ids if page.ids.count(i) > 1]
    assert set(page.links) <= set(page.ids), set(page.links) - set(page.ids)
    assert not page.forbidden
    for path in page.paths:
        if path != "compound" and not path.endswith("]"):  # a whole table or entry, taken away
            declared_at(path)
    assert step.mark(bench(AT[name])) in ("given", "partly", "nothing", "fault")


def test_marks_follow_what_is_given():
    assert [s.mark(bench(demo(TRIKE))) for s in STEPS] == ["given"] * 4
    assert [s.mark(bench("")) for s in STEPS] == ["nothing"] * 4
    at = bench(starter().replace('bore_now = "40 mm"', 'bore_now = "40"'))
    assert [s.mark(at) for s in STEPS] == ["given", "given", "fault", "given"]
    at = bench(starter().replace('use_least = "-5 degC"\n', ""))
    assert use.STEP.mark(at) == "partly"
    assert use.STEP.mark(bench(plain_pair())) == "partly"


@pytest.mark.parametrize("name", PIECES)
def test_piece_is_recognised_by_its_loads(name):
    at = bench(starter(name))
    assert [c.key for c in piece.view(at)["cards"] if c.chosen] == [name]


def test_sample_values_and_invented_ones_are_named():
    assert "sample values of a starter" in rendered(piece.STEP, bench(starter())).text
    assert "This case is invented" in rendered(piece.STEP, bench(demo(TRIKE))).text


def test_metal_shows_its_strength_with_basis_and_source():
    shown = rendered(piece.STEP, bench(demo(TRIKE))).text
    assert "115.0 MPa" in shown
    assert "minimum, seen; EN 1999-1-1 Table 3.2b" in shown


def test_step_that_lacks_something_says_so_with_a_link():
    shown = rendered(use.STEP, bench(plain_pair()))
    assert "so heat and cold are not judged" in shown.text
    assert "f-temperatures-use-least" in shown.links
    assert "how deep the damage goes" in rendered(damage.STEP, bench(plain_pair())).text


def test_each_preset_shows_what_it_fills_in_and_why():
    (kind,) = (k for k in use.view(bench(WITH_PRESETS))["kinds"] if k.path == "preset.use")
    (cargo,) = (o for o in kind.options if o.chosen)
    fills = {f.what: (f.value, f.grounds) for f in cargo.fills}
    assert fills["crank length"][0] == "175 mm"
    assert fills["crank length"][1].startswith("seen: ISO 4210-6")
    assert {f.path: f.state for f in kind.fields}["service.chainring_radius"] == "preset"


def test_rider_and_cups_are_asked_for_where_there_are_cups():
    paths = {k.path for k in use.view(bench(starter()))["kinds"]}
    assert {"preset.use", "preset.cups"}.isdisjoint(paths)
    assert {"preset.press", "preset.lubrication", "preset.gauge.micrometer"} <= paths


def test_compound_is_asked_for_in_full_once_there_is_one():
    with_one = starter() + '\n[compound]\nshear_strength = "15 MPa"\n'
    assert len(damage.view(bench(starter()))["compound"].fields) == 1
    assert len(damage.view(bench(with_one))["compound"].fields) > 10


def test_wall_below_the_limit_has_its_word_and_sign():
    at = bench(starter().replace('least_wall = "6 mm"', 'least_wall = "11 mm"'))
    (wall,) = (f for f in sizes.figures_of(at) if f.name.startswith("Wall"))
    assert wall.bad
    assert "less than that" in wall.notes[-1]


def test_units_of_the_page_are_those_of_every_number():
    at = bench(demo(TRIKE), "inch")
    values = [f.value for f in sizes.figures_of(at)]
    assert values == ["1.34 thou", "1.23 ksi", "0.2153 in"]


class Forms(HTMLParser):
    """The fields that each form sends, in their order."""

    def __init__(self, text):
        super().__init__()
        self.forms = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        if tag == "form":
            self.forms.append([])
        elif found.get("name") and self.forms:
            self.forms[-1].append((found["name"], found.get("value")))


def forms(step, at):
    return Forms(html(step, at)).forms


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.id)
def test_every_form_carries_its_digest_its_step_and_the_same_site_token(step):
    at = bench(WITH_PRESETS + '\n[compound]\nshear_strength = "15 MPa"\n')
    found = forms(step, at)
    assert found
    for sent in found:
        names = [name for name, _ in sent]
        assert {("digest", at.seen), ("step", step.id), ("token", "secret")} <= set(sent)
        assert names.count("path") == names.count("value") >= 1


def together_of(step, at, path):
    """The form that sends a path with others."""
    pairs = []
    for sent in forms(step, at):
        paths = [value for name, value in sent if name == "path"]
        if path in paths and len(paths) > 1:
            pairs.append(dict(zip(paths, [v for n, v in sent if n == "value"], strict=True)))
    return pairs


def test_sizes_along_the_axis_are_taken_at_once():
    """A width cannot change by itself where lands end at it."""
    (sent,) = together_of(sizes.STEP, bench(demo(TRIKE)), "shell.width")
    assert sent["shell.width"] == sent["sleeve.length"] == "83"
    assert sent["shell.bore[0].to"] == sent["shell.bore[1].from"] == "41.5"
    assert sent["sleeve.bore[2].to"] == "83"
    assert "shell.bore[0].diameter" not in sent


def test_range_of_temperature_is_taken_at_once_where_there_is_none():
    (sent,) = together_of(use.STEP, bench(plain_pair()), "temperatures.use_least")
    assert sent["temperatures.use_most"] == ""
    assert not together_of(use.STEP, bench(demo(TRIKE)), "temperatures.use_least")


def test_boring_is_taken_at_once_where_there_is_none():
    (sent,) = together_of(damage.STEP, bench(plain_pair()), "boring.bore_now")
    assert {"boring.damage_depth", "boring.depth_of_cut", "boring.finish_cut"} <= set(sent)
    (sent,) = together_of(damage.STEP, bench(starter()), "boring.damage_depth")
    assert sent == {"boring.damage_depth": "0.4", "boring.damage_diameter": ""}


def test_what_was_not_taken_is_said_where_no_field_shows_it():
    at = bench(starter(), compound=("", "cannot be taken away"))
    assert "compound: cannot be taken away" in html(damage.STEP, at)


def test_what_is_wrong_with_several_alike_is_said_once():
    words = "the chamfers leave nothing of it"
    at = bench(starter(), shell__width=("2 mm", words), sleeve__length=("2 mm", words))
    (group, *_) = sizes.view(at)["groups"]
    assert group.fault == words
    assert [f.typed for f in group.fields if f.state == "fault"] == ["2 mm", "2 mm"]
