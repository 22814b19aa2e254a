"""What the README and the developers' page promise is there."""

import re
from pathlib import Path

import pytest

from woodcalc import logs, moisture, movement, plan, tables
from woodcalc.kiln import runs
from woodcalc.plan import steps as plan_steps

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_python_lines_give_the_printed_values():
    block = re.search(r"```python\n(.*?)```", README, re.S)[1]
    names, checked = {}, 0
    for line in block.splitlines():
        code, _, said = line.partition("#")
        if code.startswith("import"):
            exec(code, names)
            continue
        value = eval(code, names)
        if number := re.search(r"[\d.]+", said):
            assert value == pytest.approx(float(number[0]), abs=0.05)
            checked += 1
    assert checked == 2


@pytest.mark.parametrize(
    "name", ["README.md", "DEVELOPERS.md", "lessons/first-start.md", "lessons/leader/hosting/hosting.md"]
)
def test_every_file_that_is_named_exists(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    paths = re.findall(r"\]\(([^)#:]+)\)", text)
    paths += re.findall(r"`((?:lessons|data|tests|woodcalc|\.ci)/[\w./-]+)`", text)
    made_by_the_learner = ("lessons/my-wood", "lessons/.lab")
    base = (ROOT / name).parent
    missing = [
        p
        for p in paths
        if not (ROOT / p).exists() and not (base / p).exists() and p not in made_by_the_learner
    ]
    assert missing == []


def test_the_scorecard_is_the_one_that_the_tests_measure(report):
    """README's table is data/scorecard.csv, row by row; the tests hold that file against what they measure."""
    card = tables.read("scorecard")
    lines = [f"| {' | '.join(row)} |" for row in card.itertuples(index=False)]
    printed = [line for line in README.splitlines() if line.startswith("| ")]
    assert [line for line in printed if line in lines] == lines
    text = []
    for row in card.to_dict("records"):
        number = row.pop("number")
        text += [f"{number}", *(f"    {column.replace('_', ' ')}: {said}" for column, said in row.items())]
    report("Scorecard: how sure each number is", "\n".join(text))


def test_the_margins_on_the_scorecard_are_those_that_are_used():
    plan_on = tables.read("scorecard").set_index("number").plan_on
    used = {
        "weight of logs and lumber": [
            ("a fifth over", moisture.WEIGHT_MARGIN, 0.2),
            ("a tenth", logs.BARK_SHARE, 0.1),
        ],
        "board feet from a log": [("15 % less", plan.ASSUMPTIONS["lost_pct"][0], 15)],
        "shrinkage and movement": [("a fifth", movement.VARIES, 0.2)],
        "solar kiln, dehumidifier, house": [("half as long again", runs.GIVE_OR_TAKE, 1.5)],
        "hours and dollars of a job": [("three tenths", plan_steps.COST_MARGIN, 0.3)],
    }
    for number, margins in used.items():
        for words, value, expected in margins:
            assert words in plan_on[number] and value == expected, number


def blocks(language):
    return [block.strip() for block in re.findall(rf"```{language}\n(.*?)```", README, re.S)]


def test_the_commands_are_the_same_for_every_system():
    def bare(lines):
        lines = lines.replace(".venv\\Scripts\\python", "PY").replace(".venv/bin/python", "PY")
        return re.sub(r"^(python3|py) ", "PY ", lines, flags=re.M)

    assert [bare(block) for block in blocks("sh")] == [bare(block) for block in blocks("bat")]
    assert len(blocks("sh")) == 2


def test_the_commands_work_in_every_kind_of_terminal():
    """Windows has two: the old one knows no `./`, the newer one knew no `&&` for years."""
    for block in blocks("bat") + blocks("sh"):
        assert "&" not in block and "./" not in block and "source " not in block
    assert [len(block.splitlines()) for block in blocks("sh")] == [1, 3]


def test_the_page_for_the_first_start_says_the_same_lines_and_quotes_what_is_said():
    page = (ROOT / "lessons/first-start.md").read_text(encoding="utf-8")
    for line in (blocks("sh")[0], blocks("bat")[0]):
        assert f"`{line}`" in page
    said = (ROOT / "lessons/start.py").read_text(encoding="utf-8")
    quoted = [q for row in re.findall(r"^\| \*.*$", page, re.M) for q in re.findall(r"\*([^*]+)\*", row)]
    assert len(quoted) == 7
    for text in quoted:
        parts = [p for p in re.split(r"Not done\. |3\.9|\.\.\.", text) if p.strip()]
        assert all(part.strip() in said for part in parts), text
    for launcher in (ROOT / "lessons").glob("Start on *"):
        assert f"**{launcher.stem}**" in page


def test_the_top_level_holds_what_it_should():
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "pyproject.toml",
        "lessons",
        "woodcalc",
        "data",
        "tests",
    }
    assert {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - allowed <= {
        "woodcalc.egg-info",
        "build",
    }
