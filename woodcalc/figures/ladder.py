"""The ladder: blade heights over the bed for boards of one thickness, at full size, to glue to the mill's mast."""

from __future__ import annotations

import html
from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from woodcalc.checks import in_a_list
from woodcalc.figures import style
from woodcalc.figures.drawing import Drawing
from woodcalc.sawing.settings_sheet import both_ways, has_sheet, kept_passes
from woodcalc.sizes import fraction, sixteenths

if TYPE_CHECKING:
    from woodcalc.sawing.mill import Mill
    from woodcalc.sawing.sawn_log import SawingPlan

STRIP_IN = 8.0  # a piece of the strip on letter paper
COLUMN_IN, CHECK_IN = 1.7, 6.0  # room for a piece, and the line to measure
COLUMNS = 4


class Rungs(NamedTuple):
    """A ladder: its first rung and the way from one to the next (in over the bed), and the thickness that it saws."""

    first_in: float
    drop_in: float
    thick_in: float
    kerf_in: float

    def number(self, blade_in: float) -> int:
        """Return which rung a height is, counted from the bed; 0 for none.

        Examples
        --------
        >>> ladder = Rungs(1.0625, 1.1875, 1.0625, 0.125)
        >>> ladder.number(1.0625), ladder.number(4.625), ladder.number(4.5)
        (1, 4, 0)
        """
        n = (blade_in - self.first_in) / self.drop_in
        return round(n) + 1 if abs(n - round(n)) < 1e-6 and n > -0.5 else 0


def rungs_of(plan: SawingPlan) -> Rungs | None:
    """Return the ladder of a plan's last set-up, None where its boards are not all of one size or the drops differ.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> rungs_of(saw(Log(14, 15.5, 12), 1/8, {"4/4": 1.0625}, drop_step_in=1/16))
    Rungs(first_in=1.0625, drop_in=1.1875, thick_in=1.0625, kerf_in=0.125)
    """
    if not has_sheet(plan):
        return None
    cuts = plan.cuts
    last = cuts[cuts["setup"] == cuts["setup"].max()]
    drops = last["drop_in"].dropna()
    if drops.empty or np.ptp(drops) > 1e-9:
        return None
    drop = float(drops.iloc[0])
    return Rungs(float(last["blade_in"].iloc[-1]), drop, drop - plan.kerf_in, plan.kerf_in)


def on_the_ladder(plan: SawingPlan, mill: Mill | None = None) -> dict[int, tuple[int, int]]:
    """Return the set-ups of which every height is a rung: {number: (highest rung, lowest)}.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> on_the_ladder(saw(Log(14, 15.5, 12), 1/8, {"4/4": 1.0625}, drop_step_in=1/16))
    {4: (11, 1)}
    """
    ladder, found = rungs_of(plan), {}
    if ladder is None:
        return {}
    for number, rows in kept_passes(plan, mill.lowest_in if mill else 0.0).groupby("setup"):
        at = [ladder.number(blade) for blade in rows["blade_in"]]
        if len(at) > 1 and all(at):
            found[int(str(number))] = (at[0], at[-1])
    return found


def ladders(plans: Sequence[SawingPlan]) -> list[str]:
    """Return a page of each ladder that some plans call for, as HTML with a drawing at its true size.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> pages = ladders([saw(Log(d, d + 1.5, 12), 1/8, {"4/4": 1.0625}, drop_step_in=1/16) for d in (14, 18)])
    >>> len(pages), 'height="8.1in"' in pages[0]
    (1, True)
    """
    tops: dict[Rungs, float] = {}
    serves: dict[Rungs, list[SawingPlan]] = {}
    for plan in plans:
        if (ladder := rungs_of(plan)) is not None:
            top = plan.cuts.loc[plan.cuts["setup"] == plan.cuts["setup"].max(), "blade_in"].max()
            rungs = [high for high, _ in on_the_ladder(plan).values()]  # another set-up may start higher
            high = ladder.first_in + (max(rungs, default=1) - 1) * ladder.drop_in
            tops[ladder] = max(tops.get(ladder, 0.0), float(top), high)
            serves.setdefault(ladder, []).append(plan)
    return [_page(ladder, top, _whose(serves[ladder])) for ladder, top in tops.items()]


def _whose(plans):
    """Whose boards a ladder is for, for the head of its page and short for each strip: logs by their marks, woods."""
    marks = [plan.log.label for plan in plans if plan.log.label]
    woods = list(dict.fromkeys(plan.log.species for plan in plans if plan.log.species))
    wood = woods[0] if len(woods) == 1 else f"{len(woods)} woods" if woods else ""
    some = [f"log {marks[0]}" if len(marks) == 1 else f"{len(marks)} logs"] if marks else []
    all_marks = f"log{'s' * (len(marks) > 1)} {in_a_list(marks)}" if marks else ""
    all_woods = in_a_list(woods) if woods else ""
    return ", ".join(filter(None, [all_marks, all_woods])), ", ".join([*some, *filter(None, [wood])])


def _page(ladder, top_in, whose):
    says = (
        f"Boards of {both_ways(ladder.thick_in)} with a kerf of {both_ways(ladder.kerf_in)}: each rung is "
        f"{sixteenths(ladder.drop_in)} in over the one below."
    )
    head, named = (
        f": {html.escape(whose[1])}" * bool(whose[1]),
        f"For {html.escape(whose[0])}. " * bool(whose[0]),
    )
    pieces = min(ceil(top_in / STRIP_IN), COLUMNS)
    return (
        f"<h2>The ladder{head}</h2><p><b>{named}{says}</b> "
        'It serves each set-up whose page says "on the ladder". '
        f"Print at 100 %, not fitted to the page. Measure the bar: if it isn't {CHECK_IN:g} in, throw this page away. "
        "Cut the pieces out along their lines and glue them end to end, 1 at the bottom. <b>Engine off:</b> set the "
        "lowest tooth 6 in over the bed by tape, and glue the strip so that the pointer stands at 6. Check again at "
        f"the first board.</p>{strip(ladder, pieces, whose[1])}"
    )


def strip(ladder: Rungs, pieces: int, whose: str = "") -> str:
    """Return the strip as SVG at its true size, in pieces beside each other, and a bar to measure.

    Parameters
    ----------
    ladder : Rungs
    pieces : int
        Of `STRIP_IN` each, 1 to `COLUMNS`.
    whose : str
        Log and wood that it is for: they stand along each piece.
    """
    page = Drawing(7.2, STRIP_IN + 0.1)
    px, foot = 100, 100 * (STRIP_IN + 0.05)
    for piece in range(pieces):
        left, base = 5 + piece * COLUMN_IN * px, piece * STRIP_IN

        def y(height, base=base):
            return foot - px * (height - base)

        right, end = left + 1.5 * px, base + STRIP_IN
        page.polygons(
            [[(left, y(base)), (right, y(base)), (right, y(end)), (left, y(end))]], "none", style.INK, 1
        )
        eighths = np.arange(base * 8, end * 8 + 1) / 8
        ticks = [
            [(left, y(h)), (left + (22 if h % 1 == 0 else 14 if h % 0.5 == 0 else 8), y(h))] for h in eighths
        ]
        page.lines(ticks, width=1)
        for inch in range(int(base) + 1, int(end)):
            page.text(left + 25, y(inch), f"{inch}", size=0.72)
        n = 1
        while (height := ladder.first_in + (n - 1) * ladder.drop_in) < end:
            if height >= base:
                page.lines([[(left + 46, y(height)), (right, y(height))]], width=2.4)
                near = min(max(y(height) - 11, y(end) + 10), y(base) - 10)
                page.text(right - 4, near, f"{n}: {fraction(height, 32)}", "end", size=0.75, bold=True)
            n += 1
        piece_of = f"{whose}, boards {sixteenths(ladder.thick_in)} in" if whose else ""
        page.text(left + 55, (y(base) + y(end)) / 2, piece_of, "middle", size=0.6, turn=-90, halo=True)
    bar = 100 * page.size[0] - 18
    page.lines([[(bar, foot), (bar, foot - px * CHECK_IN)]], width=3)
    page.lines([[(bar - 12, at), (bar + 12, at)] for at in (foot, foot - px * CHECK_IN)], width=2)
    page.text(bar - 16, foot - px * CHECK_IN / 2, f"exactly {CHECK_IN:g} in", "middle", turn=-90)
    width, height = page.size
    return (
        page.svg()
        .partition("?>")[2]
        .replace(
            f'width="{100 * width:.0f}" height="{100 * height:.0f}"',
            f'width="{width:g}in" height="{height:g}in" role="img" '
            f'aria-label="Heights over the bed, rung by rung, at full size"',
            1,
        )
    )
