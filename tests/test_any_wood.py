"""Every wood of the book and one's own through every lesson's panels, the plan and the pages, with no gap."""

import json
import re

import pytest
from ipywidgets import Dropdown
from test_panels import HIDDEN, MAKERS, made, options
from test_plan import faults, make_plan, room_alone

from woodcalc import climate, species
from woodcalc.checks import InputError
from woodcalc.figures.plan import plan_page
from woodcalc.figures.style import to_svg
from woodcalc.kiln import ways
from woodcalc.leader.desk import evening
from woodcalc.lesson import woods as lesson
from woodcalc.lesson.box import plain
from woodcalc.lesson.lists import place_names, wood_names
from woodcalc.lesson.places import place_picker
from woodcalc.lesson.plan import plan_desk
from woodcalc.lesson.start import choices_panel
from woodcalc.records import choices
from woodcalc.records.keep import versions

OWN = (
    dict(name="Bur oak", kind="hardwood", like="white oak", basic_sg=0.58),
    dict(name="giant sequoia", kind="softwood"),
)
GAP = re.compile(r"\b(nan|NaN|NaT|None(?! of)|inf)\b")
SLOW_TO_DRAW = {"kiln.three_ways_panel", "maps.stacks_map_panel"}  # a tenth of a second a wood: every fourth
ABOUT_A_WOOD = {"species", "wood", "species_name"}


@pytest.fixture(autouse=True)
def mine(tmp_path, monkeypatch):
    """A folder with two woods of one's own."""
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    choices.kept_choices()  # another test's woods are forgotten
    for figures in OWN:
        choices.keep_wood(**figures)
    return tmp_path / "my-wood"


def all_woods():
    return [*species.names(), *(wood["name"] for wood in OWN)]


def inside(widget):
    """What each list of a box offers."""
    if isinstance(widget, Dropdown):
        yield widget._options_full
    for child in getattr(widget, "children", ()):
        yield from inside(child)


# --- panels, plan


@pytest.mark.parametrize("name", MAKERS)
def test_every_wood_on_every_panel(name):
    """Each wood in the list of each panel that has one: a picture, a sentence, and no gap in either."""
    panel = made(name)
    dial = next(iter(ABOUT_A_WOOD & {*panel.dials}), None)
    if dial is None:
        return
    offered = options(panel.dials[dial])
    assert {*all_woods()} <= {*offered}
    start = {each: widget.value for each, widget in panel.dials.items()}
    some = [*offered[::4], *species.own_names()] if name in SLOW_TO_DRAW else offered
    for wood in some:
        page, sentence, *more = panel.draw(**start | {dial: wood})
        assert not GAP.search(" ".join([sentence, *more])), (wood, sentence)
        if wood in species.own_names():
            assert not GAP.search(to_svg(page)), wood


def test_every_wood_through_the_plan(tmp_path, monkeypatch):
    """Eleven plans of eight woods: all their steps, tables and pages, with no gap. Of the ways to the last points, the
    room alone (`test_every_wood_on_every_panel` runs all three for each wood)."""
    monkeypatch.setattr(ways, "runs_of_each", room_alone)
    names = all_woods()
    for k in range(0, len(names), 8):
        some = names[k : k + 8]
        logs = "".join(f"{n},{wood},16,8\n" for n, wood in enumerate(some))
        (tmp_path / "logs.csv").write_text("log,species,small_in,length_ft\n" + logs)
        plan = make_plan(tmp_path, species=some[0], start="2027-05-15")
        assert list(faults(plan)) == [] and {*plan.forecasts} == {*some}
        assert not GAP.search(
            plain(re.sub(r"<(svg|style|script).*?</\1>|<img[^>]*>", "", plan_page(plan), flags=re.S))
        ), some


def test_woods_of_ones_own_are_in_every_list_and_choice(mine):
    choices.keep(species="bur oak", thickness="8/4")
    assert wood_names()[:2] == [("my own: Bur oak", "Bur oak"), ("my own: giant sequoia", "giant sequoia")]
    assert choices_panel().dials["species_name"].value == "Bur oak"
    assert "Bur oak" in plan_desk().fields["species"].options
    assert any(value == "Bur oak" for box in inside(evening()) for _, value in box)
    for name in ("drying.my_stack_panel", "movement.own_panel", "maps.stacks_map_panel"):
        panel = MAKERS[name](**HIDDEN.get(name, {}))
        dial = next(iter(ABOUT_A_WOOD & {*panel.dials}))
        assert panel.dials[dial].value == "Bur oak", name


# --- pages


def test_a_wood_that_was_kept_before_the_table_had_it_stays_its_owners(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path))
    kept = {
        "own woods": {"redwood": {"name": "redwood", "kind": "softwood", "basic_sg": 0.44}},
        "species": "redwood",
    }
    (tmp_path / choices.FILE).write_text(json.dumps(kept))
    try:
        assert choices.kept_choices().species == "redwood" and species.get("redwood").basic_sg == 0.44
        assert wood_names()[0] == ("my own: redwood", "redwood") and "as you typed it" in lesson.wood_page(
            "redwood"
        )
    finally:
        species.forget("redwood")
    assert species.get("redwood").basic_sg == 0.36


@pytest.mark.parametrize("name", [*species.names(), *(wood["name"] for wood in OWN)])
def test_the_page_of_each_wood_has_no_gap(name):
    page = lesson.wood_page(name)
    told = plain(page)
    assert not GAP.search(told), told
    cells = re.findall(r"<td[^>]*>(.*?)</td>", page)
    what, figure, sure = cells[::4], cells[1::4], cells[2::4]
    assert all(what) and all(figure) and len(what) >= 7
    if name in species.names():
        assert all(sure)  # read, worked out, recalled, another wood's, or not known


def test_the_page_of_each_place_has_no_gap():
    choices.keep_place(climate.from_monthly("My bare months", [50] * 12, [70] * 12))
    for name in [*place_names(), "My bare months"]:
        assert not GAP.search(plain(lesson.place_page(name))), name


# --- the picker


def picked(way="name", **typed):
    picker = lesson.wood_picker()
    picker.way.value = way
    for name, text in typed.items():
        (picker.figures | {"name": picker.name, "like": picker.like, "kind": picker.kind})[name].value = text
    return picker


def test_a_wood_is_found_by_any_name_told_and_kept():
    picker, panel = lesson.wood_picker(), choices_panel()
    picker.asked.value = "tulip poplar"
    assert picker.said.startswith("Tulip poplar is yellow-poplar here.")
    picker.woods.children[0].click()
    assert choices.read().species == "yellow-poplar" == panel.dials["species_name"].value
    assert "Yellow-poplar is kept for all lessons" in picker.said and "yellow-poplar" in panel.reading


@pytest.mark.parametrize(
    ("asked", "says", "offers"),
    [
        ("dougles fir", "Did you mean", {"Douglas-fir (coast)"}),
        ("qwertz", "None of the 103 woods", set()),
    ],
)
def test_what_is_not_one_wood_asks_which_and_offers_ones_own(asked, says, offers):
    picker = lesson.wood_picker()
    picker.asked.value = asked
    buttons = [button.description for button in picker.woods.children]
    assert says in picker.said and picker.asked.value == asked
    assert (
        offers <= {each.removeprefix("Use ") for each in buttons}
        and buttons[-1] == f"Put in {asked} as my own wood"
    )
    picker.woods.children[-1].click()
    assert picker.way.value == "own" and picker.name.value == asked
    assert choices.read().species == choices.Choices().species


@pytest.mark.parametrize(
    ("asked", "says", "offers"),
    [
        ("poplar", "could be several woods", {"balsam poplar", "black cottonwood", "yellow-poplar"}),
        ("white cedar", "could be several woods", {"Atlantic white-cedar", "northern white-cedar"}),
        ("oak", "could be several woods", {"white oak", "black oak", "tanoak"}),
        ("walnut", "Walnut is black walnut here", {"black walnut", "butternut"}),
        ("white oak", "Found white oak", {"white oak", "Oregon white oak"}),
    ],
)
def test_a_name_that_is_taken_leads_to_a_fuller_one(asked, says, offers):
    picker = lesson.wood_picker()
    picker.asked.value = asked
    *woods, own = (button.description for button in picker.woods.children)
    assert says in picker.said and offers <= {each.removeprefix("Use ") for each in woods}
    assert own == "Put in another wood as my own"
    picker.woods.children[-1].click()
    assert picker.name.value == "" and f"a fuller name than {asked}" in picker.said
    picker.name.value = asked
    picker.keep_own.click()
    assert "give your own a" in picker.said and len(choices.kept_woods()) == len(OWN)


def test_a_wood_of_ones_own_is_kept_with_what_was_typed_and_what_was_not():
    picker = picked("own", name="osage orange", dry_lb_per_ft3="54 lb", shrink_tangential_pct="6,5")
    picker.keep_own.click()
    assert "Osage orange is kept for all lessons" in picker.said
    assert (
        "Typed in: specific gravity, one of the two shrinkages." in picker.said and "rougher" in picker.said
    )
    wood = species.get("osage orange")
    assert wood.shrink_tangential_pct == 6.5
    assert wood.basic_sg == pytest.approx(0.72, abs=0.01)  # 54 lb at 12 %, and it shrinks little
    assert choices.read().species == "osage orange"
    assert ("my own: osage orange", "osage orange") in wood_names()


def test_the_kind_follows_the_wood_that_it_is_like():
    picker = picked("own", like="red pine")
    assert picker.kind.value == "softwood"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (dict(name=""), "What to call the wood is still blank"),
        (
            dict(basic_sg="44"),
            "Specific gravity: dry weight, green size (water is 1): found '44'; expected a number",
        ),
        (dict(basic_sg="heavy"), "found 'heavy'"),
        (dict(dry_lb_per_ft3="0.6"), "expected a number from 12 to 75 lb"),
        (dict(basic_sg="0.5", dry_lb_per_ft3="60"), "do not go together"),
        (dict(shrink_radial_pct="9", shrink_tangential_pct="5"), "the wrong way round"),
        (dict(name="red oak"), "a name of northern red oak"),
        (dict(basic_sg="0.8", green_mc_pct="120"), "cannot hold more than 60 %"),
        (dict(like="red pine", kind="hardwood"), "red pine is a softwood"),
    ],
)
def test_bad_figures_are_said_and_stay_typed(mine, typed, says):
    before = (mine / choices.FILE).read_bytes()
    picker = picked("own", **{"name": "mine"} | typed)
    picker.keep_own.click()
    assert says in picker.said and not picker.question.asked
    fields = picker.figures | {"name": picker.name, "like": picker.like, "kind": picker.kind}
    assert {name: fields[name].value for name in typed} == typed
    assert (mine / choices.FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("typed", "asks"),
    [
        (dict(kind="softwood", basic_sg="0.9"), "softwoods have 0.39 on average. Are you sure?"),
        (dict(like="white oak", shrink_tangential_pct="3", shrink_radial_pct="2"), "white oak has 10.5 %"),
        (dict(name="giant sequoia", basic_sg="0.4", kind="softwood"), "is kept already, with other figures"),
    ],
)
def test_doubtful_figures_are_kept_only_after_a_question(typed, asks):
    picker = picked("own", **{"name": "mine"} | typed)
    picker.keep_own.click()
    assert asks in picker.question.asked and "Not kept yet" in picker.said
    assert choices.read().species == choices.Choices().species
    picker.question.yes.click()
    assert "is kept for all lessons" in picker.said and choices.read().species == typed.get("name", "mine")


def test_the_pages_follow_what_is_chosen():
    box, picker = lesson.pages_box(), lesson.wood_picker()
    assert "What the book knows of northern red oak" in box.told.value
    picker.asked.value = "madrone"
    picker.woods.children[0].click()
    assert box.dials["wood"].value == "Pacific madrone" and "Arbutus menziesii" in box.told.value


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("Tuscaloosa, AL", "What the book knows of Tuscaloosa"),  # in no list
        ("tucson ariz", "What the book knows of Tucson, AZ"),
        ("54665", "The station nearest to Viroqua, WI 54665 is La Crosse, WI"),
        ("Viroqa, WI", "read as Viroqua, WI"),
        ("Oregon", "Oregon is a state"),
        ("Zzzyx Qqq, WI", "No town in Wisconsin"),
    ],
)
def test_the_pages_open_any_station(typed, says):
    box = lesson.pages_box()
    box.dials["other"].value = typed
    told = plain(box.told.value)
    assert says in told and "What the book knows of northern red oak" in told
    box.dials["other"].value = ""
    assert says not in plain(box.told.value)


def test_a_wood_that_cannot_be_kept_is_said(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "file" / "my-wood"))
    picker = picked("own", name="mine", basic_sg="0.5")
    picker.keep_own.click()
    assert "not saved" in picker.said and "kept for all lessons" not in picker.said


def test_a_wood_that_the_table_lacks_comes_with_its_group():
    picker = lesson.wood_picker()
    for asked, name, like, sg in (
        ("burr oak", "bur oak", "white oak", "0.58"),
        ("bodark", "Osage-orange", "", "0.76"),
    ):
        picker.way.value, picker.asked.value = "name", asked
        assert "not among the 103 woods" in picker.said and "Put it in as your own here" in picker.said
        picker.woods.children[0].click()
        assert (picker.way.value, picker.name.value, picker.like.value) == ("own", name, like)
        assert picker.figures["basic_sg"].value == sg and "Forest Inventory" in picker.said
        choices.keep_wood(name="another", kind="hardwood")
    picker.keep_own.click()
    if picker.question.layout.display != "none":
        picker.question.yes.click()
    assert choices.read().species == "Osage-orange" and species.get("osage orange").basic_sg == 0.76
    picker.way.value, picker.asked.value = "name", "ironwood"
    said = [each.description for each in picker.woods.children]
    woods = ["American hornbeam", "hophornbeam", "desert ironwood"]
    assert said == [f"Put in {wood} as my own wood" for wood in woods]
    picker.asked.value = "chestnut"
    assert picker.woods.children[-1].description == "Put in American chestnut as my own wood"
    assert "Or it is American chestnut, which the book lacks" in picker.said
    for asked in (
        "yellow pine",
        "popler",
        "Oregon pin",
        "white cedar",
    ):  # the sentence has the woods of the buttons
        picker.asked.value = asked
        offered = [
            b.description.removeprefix("Use ") for b in picker.woods.children if b.description[:4] == "Use "
        ]
        named = re.search(r"(?:Which one:|Did you mean) (.*?)\?", picker.said)[1]
        assert {*re.split(", | or ", named)} == {*offered}, asked
    picker.asked.value = "chinkapin"
    assert "Chinkapin oak or golden chinkapin?" in picker.said and len(picker.woods.children) == 2
    picker.asked.value = "bamboo"
    assert "no rings" in picker.said


@pytest.mark.parametrize("what", [choices.OWN_WOODS, choices.OWN_PLACES])
def test_one_of_my_own_is_taken_out_after_a_question_and_put_back(what, mine):
    place = what == choices.OWN_PLACES
    if place:
        choices.keep_place(climate.from_monthly("My creek", [50] * 12, [70] * 12))
    name, choice = ("My creek", "place") if place else ("Bur oak", "species")
    choices.keep(**{choice: name})
    row = f"S1,{'white oak' if place else 'bur oak'},4/4,{'my creek' if place else ''},2026-05-01"
    (mine / "stacks.csv").write_text(f"stack,species,nominal,place,stacked\n{row}\n")
    before = (mine / choices.FILE).read_bytes()
    form = (place_picker if place else lesson.wood_picker)()
    if not place:
        assert form.take_out.which.value == "Bur oak"  # the first of them
    form.take_out.which.value = name
    form.take_out.out.click()
    asked = form.take_out.question.asked
    assert "In your stacks: S1." in asked and "all lessons start from" in asked
    assert (mine / choices.FILE).read_bytes() == before
    form.take_out.question.no.click()
    assert (mine / choices.FILE).read_bytes() == before
    form.take_out.out.click()
    form.take_out.question.yes.click()
    assert (
        getattr(choices.read(), choice) == getattr(choices.Choices(), choice) and "is taken out" in form.said
    )
    with pytest.raises(InputError):
        (climate.get if place else species.get)(name)
    assert versions(mine / choices.FILE)
    choices.keep(month=9)  # something else is kept meanwhile
    form.take_out.back.click()
    assert getattr(choices.read(), choice) == name and choices.read().month == 9 and "is back" in form.said
    assert (climate.get if place else species.get)(name).name == name
    choices.take_out(what, name)
