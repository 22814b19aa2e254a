"""Panels of lesson 06: the pile from the side and from its end, spacing, its first weeks, a plumb line, one's own."""

from __future__ import annotations

from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any, NamedTuple

from woodcalc import stack
from woodcalc.checks import blank
from woodcalc.figures import spoil
from woodcalc.figures import stack as figures
from woodcalc.figures import warp as warped
from woodcalc.lesson import own
from woodcalc.lesson.lists import THICKNESSES, place_names, wood_names
from woodcalc.lesson.mine import picked
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.records.usable import rows_of
from woodcalc.sizes import board_feet, nominal_in

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


__all__ = [
    "end_panel",
    "first_weeks_panel",
    "helps_panel",
    "own_panel",
    "plumb_panel",
    "side_panel",
    "spacing_panel",
]

_SIZES = [(name, nominal_in(name)) for name in THICKNESSES]
_DRAWN = _SIZES[:4]  # a pile of thicker stock would leave the picture


def side_panel() -> Panel:
    """Panel: a pile from the side, and what its stickers do to the boards."""
    dials = [
        slider("shift_in", "Every second row off by (in)", 0, 12, 1, 0),
        slider("stickers", "Stickers in a row", 5, 13, 1, 7),
        slider("layers", "Layers", 2, 16, 1, 12),
        choice("nominal_in", "Thickness of the boards", _DRAWN, 1.0),
        choice("bolsters", "Bolsters stand under", [("every column", "every"), ("every second", "second")]),
    ]
    return panel(figures.side_view, dials, "The pile from the side: 12 ft red oak boards")


def spacing_panel() -> Panel:
    """Panel: bend against sticker spacing."""
    dials = [
        slider("spacing_in", "Stickers apart (in)", 12, 48, 1, 24),
        choice("nominal_in", "Thickness of the boards", _SIZES, 1.0),
        choice("species", "Wood", wood_names(), "northern red oak"),
        slider("creep", "Creep: final bend over first (times)", 1.0, 3.0, 0.5, 2.0),
    ]
    return panel(figures.spacing_chart, dials, "How far apart? 12 layers of 12 ft boards")


def end_panel() -> Panel:
    """Panel: a pile from its end, its weight and its footings."""
    dials = [
        slider("count", "Boards, 8 in wide and 12 ft long", 12, 96, 6, 60),
        slider("pile_width_in", "Pile no wider than (in)", 30, 72, 6, 48),
        choice("nominal_in", "Thickness of the boards", _SIZES, 1.0),
        choice("species", "Wood", wood_names(), "northern red oak"),
        slider("top_load", "Weights on top (lb per square foot)", 0, 150, 10, 0),
    ]
    return panel(figures.end_view, dials, "The pile from its end: height, weight, footings")


def first_weeks_panel() -> Panel:
    """Panel: what checks and stains in the first weeks, and what helps."""
    dials = [
        choice("wood", "Wood", wood_names(), "northern red oak"),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, "8/4"),
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, 6),
        choice("care", "What is done", list(spoil.CARES), "nothing"),
        slider("hours", "From the saw to the sticks (hours)", 0, 96, 4, 12),
        slider("weeks", "The log lay for (weeks)", 0, 12, 1, 0),
    ]
    return panel(spoil.first_weeks, dials, "The first weeks: checks and stain")


def helps_panel() -> Panel:
    """Panel: what would help most against checks."""
    dials = [
        choice("wood", "Wood", wood_names(), "northern red oak"),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, "8/4"),
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, 6),
    ]
    return panel(spoil.helps, dials, "What would help most against checks")


def warp_panel() -> Panel:
    """Panel: a board bends by where it lay in the log, and weights hold it."""
    dials = [
        choice("wood", "Wood", wood_names(), "northern red oak"),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, "4/4"),
        choice("cut", "How it was sawn", list(warped.CUTS), "flat-sawn"),
        slider("out_in", "From the pith to its middle (in)", 0, 8, 0.5, 3),
        slider("spacing_in", "Stickers apart (in)", 12, 48, 1, 24),
        slider("top_load", "Weights on top (lb per square foot)", 0, 150, 5, 0),
    ]
    return panel(warped.free_board, dials, "A board that warps, 8 in by 12 ft")


def plumb_panel(shift_in: float = 6.5, **_: Any) -> Panel:
    """Panel: hang a plumb line and read where the rows stand."""
    dials = [slider("line_in", "Plumb line, from the left end (in)", 0.0, 80.0, 0.5, 40.0)]
    return panel(
        partial(_plumb, shift_in=shift_in), dials, "A pile that somebody else built: hang a plumb line"
    )


def _plumb(line_in, shift_in, big=False):
    return figures.plumb_line(line_in, shift_in, big=big)


THICKEST_IN = 6.0  # of a board on sticks
TOP_LOAD_LB_PER_FT2 = 50  # what this lesson asks for (`common practice`)
_BOARD_IN, _BOARD_FT = 8.0, 12.0  # of a stack whose boards are not written down: as in the other panels here
PILED = 600  # boards of a pile at most: a fifth of a second


def own_panel() -> Box | Shown:
    """Panel: the learner's own boards as a pile, one wood and thickness at a time."""
    if own.own_wood("boards").whose != own.MINE and _of_the_stacks().groups:
        return own.show(_pile_of_stacks, "stacks", lesson="06")
    return own.show(_own_pile, "boards", lesson="06")


def _pile_of_stacks(_, say):
    told = _of_the_stacks()
    say += told.says
    return _piles(told.groups, told.width_in or 48, say)


def _own_pile(wood, say):
    boards = wood.tables["boards"]
    groups = {f"{name}, {size}": rows for (name, size), rows in boards.groupby(["species", "nominal"])}
    if wood.whose != own.MINE:
        say += _no_boards_yet()
    return _piles(groups, 48, say)


def _piles(groups, width_in, say):
    thick = [name for name in groups if nominal_in(name.rpartition(", ")[2]) > THICKEST_IN]
    say += [f"{name}: a timber and no board. Piles of up to 24/4 are drawn here." for name in thick]
    names = sorted((name for name in groups if name not in thick), key=lambda name: -len(groups[name]))
    first = picked("stack", [name.partition(": ")[0].removeprefix("Stack ") for name in names])
    first = next((name for name in names if name.startswith(f"Stack {first}: ")), names[0] if names else "")
    if not names:
        return "<p>No boards for a pile yet.</p>"
    for name in names:
        if len(groups[name]) > PILED:
            say.append(f"{name}: the first {PILED} of {len(groups[name]):,} boards are in the pile.")

    @lru_cache(maxsize=128)
    def planned(pile, pile_width_in, spacing_in, top_load):
        rows = groups[pile].head(PILED)
        wide = max(pile_width_in, rows["width_in"].max())
        return stack.plan_stack(rows, pile_width_in=wide, spacing_in=spacing_in, top_load_lb_per_ft2=top_load)

    def draw(pile, pile_width_in, spacing_in, top_load, big=False):
        plan = planned(pile, pile_width_in, spacing_in, top_load)
        page, said, more = figures.own_stack(plan, big=big)
        return page, f"{said} {_on_top(top_load, plan.top_load_lb)}", more

    dials = [
        choice("pile", "Boards", names, first),
        slider("pile_width_in", "Pile no wider than (in)", 24, 72, 6, int(width_in)),
        slider("spacing_in", "Stickers apart, at most (in)", 12, 36, 1, 24),
        slider("top_load", "Weights on top (lb per square foot)", 0, 150, 10, TOP_LOAD_LB_PER_FT2),
    ]
    return panel(draw, dials, "My own pile", mine=False)


class _OfStacks(NamedTuple):
    groups: dict[str, pd.DataFrame]
    says: list[str]
    width_in: float  # 0 where no stack says it


def _of_the_stacks():
    """A first pile for each of the learner's stacks that says wood, thickness and board feet; how it is laid."""
    import pandas as pd

    groups, says, width_in = {}, [], 0.0
    stacks = rows_of("stacks").get("stacks")
    for row in stacks.itertuples() if stacks is not None else ():
        if blank(row.board_feet) or blank(row.nominal) or blank(row.species):
            continue
        count = max(round(row.board_feet / board_feet(row.nominal, _BOARD_IN, _BOARD_FT)), 1)
        board = {
            "species": row.species,
            "nominal": row.nominal,
            "width_in": _BOARD_IN,
            "length_ft": _BOARD_FT,
        }
        groups[f"Stack {row.stack}: {row.species}, {row.nominal}"] = pd.DataFrame(
            [board] * min(count, PILED + 1)
        )
        says.append(
            f"Stack {row.stack}: a first pile from its {row.board_feet:,.0f} board feet, as if they were {count:,} "
            f"boards {_BOARD_IN:g} in wide and {_BOARD_FT:g} ft long. boards.csv holds none yet: put its boards there "
            "(the form in lesson 8), and they stand here."
        )
        if not width_in and not blank(row.width_ft):
            width_in = min(max(6 * round(2 * row.width_ft), 24), 72)
    return _OfStacks(groups, says, width_in)


def _no_boards_yet():
    """Say what to do for a pile of one's own, to somebody who has logs or stacks and no boards."""
    mine = rows_of("logs", "stacks")
    held = [
        f"{len(rows):,} {name if len(rows) > 1 else name[:-1]}" for name, rows in mine.items() if len(rows)
    ]
    if held:
        yield (
            f"You have {' and '.join(held)} and no boards yet: a pile is laid out from sawn boards. Put yours into the "
            "table boards (the form in lesson 8), and they stand here. "
            + ("Lesson 11 piles the boards that your logs should give." if len(mine.get("logs", ())) else "")
        ).rstrip()


def _on_top(lb_per_ft2, pounds):
    """What the weights on a pile come to, and what is missing if there are none."""
    if lb_per_ft2:
        return f"Weights on top: {pounds:,.0f} lb in all, on cross pieces over the columns."
    return (
        "There are no weights on top: nothing holds the top boards, and they warp. "
        f"This lesson asks for {TOP_LOAD_LB_PER_FT2} lb on every square foot."
    )
