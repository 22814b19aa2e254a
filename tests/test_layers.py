"""Imports run one way: leader -> lesson -> figures -> calculators; and importing the package loads nothing heavy."""

import ast
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "woodcalc"
FORBIDDEN = {
    "calculators": (
        "ipywidgets",
        "anywidget",
        "IPython",
        "matplotlib",
        "woodcalc.figures",
        "woodcalc.lesson",
        "woodcalc.leader",
    ),
    "figures": ("ipywidgets", "anywidget", "IPython", "woodcalc.lesson", "woodcalc.leader"),
    "lesson": ("woodcalc.leader",),
    "leader": (),
}
MOST_FLOORS, MOST_ENTRIES = 11, 26
MODULES = {
    ".".join(("woodcalc", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__"): path
    for path in sorted(PACKAGE.rglob("*.py"))
}


@cache
def imported(path, run_only=False):
    """The names that a file imports; each file is read once."""
    return tuple(_imported(path, run_only))


def _imported(path, run_only):
    """What a file imports, wherever in it, as full names; `run_only`: not what only its annotations name."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if run_only:
        tree.body = [
            n for n in tree.body if not (isinstance(n, ast.If) and ast.unparse(n.test) == "TYPE_CHECKING")
        ]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}, line {node.lineno}: a relative import"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize(
    "name", [name for name in MODULES if name != "woodcalc.__main__"]
)  # it only hands over
def test_imports_run_one_way(name):
    part = name.split(".")[1] if "." in name else ""
    forbidden = FORBIDDEN.get(part, FORBIDDEN["calculators"])
    found = imported(MODULES[name], run_only=name == "woodcalc")  # to a checker it names all its modules
    assert [each for each in found if any(each == f or each.startswith(f + ".") for f in forbidden)] == []


def floors(run_only=True, but=()):
    """The height of each module above those that import none of the package; a circle is an error."""
    below = {
        name: {each if each in MODULES else each.rpartition(".")[0] for each in imported(path, run_only)}
        & set(MODULES) - {there for here, there in but if here == name}
        for name, path in MODULES.items()
    }
    height, left = {}, set(MODULES)
    while left:
        ready = {name for name in left if below[name] <= set(height)}
        assert ready, f"a circle of imports among {sorted(left)}"
        for name in ready:
            height[name] = 1 + max((height[each] for each in below[name]), default=0)
        left -= ready
    return height


def test_the_house_has_few_floors_and_no_circle(report):
    height = floors()
    drawing = {
        floor: " ".join(sorted(name.removeprefix("woodcalc.") for name, at in height.items() if at == floor))
        for floor in sorted(set(height.values()))
    }
    report("The floors of imports", "\n".join(f"{floor:2}  {names}" for floor, names in drawing.items()))
    assert max(drawing) <= MOST_FLOORS


# What only annotations name closes no circle when it runs; each that would on paper, and why it stays.
ON_PAPER = {
    (
        "woodcalc.drying.readings",
        "woodcalc.drying.forecast",
    ): "readings are checked against the forecast they teach",
}


def test_annotations_close_no_circle_but_those_that_are_named():
    floors(run_only=False, but=ON_PAPER)
    with pytest.raises(AssertionError, match="a circle of imports"):
        floors(run_only=False)  # else the list above is out of date


def test_few_things_lie_directly_in_the_package():
    tracked = [path for path in PACKAGE.iterdir() if not path.name.startswith((".", "__pycache__", "_"))]
    assert len(tracked) + len({"__init__.py", "__main__.py"}) <= MOST_ENTRIES
    names = {path.name for path in PACKAGE.rglob("*.py")}
    assert len({name.replace("_", "") for name in names}) == len(names), "two names differ by an underscore"


def test_the_map_names_every_module():
    """DEVELOPERS.md says where things are; a module that it does not name is found by nobody."""
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"\w+", " ".join(re.findall(r"`([^`\n]+)`", text))))
    assert {name.split(".")[-1] for name in MODULES} - named - {"__main__"} == set()


def test_importing_the_package_loads_no_heavy_library():
    heavy = "('numpy', 'pandas', 'matplotlib', 'ipywidgets')"
    code = f"import sys, woodcalc; print([m for m in {heavy} if m in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"


def test_the_starter_needs_no_library():
    """`lessons/start.py` holds its lock before anything is installed."""
    book = str(PACKAGE.parent)
    code = f"import sys; sys.path.insert(0, {book!r}); import woodcalc.disk; print('numpy' in sys.modules)"
    said = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True)
    assert (said.stdout.strip(), said.stderr) == ("False", "")


@pytest.mark.parametrize("name", [n for n in MODULES if n.count(".") == 1 and not n.endswith("__main__")])
def test_each_module_loads_when_it_is_asked_for(name):
    """`import woodcalc` alone loads no calculator; `woodcalc.logs` then does."""
    code = f"import sys, woodcalc; assert {name!r} not in sys.modules; {name}"
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_name_that_is_not_there_is_an_error():
    import woodcalc

    assert not hasattr(woodcalc, "loggs")
    assert {"logs", "drying", "movement"} <= set(dir(woodcalc))
