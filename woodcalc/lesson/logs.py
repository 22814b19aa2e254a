"""Panels of lesson 1: the log end and the rules, volume and weight, a stick on an oval end."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import logs
from woodcalc.checks import blank
from woodcalc.figures import logs as figures
from woodcalc.figures.as_it_lies import end_on_the_bed
from woodcalc.figures.paper import with_names
from woodcalc.lesson import own
from woodcalc.lesson.box import Box, plain, table
from woodcalc.lesson.lists import wood_names
from woodcalc.lesson.mine import picked
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.lesson.worked import one_number, typed, worked
from woodcalc.records.choices import kept_choices
from woodcalc.sizes import length_told

if TYPE_CHECKING:
    from woodcalc.lesson.box import Shown
    from woodcalc.lesson.panel import Panel
    from woodcalc.lesson.worked import Worked

_OF_A_LOG = (
    "A log of the tally, by every rule"  # which lists what was set aside; the boxes below it fold that
)


_AS_MEASURED = (
    "Small ends count here as measured, to the fraction of an inch, and defects are off. A buyer, and the picture of "
    "the log end, round them to whole inches: their board feet differ."
)


def log_end_panel() -> Panel:
    """Panel: the small end to scale, what each rule pays for, and the rules across diameters.

    Examples
    --------
    >>> log_end_panel().dials["short_in"].value
    16.0
    """
    return panel(
        figures.log_end_and_rules,
        [
            slider("short_in", "Narrowest way, inside bark (in)", 6.0, 40.0, 0.5, 16.0),
            slider("wider_in", "Wider the other way by (in)", 0.0, 3.0, 0.5, 0.0),
            slider("bark_in", "Bark thickness (in)", 0.0, 1.25, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0),
            choice("shown", "The chart counts", figures.SHOWN),
        ],
        "What the log end tells the scaler",
    )


def weight_panel() -> Panel:
    """Panel: the log from the side, its cubic feet and its green weight with the range to reckon with.

    It starts from the wood that the learner chose.

    Examples
    --------
    >>> weight_panel().dials["species"].value
    'northern red oak'
    """
    return panel(
        figures.volume_and_weight,
        [
            slider("small_in", "Small end, inside bark (in)", 6.0, 40.0, 0.5, 16.0),
            slider("taper_in_per_4ft", "Taper (in per 4 ft)", 0.0, 1.5, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0),
            choice("species", "Wood", wood_names(), kept_choices().species),
        ],
        "How much wood, and how heavy",
    )


def oval_end_panel(short_in: float, long_in: float, lies_deg: float, **_: Any) -> Panel:
    """Panel: carry a scale stick round an oval end and read it; the sizes are in the picture only.

    Parameters
    ----------
    short_in, long_in, lies_deg : float
        The hidden log: narrowest and widest diameter inside bark (in), where the narrowest way lies (degrees).

    Examples
    --------
    >>> oval_end_panel(14, 16, 40).dials["turn_deg"].value
    0
    """

    def draw(turn_deg, big=False):
        return figures.oval_end(turn_deg, short_in, long_in, lies_deg, big=big)

    return panel(
        draw,
        [slider("turn_deg", "Carry the stick round (degrees)", 0, 170, 10, 0)],
        "A log end and a scale stick",
    )


LISTED = 60  # logs shown one by one


def own_log_panel() -> Box | Shown:
    """Panel: the end of one of the learner's logs, or of Kettle Hollow's, by every rule; follows the form."""
    made = own.show(_own_logs, "logs", lesson="01")
    own.follow("log end", getattr(made, "look", None))
    return made


def _own_logs(wood, say):
    now = {"logs": _by_name(wood, say)}
    now["as logs"] = _as_logs(wood, now["logs"])

    def draw(log, big=False):
        row = now["logs"][log]
        ways = [row.small_in] if blank(row.small_across_in) else sorted([row.small_in, row.small_across_in])
        bark_in = 0 if blank(row.bark_thick_in) else row.bark_thick_in
        # without the table of slips, which are not this log's
        page, says, _ = figures.log_end_and_rules(
            ways[0], ways[-1] - ways[0], bark_in, row.length_ft, big=big
        )
        return page, says, end_on_the_bed(now["as logs"][log])

    made = panel(
        draw,
        [choice("log", "Log", list(now["logs"]), picked("log", list(now["logs"])))],
        _OF_A_LOG,
        mine=False,
    )

    def look():
        said: list[str] = []
        found = own.own_wood("logs", lesson="01")
        now["logs"] = _by_name(found, said)
        now["as logs"] = _as_logs(found, now["logs"])
        log, was = made.dials["log"], made.dials["log"].value
        begun = found.whose == own.MINE and was not in now["logs"]
        log.options = list(now["logs"])
        log.value = was if not begun and was in log.options else log.options[-1 if begun else 0]
        made.tell_above(own.own_note(found, said))
        made.draw_again()

    made.look = look
    return made


def _by_name(wood, say):
    """The logs of a tally by what the list calls them, the first of a long one."""
    logs_there = wood.tables["logs"]
    if len(logs_there) > LISTED:
        say.append(f"The first {LISTED} of {len(logs_there):,} logs are offered here.")
    return {f"{row.log}, {row.species}": row for row in logs_there.head(LISTED).itertuples()}


def _as_logs(wood, names):
    """The same logs as `Log`s, by the same names."""
    return dict(zip(names, logs.logs_of(wood.tables["logs"].head(LISTED)), strict=True))


class Tally(Box):
    """Every log by every rule; follows what the form saves. Made by `own_tally`."""

    def __init__(self) -> None:
        self._told, self._inside = w.HTML(), ""
        super().__init__([self._told], "box: every log by every rule")
        self.look()
        own.follow("tally", self.look)

    def look(self) -> None:
        """Read the tally again."""
        self._inside = own.show(_tally, "logs", lesson="01", listed_under=_OF_A_LOG).inside
        self._told.value = with_names(self._inside)

    def still(self) -> str:
        """The table as it is now."""
        return self._inside

    def __repr__(self):
        return plain(self._inside)


def own_tally() -> Tally:
    """Show every log of the learner's tally by every rule, and what to load for.

    Examples
    --------
    >>> print(own_tally())  # doctest: +ELLIPSIS
    These are Kettle Hollow's logs (an invented woodlot), as ...
    18 logs: Doyle 1,548, Scribner 1,807, International 1,893 bf; 285 ft3 of wood
    ...
    """
    return Tally()


def _tally(wood, say):
    import pandas as pd

    tally = wood.tables["logs"]
    parts = own.by_parts(tally, logs.net_scale, own.left_out(say, "Log", "log"))
    scaled = pd.concat(parts) if parts else logs.net_scale(tally.head(0))
    many = "1 log" if len(scaled) == 1 else f"{len(scaled):,} logs"
    doyle, scribner, international, wood_ft3 = (
        f"{scaled[name].sum():,.0f}" for name in ("doyle_bf", "scribner_bf", "international_bf", "volume_ft3")
    )
    sums = f"{many}: Doyle {doyle}, Scribner {scribner}, International {international} bf; {wood_ft3} ft3 of wood"
    say += [f"Log {r.log}: {says}" for r in scaled.itertuples() if (says := logs.defect_says(r.defect_pct))]
    heads = ["log", "species", "small end (in)", "length", "defect (%)", "Doyle (bf)", "Scribner (bf)",
             "International (bf)", "wood (ft3)", "load for (lb)"]  # fmt: skip
    whole = ["doyle_bf", "scribner_bf", "international_bf", "volume_ft3", "weight_high_lb"]
    rows = [
        [
            str(r.log),
            r.species,
            f"{r.small_in:.4g}",
            length_told(r.length_ft),
            f"{r.defect_pct:g}",
            *(_whole(getattr(r, name)) for name in whole),
        ]
        for r in scaled.head(LISTED).itertuples()
    ]
    if len(scaled) > LISTED:
        say.append(f"The table shows the first {LISTED} of {len(scaled):,} logs; the sums count them all.")
    return f"<p>{sums}</p><p>{_AS_MEASURED}</p>{table(heads, rows)}"


def own_price() -> Box | Shown:
    """Show what a buyer's scaler makes of each log of the learner's tally, and what it brings at a price.

    Examples
    --------
    >>> own_price().dials["rule"].value
    'Doyle'
    """
    return own.show(_own_price, "logs", lesson="01", listed_under=_OF_A_LOG)


def _own_price(wood, say):
    tally = wood.tables["logs"]

    def draw(price, rule, halves, even, piece):
        usd_per_mbf = one_number(price, "Price of a thousand board feet", 0, 100_000, "$")
        each = one_number(piece, "Price of one log", 0, 100_000, "$") if piece.strip() else 0.0
        step_ft = 2.0 if even else 1.0
        parts = own.by_parts(
            tally,
            lambda part: logs.paid_scale(part, rule, usd_per_mbf, halves, step_ft),
            own.left_out([], "Log", "log"),
        )
        if not parts:
            return "<p>No log of this tally can be scaled.</p>"
        rows = [row for part in parts for row in part.itertuples()]
        gross, net, usd = (sum(getattr(row, name) for row in rows) for name in ("gross_bf", "net_bf", "usd"))
        told = [
            [str(r.log), f"{r.small_in:g}", length_told(r.length_ft), f"{r.gross_bf:,.0f}",
             f"{r.defect_pct:g}", f"{r.bow_pct:.0f}", f"{r.net_bf:,.0f}", f"{r.usd:,.2f}"]
            for r in rows[:LISTED]
        ]  # fmt: skip
        heads = [
            "log",
            "scaled at (in)",
            "paid length",
            "gross (bf)",
            "defect (%)",
            "bow (%)",
            "net (bf)",
            "$",
        ]
        return (
            f"<p>{rule}: gross {gross:,.0f} bf, net {net:,.0f} bf; at ${usd_per_mbf:,.0f} a thousand ${usd:,.0f}. "
            "A bow takes off what it has over an inch in 8 ft, as a share of the diameter (<i>from memory</i>).</p>"
            + _by_the_piece(each, len(rows), net, usd)
            + table(heads, told)
        )

    dials = [
        typed("price", "Price of a thousand board feet ($)", "500"),
        choice("rule", "Rule", list(logs.RULES)),
        choice("halves", "An exact half inch goes", [("up", "up"), ("down", "down")]),
        switch("even", "Only even feet are paid", True),
        typed("piece", "or: price of one log, by the piece ($)", ""),
    ]
    return worked(draw, dials, "What a buyer pays for the tally", "01")


def _by_the_piece(each_usd, pieces, net_bf, usd):
    """What a price by the piece comes to beside one by the thousand board feet, in a paragraph."""
    if not each_usd:
        return ""
    whole = each_usd * pieces
    as_mbf = f", ${1000 * whole / net_bf:,.0f} a thousand" if net_bf else ""
    return f"<p>By the piece: {pieces} at ${each_usd:,.2f} are <b>${whole:,.0f}</b>{as_mbf}, for ${usd:,.0f}.</p>"


def standing_tree() -> Worked:
    """Box: board feet in a standing tree by each rule, from its diameter and its logs.

    Examples
    --------
    >>> print(plain(standing_tree().told.value).splitlines()[-1])
    International 1/4  292
    """
    fields = [
        typed("dbh", "Diameter at 4-1/2 ft, over the bark (in)", "20"),
        typed("count", "16 ft logs up the stem (number)", "2"),
    ]
    return worked(_tree_told, fields, "A tree that still stands", "01")


def _tree_told(dbh, count):
    dbh_in = one_number(dbh, "Diameter at 4-1/2 ft", 10, 40, "in")
    logs_16ft = one_number(count, "16 ft logs", 1, 5)
    rows = [[rule, f"{logs.tree_bf(dbh_in, logs_16ft, rule=rule):.0f}"] for rule in logs.RULES]
    return table(["by", "board feet"], rows)


def _whole(value):
    return "" if blank(value) else f"{value:,.0f}"  # NaN: not known
