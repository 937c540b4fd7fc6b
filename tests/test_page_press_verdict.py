"""What readings of the press do to the rest of the page: the verdict, the mark of the step, the plan."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_cases import bench_of, contradicted, environment, held, small
from page_presses import PressShop, plan

from hoopwright.case.read import parse_case
from hoopwright.page.bench import Benches
from hoopwright.page.case_files import CaseFiles
from hoopwright.page.model import Answer
from hoopwright.page.press_state import press_state
from hoopwright.page.render import news_of
from hoopwright.page.solver import COMMANDS
from hoopwright.page.steps import press
from hoopwright.page.views.verdict import verdict_view
from hoopwright.starters import starter_text


@pytest.fixture
def shop(tmp_path):
    with PressShop(tmp_path) as found:
        yield found


def doubted(shop):
    """The sentence of the verdict on another step that doubts it."""
    bench = shop.bench()
    current = {"check": Answer(held(small()), bench.version)}
    return verdict_view(replace(bench, answers={**bench.answers, **current}))


def test_two_readings_with_one_above_the_line_leave_nothing_that_holds(shop):
    assert doubted(shop).state == "part", "sample values"
    shop.enter("5", "9")
    shown = doubted(shop)
    assert shown.state == "undecided"
    assert "The press read 9 bar at 5 mm, where the stop line is 5 bar." in shown.lines[0].replace(
        "\u00a0", " "
    )
    assert [link.url for link in shown.links] == ["press"]
    assert not shown.least
    shop.act("pressure-off")
    assert doubted(shop).state == "undecided", "no check counts two readings"


def test_readings_that_no_plan_is_known_for_leave_nothing_that_holds(shop):
    shop.enter("5", "3")
    assert doubted(shop).state == "part", "sample values"
    found = shop.bench()
    bench = replace(found, answers={"check": Answer(held(small()), found.version)})
    assert verdict_view(bench).state == "undecided"


def test_log_beside_the_case_that_it_does_not_name_leaves_nothing_that_holds(shop):
    shop.log.write_text("travel [mm], gauge [bar]\n5, 3\n10, 6\n15, 9\n", "utf-8")
    shown = doubted(shop)
    assert shown.state == "undecided"
    assert "mine press.csv" in shown.lines[0]
    assert "Count them" in shop.get()
    shop.act("count")
    assert parse_case(shop.file.read_text("utf-8")).press.log == "mine press.csv"
    assert doubted(shop).state == "part", "now the check counts it"


def test_reading_below_the_least_that_no_check_counts_leaves_nothing_that_holds(shop):
    """One or two readings are none to a check, and what is looser than measured is worst."""
    shop.enter("5", "3")
    assert doubted(shop).state == "part", "in the band"
    shop.enter("20", "2")
    assert "below the least" in shop.page
    shown = doubted(shop)
    assert shown.state == "undecided"
    said = shown.lines[0].replace("\u00a0", " ")
    assert "The press read 2 bar at 20 mm, where it should show 6 bar at least" in said
    assert "3 readings" in said
    shop.enter("30", "15")
    assert doubted(shop).state == "part", "now the check counts them"


def test_log_that_is_named_waits_for_its_plan_wherever_the_page_begins(shop):
    """The check does not know that a stop waits for its answer: only the plan does."""
    for travel, gauge in (("5", "3"), ("10", "6"), ("15", "30")):
        shop.enter(travel, gauge)
    assert "The press read 30 bar" in doubted(shop).lines[0].replace("\u00a0", " ")
    found = shop.bench()
    bench = replace(found, answers={"check": Answer(held(small()), found.version)})
    assert verdict_view(bench).state == "undecided"
    asked = []

    class Listens:
        def ask(self, questions, **_):
            asked.extend(question.command for question in questions)

    Benches(CaseFiles(shop.folder), Listens()).ask(found, ("check",))
    assert asked == ["plan", "check"]


def test_readings_of_a_press_leave_nothing_that_holds_of_a_sleeve_that_slips_in(shop):
    shop.enter("5", "30")
    text = shop.file.read_text("utf-8")
    shop.file.write_text(f'{text}method = "heat"\n', "utf-8")
    assert shop.bench().case.press.slips_in
    shown = doubted(shop)
    assert shown.state == "undecided"
    assert "slips in, and mine press.csv has readings of a press" in shown.lines[0]
    shop.log.unlink()
    assert doubted(shop).state == "part"


def test_plan_is_as_old_as_the_file_of_materials(shop):
    before = replace(shop.bench(), materials="as it was")
    answer = Answer(plan(), before.plan_version)
    made = replace(before, answers={"plan": answer})
    assert press_state(made).line is not None
    assert press_state(replace(made, materials="of a softer metal")).line is None


def test_readings_that_are_not_named_are_news_to_every_page(shop):
    before = news_of(shop.bench())
    shop.enter("5", "9")
    shop.until('id="press-stop"')
    after = shop.bench()
    assert news_of(replace(after, own_log=shop.bench().own_log)) == news_of(after)
    assert news_of(replace(after, own_log=None)) != news_of(after)
    assert before != news_of(after)


def test_log_of_a_recorder_is_not_shown_row_by_row(shop):
    rows = "".join(f"{0.01 * k:.2f}, {0.006 * k:.3f}\n" for k in range(1, 1500))
    shop.log.write_text(f"travel [mm], gauge [bar]\n{rows}", "utf-8")
    page = shop.get()
    assert "The last 60 of 1499 readings" in page
    assert page.count('<th scope="row">') < 90
    assert page.count("dot-read") <= 2 * 400


def test_plan_is_as_old_as_the_case_but_for_its_log(shop):
    before = shop.bench()
    named = shop.file.read_text("utf-8") + 'log = "mine press.csv"\n'
    shop.log.write_text("travel [mm], gauge [bar]\n5, 3\n10, 6\n15, 9\n", "utf-8")
    shop.file.write_text(named, "utf-8")
    after = shop.bench()
    assert after.plan_version == before.plan_version
    assert after.version != before.version
    assert after.is_current("plan")
    shop.file.write_text(named.replace('"42.045 mm"', '"42.046 mm"'), "utf-8")
    assert shop.bench().plan_version != before.plan_version
    assert not shop.bench().is_current("plan")


def test_contradicted_case_leads_to_the_press():
    bench = bench_of(contradicted(small()))
    assert [link.url for link in verdict_view(bench).links] == ["press"]


def test_sleeve_that_slips_in_has_temperatures_and_no_dial():
    document = plan() | {"force_against_travel": None, "method": "heat"}
    bench = bench_of(None, file="mine.toml")
    found = replace(bench, answers={"plan": Answer(document, bench.plan_version)})
    page = html(press, found)
    assert "Hot shell alone" in page
    assert "110 °C" in page.replace("\u00a0", " ")
    assert "about 75 s" in page
    assert "dial" not in page
    assert "press.heat.shell_most" in page


def html(step, bench):
    found = environment()
    found.globals["fields"] = ()
    return found.get_template(f"steps/{step.STEP.id}.html").render(**step.view(bench), bench=bench)


def test_mark_of_the_step_follows_the_readings(shop):
    assert press.mark(shop.bench()) == "nothing"
    shop.enter("5", "3")
    assert press.mark(shop.bench()) == "partly"
    shop.enter("10", "30")
    assert press.mark(shop.bench()) == "fault"
    shop.act("pressure-off")
    shop.enter("50", "30")
    assert press.mark(shop.bench()) == "given"
    assert "It is home" in shop.page


def test_page_carries_no_style_and_no_id_twice(shop):
    for travel, gauge in (("5", "3"), ("10", "30")):
        page = shop.enter(travel, gauge)
        assert " style=" not in page
        ids = re.findall(r'\bid="([^"]+)"', page)
        assert len(ids) == len(set(ids))


@pytest.mark.slow
def test_plan_that_is_solved_knows_nothing_of_the_log(tmp_path):
    """Whatever was read, what the press should read stays what it was before pressing."""
    case = starter_text("plain", "metric") + "\n[mesh]\nelements_through_wall = 2\n"
    (tmp_path / "read.csv").write_text("travel [mm], gauge [bar]\n10, 40\n20, 80\n30, 110\n", "utf-8")
    named = case.replace("[press]\ncapacity", '[press]\nlog = "read.csv"\ncapacity')
    file = str(tmp_path / "mine.toml")

    def solved(command, text_):
        return COMMANDS[command](parse_case(text_, file=file), lambda *_: None)

    before, after, read = solved("press", case), solved("plan", named), solved("press", named)
    assert after["inferred_fit"] is None
    assert "interference_um" not in read["inferred_fit"], "the log contradicts"
    assert after["force_against_travel"] == before["force_against_travel"] == read["force_against_travel"]
