"""Speed of the plan: make_plan for Kettle Hollow (aim: 3 s), its page, a tally of 200 logs (aim: 10 s)."""

from woodcalc.figures import plan as pages
from woodcalc.plan import make_plan


def test_plan_of_kettle_hollow(benchmark):
    plan = benchmark.pedantic(make_plan, kwargs={"start": "2026-05-15"}, rounds=3, warmup_rounds=1)
    assert len(plan.settings) == 18


def test_page_of_the_plan(benchmark, tmp_path):
    plan = make_plan(start="2026-05-15")
    page = benchmark.pedantic(
        pages.write,
        (
            plan,
            tmp_path / "plan.html",
        ),
        rounds=3,
    )
    assert page.stat().st_size > 50_000


def test_plan_of_two_hundred_logs(benchmark, tmp_path):
    path = tmp_path / "logs.csv"
    rows = "".join(f"{i},white oak,{9 + i % 14}.{i % 10},{8 + 2 * (i % 5)}\n" for i in range(200))
    path.write_text("log,species,small_in,length_ft\n" + rows)
    plan = benchmark.pedantic(make_plan, (path,), {"start": "2026-05-15"}, rounds=1)
    assert len(plan.step("saw").table) == 201
