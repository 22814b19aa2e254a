"""Pictures of a log opened: boards and saw lines by three patterns, kerf, first cut, rules against boards, drying."""

from __future__ import annotations

from functools import lru_cache
from math import ceil, floor
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import logs
from woodcalc.checks import capital
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing
from woodcalc.logs import Log
from woodcalc.sawing import PATTERNS, TooThin, saw
from woodcalc.shrinkage import board_shape
from woodcalc.sizes import fraction, sixteenths

if TYPE_CHECKING:
    from woodcalc.sawing.sawn_log import SawingPlan


NAMES = {"through-and-through": "Through and through", "cant": "Cant", "quartered": "Quartered"}
RULES = (
    ("Doyle", logs.doyle_bf),
    ("Scribner", logs.scribner_bf),
    ("International 1/4", logs.international_bf),
)
PARTS = (
    ("lumber", style.WOOD),
    ("edging", "#c9a06f"),
    ("slab", style.BARK),
    ("sawdust", "#ffffff"),
)
_EDGING = "#b0855a"
_NOTHING = {"lumber": 0.0, "edging": 0.0, "slab": 1.0, "sawdust": 0.0}
SHOWN = ("board feet (bf)", "boards over the scale (%)")
CHARTED_IN = tuple(range(8, 23, 2))


@lru_cache(maxsize=4000)
def sawn(
    small_in: float, large_in: float, length_ft: float, kerf_in: float, thickness_in: float, pattern: str
) -> SawingPlan | None:
    """Return the best plan for a log, kept so that a slider that goes back is answered at once; None if too thin."""
    log = Log(small_in=small_in, large_in=large_in, length_ft=length_ft)
    try:
        return saw(log, kerf_in, [thickness_in], pattern)
    except TooThin:
        return None


def _plan(small_in, length_ft=12, kerf_in=0.125, thickness_in=1.125, pattern="cant", taper_in_per_4ft=0.5):
    large = small_in + taper_in_per_4ft / 4 * length_ft
    return sawn(float(small_in), float(large), float(length_ft), float(kerf_in), float(thickness_in), pattern)


def _end(page, centre_x, centre_y, side, plan, half):
    """Draw a sawn log's small end about a point of the page, `half` inches of wood to each side of it.

    Boards, edgings and slabs, saw lines and rings; the large end as a dashed circle; boards shorter than the
    log with a dotted outline.
    """
    frame = Frame(page, (centre_x - side / 2, centre_y - side / 2, side, side), (-half, half), (-half, half))
    small, large = plan.log.small_in / 2, plan.log.large_end_in / 2
    rim = frame.circle(large)
    page.polygons([rim], "#e9dcc8", style.SOFT, 1.0, "5 3")
    page.polygons([frame.circle(small)], _EDGING, style.BARK, 1.4)
    boxes: dict[str, list[Any]] = {"lumber": [], "sawdust": [], "short": []}
    for p in plan.pieces:
        kind = "short" if p.kind == "lumber" and p.z1 > 0 else p.kind
        if kind in boxes:
            x1, x2, y1, y2 = (max(-large, min(large, v)) for v in (p.x1, p.x2, p.y1, p.y2))
            boxes[kind].append([(x1, y1), (x2, y1), (x2, y2), (x1, y2)])
    inside = page.clip(rim)
    page.polygons(frame.at(np.reshape(boxes["sawdust"], (-1, 4, 2))), "white", "none", clip=inside)
    page.polygons(frame.at(np.reshape(boxes["lumber"], (-1, 4, 2))), style.WOOD, style.INK, 0.9)
    page.polygons(frame.at(np.reshape(boxes["short"], (-1, 4, 2))), style.WOOD, style.INK, 1.2, "2 2")
    page.polygons(
        [frame.circle(small * np.sqrt(n / 9)) for n in range(1, 9)], "none", style.BARK, 0.8, opacity=0.5
    )
    return frame


def _frame_in(large_in):
    """Inches of wood to each side of the pith that a picture shows: one of a few sizes, so that it seldom jumps."""
    return next((half for half in (8.2, 10.6, 14.2, 17.4) if large_in <= 1.96 * half), 0.51 * large_in)


def _scale_bar(page, x, y, side, half):
    """Draw 6 in to the scale of a log end."""
    width = 6 * side / (2 * half)
    ends = [[(at, y - 4), (at, y + 4)] for at in (x, x + width)]
    page.lines([*ends, [(x, y), (x + width, y)]], width=1.4)
    page.text(x + width + 8, y, "6 in")


def _share_bars(page, left, top, width, height, rows):
    """Draw where the wood goes, a bar for each (name, shares)."""
    step = height / len(rows)
    for i, (name, shares) in enumerate(rows):
        y, x = top + (i + 0.5) * step, left
        page.text(left - 8, y, name, "end")
        for part, colour in PARTS:
            w = width * shares[part]
            up, down = y - 0.38 * step, y + 0.38 * step
            page.polygons([[(x, up), (x + w, up), (x + w, down), (x, down)]], colour, style.INK, 0.8)
            if w > 1.7 * page.type:
                page.text(
                    x + w / 2,
                    y,
                    f"{100 * shares[part]:.0f}",
                    "middle",
                    "white" if part == "slab" else style.INK,
                )
            x += w


def _key(page, x, y, step):
    """Name the four parts in words beside small patches."""
    for i, (part, colour) in enumerate(PARTS):
        at = x + i * step
        page.polygons(
            [[(at, y - 7), (at + 22, y - 7), (at + 22, y + 7), (at, y + 7)]], colour, style.INK, 0.8
        )
        page.text(at + 30, y, f"{part} (%)")


@style.drawn
def patterns(
    small_in: float, taper_in_per_4ft: float, length_ft: float, kerf_in: float, thickness_in: float
) -> tuple[Drawing, str, str]:
    """Draw one log opened by the three patterns, with the board feet of each and where the rest goes.

    Parameters
    ----------
    small_in : float
        Small-end diameter inside bark (in).
    taper_in_per_4ft : float
        Growth of the diameter (in per 4 ft).
    length_ft : float
        Length (ft).
    kerf_in, thickness_in : float
        Saw line and green board (in).

    Returns
    -------
    tuple
        Figure, sentence, table in HTML.

    Examples
    --------
    >>> patterns(16, 0.5, 12, 0.125, 1.125)[1][:66]
    'Sawn through and through this log gives 146 bf, around a cant 142 '
    """
    plans = [
        _plan(small_in, length_ft, kerf_in, thickness_in, pattern, taper_in_per_4ft) for pattern in PATTERNS
    ]
    page = Drawing(8.0, 5.2)
    half = _frame_in(small_in + taper_in_per_4ft / 4 * length_ft)
    for i, (pattern, plan) in enumerate(zip(PATTERNS, plans, strict=True)):
        x = 134 + 266 * i
        page.text(x, 20, NAMES[pattern], "middle", bold=True, size=0.95)
        page.text(x, 48, f"{plan.board_feet:.0f} bf" if plan else "no board", "middle", size=1.15, bold=True)
        if plan:
            _end(page, x, 194, 262, plan, half)
    _scale_bar(page, 8, 330, 262, half)
    rows = [
        (NAMES[p].split()[0], plan.shares if plan else _NOTHING)
        for p, plan in zip(PATTERNS, plans, strict=True)
    ]
    _share_bars(page, 130, 350, 660, 126, rows)
    _key(page, 130, 500, 165)
    bf = [plan.board_feet if plan else 0 for plan in plans]
    scale = logs.international_bf(small_in, length_ft)
    sentence = (
        f"Sawn through and through this log gives {bf[0]:.0f} bf, around a cant {bf[1]:.0f} and quartered "
        f"{bf[2]:.0f}; International 1/4 promised {scale:.0f}."
    )
    return page, sentence, _patterns_table(plans, small_in, length_ft)


def _patterns_table(plans, small_in, length_ft):
    heads = ["", "board feet", "boards", "widest (in)", "flat / rift / quarter (% of bf)"]
    heads += [f"over {name} ({rule(small_in, length_ft):.0f} bf)" for name, rule in RULES]
    rows = ""
    for pattern, plan in zip(PATTERNS, plans, strict=True):
        if plan is None:
            rows += f"<tr><td>{NAMES[pattern]}</td><td>0</td>" + "<td></td>" * (len(heads) - 2) + "</tr>"
            continue
        over = [plan.board_feet / rule(small_in, length_ft) - 1 for _, rule in RULES]
        cells = [
            f"{plan.board_feet:.0f}",
            f"{len(plan.cut_boards)}",
            f"{max(b.width_in for b in plan.cut_boards):g}",
        ]
        cells.append(" / ".join(f"{100 * bf / plan.board_feet:.0f}" for bf in plan.grain_bf.values()))
        cells += [f"{100 * o:+.0f} %" for o in over]
        rows += f"<tr><td>{NAMES[pattern]}</td>" + "".join(f"<td>{c}</td>" for c in cells) + "</tr>"
    return (
        "<table><tr>" + "".join(f"<th>{h}</th>" if h else "<td></td>" for h in heads) + f"</tr>{rows}</table>"
    )


@style.drawn
def kerfs(small_in: float, thin_in: float, thick_in: float, thickness_in: float) -> tuple[Drawing, str]:
    """Draw a 12 ft log sawn around a cant with a thin and a thick saw line, and the gain over diameters.

    Parameters
    ----------
    small_in : float
        Small-end diameter (in).
    thin_in, thick_in : float
        The two kerfs (in).
    thickness_in : float
        Green board (in).

    Returns
    -------
    tuple
        Figure, sentence.

    Examples
    --------
    >>> kerfs(14, 0.0625, 0.25, 1.125)[1][:58]
    'With a kerf of 1/16 in this log gives 113 bf, with one of '
    """
    both = [_plan(small_in, kerf_in=k, thickness_in=thickness_in) for k in (thin_in, thick_in)]
    page = Drawing(8.0, 4.8)
    half = _frame_in(small_in + 1.5)
    for i, (plan, kerf) in enumerate(zip(both, (thin_in, thick_in), strict=True)):
        x = 118 + 232 * i
        page.text(x, 20, f"Kerf {fraction(kerf, 32)} in", "middle", bold=True)
        page.text(x, 48, f"{plan.board_feet:.0f} bf" if plan else "no board", "middle", size=1.15, bold=True)
        if plan:
            _end(page, x, 176, 228, plan, half)
    _scale_bar(page, 8, 296, 228, half)
    names = [f"{fraction(kerf, 32)} in" for kerf in (thin_in, thick_in)]
    rows = [(name, p.shares if p else _NOTHING) for name, p in zip(names, both, strict=True)]
    _share_bars(page, 100, 322, 362, 84, rows)
    for i, (part, colour) in enumerate(PARTS):  # two by two: the chart stands beside them
        x, y = 90 + 190 * (i % 2), 426 + 30 * (i // 2)
        page.polygons([[(x, y - 7), (x + 22, y - 7), (x + 22, y + 7), (x, y + 7)]], colour, style.INK, 0.8)
        page.text(x + 30, y, f"{part} (%)")
    gain = np.array([_gain(d, thin_in, thick_in, thickness_in) for d in CHARTED_IN])
    mean = float(np.nanmean(gain))
    end = 23 if small_in <= 22.5 else 37  # where the chart ends
    page.text(790, 20, "Gain of the first saw (%)", "end", bold=True)
    chart = Frame.chart(
        page, page.part(left=0.61, top=0.08), (7, end), (-40, 50), range(8, int(end), 4 if end == 23 else 8),
        [-40, -20, 0, 20, 40], "Small end (in)",
    )  # fmt: skip
    page.lines([chart.at([(7, 0), (end, 0)])], style.SOFT, 1.4)
    page.lines([chart.at([(7, mean), (end, mean)])], style.ORANGE, 2.4, "9 4")
    chart.line(CHARTED_IN, gain)
    x, y = chart.at((small_in, np.nan_to_num(_gain(small_in, thin_in, thick_in, thickness_in))))
    page.marker(x, y, "o", "none", 11, style.INK, 2.2)
    x, y = chart.at((end - 0.2, min(max(mean, -32), 40) + 9))
    page.text(x, y, f"mean {mean:+.0f} %", "end", style.ORANGE, bold=True)
    bf = [p.board_feet if p else 0 for p in both]
    change = 100 * (bf[0] / bf[1] - 1) if bf[1] else 0.0
    dust = [p.volumes_ft3["sawdust"] if p else 0 for p in both]
    return page, (
        f"With a kerf of {names[0]} this log gives {bf[0]:.0f} bf, with one of {names[1]} "
        f"{bf[1]:.0f} ({change:+.0f} %); sawdust is {dust[0]:.1f} and {dust[1]:.1f} ft3 of the log's solid wood. Over "
        f"logs of 8 to 22 in the first saw gains {mean:.0f} %."
    )


def _gain(small_in, thin, thick, thickness):
    plans = [_plan(small_in, kerf_in=k, thickness_in=thickness) for k in (thin, thick)]
    return 100 * (plans[0].board_feet / plans[1].board_feet - 1) if all(plans) else np.nan


@lru_cache(maxsize=4000)
def opened(small_in: float, slab_in: float, kerf_in: float, thickness_in: float) -> SawingPlan:
    """Return the plan of a 12 ft log sawn through with a first slab this thick at the large end (in)."""
    log = Log(small_in=small_in, length_ft=12)
    pith = ceil(log.large_end_in / 2 * 16 - 1e-9) / 16
    blade = floor((pith + log.large_end_in / 2 - slab_in) * 16 + 1e-9) / 16
    return saw(log, kerf_in, [thickness_in], "through-and-through", opening_in=blade)


SLABS_IN = tuple(np.arange(0.25, 4.01, 0.125).tolist())


@style.drawn
def first_cut(
    slab_in: float, small_in: float, kerf_in: float, thickness_in: float, curve: bool
) -> tuple[Drawing, str]:
    """Draw a log sawn through from a first cut set by hand, beside the best there is.

    Parameters
    ----------
    slab_in : float
        Thickness of the first slab at the large end (in).
    small_in, kerf_in, thickness_in : float
        Small end, saw line, green board (in).
    curve : bool
        Show the board feet of every first cut.

    Returns
    -------
    tuple
        Figure, sentence.

    Examples
    --------
    >>> first_cut(1.5, 14, 0.125, 1.125, False)[1][:59]
    'Blade at 14 in above the bed for the first cut: 108.0 bf. T'
    """
    plan = opened(float(small_in), float(slab_in), float(kerf_in), float(thickness_in))
    best = _plan(small_in, 12, kerf_in, thickness_in, "through-and-through")
    page = Drawing(8.0, 4.8)
    large = plan.log.large_end_in
    half = 1.12 * _frame_in(large)  # room for the arrow
    page.text(12, 20, f"First cut at {sixteenths(plan.opening_in)} in", bold=True)
    frame = _end(page, 210, 256, 400, plan, half)
    line = plan.opening_in - ceil(large / 2 * 16 - 1e-9) / 16
    (x1, y), (x2, _) = frame.at([(-half, line), (-large / 2 - 0.15, line)])
    page.lines([[(x1 - 4, y), (x2 - 8, y)]], style.ORANGE, 2.6)
    page.polygons([[(x2, y), (x2 - 13, y - 6), (x2 - 13, y + 6)]], style.ORANGE, style.ORANGE)
    _scale_bar(page, 12, 466, 400, half)
    page.text(440, 20, "Board feet (bf)", bold=True)
    top, mine = best.board_feet, plan.board_feet
    low, high = 0.55 * top, 1.09 * top  # the worst first slab leaves 0.58; no curve rises above the best
    step = max(round(top / 100) * 10, 5)
    ticks = [v for v in range(0, int(high) + 1, step) if v > low]
    chart = Frame.chart(
        page, page.part(left=0.55, top=0.06), (0, 4.1), (low, high), [0, 1, 2, 3, 4], ticks, "First slab (in)"
    )
    page.lines([chart.at([(0, top), (4.1, top)])], style.GREEN, 2.4, "9 4")
    x, y = chart.at((4.05, top))
    page.text(x, y - 0.75 * page.type, f"best {top:.1f}", "end", style.GREEN, bold=True)
    if curve:
        feet = [opened(float(small_in), s, float(kerf_in), float(thickness_in)).board_feet for s in SLABS_IN]
        page.lines([chart.at(np.column_stack([SLABS_IN, feet]))], style.BLUE, 2.8, clip=chart.inside())
    chart.mark(slab_in, mine, "o", style.ORANGE, 8, width=1.6)
    x, y = chart.at((slab_in, mine))
    under = y + 2 * page.type < chart.box[1] + chart.box[3]
    side, at = (12, "start") if slab_in < 1.2 else (0, "middle") if slab_in < 2.6 else (-12, "end")
    y += (1.3 if under else -1.3) * page.type
    page.text(x + side, y, f"yours {mine:.1f}", at, style.ORANGE, bold=True, halo=True)
    lost = top - mine
    more = f"The best first cut gives {top:.1f}: {lost:.1f} bf more."
    verdict = "That is the best there is." if lost < 0.05 else more
    return (
        page,
        f"Blade at {sixteenths(plan.opening_in)} in above the bed for the first cut: {mine:.1f} bf. {verdict}",
    )


@style.drawn
def rules_and_boards(
    length_ft: float, kerf_in: float, thickness_in: float, pattern: str, shown: str
) -> tuple[Drawing, str]:
    """Draw what the log rules promise and what the saw gives, across diameters.

    Parameters
    ----------
    length_ft : float
        Length (ft).
    kerf_in, thickness_in : float
        Saw line and green board (in).
    pattern : str
        One of `sawing.PATTERNS`.
    shown : str
        One of `SHOWN`.

    Returns
    -------
    tuple
        Figure, sentence.

    Examples
    --------
    >>> rules_and_boards(12, 0.125, 1.125, "cant", SHOWN[0])[1][:45]
    'A 12 in log gives 76 bf of boards; Doyle said'
    """
    across = np.array(CHARTED_IN)
    plans = [_plan(d, length_ft, kerf_in, thickness_in, pattern) for d in CHARTED_IN]
    bf = np.array([p.board_feet if p else 0.0 for p in plans])
    rules = {name: np.array([rule(d, length_ft) for d in CHARTED_IN]) for name, rule in RULES}
    page = Drawing(8.0, 4.8)
    feet = shown == SHOWN[0]
    top, low = (40 * length_ft, 0) if feet else (260, -40)
    ticks = range(0, int(top) + 1, 100) if feet else range(0, 260, 50)
    chart = Frame.chart(
        page, page.part(top=0.06), (7, 22.5), (low, top), range(8, 23, 2), ticks, "Small end, inside bark (in)",
        beside="Int'l 1/4, bold",
    )  # fmt: skip
    page.title(12, 20, capital(shown))
    rows = [("boards", bf, 0)] if feet else []
    for n, (name, y) in enumerate(rules.items(), 1):
        rows.append((name, y if feet else 100 * (bf / y - 1), n))
    if not feet:
        page.lines([chart.at([(7, 0), (22.5, 0)])], style.SOFT, 1.4)
    for _, y, n in rows:
        chart.line(across, y, n)
    heights = _apart([r[1][-1] for r in rows], (top - low) * 1.25 * page.type / chart.box[3])
    for (name, _, n), height in zip(rows, heights, strict=True):
        x, y = chart.at((22.5, height))
        page.text(x + 6, y, name.replace("International", "Int'l"), color=style.SERIES[n]["color"], bold=True)
    i, j = 2, 7
    return page, (
        f"A {across[i]} in log gives {bf[i]:.0f} bf of boards; Doyle said {rules['Doyle'][i]:.0f}, Scribner "
        f"{rules['Scribner'][i]:.0f}, International {rules['International 1/4'][i]:.0f}. A {across[j]} in log gives "
        f"{bf[j]:.0f}; Doyle said {rules['Doyle'][j]:.0f}, Scribner {rules['Scribner'][j]:.0f}, International "
        f"{rules['International 1/4'][j]:.0f}."
    )


def _apart(values, gap):
    """Move label heights apart to at least `gap`, in their order."""
    order = np.argsort(values)
    out = np.array(values, dtype=float)
    for below, above in zip(order, order[1:], strict=False):
        out[above] = max(out[above], out[below] + gap)
    return out


STRETCHED = 4  # times that the change of shape is drawn


@lru_cache(maxsize=400)
def _dried(small_in, pattern, species, mc_pct):
    """Return [(outline before, outline after in the log's own coordinates, board row, shape)] for a 12 ft log."""
    plan = _plan(small_in, pattern=pattern)
    out = []
    for b, row in zip(plan.cut_boards, plan.boards.itertuples(), strict=True):
        place = (row.width_in, row.thickness_in, row.offset_x_in, row.offset_y_in)
        shape = board_shape(*place, species, 100, mc_pct, points=9)
        centre = np.array([(b.x1 + b.x2) / 2, (b.y1 + b.y2) / 2])
        moved = shape.before + STRETCHED * (shape.after - shape.before)
        moved = moved[:, ::-1] if b.turned else moved  # across the log, width runs up
        out.append((centre + moved, row, shape))
    return out


@style.drawn
def dried_in_place(pattern: str, species: str, mc_pct: float, small_in: float) -> tuple[Drawing, str]:
    """Draw the boards of a log in their places, dried, their change of shape enlarged; and the cup of each.

    Parameters
    ----------
    pattern : str
        One of `sawing.PATTERNS`.
    species : str
        The wood.
    mc_pct : float
        Moisture content after drying (%).
    small_in : float
        Small end (in).

    Returns
    -------
    tuple
        Figure, sentence, table in HTML.

    Examples
    --------
    >>> dried_in_place("cant", "northern red oak", 8, 16)[1][:60]
    'Sawn around a cant, dried to 8 %: the boards lose 5.5 % of t'
    """
    boards = _dried(float(small_in), pattern, species, float(mc_pct))
    page = Drawing(8.0, 4.8)
    half = 8.6 if small_in <= 16 else 11.2 if small_in <= 22 else 0.51 * small_in
    page.text(12, 20, f"Dried, change of shape x {STRETCHED}", bold=True)
    frame = Frame(page, (5, 45, 425, 425), (-half, half), (-half, half))
    page.polygons([frame.circle(small_in / 2)], "#f3ece0", style.BARK, 1.4)
    page.polygons([frame.at(b[0]) for b in boards], style.WOOD, style.INK)
    x, y = frame.at((0, 0))
    page.lines([[(x - 7, y), (x + 7, y)], [(x, y - 7), (x, y + 7)]], width=2.2)
    page.text(450, 20, "Cup of each board (in)", bold=True)
    most = 0.64 if small_in <= 24 else 1.28
    chart = Frame.chart(
        page, page.part(left=0.56, top=0.06), (-4, 94), (0, most), [0, 30, 60, 90],
        np.arange(0, 0.8 * most, 0.1 if most < 1 else 0.2).round(1),
        "Rings to the face (degrees)",
    )  # fmt: skip
    left, upper = chart.box[:2]
    for i, name in enumerate(PATTERNS):
        look, mine = style.SERIES[i], name == pattern
        y = upper + 16 + 1.3 * i * page.type
        page.marker(left + 20, y, look["marker"], look["color"] if mine else style.PALE, 6.5, style.INK, 1.0)
        page.text(left + 34, y, NAMES[name], bold=mine)
    order = sorted(PATTERNS, key=lambda name: name == pattern)  # the chosen one on top
    for name in order:
        look, mine = style.SERIES[PATTERNS.index(name)], name == pattern
        for _, row, shape in boards if mine else _dried(float(small_in), name, species, float(mc_pct)):
            x, y = chart.at((row.grain_angle_deg, min(abs(shape.cup_in), 0.97 * most)))
            page.marker(x, y, look["marker"], look["color"] if mine else style.PALE, 6.5 if mine else 5,
                        style.INK if mine else style.SOFT, 1.0)  # fmt: skip
    width = sum(b[1].width_in for b in boards)
    loss = 100 * (1 - sum(b[2].width_in for b in boards) / width)
    cups = np.array([abs(b[2].cup_in) for b in boards])
    pith = sum(bool(b[2].holds_pith) for b in boards)
    way = {
        "through-and-through": "Sawn through and through",
        "cant": "Sawn around a cant",
        "quartered": "Quartered",
    }
    held = (
        f" {f'{pith} boards hold' if pith > 1 else 'One board holds'} the pith and will split."
        if pith
        else ""
    )
    return page, (
        f"{way[pattern]}, dried to {mc_pct:g} %: the boards lose {loss:.1f} % of their width and cup "
        f"{cups.mean():.2f} in on average, at most {cups.max():.2f} in.{held}"
    )


@style.drawn
def unknown_mill(boards_off: int, thickness_in: float, kerf_in: float) -> tuple[Drawing, str]:
    """Draw a cant on the bed and the mill's height scale before and after some boards, the kerf not told.

    Parameters
    ----------
    boards_off : int
        Boards sawn off so far.
    thickness_in : float
        Their thickness (in).
    kerf_in : float
        The hidden kerf (in).

    Returns
    -------
    tuple
        Drawing, sentence.

    Examples
    --------
    >>> unknown_mill(2, 1.0, 0.125)[1]
    'The blade stood at 14 in; after 2 boards of 1 in it stands at 11-3/4 in.'
    """
    start = 14.0
    now = start - boards_off * (thickness_in + kerf_in)
    page = Drawing(8.0, 4.8)
    frame = Frame(page, (60, 40, 700, 410), (0, 26), (-0.8, 15))
    bed = frame.at([(3, 0), (25, 0), (25, -0.55), (3, -0.55)])
    page.polygons([bed], style.SOFT, style.INK)
    left = frame.at([(8.5, 0), (18.5, 0), (18.5, now), (8.5, now)])
    page.polygons([left], style.WOOD, style.INK, 1.2)
    gone = [
        frame.at([(8.5, top - thickness_in), (18.5, top - thickness_in), (18.5, top), (8.5, top)])
        for top in (start - n * (thickness_in + kerf_in) for n in range(boards_off))
    ]
    page.polygons(gone, "#f3ece0", style.SOFT, 1.0, "4 3")
    ticks = [frame.at([(4.2, h), (3.4 if h % 5 else 3.0, h)]) for h in range(15)]
    page.lines([frame.at([(4.2, 0), (4.2, 14.4)]), *ticks], width=1.6)
    for h in range(0, 15, 5):
        x, y = frame.at((2.8, h))
        page.text(x, y, f"{h}", "end")
    for height, word, colour in ((start, "before", style.SOFT), (now, "now", style.ORANGE)):
        page.lines([frame.at([(4.2, height), (19.4, height)])], colour, 3.0, "" if word == "now" else "9 4")
        x, y = frame.at((19.7, height))
        page.text(x, y if boards_off else y - (12 if word == "before" else -12), f"{word} {sixteenths(height)} in",
                  color=colour, bold=True)  # fmt: skip
    page.text(12, 20, "Height of the blade above the bed (in)", bold=True)
    x, y = frame.at((13.5, now / 2))
    page.text(x, y, "the cant", "middle")
    count = f"{boards_off} board{'' if boards_off == 1 else 's'}"
    return page, (
        f"The blade stood at 14 in; after {count} of {sixteenths(thickness_in)} in it stands at {sixteenths(now)} in."
    )
