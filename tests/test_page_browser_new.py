"""In a real browser: an empty folder, and a case that is begun in it."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from hoopwright.starters import starter_text

FORM = "{'Content-Type': 'application/x-www-form-urlencoded'}"


@pytest.mark.slow
def test_case_is_begun_by_keyboard_and_by_nobody_without_the_token(bench_page):
    page = bench_page.page
    page.get_by_role("radio", name="a plain boss").focus()
    page.keyboard.press("Space")
    page.get_by_label("Name of its file").fill("boss")
    page.keyboard.press("Enter")
    page.wait_for_url("**/case/boss.toml/piece")
    assert (bench_page.folder / "boss.toml").read_text("utf-8") == starter_text("plain")
    send = f"fetch('/new', {{method: 'POST', headers: {FORM}, body: 'file=x&piece=plain&units=metric'}})"
    assert page.evaluate(f"() => {send}.then(answer => answer.status)") == 403
    assert [path.name for path in bench_page.folder.iterdir()] == ["boss.toml"]
    assert all(address.startswith(bench_page.home) for address in bench_page.asked)
