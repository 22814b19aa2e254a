"""One form for what is public: docstrings in numpydoc's form with the parameters that there are, and real types."""

import dataclasses
import importlib
import inspect
import pkgutil
import re

import pytest
from numpydoc.docscrape import NumpyDocString

import woodcalc

SECTIONS = ("Parameters", "Attributes", "Returns", "Yields", "Raises", "Warns", "References", "Examples")
HEADING = re.compile(r"^([A-Z][A-Za-z ]+)\n-{3,}$", re.MULTILINE)
MODULES = sorted(
    name
    for _, name, _ in pkgutil.walk_packages(woodcalc.__path__, "woodcalc.")
    if not name.endswith("__main__")
)
VAGUE = ("object", "list", "tuple", "dict", "set")  # of a field: what is in it?
PICTURES = ("woodcalc.figures", "woodcalc.lesson", "woodcalc.leader")


def public(module):
    """The (name, object) of what a module defines for others: functions, classes, and what their instances do."""
    for name, thing in vars(module).items():
        if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
            continue
        if inspect.isclass(thing):
            yield name, thing
            for part, member in vars(thing).items():
                member = getattr(member, "__func__", getattr(member, "fget", getattr(member, "func", member)))
                if not part.startswith("_") and inspect.isfunction(member):
                    yield f"{name}.{part}", member
        elif inspect.isfunction(inspect.unwrap(thing)):
            yield name, inspect.unwrap(thing)


def names_in(parameters):
    """The names under a heading; several may stand before one colon."""
    return [name.strip().lstrip("*") for p in parameters for name in p.name.split(",")]


def faults(thing):
    """What is not in the form, in words."""
    text = inspect.getdoc(thing) if not inspect.isclass(thing) else inspect.cleandoc(thing.__doc__ or "")
    if not text:
        return ["no docstring"]
    found, first = [], text.splitlines()[0]
    if not first[0].isupper() and first[0] not in '`("{' or first[-1] not in ".:?":
        found.append(f"no sentence as summary: {first!r}")
    if re.search(r"^Sources?:", text, re.MULTILINE):
        found.append("a source that does not stand under References")
    heads = HEADING.findall(text)
    if heads != [name for name in SECTIONS if name in heads]:
        found.append(f"sections {', '.join(heads)}; expected, in this order, {', '.join(SECTIONS)}")
        return found
    doc = NumpyDocString(text)
    if inspect.isclass(thing):
        own = vars(thing).get("__annotations__", {})
        fields = (
            {name for name in own if not name.startswith("_")} if dataclasses.is_dataclass(thing) else set()
        )
        if fields and "Parameters" in heads:
            found.append("fields of a dataclass under Parameters")
        unknown = [n for n in names_in(doc["Attributes"]) if n not in own and not hasattr(thing, n)]
        missing = sorted(fields - set(names_in(doc["Attributes"]))) if "Attributes" in heads else []
        found += [f"no word on {', '.join(missing)}"] if missing else []
        thing = thing.__init__
    else:
        unknown = []
    if "Parameters" in heads:
        signature = [n for n in inspect.signature(thing).parameters if n not in ("self", "cls")]
        named = names_in(doc["Parameters"])
        unknown += [n for n in named if n not in signature]
        if missing := [n for n in signature if n not in named and not n.startswith("_")]:
            found.append(f"no word on {', '.join(missing)}")
    return found + ([f"{', '.join(unknown)} is not there"] if unknown else [])


@pytest.mark.parametrize("name", MODULES)
def test_docstrings_have_one_form(name):
    wrong = {each: why for each, thing in public(importlib.import_module(name)) if (why := faults(thing))}
    assert wrong == {}


@pytest.mark.parametrize("name", MODULES)
def test_what_is_public_says_its_types(name):
    bare = []
    for each, thing in public(importlib.import_module(name)):
        if inspect.isclass(thing):
            bare += [
                f"{each}.{n}" for n, kind in vars(thing).get("__annotations__", {}).items() if kind in VAGUE
            ]
            continue
        signature = inspect.signature(thing)
        told = [p.annotation for p in signature.parameters.values() if p.name not in ("self", "cls")]
        bare += [each] if inspect.Signature.empty in (*told, signature.return_annotation) else []
    assert bare == []


@pytest.mark.parametrize("name", [n for n in MODULES if not n.startswith(PICTURES)])
def test_each_function_that_a_calculator_offers_shows_an_example(name):
    module = importlib.import_module(name)
    package = name.rpartition(".")[0]
    front = vars(module if package == "woodcalc" else importlib.import_module(package))
    offered = {key: thing for key, thing in public(module) if inspect.unwrap(front.get(key, str)) is thing}
    bare = [
        key
        for key, thing in offered.items()
        if inspect.isfunction(thing) and ">>>" not in (thing.__doc__ or "")
    ]
    assert bare == []


# What a calculator is asked by name; families whose inner steps are told in their own files are not bound to it.
TOLD = ("woodcalc.drying.", "woodcalc.kiln.", "woodcalc.records.", "woodcalc.weighings")


@pytest.mark.parametrize("name", [n for n in MODULES if not n.startswith((*PICTURES, *TOLD))])
def test_each_argument_of_a_calculator_is_told(name):
    bare = []
    for key, thing in public(importlib.import_module(name)):
        if inspect.isclass(thing):
            continue
        asked = [n for n in inspect.signature(thing).parameters if n not in ("self", "cls")]
        bare += [key] if asked and "Parameters\n---" not in (inspect.getdoc(thing) or "") else []
    assert bare == []
