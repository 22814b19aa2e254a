"""What the README and the developers' page promise is there."""

import re
from pathlib import Path

import pytest

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


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "lessons/leader/hosting/hosting.md"])
def test_every_file_that_is_named_exists(name):
    text = (ROOT / name).read_text(encoding="utf-8")
    paths = re.findall(r"\]\(([^)#:]+)\)", text)
    paths += re.findall(r"`((?:lessons|data|tests|woodcalc|\.ci)/[\w./-]+)`", text)
    made_by_the_learner = ("lessons/my-wood",)
    base = (ROOT / name).parent
    missing = [p for p in paths if not (ROOT / p).exists() and not (base / p).exists() and p not in made_by_the_learner]
    assert missing == []


def test_the_commands_are_the_same_for_every_system():
    def bare(line):
        line = line.replace(".venv\\Scripts\\python", "PY").replace(".venv/bin/python", "PY").replace("\\", "/")
        return re.sub(r"^(python3|py) -m venv", "VENV", line)

    shell = [bare(b.strip()) for b in re.findall(r"```sh\n(.*?)```", README, re.S)]
    windows = [bare(b.strip()) for b in re.findall(r"```bat\n(.*?)```", README, re.S)]
    assert shell == windows
    assert len(shell) == 2


def test_the_top_level_holds_what_it_should():
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "lessons", "woodcalc", "data", "tests"}
    assert {p.name for p in ROOT.iterdir() if not p.name.startswith(".")} - allowed <= {"woodcalc.egg-info", "build"}
