"""The wood picker: a wood found by any name it goes by, or one of one's own; the page of what is known of it."""

from __future__ import annotations

import html
from functools import partial
from typing import Any

import ipywidgets as w

from woodcalc import climate, drying, moisture, species, tables
from woodcalc.checks import InputError, blank, capital
from woodcalc.climate import places
from woodcalc.disk import in_words
from woodcalc.drying.safe_loss import bears
from woodcalc.lesson import own
from woodcalc.lesson.box import Ask, Form, button, labelled, note, table
from woodcalc.lesson.lists import place_names, wood_names
from woodcalc.lesson.panel import choice
from woodcalc.lesson.take_out import TakeOut
from woodcalc.lesson.worked import Worked, one_number, typed, worked
from woodcalc.records import choices, own_wood
from woodcalc.records.choices import kept_choices
from woodcalc.species import USUAL_SAPWOOD, Species

WAYS = [("any name that it goes by", "name"), ("a wood of my own that the book lacks", "own")]
KINDS = [("hardwood: a tree with leaves", "hardwood"), ("softwood: a tree with needles", "softwood")]
LIKE_NONE = "no wood of the list: take its kind"
FIGURES = {  # of a wood of one's own: label, least, most, unit
    "basic_sg": ("Specific gravity: dry weight, green size (water is 1)", 0.2, 1.0, ""),
    "dry_lb_per_ft3": ("Or the weight of a cubic foot, air-dry at 12 % (lb)", 12, 75, "lb"),
    "shrink_radial_pct": ("Shrinkage across the rings, green to oven-dry (%)", 0.5, 12, "%"),
    "shrink_tangential_pct": ("Shrinkage along the rings, green to oven-dry (%)", 1, 18, "%"),
    "green_mc_pct": ("Moisture of the green tree (% MC)", 20, 300, "%"),
}
_FAR = (
    3.0  # standard deviations of its group that a typed figure may be off before it is asked about (judgment)
)


class WoodPicker(Form):
    """Choose the wood for all lessons; made by `wood_picker`."""

    not_lost = ""

    def __init__(self) -> None:
        wide, half = w.Layout(width="min(420px, 100%)"), w.Layout(width="170px")
        typed = {"continuous_update": False, "layout": wide}
        self.way = w.Dropdown(options=WAYS, layout=wide)
        self.asked = w.Text(placeholder="bur oak, tulip poplar, hard maple ...", **typed)
        self.find = button("Look it up")
        self.woods = w.HBox(layout=w.Layout(flex_flow="row wrap", grid_gap="8px"))
        self.name = w.Text(placeholder="bur oak", **typed)
        self.kind = w.Dropdown(options=KINDS, layout=wide)
        book = [(label, name) for label, name in wood_names() if name in species.names()]
        self.like = w.Dropdown(options=[(LIKE_NONE, ""), *book], layout=wide)
        self.figures = {
            name: w.Text(placeholder="blank: its group's", continuous_update=False, layout=half)
            for name in FIGURES
        }
        self.keep_own, self.question = button("Check and use this wood"), Ask()
        self._parts = {
            "name": w.VBox(
                [labelled("The name that you know the wood by", self.asked), self.find, self.woods]
            ),
            "own": w.VBox(
                [
                    labelled("What to call the wood", self.name),
                    labelled("What tree it is", self.kind),
                    labelled("A wood that it is most like", self.like),
                    *(labelled(FIGURES[name][0], field) for name, field in self.figures.items()),
                    self.keep_own,
                    self.question,
                ]
            ),
        }
        above = [labelled("How do you want to give your wood?", self.way), *self._parts.values()]
        super().__init__(above, [], "form: your wood", "Your wood")
        self.take_out = TakeOut(self, choices.OWN_WOODS)
        self.children = (*self.children[:-1], self.take_out, self.children[-1])
        self.way.observe(lambda _: self._show_way(), "value")
        self.find.on_click(lambda _: self.safely(self._look))
        self.asked.observe(lambda _: self.safely(self._look), "value")
        self.like.observe(lambda _: self.safely(self._kind_of_like), "value")
        self.keep_own.on_click(lambda _: self.safely(self._use_own))
        for field in (self.name, self.kind, self.like, *self.figures.values()):
            field.observe(lambda _: self.question.hide(), "value")
        self._show_way()
        self.tell(f"The lessons use {kept_choices().species} now.")

    def _show_way(self):
        for way, part in self._parts.items():
            part.layout.display = "" if way == self.way.value else "none"

    def _look(self):
        """Find the wood that was typed, and offer those that may be meant."""
        asked = self.asked.value.strip()
        self.woods.children = []
        if not asked:
            raise InputError("The name is still blank. Type the name that you know the wood by.")
        try:
            wood = species.get(asked)
        except InputError as error:
            self._offer(asked, in_words(error))
            return
        others = [each for each in species.going_by(asked) if each.name != wood.name]
        self.woods.children = [*map(self._button, [wood, *others]), self._lacking(asked)]
        as_typed = wood.name.lower() == asked.lower()
        called = f"Found {wood.name}." if as_typed else f"{capital(asked)} is {wood.name} here."
        self.tell(f"{called} {_how_well(wood)} Is that the wood you mean?")

    def _offer(self, asked, said):
        """Offer what a name that is no wood's may mean: a button for each, and one for a wood of one's own."""
        lacks = species.lacked(asked)
        others = [self._as_own(wood) for wood in lacks if wood.kind]
        if lacks and not (species.going_by(asked) or species.meant(asked)):
            self.woods.children = others or [self._lacking("")]
            self.tell(
                said.replace("Lesson 0 takes it as a wood of your own", "Put it in as your own here"), "warn"
            )
            return
        offered = species.going_by(asked) or species.meant(asked) or species.near(asked)
        self.woods.children = [*map(self._button, offered), *(others or [self._lacking(asked)])]
        self.tell(f"{said} If it is none of these, put it in as a wood of your own.", "warn")

    def _as_own(self, wood):
        """A button that leads to the lines for a wood of one's own, filled with what is known of this one."""
        made = button(f"Put in {wood.name} as my own wood")

        def lead():
            self.way.value, self.name.value, self.like.value, self.kind.value = (
                "own",
                wood.name,
                wood.like,
                wood.kind,
            )
            figures = {name: getattr(wood, name) for name in _PRINTED}
            for name, field in self.figures.items():
                field.value = f"{figures[name]:g}" if figures.get(name) else ""
            whose = " ".join(_whose_figures(wood))
            kin = f"It is most like {wood.like}, and takes the rest from it."
            if not wood.like:
                kin = f"No wood of the list is like it: the rest is what {wood.kind}s have on average."
            told = filter(
                None, (kin, whose, wood.caution, "Look it over, then press Check and use this wood.")
            )
            self.tell(" ".join(told))

        made.on_click(lambda _: self.safely(lead))
        return made

    def _lacking(self, asked):
        """A button that leads to the lines for a wood of one's own, with the name that was typed if it is free."""
        try:
            species.check_own_name(asked)
        except InputError:
            named, says = "", "Put in another wood as my own"
        else:
            named, says = asked, f"Put in {asked[:40]} as my own wood"
        made = button(says)

        def lead():
            self.way.value, self.name.value = "own", named
            other = (
                "" if named else f"Call it by a fuller name than {asked}: woods of the book go by that one. "
            )
            self.tell(
                f"{other}Type what you know of it. What you leave blank is taken from its group, with a wider margin."
            )

        made.on_click(lambda _: self.safely(lead))
        return made

    def _button(self, wood):
        made = button(f"Use {wood.name}")
        made.on_click(lambda _: self.safely(lambda: self._keep(wood.name)))
        return made

    def _kind_of_like(self):
        if self.like.value:
            self.kind.value = species.get(self.like.value).kind

    def _use_own(self, sure=False):
        self.question.hide()
        figures: dict[str, Any] = {
            name: one_number(self.figures[name].value, *told)
            for name, told in FIGURES.items()
            if self.figures[name].value.strip()
        }
        figures |= {"name": self.name.value.strip(), "kind": self.kind.value, "like": self.like.value}
        if not figures["name"]:
            raise InputError("What to call the wood is still blank. Type a name, such as bur oak.")
        wood = own_wood.from_figures(**figures)
        species.check_own_name(wood.name)
        asked = doubts(wood, figures)
        there = {str(each.get("name")).casefold(): each for each in choices.kept_woods()}
        before = there.get(wood.name.casefold())
        if before and before != choices.wood_as_kept(wood.name, figures):
            asked.append(
                f"A wood called {wood.name} is kept already, with other figures. This one would take its place."
            )
        if asked and not sure:
            self.tell("Not kept yet. Look at the question.", "warn")
            again = partial(self._use_own, sure=True)
            self.question.ask(
                "\n".join(asked), "Keep it all the same", "Correct it", lambda: self.safely(again)
            )
            return
        kept = choices.keep_wood(**figures)
        self._keep(kept.name, f"{kept.notes} {_how_well(kept)}")

    def _keep(self, name: str, more: str = "") -> None:
        kept = choices.keep(species=name)
        self.tell(
            f"{capital(kept.species)} is kept for all lessons, the plan and the desk. {more}".strip(), "good"
        )
        own.saved()

    def still(self) -> str:
        """What the lessons use now, and how to change it."""
        return (
            f"<p><b>Your wood</b></p><p>{html.escape(self.said)}</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar. Then type the name that you know your wood by, and "
            "press the button of the wood that you mean.</i></p>"
        )


_PRINTED = (
    "basic_sg",
    "shrink_radial_pct",
    "shrink_tangential_pct",
    "green_mc_pct",
)  # of woods that the table lacks


def _whose_figures(wood):
    """Where the figures of a wood that the table lacks come from, a sentence for each source."""
    if wood.basic_sg:
        told = "Specific gravity and moisture are" if wood.green_mc_pct else "The specific gravity is"
        yield f"{told} of the Forest Inventory's table (2021)."
    if wood.shrink_radial_pct:
        yield f"The shrinkage is {wood.shrink_status}: {wood.shrink_source}."


def wood_picker() -> WoodPicker:
    """Return the form that chooses the wood for all lessons.

    Returns
    -------
    WoodPicker

    Examples
    --------
    >>> picker = wood_picker()
    >>> picker.asked.value = "white cedar"
    >>> [each.description for each in picker.woods.children]
    ['Use Atlantic white-cedar', 'Use northern white-cedar', 'Put in another wood as my own']
    """
    return WoodPicker()


def doubts(wood: Species, typed: dict[str, Any]) -> list[str]:
    """Return what of a wood of one's own lies so far from its group that it should be asked about, in sentences.

    Parameters
    ----------
    wood : Species
        From `own_wood.from_figures`.
    typed : dict
        What it was made from.

    Returns
    -------
    list of str

    Examples
    --------
    >>> typed = dict(name="mine", kind="softwood", basic_sg=0.9)
    >>> doubts(own_wood.from_figures(**typed), typed)
    ['Specific gravity 0.9: softwoods have 0.39 on average. Are you sure?']
    """
    group = own_wood.from_figures(wood.name, wood.kind, wood.like)
    whose = f"{wood.like} has" if wood.like else f"{wood.kind}s have"
    average = "" if wood.like else " on average"
    odd = []
    green = typed.get("green_mc_pct")
    if green is not None and green < wood.shrink_start_mc_pct:
        odd.append(
            f"Moisture of the green tree {green:g} %: green wood seldom holds under {wood.shrink_start_mc_pct:g} %, "
            "where shrinkage begins. Was the wood half dry, or from a dead tree? Are you sure?"
        )
    for label, figure, lines, varies, unit in (
        ("Specific gravity", "basic_sg", ("basic_sg", "dry_lb_per_ft3"), group.basic_sg_varies, ""),
        ("Shrinkage along the rings", "shrink_tangential_pct", None, group.shrink_varies, " %"),
        ("Shrinkage across the rings", "shrink_radial_pct", None, group.shrink_varies, " %"),
    ):
        ours, theirs = getattr(wood, figure), getattr(group, figure)
        given = any(typed.get(line) for line in lines or (figure,))
        if given and abs(ours / theirs - 1) > _FAR * varies:
            odd.append(f"{label} {ours:g}{unit}: {whose} {theirs:g}{unit}{average}. Are you sure?")
    return odd


_BASIS = {
    "air-drying range and kiln days": "drying times of its own, outdoors and in kilns",
    "air-drying range": "a drying time outdoors of its own",
    "kiln days": "drying times of its own, in kilns",
    "a relative": "the drying times of a relative",
    "specific gravity": "its density alone",
}


def _how_well(wood):
    """How well the pace of a wood is known, in a sentence."""
    rate = drying.rate(wood)
    basis = f"the drying times of {wood.like}" if wood.like else _BASIS[rate.basis]
    return f"How fast it dries goes by {basis}, and is known to {_percent(rate.sd_log_rate)} or so."


def _percent(spread):
    return f"{100 * spread:.0f} %"


# --- the page of a wood and of a place


def pages_box() -> Worked:
    """Box: what is known of a wood and of a place, how sure it is, and where it comes from."""
    mine = kept_choices()
    dials = [
        choice("wood", "Wood", wood_names(), species.get(mine.species).name),
        choice("place", "Place", place_names(), mine.place),
        typed("other", "Any other of the stations: its name, a town or a ZIP code", ""),
    ]
    made = worked(
        lambda wood, place, other: wood_page(wood) + place_page(place) + _other_place(other) + kinds_told(),
        dials,
        "Where the figures come from",
        "00",
    )

    def follow():
        now = kept_choices()
        for name, offered, chosen in (
            ("wood", wood_names(), now.species),
            ("place", place_names(), now.place),
        ):
            field = made.dials[name]
            if field.value != chosen or len(field.options) != len(offered):
                field.options, field.value = offered, chosen
        made.again()

    own.follow("page of the wood", follow)
    return made


def _other_place(asked):
    """The page of the station that was typed, and how it was read; what is none is said, and the pages above stay."""
    if not asked.strip():
        return ""
    try:
        name, said = places.station_for(asked.strip())
    except InputError as error:
        return note(in_words(error), "warn")
    return note(said) + place_page(name)


_SURE = {  # words of the status columns, in the order in which they are looked for
    "relative": "another wood's row",
    "derived": "worked out",
    "secondary": "restated by a third party",
    "memory": "recalled, not read in print",
    "seen": "read in print",
}


def how_sure(status: str | None) -> str:
    """Return what a status of `data/species.csv` says, in a learner's words.

    Parameters
    ----------
    status : str or None

    Examples
    --------
    >>> how_sure("from memory+secondary"), how_sure("seen")
    ('restated by a third party; recalled, not read in print', 'read in print')
    """
    said = [words for key, words in _SURE.items() if not blank(status) and key in str(status)]
    return "; ".join(said)


_KINDS_TOLD = {  # of figures: what stands before `_status` in the columns of data/species.csv
    "shrink": "Shrinkage",
    "basic_sg": "Specific gravity",
    "green_mc": "Moisture of the green tree",
    "heart_sap": "Green heartwood and sapwood",
    "c": "Movement for a point of moisture",
    "safe_loss": "Most that may be lost in a day",
    "air_dry": "Days outdoors to 20 %",
    "moe": "Green stiffness",
}
_HOW_KNOWN = ("read in print", "worked out", "recalled", "another wood's", "not known")


def kinds_known() -> dict[str, dict[str, int]]:
    """Return of how many woods each kind of figure was read in print, worked out, recalled, or taken from another.

    A figure that rests on what is recalled counts as recalled, even if it was worked out from there.

    Returns
    -------
    dict
        {column of `data/species.csv`: {how it is known: woods}}.

    Examples
    --------
    >>> kinds_known()["green_mc"]["read in print"], sum(kinds_known()["safe_loss"].values())
    (103, 103)
    """
    read = tables.read("species")
    found: dict[str, dict[str, int]] = {}
    for kind in _KINDS_TOLD:
        told = dict.fromkeys(_HOW_KNOWN, 0)
        for status in read[f"{kind}_status"]:
            said = "" if blank(status) else str(status)
            order = (
                (not said, "not known"),
                ("relative" in said, "another wood's"),
                ("memory" in said, "recalled"),
                ("derived" in said, "worked out"),
            )
            told[next((how for holds, how in order if holds), "read in print")] += 1
        found[kind] = told
    return found


def kinds_told() -> str:
    """Return how the figures of all woods are known as HTML: a row for each kind of figure.

    Examples
    --------
    >>> "recalled" in kinds_told()
    True
    """
    counts = kinds_known()
    rows = [[label, *(str(counts[kind][how]) for how in _HOW_KNOWN)] for kind, label in _KINDS_TOLD.items()]
    title = f"<p><b>How the figures of all {len(species.names())} woods are known</b></p>"
    return title + table(["What", *_HOW_KNOWN], rows, named=True)


def wood_page(name: str) -> str:
    """Return what is known of a wood as HTML: each figure, how sure it is, and where it comes from.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> "FOR-128, Table 9" in wood_page("northern red oak"), "no safe pace" in wood_page("noble fir")
    (True, True)
    """
    wood, rate = species.get(name), drying.rate(name)
    low, high = moisture.weight_range_lb_per_ft3(wood)
    also = ", ".join(species.everyday().get(wood.name, ()))
    called = f"{capital(wood.name)}{f' ({wood.botanical})' if wood.botanical else ''}, a {wood.kind}."
    told = f"{called}{f' Also called {also}.' if also else ''}{f' {wood.notes}' if wood.notes else ''}"
    rows = _own_rows(wood) if wood.name in species.own_names() else _book_rows(wood)
    weight = f"{wood.green_lb_per_ft3:.0f} lb; load for {high:.0f} lb (light end {low:.0f})"
    pace = f"known to {_percent(rate.sd_log_rate)} or so; one stack to {_percent(rate.sd_log_pace)}"
    basis = f"the drying times of {wood.like}" if wood.like else _BASIS[rate.basis]
    margin = "specific gravity and moisture, with the margin of lesson 4"
    rows += [
        ["Weight of a green cubic foot", weight, "worked out here", margin],
        ["How fast it dries", pace, "worked out here", f"by {basis} (lesson 7)"],
    ]
    return _page(f"What the book knows of {wood.name}", rows, note(told))


def _page(title, rows, told=""):
    """A title, what is told first, and a table of figures; words stand at the left, and wrap on a phone."""
    made = table(["What", "Figure", "How sure", "Where from"], rows, named=True)
    for tag in ("td", "th"):
        made = made.replace(f"<{tag}", f'<{tag} style="text-align:left;white-space:normal"')
    return f"<p><b>{html.escape(title)}</b></p>{told}{made}"


def _own_rows(wood):
    """The figures of a wood of one's own: typed, or its group's."""
    group = f"of {wood.like}" if wood.like else f"what {wood.kind}s have on average"

    kept = next((each for each in choices.kept_woods() if each.get("name") == wood.name), {})
    book = species.printed(wood.name)

    def row(what, figure, varies, *names):
        if varies:
            return [what, figure, f"its group's, good to {_percent(varies)} or so", group]
        if book and all(kept.get(name) and kept[name] == getattr(book, name) for name in names):
            if names[0].startswith("shrink"):
                return [what, figure, how_sure(book.shrink_status), book.shrink_source]
            return [what, figure, how_sure("seen"), book.figures_source]
        if "basic_sg" in names and not kept.get("basic_sg") and (dry := kept.get("dry_lb_per_ft3")):
            why = f"from the {dry:g} lb a cubic foot, air-dry, that you typed"
            return [what, figure, how_sure("derived"), why]
        return [what, figure, "as you typed it", "you"]

    shrinks = ("shrink_radial_pct", "shrink_tangential_pct")
    return [
        row("Shrinkage, green to oven-dry", _shrinkage_told(wood), wood.shrink_varies, *shrinks),
        row("Specific gravity", f"{wood.basic_sg:g}", wood.basic_sg_varies, "basic_sg"),
        row("Moisture of the green tree", f"{wood.start_mc_pct:.0f} %", wood.green_mc_varies, "green_mc_pct"),
        ["Most that may be lost in a day", *_borrowed_pace(wood)],
        ["Green stiffness", f"{wood.moe_green_psi / 1e6:.2f} million psi", "its group's, low side", group],
    ]


def _borrowed_pace(wood):
    """What a day may take from a wood of one's own, as another wood's; how sure, and why."""
    held = bears(wood, 1.0)
    if blank(held.loss_pct):
        return _NO_PACE, "", ""
    return f"4/4: {held.loss_pct:.1f} %", "rough, on the safe side", held.note


def _shrinkage_told(wood):
    return f"{wood.shrink_radial_pct:g} % across the rings, {wood.shrink_tangential_pct:g} % along them"


def _start_told(wood):
    """The moisture that a green tree is taken to have where the printed average contradicts its parts; else None."""
    if wood.start_mc_pct == wood.green_mc_pct:
        return None
    source = tables.read("species").set_index("name").loc[wood.name, "green_mc_source"]
    if wood.parts_guessed:
        why = (
            f"{source} has {wood.green_mc_pct:.0f} %, drier than its heartwood below, which was measured on other "
            f"trees. A young log has much sapwood, so the book takes boards that are {_percent(USUAL_SAPWOOD)} sapwood "
            f"(common practice), and a wide margin: your log may have none, or far more. Dry a section in the oven"
        )
        return ["Moisture of the green tree", f"{wood.start_mc_pct:.0f} %", how_sure("derived"), why]
    drier = wood.green_mc_pct < wood.start_mc_pct
    off, part = ("drier", "driest") if drier else ("wetter", "wettest")
    why = (
        f"{source} has {wood.green_mc_pct:.0f} %. A tree can't be {off} than its {part} part below, which was measured "
        "on other trees; the book takes that part's figure"
    )
    return ["Moisture of the green tree", f"{wood.start_mc_pct:.0f} %", how_sure("derived"), why]


_NO_PACE = "no safe pace is published: weigh sample boards, and look at them for checks"


def _book_rows(wood):
    """The figures of a wood of the table, each with its status and source."""
    row = tables.read("species").set_index("name").loc[wood.name]

    def told(what, figure, prefix, missing=""):
        if not figure:
            return [what, missing, "not known here", ""]
        source, entry = row[f"{prefix}_source"], row.get(f"{prefix}_row")
        return [
            what,
            figure,
            how_sure(row[f"{prefix}_status"]),
            source + ("" if blank(entry) else f', row "{entry}"'),
        ]

    parts = [
        f"{part} {mc:.0f} %"
        for part, mc in (("heartwood", wood.green_mc_heartwood_pct), ("sapwood", wood.green_mc_sapwood_pct))
        if mc is not None
    ]
    moves = wood.c_r and f"{100 * wood.c_r:.3f} % across, {100 * (wood.c_t or 0):.3f} % along the rings"
    thin, thick = wood.safe_loss_4_4_pct_per_day, wood.safe_loss_8_4_pct_per_day
    days = wood.air_dry_days_min and f"{wood.air_dry_days_min:.0f} to {wood.air_dry_days_max:.0f}"
    rows = [
        told("Shrinkage, green to oven-dry", _shrinkage_told(wood), "shrink"),
        told("Movement for each point of moisture", moves, "c", "worked from its shrinkage"),
        told("Shrinkage begins at", f"{wood.shrink_start_mc_pct:g} % MC", "shrink_start"),
        told("Specific gravity", f"{wood.basic_sg:g}", "basic_sg"),
        _start_told(wood) or told("Moisture of the green tree", f"{wood.green_mc_pct:.0f} %", "green_mc"),
        told(
            "Green heartwood and sapwood", ", ".join(parts), "heart_sap", "the tree's average stands for both"
        ),
        told(
            "Most that may be lost in a day",
            thin and f"4/4: {thin:g} %; 8/4: {thick:g} %",
            "safe_loss",
            _NO_PACE,
        ),
        told("Days outdoors to 20 %, 1 in lumber", days, "air_dry", "no time of its own is published"),
        told("Green stiffness", wood.moe_green_psi and f"{wood.moe_green_psi / 1e6:.2f} million psi", "moe"),
    ]
    if wood.sapwood_stand_in_pct is not None:
        rows.insert(
            6, told("Green sapwood, as wet as", f"{wood.sapwood_stand_in_pct:.0f} %", "sapwood_stand_in")
        )
    return rows


def _position_source(site):
    """How sure a station's position and height are, and where they come from."""
    if not site.station_id:
        return "", ""
    if site.source.startswith("weather file"):
        return "as the file has it", site.source
    mended = tables.read("climate_positions").set_index("station_id")
    if site.station_id not in mended.index:
        return how_sure("seen"), "the first lines of its TMY3 file"
    row = mended.loc[site.station_id]
    return how_sure(row.status) or "not known", row.why


def place_page(name: str) -> str:
    """Return what is known of a place's air as HTML, and where it comes from.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> "TMY3" in place_page("Madison, WI")
    True
    """
    site = climate.get(name)
    emc = site.monthly.emc_pct
    stations = climate.stations().set_index("station_id")
    measured = stations.t_observed_pct.get(site.station_id)
    where = "" if blank(site.latitude) else f"{site.latitude:.2f} north, {abs(site.longitude):.2f} west"
    height = f", {site.elevation_ft:,.0f} ft above the sea" if site.station_id else ""
    ends = [
        f"{emc[month]:.1f} % in {climate.MONTHS[month - 1]}"
        for month in (int(emc.idxmin()), int(emc.idxmax()))
    ]
    air = f"wood rests at {ends[0]}, {ends[1]}"
    how_good = (
        "good to about a point; one year's month a point more"
        if site.station_id
        else "as good as what you gave"
    )
    rows = [
        ["Where it is", f"{where}{height}" or "not told", *_position_source(site)],
        ["Its air, month by month", air, how_good, site.source],
    ]
    if not blank(measured):
        rows.append(
            [
                "Measured there",
                f"{measured:.0f} % of the hours of temperature",
                "the makers of the file filled in the rest",
                "",
            ]
        )
    return _page(f"What the book knows of {site.name}", rows)
