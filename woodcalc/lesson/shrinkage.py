"""Panels of the lesson on cutting thick enough."""

from __future__ import annotations

import html
from statistics import median
from typing import TYPE_CHECKING

from woodcalc import shrinkage, species
from woodcalc.checks import InputError
from woodcalc.figures import shrinkage as figures
from woodcalc.lesson import own
from woodcalc.lesson.box import note, table
from woodcalc.lesson.lists import THICKNESSES, wood_names
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.lesson.worked import numbers, typed, worked
from woodcalc.sizes import dressed_in, fraction
from woodcalc.units import INCHES

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel

_PLANED = [name for name in THICKNESSES if name != "10/4"]  # whose planed size the trade lists


def board_panel() -> Panel:
    """Panel: a board's cross-section green and dried, by its place in the log."""
    return panel(
        figures.board_dries,
        [
            choice("species", "Wood", wood_names(), "northern red oak"),
            slider("mc_pct", "Dried to moisture content (%)", 0, 80, 1, 8),
            slider("ring_angle_deg", "Rings against the face (degrees)", 0, 90, 5, 0),
            slider("pith_in", "From the pith to the board (in)", 1, 12, 1, 5),
        ],
        "A board dries: 8 in wide, 1-1/8 in thick",
    )


def target_panel() -> Panel:
    """Panel: how thick to saw, and how many boards come out too thin."""
    return panel(
        figures.target_size,
        [
            choice("nominal", "Thickness wanted", _PLANED),
            slider("planing_32", "Planed off, both faces (1/32 in)", 0, 8, 1, 4),
            slider("shrink_pct", "Shrinkage of the thickness (%)", 0.0, 10.0, 0.1, 6.3),
            slider("sawing_sd_in", "The saw's spread, one s.d. (in)", 0.005, 0.060, 0.005, 0.025),
            slider("set_32", "Saw set above nominal (1/32 in)", 0, 12, 1, 0),
        ],
        "How thick to saw",
    )


def block_panel(shrink_pct: float) -> Panel:
    """Panel: a block in a caliper, whose total shrinkage is not told."""

    def draw(mc_pct, big=False):
        return figures.block_in_caliper(mc_pct, shrink_pct, big=big)

    return panel(
        draw, [slider("mc_pct", "Moisture content (%)", 8, 60, 1, 60)], "A block of unknown wood dries"
    )


_KETTLE_HOLLOW = """1.08  1.09  1.07  1.10
1.04  1.06  1.05  1.05
1.07  1.05  1.06  1.04
1.10  1.11  1.09  1.08
1.06  1.08  1.07  1.06
1.03  1.05  1.06  1.07
1.09  1.08  1.07  1.07
1.05  1.06  1.08  1.06"""  # invented


def own_spread() -> Box | Shown:
    """Show how far a saw's boards spread, and how thick to set that saw, from thicknesses that the learner types.

    Examples
    --------
    >>> print(own_spread().told.value[:60])
    <p>average 1.068 in; spread 0.019 in over all, 0.012 in with
    """
    return own.show(_own_spread, lesson="03")


def _own_spread(_, say):
    last = {}

    def work(measured):
        last["saw"], doubts = _measured(measured)
        return note("\n".join(doubts), "warn") + _spread(last["saw"])

    label = "Thicknesses (in): a line for each board, a number for each place"
    box = worked(work, [typed("measured", label, _KETTLE_HOLLOW, rows=8)], "Your saw's spread", "03")
    box.spread_in = lambda: last["saw"].total_in  # of the last thicknesses that could be read
    return box


FAR = 0.25  # of the middle reading: more than a sawyer's worst board is off, less than a slip of the pen


def _measured(text):
    """Return the spread of the thicknesses typed, and what is asked of those that can't be meant."""
    lines = [line for line in text.splitlines() if line.strip()]
    boards = [numbers(line, f"Line {k}", "in") for k, line in enumerate(lines, 1)]
    every = [inches for board in boards for inches in board]
    middle = median(every) if every else 0
    strange = [(k, x) for k, board in enumerate(boards, 1) for x in board if _far(x, middle)]
    if len(strange) > len(every) / 4:
        low, high = min(every), max(every)
        raise InputError(
            f"From {low:g} to {high:g} in: these are of more than one size. Enter one size at a time."
        )
    doubts = [f"Line {k}: {x:g} in: {_meant(x, middle)} It is left out." for k, x in strange]
    try:
        saw = shrinkage.sawing_variation([[x for x in board if not _far(x, middle)] for board in boards])
    except InputError as error:
        raise InputError("\n".join([*doubts, str(error)])) from None
    return saw, doubts


def _far(inches, middle):
    return abs(inches - middle) > FAR * middle


def _meant(inches, middle):
    """Return a question: what a reading far from the rest was probably meant to be."""
    whole = int(middle)
    likely = {
        f"{whole} {fraction(inches, 64)}": whole + inches if whole and 0 < inches < 1 else 0,
        f"{inches / 10:g}": inches / 10,
        f"{inches / 100:g}": inches / 100,
        f"{inches / 1000:g}": inches / 1000,
        f"{inches * INCHES['mm']:.3g} (it looks like mm)": inches * INCHES["mm"],
        f"{inches * 10:g}": inches * 10,
    }
    near = [said for said, value in likely.items() if not _far(value, middle)]
    return f"did you mean {near[0]}?" if near else f"that is far from the rest, about {middle:.3g} in."


def _spread(saw):
    """What the spread is, and how thick to set that saw, as HTML."""
    say: list[str] = []
    mine = own.chosen(say)
    uneven = (
        "Uneven along the board: look at blade, tension, guides and feed."
        if saw.within_in > saw.between_in
        else "Uneven from board to board: look at how you set and read the height, and at the log bed."
    )
    rows = []
    for name in dict.fromkeys(["4/4", "5/4", "6/4", "8/4", mine.thickness]):
        by_cut = [shrinkage.usual_green_in(mine.species, name, saw.total_in, ring) for ring in (90, 0)]
        yours = "yours" if name == mine.thickness else ""
        rows.append([name, f"{dressed_in(name):.4f}", *(f"{inches:.3f}" for inches in by_cut), yours])
    heads = [
        "thickness",
        "finished (in)",
        "set the saw for, flat-sawn boards only (in)",
        "any boards (in)",
        "",
    ]
    caption = (
        f"{mine.species}, dried to 8 %, 1/8 in planed off, 5 in 100 too thin, spread {saw.total_in:.3f} in"
    )
    if varies := species.get(mine.species).shrink_varies:
        say.append(
            f"How much {mine.species} shrinks is its group's figure, good to {100 * varies:.0f} % or so. The table "
            "allows for that: saw a board, dry it and measure it, and you can set the saw closer."
        )
    told = "".join(f"<p>{html.escape(line)}</p>" for line in say)
    took = f"taken from {saw.readings} readings on {saw.boards} lines, a line for each board"
    return (
        f"<p>average {saw.mean_in:.3f} in; spread {saw.total_in:.3f} in over all, {saw.within_in:.3f} in within "
        f"a board, {saw.between_in:.3f} in from board to board; {took}</p>"
        f"<p>{uneven}</p>{told}{table(heads, rows, caption)}"
    )
