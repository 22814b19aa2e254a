"""Panels of lesson 2 (patterns, kerf, first cut, dry boards, rules) and the settings sheet of lesson 3."""

from __future__ import annotations

import base64
import html
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from woodcalc import logs, sawing
from woodcalc.figures import sawing as figures
from woodcalc.figures import settings_sheet as sheets
from woodcalc.lesson import own
from woodcalc.lesson.box import table
from woodcalc.lesson.lists import wood_names
from woodcalc.lesson.mine import picked
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.lesson.progress import Progress
from woodcalc.lesson.worked import one_number, typed, worked
from woodcalc.records.own_mill import kept_mill
from woodcalc.sawing import rules, worth
from woodcalc.sawing.best import SCALE_IN, AllDefect
from woodcalc.sawing.lay import used
from woodcalc.sawing.mill import Mill
from woodcalc.sawing.settings_sheet import WITH_SHEET
from woodcalc.shrinkage import SPREAD_IN, usual_green_in
from woodcalc.sizes import length_told, sixteenths

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


KERF_IN = Mill().kerf_in  # until the learner's own is measured: one for all lessons and the plan
_PATTERNS = [(figures.NAMES[p], p) for p in figures.PATTERNS]
_WITH_SHEET = [(figures.NAMES[p], p) for p in WITH_SHEET]
BOW_UP = "bow-up"  # through and through, a bowed log with its hump up
_LEAST = [("4 in by 4 ft", (4.0, 4.0)), ("6 in by 6 ft", (6.0, 6.0)), ("6 in by 8 ft", (6.0, 8.0))]


def _thickness():
    return slider("thickness_in", "Board thickness, green (in)", 1.0, 2.5, 0.0625, 1.125)


def patterns_panel() -> Panel:
    """Panel: one log opened by the three patterns, what each gives and where the rest goes.

    Examples
    --------
    >>> patterns_panel().dials["small_in"].value
    16.0
    """
    return panel(
        figures.patterns,
        [
            slider("small_in", "Small end, inside bark (in)", 6.0, 36.0, 0.5, 16.0),
            slider("taper_in_per_4ft", "Taper (in per 4 ft)", 0.0, 1.5, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 6.0, 20.0, 1.0, 12.0),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.375, 0.03125, 0.125),
            _thickness(),
        ],
        "One log, three ways to open it",
    )


def dried_panel() -> Panel:
    """Panel: the boards of a 12 ft log in their places after drying, and the cup of each.

    Examples
    --------
    >>> dried_panel().dials["pattern"].value
    'through-and-through'
    """
    return panel(
        figures.dried_in_place,
        [
            choice("pattern", "Pattern", _PATTERNS),
            choice("species", "Wood", wood_names(), "northern red oak"),
            slider("mc_pct", "Dried to (% moisture)", 6, 30, 1, 8),
            slider("small_in", "Small end, inside bark (in)", 8.0, 36.0, 1.0, 16.0),
        ],
        "The same boards, dry",
        printed={"length_ft": 12},
    )


def kerf_panel() -> Panel:
    """Panel: a thin and a thick saw line in the same log.

    Examples
    --------
    >>> kerf_panel().dials["thick_in"].value
    0.25
    """
    return panel(
        figures.kerfs,
        [
            slider("thin_in", "Kerf of the first saw (in)", 0.0625, 0.25, 0.03125, 0.0625),
            slider("thick_in", "Kerf of the second saw (in)", 0.0625, 0.375, 0.03125, 0.25),
            slider("small_in", "Small end, inside bark (in)", 6.0, 36.0, 0.5, 14.0),
            _thickness(),
        ],
        "A thin band against a circular saw: a 12 ft log around a cant",
        printed={"length_ft": 12},
    )


def first_cut_panel() -> Panel:
    """Panel: set the first cut by hand and see how far it is from the best.

    Examples
    --------
    >>> first_cut_panel().dials["curve"].value
    False
    """
    return panel(
        figures.first_cut,
        [
            slider("slab_in", "First slab, at the large end (in)", 0.25, 4.0, 0.0625, 2.0),
            slider("small_in", "Small end, inside bark (in)", 8.0, 36.0, 0.5, 14.0),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.25, 0.0625, 0.125),
            _thickness(),
            switch("curve", "Show every first cut"),
        ],
        "Where do you make the first cut? A 12 ft log, sawn through and through",
        printed={"length_ft": 12},
    )


def rules_panel() -> Panel:
    """Panel: what the log rules promise and what the saw gives, by diameter.

    Examples
    --------
    >>> rules_panel().dials["shown"].value
    'board feet (bf)'
    """
    return panel(
        figures.rules_and_boards,
        [
            slider("length_ft", "Length (ft)", 6.0, 20.0, 1.0, 12.0),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.375, 0.03125, 0.125),
            _thickness(),
            choice("pattern", "Pattern", _PATTERNS, "cant"),
            choice("shown", "The chart shows", figures.SHOWN),
        ],
        "What the rules promise, what the saw gives",
    )


def sheet_panel() -> Panel:
    """Panel: the settings sheet walked pass by pass, the wood on the bed and the height of the blade.

    Examples
    --------
    >>> sheet_panel().dials["pass_number"].value
    1
    """
    return panel(
        sheets.sheet_walk,
        [
            slider("pass_number", "Pass (number)", 1, 40, 1, 1),
            choice("pattern", "Pattern", _WITH_SHEET, "cant"),
            slider("small_in", "Small end, inside bark (in)", 8.0, 30.0, 1.0, 14.0),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.25, 0.0625, KERF_IN),
            choice("mill", "The mill", list(sheets.MILLS)),
        ],
        "From thickness to blade height: 4/4 boards from a 12 ft log",
        printed={"length_ft": 12, "nominal": "4/4"},
    )


def unknown_mill_panel(kerf_in: float, **_: Any) -> Panel:
    """Panel: a mill whose kerf nobody wrote down; saw boards and read the scale.

    Parameters
    ----------
    kerf_in : float
        The hidden kerf (in).

    Examples
    --------
    >>> unknown_mill_panel(0.125).dials["boards_off"].value
    1
    """

    def draw(boards_off, thickness_in, big=False):
        return figures.unknown_mill(boards_off, thickness_in, kerf_in, big=big)

    return panel(
        draw,
        [
            slider("boards_off", "Boards sawn off (number)", 0, 8, 1, 1),
            slider("thickness_in", "Their thickness (in)", 0.75, 1.25, 0.125, 1.0),
        ],
        "A mill whose kerf nobody wrote down",
    )


SAWN = 200  # logs sawn on paper at most: some seconds, with a bar


def own_sawing() -> Box | Shown:
    """Show every log of the learner's tally sawn on paper, at the thickness chosen in lesson 00, each for its own wood.

    Examples
    --------
    >>> print(own_sawing().dials["kerf_in"].value)
    0.125
    """
    return own.show(_own_sawing, "logs", lesson="02")


def _own_sawing(wood, say):
    tally, mine = _to_saw(wood, say)
    thick = _by_its_wood(mine)
    scaled = logs.scale(tally, halves="up")["international_bf"]
    promised = {log.label: bf * log.sound_share for log, bf in zip(tally, scaled, strict=True)}

    bar = Progress(len(tally))

    def draw(kerf_in):
        return _sawn_table(_sawn(tally, kerf_in, thick, bar), mine.thickness, kerf_in, promised)

    return worked(draw, [_kerf()], "Every log of the tally, sawn on paper", "02")


def _kerf():
    mill = kept_mill()
    return slider("kerf_in", "Kerf (in)", 0.0625, 0.375, 0.03125, mill.kerf_in if mill else KERF_IN)


def _to_saw(wood, say):
    """The logs to be sawn on paper, and the learner's choices."""
    tally = wood.tables["logs"]
    if len(tally) > SAWN:
        say.append(f"The first {SAWN} of {len(tally):,} logs are sawn here.")
    return logs.logs_of(tally.head(SAWN)), own.chosen(say)


def _by_its_wood(mine):
    """What gives the green thickness of a log's boards by its own wood, or the chosen one where it names none."""
    return lambda log: {mine.thickness: usual_green_in(log.species or mine.species, mine.thickness)}


def _sawn(tally, kerf_in, thick, bar, **wanted):
    """Logs sawn on paper as the mill's sheet and the plan have them: to the marks of its scale."""
    mill = kept_mill()
    step_in = mill.step_in if mill else SCALE_IN
    return sawing.saw_tally(tally, kerf_in, thick, "cant", drop_step_in=step_in, seen=bar, **wanted)


def _sawn_table(sawn, nominal, kerf_in, promised):
    if sawn.boards.empty:
        return f"<p>None of these logs gives a {nominal} board: {_why_none(sawn)}.</p>"
    off = ""
    if (sawn.logs["defect_pct"] > 0).any():
        off = f" if every log were sound, {sawn.net_bf:,.0f} bf with each log's defects off"
    thin, thick = sawn.boards["thickness_in"].min(), sawn.boards["thickness_in"].max()
    green = f"{thin:.4f} in" if thick - thin < 1e-6 else f"{thin:.4f} to {thick:.4f} in by each log's wood"
    lines = [
        f"{nominal} boards, green {green}, kerf {kerf_in:g} in",
        f"{len(sawn.boards)} boards, {sawn.board_feet:,.0f} bf at the very best{off}; International promised "
        f"{sum(promised.values()):,.0f} bf",
        f"{sawn.logs['sawdust_ft3'].sum():.0f} ft3 of wood to sawdust; slabs and edgings make about "
        f"{sawn.firewood_cords:.1f} cords of firewood",
    ]
    rows = [
        [str(r.log), r.species, f"{r.small_in:.4g}", length_told(r.length_ft), f"{r.boards}", f"{r.board_feet:,.1f}",
         f"{r.defect_pct:g}", f"{r.net_bf:,.1f}", f"{promised[r.log]:,.0f}", r.note]
        for r in sawn.logs.itertuples()
    ]  # fmt: skip
    heads = [
        "log",
        "species",
        "small end (in)",
        "length",
        "boards",
        "if sound (bf)",
        "defect (%)",
        "defects off (bf)",
        "International (bf)",
        "",
    ]
    return "".join(f"<p>{line}</p>" for line in lines) + table(heads, rows)


def _why_none(sawn):
    """Why no log of a tally gives a board."""
    if set(sawn.logs["note"]) == {"too thin for a board"}:
        return "they are too thin"
    return "; ".join(f"log {html.escape(str(r.log))}, {r.note}" for r in sawn.logs.itertuples())


def own_order() -> Box | Shown:
    """Show which of the learner's logs give so many boards of one size, and what else comes of them.

    Examples
    --------
    >>> print(own_order().told.value)
    <p>8 of 2x8 x 12 ft from log 4; 2,066 bf of other boards, if every log is sound</p>
    """
    return own.show(_own_order, "logs", lesson="02")


def _own_order(wood, say):
    tally, mine = _to_saw(wood, say)
    thick = _by_its_wood(mine)

    bar = Progress(len(tally))

    def draw(count, thickness_in, width_in, length_ft, kerf_in):
        order = sawing.Wanted(count, thickness_in=thickness_in, width_in=width_in, length_ft=length_ft)
        sawn = _sawn(tally, kerf_in, thick, bar, wanted=[order])
        if sawn.boards.empty:
            return f"<p>None of these logs gives a board: {_why_none(sawn)}.</p>"
        got = sawn.boards[sawn.boards["wanted"].astype(bool)]
        rest = f"{sawn.board_feet - got['board_feet'].sum():,.0f} bf of other boards"
        if (sawn.logs["defect_pct"] > 0).any():
            rest += ", if every log is sound"
        size = f"{order.nominal} x {length_told(order.length_ft)}"
        if got.empty:
            return f"<p>None of these logs gives a {size}; {rest}</p>"
        missing = f", {count - len(got)} short" if len(got) < count else ""
        logs_of = html.escape(", ".join(got["log"].unique()))
        return f"<p>{len(got)} of {size} from log {logs_of}{missing}; {rest}</p>"

    dials = [
        slider("count", "Boards (number)", 1, 40, 1, 8),
        slider("thickness_in", "Thickness, green (in)", 1.0, 4.0, 0.25, 2.0),
        slider("width_in", "Width, green (in)", 3, 14, 1, 8),
        slider("length_ft", "Length (ft)", 4.0, 24.0, 1.0, 12.0),
        _kerf(),
    ]
    return worked(draw, dials, "Boards to be had first", "02")


# field of `worth.Terms`, label
_TERMS = (
    ("green_usd", "Green lumber, a board foot ($)"),
    ("air_dried_usd", "Air-dried lumber, a board foot ($)"),
    ("dry_usd", "Dry lumber, a board foot ($)"),
    ("lost_pct", "Lost at the mill (%)"),
    ("shrunk_pct", "Lost or shrunk in drying (%)"),
    ("sawing_usd", "Custom sawing by the foot ($ a bf, 0: by the hour)"),
    ("hour_usd", "Custom sawing by the hour ($)"),
    ("bf_per_hour", "Sawn in an hour (bf)"),
    ("air_drying_usd", "Air-drying costs, a board foot ($)"),
    ("drying_usd", "Drying all the way costs, a board foot ($)"),
    ("blades", "Blades lost to metal (number)"),
    ("blade_usd", "A blade costs ($)"),
    ("cord_usd", "A cord of slabs and edgings ($)"),
    ("sawdust_usd", "A cubic yard of loose sawdust ($)"),
)


def own_worth() -> Box | Shown:
    """Show what the learner's logs bring as logs, as green, air-dried and dry lumber, at their own prices.

    Examples
    --------
    >>> own_worth().dials["blades"].value
    '0'
    """
    return own.show(_own_worth, "logs", lesson="11")


def _own_worth(wood, say):
    tally, mine = _to_saw(wood, say)
    mill = kept_mill()
    thick = _by_its_wood(mine)
    sawn = _sawn(tally, mill.kerf_in if mill else KERF_IN, thick, Progress(len(tally)))
    measured = float(logs.net_scale(wood.tables["logs"].head(SAWN))["doyle_bf"].sum())

    def draw(mbf_usd, **typed_in):
        price = one_number(mbf_usd, "Logs, a thousand board feet", 0, 100_000, "$")
        amounts = {name: one_number(typed_in[name], label, 0, 10_000) for name, label in _TERMS}
        terms = worth.Terms(**amounts)
        paid = logs.paid_scale(tally, "Doyle", price)
        made = worth.sales(sawn, float(paid["net_bf"].sum()), float(paid["usd"].sum()), terms)
        rows = [
            [sale.sold_as, f"{sale.board_feet:,.0f}", *(f"{usd:,.0f}" for usd in sale[2:])] for sale in made
        ]
        by_hour = terms.hour_usd / terms.bf_per_hour
        return (
            "<p><b>The prices that stand here are invented: type your own.</b></p><p>Logs are scaled by Doyle as a "
            "buyer does it: small ends in whole inches, lengths in even feet, bows off. As measured, as in the plan, "
            f"they hold {measured:,.0f} bf.</p>"
            + table(
                ("sold", "board feet", "brings ($)", "firewood, sawdust ($)", "costs ($)", "left ($)"), rows
            )
            + f"<p>Slabs and edgings make {sawn.firewood_cords:.1f} cords. Sawing by the hour is ${by_hour:.2f} a "
            "board foot. Hauling, stickers and your own hours are in the cost panel above, not here.</p>"
        )

    terms = worth.Terms()
    dials = [
        typed("mbf_usd", "Logs, a thousand board feet ($)", "500"),
        *(typed(name, label, f"{getattr(terms, name):g}") for name, label in _TERMS),
    ]
    return worked(draw, dials, "What the logs bring, by how far you take them", "11")


AS_IT_IS = -1.0  # bark as measured, or as is usual for the wood
SHEETS = 300  # logs offered for a settings sheet


def own_sheet(spread: Any = None) -> Box | Shown:
    """Show the settings sheet of one of the learner's logs, for their mill and a saw whose spread was measured.

    Parameters
    ----------
    spread : Worked, optional
        The box of `shrinkage.own_spread`, which the sheet follows; the usual spread without it.

    Examples
    --------
    >>> own_sheet().dials["log"].value
    '2'
    """
    made = own.show(lambda wood, say: _own_sheet(wood, say, spread), "logs", lesson="03")
    if hasattr(made, "again"):
        own.follow("the settings sheet", made.again)
        if spread is not None:
            spread.dials["measured"].observe(lambda _: made.again(), "value")
    return made


def _own_sheet(wood, say, spread):
    tally, mine = wood.tables["logs"], own.chosen(say)
    if len(tally) > SHEETS:
        say.append(f"The first {SHEETS} of {len(tally):,} logs are offered.")
    marks = list(tally["log"].head(SHEETS))

    def draw(log, pattern, most_cant, least, bark, **held):
        mill = kept_mill()
        row = tally[tally["log"] == log]
        cut = logs.logs_of(row)[0]
        of_wood = cut.species or mine.species
        thick_in = usual_green_in(
            of_wood, mine.thickness, spread.spread_in() if spread is not None else SPREAD_IN
        )
        how = (
            cut,
            mill.kerf_in if mill else KERF_IN,
            {mine.thickness: thick_in},
            [n for n in held if held[n]],
        )
        also = {"least_width_in": least[0], "least_length_ft": min(least[1], cut.length_ft)}
        also |= {"most_cant_in": most_cant} if most_cant else {}
        if mill and mill.step_in > SCALE_IN:
            also["drop_step_in"] = mill.step_in  # it can drop by nothing else
        try:
            plan = (
                rules.sawn_by(*how, **also)
                if pattern == "cant"
                else sawing.saw(
                    *how[:3],
                    WITH_SHEET[0] if pattern == BOW_UP else pattern,
                    bow_up=pattern == BOW_UP,
                    **{"drop_step_in": SCALE_IN} | {k: v for k, v in also.items() if k != "most_cant_in"},
                )
            )
        except sawing.TooThin as none:
            thin = "too thin" + (", its bow counted" if cut.sweep_in else "")
            two = f" Cut it in two at {length_told(cut.length_ft / 2)}: about {none.in_two_bf:.0f} bf." * (
                none.in_two_bf > 0
            )
            return f"<p>Log {html.escape(log)} gives no {mine.thickness} board: it is {thin}.<b>{two}</b></p>"
        except AllDefect:
            return f"<p><b>Log {html.escape(log)}.</b> {logs.defect_says(100)}</p>"
        note = row["note"].iloc[0]
        if bark == AS_IT_IS:
            bark = logs.bark_left_in(cut)
        told = (plan, note, mill, bark, of_wood)
        code = base64.b64encode(sheets.page_of(*told).encode("utf-8")).decode()
        return (
            '<p><a download="sheet.html" href="data:text/html;base64,'
            f'{code}">Save this sheet, with its ladder of heights, as a page to print</a></p>'
            + _rule_wins(most_cant, plan, held)
            + sheets.printed(*told)
            + _used_told(cut)
            + _bow_told(cut, how, also)
            + (_costs_told(rules.costs(*how, **also), held) if pattern == "cant" else "")
        )

    barks = [(f"{sixteenths(quarters / 4)} in", quarters / 4) for quarters in range(1, 9)]
    first = picked("log", marks) or ("2" if "2" in marks else marks[0])
    dials = [
        choice("log", "Log", marks, first),
        choice("pattern", "Pattern", [*_WITH_SHEET, ("Through and through, the bow up", BOW_UP)], "cant"),
        choice("least", "Least board kept", _LEAST, (4.0, 4.0)),
        choice(
            "most_cant",
            "Cant at most",
            [("as wide as serves best", 0), *((f"{c} in", c) for c in (6, 8, 10, 12))],
        ),
        choice(
            "bark",
            "Bark left on",
            [("as measured, or usual for the wood", AS_IT_IS), ("none: peeled", 0.0), *barks],
        ),
        *(switch(rule.name, rule.says, rule.name in rules.USUAL) for rule in rules.RULES),
    ]
    return worked(draw, dials, "The settings sheet of one log", "03")


def _rule_wins(most_in, plan, held):
    """What is said where a cant as narrow as was chosen would stand on edge as a plank."""
    wide = plan.cant_wide_in or plan.cant_in
    if not (held["wide_cant"] and 0 < most_in < rules.least_cant_in(plan.log) and wide > most_in):
        return ""
    rule = "off all four faces, and steady" if plan.cant_wide_in else "at least half as wide as the small end"
    return (
        f"<p><b>No cant of {sixteenths(most_in)} in for this log.</b> It would stand on edge like a plank and fall, so "
        f"the rule goes first: {rule}. This one is {sixteenths(wide)} in. For "
        "narrower boards rip them, or choose another log.</p>"
    )


def _bow_told(log, how, also):
    """What a bowed log gives by each way to saw it, as a table."""
    if not log.sweep_in:
        return ""
    ways = rules.ways_with_a_bow(*how[:3], **{"drop_step_in": SCALE_IN} | also)
    straight = sawing.saw(
        replace(log, sweep_in=0.0), *how[1:3], **{"drop_step_in": SCALE_IN} | also
    ).board_feet
    costs = 100 * (1 - max(bf for way, bf in ways.items() if "bucked" not in way) / straight)
    scaler = 100 * logs.defect_share("sweep", log.length_ft, sweep_in=log.sweep_in, diameter_in=log.small_in)
    return (
        f"<h4>{sixteenths(log.sweep_in)} in of bow, by the way it is sawn</h4>"
        + table(("way", "board feet"), [[way, f"{bf:.0f}"] for way, bf in ways.items()])
        + f"<p>A board of a bowed log is as long as its straight run. Whole and at its best this one gives "
        f"{max(costs, 0):.0f} % less than a straight one; a scaler takes {scaler:.0f} % off (<i>from memory</i>). "
        "Each way but bucking has its sheet: choose the pattern. A log is steadier to hold with its bow level.</p>"
    )


def _used_told(log):
    """What the sheet leaves unused of a log's measures, and what it takes as usual, in a paragraph."""
    unused, usual = used(log)
    told = f"Not used of what you wrote: {'; '.join(unused)}. " if unused else ""
    told += f"Not measured, and taken: {'; '.join(usual)}." if usual else ""
    return f"<p>{told} Lesson 1's form has room for all of it.</p>" if told else ""


def _costs_told(costs, held):
    """What each rule gives up and saves for the log of a sheet, as a table."""
    rows = [
        [
            cost.rule.says,
            "on" if held[cost.rule.name] else "off",
            f"{cost.board_feet:.0f} bf",
            *(str(n) for n in (cost.passes, cost.turns, cost.boards)),
        ]
        for cost in costs
    ]
    given = sum(cost.board_feet for cost in costs if held[cost.rule.name])
    saved = sum(cost.passes for cost in costs if held[cost.rule.name])
    heads = ("What the rule costs", "now", "given up", "passes saved", "turns saved", "boards fewer")
    says = (
        f"Rules that are on: given up {given:.0f} bf, saved {saved} passes, each by itself. Below 0 it is the other "
        "way round. Where the sheet says what a cant off four faces gives up, it is weighed against one off two."
    )
    few = next(cost for cost in costs if cost.rule.name == "few_a_side")
    if not few.turns:
        says += (
            " Three boards off a side, then turn: that changes nothing for this log, as for most under 18 in."
        )
    return f"<h4>The sawyer's rules, one by one</h4>{table(heads, rows)}<p>{says}</p>"
