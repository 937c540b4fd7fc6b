"""The pages over HTTP: an empty folder, a case, its values, and files that change under the page."""

from __future__ import annotations

import os
import re
import time
import tomllib

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_parts import Shop

from hoopwright.page.fragments import fragments
from hoopwright.page.questions import Question
from hoopwright.starters import starter_text

PLAIN = starter_text("plain")
HOSTILE = "\"><script>alert(1)</script><img src=x onerror='alert(1)'>{{ 7 * 7 }}"


@pytest.fixture
def shop(tmp_path):
    with Shop(tmp_path / "served", tmp_path / "templates") as found:
        (found.folder / "mine.toml").write_text(PLAIN, "utf-8")
        yield found


def polled(text):
    """The address that is asked again while something is at work."""
    return re.search(r'hx-get="(state[^"]*)"', text)[1].replace("&amp;", "&")


def digest_in(text):
    return re.search(r'id="digest"[^>]*value="([0-9a-f]{64})"', text)[1]


def page(shop, file="mine.toml", step="piece"):
    answer = shop.client.get(f"/case/{file}/{step}")
    assert answer.status_code == 200
    return answer.text


def in_file(shop, file="mine.toml"):
    return tomllib.loads((shop.folder / file).read_text("utf-8"))


def answered(shop, step="piece"):
    """The page once nothing is at work."""
    for _ in range(2000):
        text = page(shop, step=step)
        if "hx-get" not in text:
            return text
        time.sleep(0.005)
    raise AssertionError("never answered")


def test_empty_folder_offers_a_new_case_that_opens_at_its_first_step(tmp_path):
    with Shop(tmp_path / "served", tmp_path / "templates") as shop:
        assert "No case in this folder yet" in shop.client.get("/").text
        answer = shop.post("/new", file="wheel hub", piece="hub", units="inch")
        assert (answer.status_code, answer.headers["location"]) == (303, "/case/wheel%20hub.toml/piece")
        assert (shop.folder / "wheel hub.toml").read_text("utf-8") == starter_text("hub", "inch")
        assert "units inch" in shop.client.get(answer.headers["location"]).text
        assert 'href="/case/wheel%20hub.toml/piece"' in shop.client.get("/").text
        again = shop.post("/new", file="wheel hub.toml", piece="plain", units="metric")
        assert again.status_code == 422
        assert "already exists and was left unchanged" in again.text
        assert str(tmp_path) not in again.text.replace(
            str(shop.folder), "", 1
        )  # but in the head of the page
        for wrong in ({"piece": "boat"}, {"units": "cubits"}):
            fields = {"file": "x", "piece": "plain", "units": "metric", **wrong}
            assert shop.post("/new", **fields).status_code == 422
        assert len(os.listdir(shop.folder)) == 1


def test_page_asks_for_what_its_step_shows_and_polls_until_it_is_there(shop):
    shop.solver.let_go.clear()
    text = page(shop)
    state = polled(text)
    while not shop.work.found("mine.toml").at_work.of:
        time.sleep(0.005)
    assert "shell yields" in text + shop.client.get(f"/case/mine.toml/{state}").text
    news = shop.client.get("/case/mine.toml/state?step=piece&seen=").text
    assert 'id="verdict" hx-get' in news
    assert news.startswith('<section id="verdict" hx-get=')
    state = polled(news)
    assert shop.client.get(f"/case/mine.toml/{state}").status_code == 204  # no news
    shop.solver.let_go.set()
    assert f"check of {len(PLAIN)}" in answered(shop)
    news = shop.client.get(f"/case/mine.toml/{state}").text
    assert "hx-get" not in news
    assert f'<div id="answers" hx-swap-oob="true">check of {len(PLAIN)}' in news
    assert 'id="title"' not in news  # fields are left alone


def test_value_is_written_and_the_page_changed_in_parts(shop):
    digest = digest_in(page(shop))
    answer = shop.set("mine.toml", "title", "A boss", digest, script=True, step="sizes")
    assert answer.status_code == 200
    assert answer.text.startswith('<div id="step">')
    assert '<p id="title">A boss</p>' in answer.text
    assert 'href="sizes"' in answer.text
    assert re.findall(r'id="(\w+)"[^>]*hx-swap-oob', answer.text) == ["verdict", "steps", "digest"]
    assert digest_in(answer.text) != digest
    assert in_file(shop)["title"] == "A boss"
    without_script = shop.set("mine.toml", "title", "B", digest_in(answer.text))
    assert (without_script.status_code, without_script.headers["location"]) == (
        303,
        "/case/mine.toml/piece",
    )


def test_several_values_are_written_at_once_or_not_at_all(shop):
    digest = digest_in(page(shop))
    paths, values = ["shell.width", "sleeve.length"], ["60", "60 mm"]
    answer = shop.set("mine.toml", paths, ["much", "60"], digest)
    assert answer.status_code == 422
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN
    assert shop.set("mine.toml", paths, values, digest).status_code == 303
    assert in_file(shop)["shell"]["width"] == in_file(shop)["sleeve"]["length"] == "60 mm"
    for wrong in ({"path": "title", "value": ["a", "b"]}, {"path": [], "value": []}):
        assert shop.post("/case/mine.toml/set", digest=digest, **wrong).status_code == 400


def test_fault_stands_beside_its_value_in_the_words_of_the_command_line(shop):
    digest = digest_in(page(shop))
    answer = shop.set("mine.toml", "shell.width", "73 furlongs", digest, script=True)
    assert answer.status_code == 422
    assert "shell.width 73 furlongs" in answer.text
    assert "write e.g. width = " in answer.text.replace("&#34;", '"')
    assert digest_in(answer.text) == digest
    missing = shop.set("mine.toml", "shell.width", "", digest, script=True)
    assert "shell.width  missing" in missing.text
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN


def test_value_that_goes_with_no_other_is_rejected_in_a_sound_case(shop):
    """The fault is about the bore, which was not touched."""
    answer = shop.set("mine.toml", "shell.outside_diameter", "30 mm", digest_in(page(shop)), script=True)
    assert answer.status_code == 422
    assert "shell.outside_diameter 30 mm" in answer.text
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN


def test_faulty_case_is_shown_and_can_be_put_right_one_value_after_the_other(shop):
    two = PLAIN.replace('width = "', 'width = "x', 1).replace('length = "', 'length = "x', 1)
    assert two.count('"x') == 2
    (shop.folder / "mine.toml").write_text(two, "utf-8")
    text = page(shop)
    assert text.count('class="fault"') == 2
    assert "not judged yet" in text
    assert not shop.solver.asked
    width = tomllib.loads(PLAIN)["shell"]["width"]
    answer = shop.set("mine.toml", "shell.width", width, digest_in(text), script=True)
    assert answer.status_code == 200
    length = tomllib.loads(PLAIN)["sleeve"]["length"]
    assert shop.set("mine.toml", "sleeve.length", length, digest_in(answer.text)).status_code == 303
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN


@pytest.mark.parametrize("content", [b"[shell\n", b"\xff\xfe", b"", 300_000 * b"#"])
def test_file_that_is_no_case_is_an_answer_and_is_never_written_over(shop, content):
    (shop.folder / "mine.toml").write_bytes(content)
    answer = shop.client.get("/case/mine.toml/piece")
    assert answer.status_code in (200, 422)
    if content:
        answer = shop.set("mine.toml", "title", "x", digest_in(answer.text) if answer.is_success else "")
        assert answer.status_code == 422
        assert (shop.folder / "mine.toml").read_bytes() == content


def test_markup_in_any_field_is_text(shop):
    digest = digest_in(page(shop))
    answer = shop.set("mine.toml", "title", HOSTILE, digest)
    assert answer.status_code == 303
    assert in_file(shop)["title"] == HOSTILE
    for text in (
        page(shop),
        shop.set("mine.toml", HOSTILE, HOSTILE, digest_in(page(shop)), script=True).text,
    ):
        assert "alert(1)" in text
        assert "<script" not in text
        assert "<img" not in text
        assert "49" not in text.replace(digest_in(text), "")
    name = shop.post("/new", file=HOSTILE, piece=HOSTILE, units=HOSTILE).text
    assert "alert(1)" in name
    assert "<script" not in name


def test_file_changed_outside_is_shown_beside_what_was_typed_and_the_user_chooses(shop):
    digest = digest_in(page(shop))
    theirs = PLAIN.replace("title = ", "title = 'edited outside' # ", 1)
    (shop.folder / "mine.toml").write_text(theirs, "utf-8")
    answer = shop.set("mine.toml", ["title", "shell.width"], ["mine", HOSTILE], digest, script=True)
    assert answer.status_code == 409
    assert (shop.folder / "mine.toml").read_text("utf-8") == theirs
    changed = fragments(answer.text, main="changed")
    assert "<td>edited outside</td><td>mine</td>" in changed
    assert "<script" not in changed
    assert "Write mine" in changed
    # a page without the script shows the same, whole
    assert shop.set("mine.toml", "title", "mine", digest).status_code == 409
    # "take the file's" is the page as it is now; "write mine" sends the same with its digest
    assert "edited outside" in page(shop)
    again = shop.set("mine.toml", "title", "mine", digest_in(answer.text))
    assert again.status_code == 303
    assert in_file(shop)["title"] == "mine"


def test_two_pages_on_one_file_do_not_overwrite_each_other(shop):
    first = second = digest_in(page(shop))
    assert shop.set("mine.toml", "shell.width", "60 mm", first, script=True).status_code in (200, 422)
    assert shop.set("mine.toml", "title", "first", first).status_code in (303, 409)
    now = (shop.folder / "mine.toml").read_text("utf-8")
    assert shop.set("mine.toml", "title", "second", second).status_code == 409
    assert (shop.folder / "mine.toml").read_text("utf-8") == now != PLAIN


def test_file_changed_between_the_last_look_and_the_write_is_not_lost(shop, monkeypatch):
    """The new text is on the disk already, and not yet in the place of the file."""
    digest = digest_in(page(shop))
    flush = os.fsync

    def changed_meanwhile(descriptor):
        (shop.folder / "mine.toml").write_text("title = 'theirs'", "utf-8")
        flush(descriptor)

    monkeypatch.setattr(os, "fsync", changed_meanwhile)
    assert shop.set("mine.toml", "title", "mine", digest).status_code == 409
    assert in_file(shop) == {"title": "theirs"}
    assert os.listdir(shop.folder) == ["mine.toml"]


def test_disk_that_is_full_leaves_the_file_and_what_was_typed(shop, monkeypatch):
    digest = digest_in(page(shop))

    def full(*_):
        raise OSError(28, "No space left on device", str(shop.folder / "mine.toml"))

    monkeypatch.setattr(os, "replace", full)
    answer = shop.set("mine.toml", "title", "mine", digest, script=True)
    assert answer.status_code == 500
    assert "title mine cannot write: the disk is full" in answer.text
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN
    assert os.listdir(shop.folder) == ["mine.toml"]


def test_file_that_is_gone_is_named(shop):
    digest = digest_in(page(shop))
    (shop.folder / "mine.toml").unlink()
    answer = shop.set("mine.toml", "title", "mine", digest)
    assert answer.status_code == 404
    assert os.listdir(shop.folder) == []


def test_units_are_of_the_page_and_not_of_the_file(shop):
    assert "units metric" in page(shop)
    answer = shop.post("/case/mine.toml/units", units="inch", step="sizes")
    assert answer.headers["location"] == "/case/mine.toml/sizes"
    text = page(shop)
    assert "units inch" in text
    assert shop.set("mine.toml", "press.temperature", "70", digest_in(text)).status_code == 303
    assert in_file(shop)["press"]["temperature"] == "70 degF"
    assert in_file(shop)["units"] == "metric"
    assert shop.post("/case/mine.toml/units", units="cubits").status_code == 400


def test_cancel_leaves_the_last_answer_marked_old(shop):
    text = answered(shop)
    shop.solver.let_go.clear()
    shop.set("mine.toml", "title", "next", digest_in(text))
    answer = shop.post("/case/mine.toml/cancel", script=True)
    assert "Cancelled before it was done." in answer.text
    assert f"old check of {len(PLAIN)}" in answer.text
    assert "hx-get" not in answer.text


def test_row_and_curves_are_answers_or_nothing(shop):
    assert shop.client.get("/case/mine.toml/row/wall?stage=pressed").text == "<p>wall pressed</p>"
    assert shop.client.get("/case/mine.toml/row/none").status_code == 404
    assert shop.client.get("/case/mine.toml/curves.json").status_code == 404
    assert shop.client.get("/case/mine.toml").headers["location"] == "/case/mine.toml/piece"


def test_curves_are_of_the_case_as_it_stands_alone(shop):
    digest = digest_in(answered(shop))
    shop.work.ask([Question("curves", "mine.toml", PLAIN, digest)], current=(digest,))
    answered(shop)
    assert shop.client.get("/case/mine.toml/curves.json").json() == {"state": f"curves of {len(PLAIN)}"}
    (shop.folder / "mine.toml").write_text(PLAIN.replace('"40 degC"', '"60 degC"'), "utf-8")
    assert shop.client.get("/case/mine.toml/curves.json").status_code == 404


def test_parts_of_a_page_are_found_whatever_stands_in_them():
    whole = '<div id="a"><div>1<br></div><svg><g id="c"/></svg></div>'
    text = f'<p>é\n{whole}<input id="b" value="</div>"><b id="d">x</b>'
    assert fragments(text, main="a") == whole
    assert fragments(text, beside=("b", "none")) == '<input id="b" value="</div>" hx-swap-oob="true">'
    with pytest.raises(KeyError):
        fragments(text, main="none")
