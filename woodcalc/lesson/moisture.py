"""Panels of the lesson on water in wood."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from woodcalc import moisture, species
from woodcalc.figures import moisture as figures
from woodcalc.lesson import own
from woodcalc.lesson.box import note, table
from woodcalc.lesson.lists import wood_names
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.lesson.worked import one_number, typed, worked
from woodcalc.sizes import board_feet

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


_DIVISIONS = [("0.01 g", 0.01), ("0.1 g", 0.1), ("1 g", 1.0), ("5 g", 5.0)]


def board_panel() -> Panel:
    """Panel: a board on a scale, its wood, bound water and free water."""
    return panel(
        figures.board_on_scale,
        [
            choice("species", "Wood", wood_names(), "northern red oak"),
            slider("mc_pct", "Moisture content (%)", 0, 150, 1, 80),
            slider("width_in", "Width (in)", 4, 16, 1, 8),
            slider("length_ft", "Length (ft)", 4.0, 20.0, 1.0, 10.0),
        ],
        "A board on a scale: 1-1/8 in thick when green",
        printed={"nominal": "4/4"},
    )


def oven_panel() -> Panel:
    """Panel: an oven test and what three mistakes do to it."""
    return panel(
        figures.oven_test,
        [
            slider("hours", "Time in the oven (h)", 2, 36, 1, 24),
            slider("from_end_in", "Section cut from the end by (in)", 1, 30, 1, 24),
            choice("division_g", "The scale reads to", _DIVISIONS, 0.1),
        ],
        "The oven test, and three ways to spoil it",
    )


def sample_panel() -> Panel:
    """Panel: a sample board's weight, and the moisture content that it tells."""
    return panel(
        figures.sample_board,
        [
            slider("section_1_pct", "First section (% MC)", 40.0, 100.0, 0.5, 66.5),
            slider("section_2_pct", "Second section (% MC)", 40.0, 100.0, 0.5, 58.0),
            slider("green_lb", "Board, right after cutting (lb)", 4.0, 6.0, 0.01, 4.46),
            slider("lost_lb", "Weight lost since (lb)", 0.0, 1.0, 0.01, 0.0),
        ],
        "A sample board",
    )


def unknown_board_panel(board_mc_pct: float) -> Panel:
    """Panel: the oven test on a board whose moisture content is not told."""

    def draw(hours, from_end_in, division_g, big=False):
        return figures.oven_test(hours, from_end_in, division_g, board_mc_pct, tell=False, big=big)

    return panel(
        draw,
        [
            slider("hours", "Time in the oven (h)", 2, 36, 1, 6),
            slider("from_end_in", "Section cut from the end by (in)", 1, 30, 1, 2),
            choice("division_g", "The scale reads to", _DIVISIONS, 1.0),
        ],
        "Weigh a section of this board",
    )


LISTED = 120  # readings shown one by one


def own_readings() -> Box | Shown:
    """Show the moisture contents that the learner's records tell, stack by stack.

    Examples
    --------
    >>> print(own_readings())  # doctest: +ELLIPSIS
    These are Kettle Hollow's readings and stacks (an invented woodlot), as ...
    Stack A, northern red oak 4/4
    date  board  kind  % MC
    2025-05-10  1-3  weight  78.1
    ...
    """
    return own.show(_readings, "readings", also=["stacks"], lesson="04")


def _readings(wood, say):
    readings = wood.tables["readings"]
    stacks = wood.tables.get("stacks", readings.head(0).assign(species="", nominal=""))
    woods = {row.stack: f"{row.species} {row.nominal}" for row in stacks.itertuples()}
    told, room = "", LISTED
    for stack in dict.fromkeys([*woods, *readings["stack"]]):
        found = own.told_by_readings(wood, stack, say)
        if found.empty or room <= 0:
            continue
        rows = [
            [f"{r.date:%Y-%m-%d}", r.board, r.kind, f"{r.mc_pct:.1f}"] for r in found.tail(room).itertuples()
        ]
        if len(rows) < len(found):
            say.append(f"Stack {stack}: the last {len(rows)} of {len(found):,} readings are shown.")
        room -= len(rows)
        caption = f"Stack {stack}, {woods[stack]}" if stack in woods else f"Stack {stack}"
        told += table(["date", "board", "kind", "% MC"], rows, caption)
    return told or "<p>No reading tells a moisture content yet.</p>"


def own_sample_board() -> Box | Shown:
    """Show the weights to look for, from the sections and the weight of a sample board that the learner types.

    Examples
    --------
    >>> from woodcalc.lesson.box import plain
    >>> print(plain(own_sample_board().told.value))  # doctest: +ELLIPSIS
    It held 62.2 % when it was cut; oven-dry it would weigh 2.75 lb.
    % MC  weighs (lb)
    50  4.12
    ...
    """
    grams = [
        f"{which} section, {state} (g)" for which in ("First", "Second") for state in ("wet", "oven-dry")
    ]
    label = "Board, right after cutting (lb)"

    def board(wet_1, dry_1, wet_2, dry_2, weight, wood=""):
        w1, d1, w2, d2 = (
            one_number(text, name, 0.1, 100_000, "g")
            for text, name in zip((wet_1, dry_1, wet_2, dry_2), grams, strict=True)
        )
        mine = moisture.SampleBoard(((w1, d1), (w2, d2)), one_number(weight, label, 0.01, 10_000, "lb"))
        rows = [[f"{mc}", f"{mine.weight_at(mc):.2f}"] for mc in (50, 40, 30, 25, 20, 15, 12, 8)]
        mcs = [float(moisture.mc_pct(*pair)) for pair in mine.sections]
        doubts = note("\n".join(moisture.sections_doubted(mcs, wood)), "warn")
        dry = f"It held {mine.start_mc_pct:.1f} % when it was cut; oven-dry it would weigh {mine.oven_dry:.2f} lb."
        return f"{doubts}<p>{dry}</p>{table(['% MC', 'weighs (lb)'], rows)}"

    starts = ("98.55", "59.20", "86.92", "55.02", "4.46")
    names = ("wet_1", "dry_1", "wet_2", "dry_2", "weight")
    dials = [
        typed(name, text, start) for name, text, start in zip(names, [*grams, label], starts, strict=True)
    ]

    def box(_, say):
        return worked(partial(board, wood=own.chosen(say).species), dials, "Your own sample board", "04")

    return own.show(box, lesson="04")


def own_weights() -> Box | Shown:
    """Show what lumber of the wood that the learner chose weighs, green and dry, and what to load for.

    Examples
    --------
    >>> print(own_weights())  # doctest: +ELLIPSIS
    northern red oak, 4/4 sawn 1-1/8 in thick
    ...
    """
    return own.show(_weights, lesson="04")


def _weights(_, say):
    wood = species.get(own.chosen(say).species)
    green = moisture.start_mc_pct(wood)
    rows = []
    parts = (
        ("green, heartwood only", wood.green_mc_heartwood_pct),
        ("green, sapwood only", wood.green_mc_sapwood_pct),
    )
    known = [(name, mc_pct) for name, mc_pct in parts if mc_pct is not None]
    for name, mc_pct in (("green", None), *known, ("air-dried", 20), ("for furniture", 8)):
        margin = moisture.weight_margin(wood, mc_pct)
        hundred, one = (
            moisture.lumber_weight_lb(bf, wood, mc_pct, 1.125) for bf in (100, board_feet(1.0, 8, 12))
        )
        mc = green if mc_pct is None else mc_pct
        rows.append(
            [name, f"{mc:.0f}", f"{hundred:.0f}", f"{hundred * (1 + margin):.0f}", f"{one:.0f}",
             f"{moisture.lift_in_people(one, margin)}"]
        )  # fmt: skip
    out = moisture.water_to_remove_lb(100, wood, green, 8, 1.125)
    heads = [
        "",
        "% MC",
        "100 board feet (lb)",
        "load for (lb)",
        "a board 8 in by 12 ft (lb)",
        "people to lift it",
    ]
    water = f"Water that leaves 100 board feet from green to 8 %: {out:.0f} lb, {out / 8.34:.0f} gallons."
    return table(heads, rows, f"{wood.name}, 4/4 sawn 1-1/8 in thick") + f"<p>{water}</p>"
