"""Pictures of the pile: from the side with what gravity does to it, from the end with its weight, spacing."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from woodcalc import stack
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.sizes import fraction, sawn_in, thickness_name

BOARD_FT, TRIM_IN = 12.0, 2.0  # the pile that the text speaks of
LENGTH_IN = 12 * BOARD_FT + TRIM_IN
WOOD_KIND = "northern red oak"
PILE_WIDTH_FT = 4.0
BOARD_WIDTH_IN = 8.0
PAPER_IN = 0.004  # a sheet of office paper
STICKER_IN = (0.75, 1.25)
_SEEN_WIDE_IN = 2.2  # stickers are drawn wider than their 1-1/4 in, to be seen
_FLOOR_IN = 18.0
_TIMES = (20, 10, 5, 2, 1)
BOLSTERS = {"every": "a bolster under every column", "second": "a bolster under every second column"}


def inches(value: float) -> str:
    """Say a small length: decimals, and the nearest fraction that a tape shows.

    Examples
    --------
    >>> inches(0.0013), inches(0.034)
    ('0.0013 in, less than a sheet of paper', '0.034 in, about 1/32')
    >>> inches(0.008), inches(0.52)
    ('0.008 in, less than 1/64', '0.52 in, about 1/2')
    """
    if value < PAPER_IN:
        return f"{value:.4f} in, less than a sheet of paper"
    if value < 0.75 / 64:
        return f"{value:.3f} in, less than 1/64"
    for parts in (64, 32, 16, 8):
        if value < 2.5 / parts or parts == 8:
            break
    said = fraction(max(value, 1 / parts), parts)
    return f"{value:.3f} in, about {said}" if value < 0.1 else f"{value:.2f} in, about {said}"


def _shape(nominal_in, spacing_in, shift_in, layers, bolsters, step_in=6):
    places = stack.sticker_places_in(LENGTH_IN, spacing_in)
    rests = stack.shifted_places_in(places, layers, shift_in, LENGTH_IN)
    if bolsters == "second":
        rests[0] = places[sorted({*range(0, len(places), 2), len(places) - 1})]
    return places, stack.pile_shape(nominal_in, rests, LENGTH_IN, WOOD_KIND, step_in=step_in)


def _canvas(xlim, ylim):
    page = Drawing(8.0, 4.8)
    return page, Frame(page, page.part(margin=0), xlim, ylim)


@style.drawn
def side_view(
    nominal_in: float, stickers: int, shift_in: float, layers: int, bolsters: str
) -> tuple[Drawing, str]:
    """Draw a pile from the side, with the bend that gravity gives its boards.

    Parameters
    ----------
    nominal_in : float
        Nominal thickness, in.
    stickers : int
        In a row, the first and the last 1 in from the board ends.
    shift_in : float
        How far every second row of stickers stands beside its column, in.
    layers : int
    bolsters : str
        "every" or "second".

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> side_view(1.0, 7, 0, 12, "every")[1][-85:]
    ' bends 0.0012 in, less than a sheet of paper. A bolster carries 248 to 642 lb, green.'
    """
    places, shape = _shape(nominal_in, (LENGTH_IN - 2) / (stickers - 1), shift_in, layers, bolsters)
    worst = float(shape.string_gap_in.max())
    times = next((n for n in _TIMES if n * shape.down_in.max() <= 15), 1)
    thick = sawn_in(nominal_in)
    pitch = thick + STICKER_IN[0]
    page, frame = _canvas((-12, 158), (-17, 85))
    x, down = shape.x_in, np.minimum(times * shape.down_in, _FLOOR_IN - 1)
    base = _FLOOR_IN + pitch * np.arange(layers)

    bands = [
        np.column_stack([np.append(x, x[::-1]), np.append(b - d, (b + thick - d)[::-1])])
        for b, d in zip(base, down, strict=True)
    ]
    frame.shapes(bands, style.WOOD, style.BARK)
    straight: list[Any] = []
    beside: list[Any] = []
    for k in range(1, layers):
        foot = base[k - 1] + thick - np.interp(shape.rests_in[k], x, down[k - 1])
        head = base[k] - np.interp(shape.rests_in[k], x, down[k])
        (beside if shift_in and k % 2 == 1 else straight).extend(
            box(p - _SEEN_WIDE_IN / 2, f, p + _SEEN_WIDE_IN / 2, max(h, f + 0.1))
            for p, f, h in zip(shape.rests_in[k], foot, head, strict=True)
        )
    frame.shapes(straight, style.INK, "none")
    frame.shapes(beside, style.ORANGE, "none")
    frame.strokes([[(p, _FLOOR_IN), (p, base[-1] + thick)] for p in places], style.BLUE, 1.7, "3 5")
    feet = shape.rests_in[0]
    frame.shapes([box(p - 1.75, 14.5, p + 1.75, 18) for p in feet], style.BARK, "none")
    frame.shapes([box(p - 4, 0, p + 4, 14.5) for p in feet], style.PALE, style.SOFT, 1.4)
    frame.rule(y=0, color=style.INK, width=2.8)

    load = shape.push_lb[0] * PILE_WIDTH_FT
    for p, pounds in list(zip(feet, load, strict=True))[:: 2 if len(feet) > 7 else 1]:
        frame.text(p, -5, f"{pounds:,.0f}", at="middle")
    frame.text(73, -12.5, "load on each bolster, pounds, pile 4 ft wide, green", at="middle")
    gap = places[1] - places[0]
    top = base[-1] + thick + 2
    between = frame.at([(places[0], top), (places[1], top)])
    page.arrow(*between, width=1.4)
    page.arrow(*between[::-1], width=1.4)
    frame.text(places[1] + 2, top + 1.5, f"{gap:.3g} in")
    digits = 4 if worst < 0.01 else 3 if worst < 0.1 else 2
    frame.text(-8, 81, f"Worst board: bent {worst:.{digits}f} in", size=1.2, bold=True)
    note = f"bends drawn {times} times larger" if times > 1 else "bends drawn as they are"
    if beside:
        note += "; orange: stickers beside their column"
    frame.text(-8, 74.5, note)
    where = "in line" if not shift_in else f"with every second row {shift_in:g} in beside its column"
    said = (
        f"{thickness_name(nominal_in)} red oak, 12 ft long, {layers} layers on stickers {gap:.3g} in apart {where}, "
        f"{BOLSTERS[bolsters]}: measured from a string stretched end to end, the worst board bends "
        f"{inches(worst)}. A bolster carries {load[load > 0].min():,.0f} to {load.max():,.0f} lb, green."
    )
    return page, said


_GAPS = np.array([3, 4, 5, 6, 7, 8, 9, 10, 12])
_CASES = (
    ("in line", 0.0, "every"),
    ("every second row\nhalf a space off", 0.5, "every"),
    ("every second\nbolster missing", 0.0, "second"),
)
CHART_LAYERS = 12


@cache
def _unit_bends():
    """Bend of the worst board of each case over load-over-stiffness: the shape of the pile alone decides it."""
    share = stack.load_over_stiffness(1.0, WOOD_KIND)
    table = []
    for _, off, bolsters in _CASES:
        bends = []
        for gaps in _GAPS:
            spacing = (LENGTH_IN - 2) / gaps
            _, shape = _shape(1.0, spacing, off * spacing, CHART_LAYERS, bolsters, step_in=3)
            bends.append(shape.string_gap_in.max() / stack.guidance("creep", _CREEP)["usual"])
        table.append(np.array(bends) / share)
    return (LENGTH_IN - 2) / _GAPS, np.array(table)


_CREEP = "green wood that dries under load"


def bend_by_spacing(species: str, nominal_in: float, spacing_in: float, creep: float, case: int = 0) -> float:
    """Return the bend of the worst board in a pile of 12 layers, 12 ft long, at a sticker spacing.

    Parameters
    ----------
    species : str
    nominal_in, spacing_in, creep : float
    case : int
        0 in line, 1 every second row half a space off, 2 every second bolster missing.

    Returns
    -------
    float

    Examples
    --------
    >>> round(bend_by_spacing("northern red oak", 1.0, 24, 2.0), 4)
    0.0012
    """
    spacings, unit = _unit_bends()
    scale = creep * stack.load_over_stiffness(nominal_in, species)
    return float(
        scale * np.exp(np.interp(np.log(spacing_in), np.log(spacings[::-1]), np.log(unit[case][::-1])))
    )


@style.drawn
def spacing_chart(species: str, nominal_in: float, spacing_in: float, creep: float) -> tuple[Drawing, str]:
    """Draw the bend of the worst board against sticker spacing, in line and not.

    Parameters
    ----------
    species : str
    nominal_in : float
    spacing_in : float
        The spacing that is read out, 12 to 48 in.
    creep : float
        Final deflection over first, 1 to 3.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> spacing_chart("northern red oak", 1.0, 24, 2.0)[1][:58]
    '4/4 northern red oak with stickers 24 in apart, 12 layers:'
    """
    spacings, unit = _unit_bends()
    scale = creep * stack.load_over_stiffness(nominal_in, species)
    page = Drawing(8.0, 4.8)
    chart = Frame.chart(
        page, page.part(), (11.5, 49), (np.log10(2e-5), np.log10(5)), [12, 16, 24, 32, 40, 48], range(-4, 1),
        "Sticker spacing (in)", "Bend of the worst board (in)", "A little wider bends a lot more",
        ynames=["less", "0.001", "0.01", "0.1", "1"], beside=max((name for name, *_ in _CASES), key=page.width),
    )  # fmt: skip
    advice = stack.sticker_spacing(nominal_in, species)
    chart.band((advice["low"], advice["high"]), opacity=0.25)
    middle = max((advice["low"] + advice["high"]) / 2, 16.6)  # clear of the axis
    chart.text(middle, np.log10(5), "published\nadvice", dy=6 + 1.25 * page.type, at="middle")
    chart.rule(y=np.log10(1 / 64))
    found = [bend_by_spacing(species, nominal_in, spacing_in, creep, k) for k in range(len(_CASES))]
    for n, (name, _, _) in enumerate(_CASES):
        bend, aside = np.log10(scale * unit[n]), (0, -1.55, 1.55)[n] * page.type  # the upper two end together
        chart.line(spacings, bend, n)
        chart.text(spacings[0], bend[0], name, 20, aside, color=style.SERIES[n]["color"])
    chart.text(12.2, np.log10(1 / 64), "1/64 in", dy=-0.7 * page.type, color=style.SOFT, halo=True)
    chart.mark([spacing_in] * 3, np.log10(found), "o", "none", 10, width=3)
    said = (
        f"{thickness_name(nominal_in)} {species} with stickers {spacing_in:g} in apart, {CHART_LAYERS} layers: the "
        f"worst board bends {found[0]:.4f} in with stickers in line, {found[1]:.3f} in with every second row half a "
        f"space off, {found[2]:.3f} in with every second bolster missing. Published advice: {advice['low']:g} to "
        f"{advice['high']:g} in."
    )
    return page, said


# Somebody 6 ft tall beside the pile: head, trunk, arms and legs, inches from the pile's middle and the ground
_PERSON = [
    oval(9, 11, -51, 66.5),
    [(-55, 59), (-47, 59), (-46, 34), (-56, 34)],
    [(-55, 59), (-58.5, 56), (-60, 33), (-57.5, 33), (-56, 52)],
    [(-47, 59), (-43.5, 56), (-42, 33), (-44.5, 33), (-46, 52)],
    [(-56, 35), (-51.4, 35), (-52, 0), (-55.5, 0)],
    [(-50.6, 35), (-46, 35), (-46.5, 0), (-50, 0)],
]


@style.drawn
def end_view(
    species: str, nominal_in: float, count: int, pile_width_in: float, top_load: float
) -> tuple[Drawing, str, str]:
    """Draw a pile from its end: how high it stands for its width, what it weighs, what its feet carry.

    Parameters
    ----------
    species : str
    nominal_in : float
    count : int
        Boards, each 8 in wide and 12 ft long.
    pile_width_in : float
    top_load : float
        Weights on top, lb/ft2.

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> end_view("northern red oak", 1.0, 60, 48, 0)[1][:60]
    '60 boards of 4/4 northern red oak, 8 in wide and 12 ft long,'
    """
    quarters = thickness_name(nominal_in)
    boards = [(count, quarters, BOARD_WIDTH_IN, BOARD_FT)]
    plan = stack.plan_stack(
        boards, species, pile_width_in=pile_width_in, top_load_lb_per_ft2=top_load, trim_in=TRIM_IN
    )
    page, frame = _canvas((-60, 200), (-24, 132))
    thick, between = sawn_in(nominal_in), plan.sticker_section_in[0]
    right, tall = plan.width_in / 2, plan.foundation_in + plan.height_in
    wood, sticks = [], []
    for k, here in enumerate(plan.layers["boards"]):
        y = _FLOOR_IN + k * (thick + between)
        edges = -right + np.arange(here) * (BOARD_WIDTH_IN + 1)
        wood += [box(x, y, x + BOARD_WIDTH_IN, y + thick) for x in edges]
        sticks.append(box(-right, y + thick, right, y + thick + between))
    frame.shapes(sticks, "white")
    frame.shapes(wood, style.WOOD, style.BARK)
    eave = plan.cover_in[1] / 2
    frame.shapes(
        [[(-eave, tall + 3), (eave, tall + 8), (eave, tall + 9.5), (-eave, tall + 4.5)]], style.SOFT, "none"
    )
    if top_load:
        weights = [box(x - 5, tall + 5, x + 5, tall + 9 + top_load / 15) for x in (-right / 2, right / 2)]
        frame.shapes(weights, style.PALE, width=1.4)
    frame.shapes([box(-right, 14.5, right, 18)], style.BARK, "none")
    frame.shapes([box(x - 5, 0, x + 5, 14.5) for x in (4 - right, right - 4)], style.PALE, style.SOFT, 1.4)
    frame.strokes([[(-60, 0), (54, 0)]], width=2.8)
    frame.text(0, -8, f"{plan.footing_lb:,.0f} lb", at="middle", bold=True)
    frame.text(0, -17, "at most on one footing", at="middle")
    frame.shapes(_PERSON, style.PALE, style.SOFT)
    frame.text(-50.5, 76, "6 ft", at="middle", color=style.BLUE)

    limit = stack.guidance("height to width", "hand-built pile")
    ratio = plan.height_ratio
    steady = "steady" if ratio <= limit["usual"] else "tall: tie it" if ratio <= limit["high"] else "too tall"
    size = f"{tall / 12:.1f} ft high, {plan.width_in / 12:.1f} ft wide"
    frame.text(60, 121, size, size=1.2, bold=True)
    color = style.INK if ratio <= limit["usual"] else style.ORANGE
    frame.text(60, 109, f"height {ratio:.1f} x width: {steady}", color=color)
    frame.text(60, 98, f"{len(plan.layers)} layers, {plan.sticker_count} stickers")
    per_lb = 120 / 9500  # the heaviest pile of the panel, with its margin, ends inside the page
    for y, name, pounds, fill in (
        (68, "green", plan.green_lb, style.SKY),
        (38, "dry", plan.dry_lb, style.WOOD),
    ):
        frame.shapes([box(60, y, 60 + pounds * per_lb, y + 9)], fill, width=1.4)
        frame.text(60, y + 14, f"{name}: {pounds:,.0f} lb")
    reach = [60 + v * per_lb for v in (plan.green_low_lb, plan.green_high_lb)]
    frame.strokes([[(x, 70), (x, 75)] for x in reach] + [[(x, 72.5) for x in reach]], width=2.8)
    frame.text(60, 16, f"tips over, dry, if pushed at\nthe top with {plan.tip_lb:,.0f} lb")
    said = (
        f"{count} boards of {quarters} {species}, 8 in wide and 12 ft long, make {plan.board_feet:,.0f} "
        f"board feet: {len(plan.layers)} layers, {tall / 12:.1f} ft high and {plan.width_in / 12:.1f} ft wide "
        f"({steady}), "
        f"{plan.green_lb:,.0f} lb green (from {plan.green_low_lb:,.0f} to {plan.green_high_lb:,.0f}) and "
        f"{plan.dry_lb:,.0f} lb dry; a footing carries up to {plan.footing_lb:,.0f} lb."
    )
    return page, said, _list(plan)


def _list(plan):
    table = plan.to_frame().to_html(index=False, border=0)
    for cell in ("<td>", "<th>"):  # words, not numbers to compare
        table = table.replace(cell, cell[:-1] + ' style="text-align:left">')
    said = "".join(f"<li>{c}</li>" for c in plan.cautions)
    return table + (f"<ul>{said}</ul>" if said else "")


def from_its_end(
    page: Drawing, sides: tuple[float, float, float, float], courses: int, across: int
) -> tuple[float, float]:
    """Draw a pile from its end, not to scale, on its feet and under its roof.

    Parameters
    ----------
    page : Drawing
    sides : tuple
        Left, top, right and foot of its boards on the page (px).
    courses, across : int
        Boards one over the other, and beside each other.

    Returns
    -------
    (float, float)
        From one course to the next, and from one board to the next (px).

    Examples
    --------
    >>> from_its_end(Drawing(), (150, 120, 390, 390), 10, 6)
    (27.0, 41.0)
    """
    left, top, right, foot = sides
    step, wide = (foot - top) / courses, (right - left + END_GAP_PX) / across
    rows = top + step * np.arange(courses)
    thick = END_THICK * step
    page.polygons([box(left, y + thick, right, y + step) for y in rows], "white", style.SOFT, 0.8)
    edges = left + wide * np.arange(across)
    page.polygons(
        [box(x, y, x + wide - END_GAP_PX, y + thick) for y in rows for x in edges], style.WOOD, style.BARK
    )
    page.polygons([box(left - 24, top - 26, right + 24, top - 16)], style.SOFT, "none")  # the roof
    feet = [box(x - 12, foot, x + 12, foot + 22) for x in (left + 25, right - 25)]
    page.polygons(feet, style.PALE, style.SOFT)
    page.lines([[(20, foot + 22), (right + 40, foot + 22)]], width=2.8)
    return step, wide


END_GAP_PX, END_THICK = 6.0, 0.66  # between boards, and what of a course is board


@style.drawn
def own_stack(plan: stack.StackPlan) -> tuple[Drawing, str, str]:
    """Draw the sheet of a planned pile from the side: where every sticker goes.

    Parameters
    ----------
    plan : stack.StackPlan

    Returns
    -------
    (Drawing, str, str)
    """
    tall = plan.foundation_in + plan.height_in
    length, wide = plan.length_in, plan.sticker_section_in[1]
    page, frame = _canvas((-0.1 * length, 1.08 * length), (-0.18 * length, 0.42 * length))
    squeeze = min(1.0, 0.36 * length / tall)
    thick = plan.layers["thickness_in"].to_numpy()
    foot = plan.foundation_in + np.concatenate([[0], np.cumsum(thick + plan.sticker_section_in[0])[:-1]])
    head = foot + thick
    bands = [box(0, f * squeeze, length, h * squeeze) for f, h in zip(foot, head, strict=True)]
    frame.shapes(bands, style.WOOD, style.BARK)
    sticks = [
        box(p - wide / 2, h * squeeze, p + wide / 2, (h + plan.sticker_section_in[0]) * squeeze)
        for h in head
        for p in plan.sticker_places_in
    ]
    frame.shapes(sticks, style.INK)
    pads = [box(p - 4, 0, p + 4, plan.foundation_in * squeeze) for p in plan.bolster_places_in]
    frame.shapes(pads, style.PALE, style.SOFT, 1.4)
    if plan.top_load_lb:  # over the columns of stickers, taller the heavier
        per_ft2 = plan.top_load_lb / (plan.width_in * length / 144)
        top, high = (head[-1] + plan.sticker_section_in[0]) * squeeze, (0.01 + per_ft2 / 4000) * length
        weights = [box(p - 4, top, p + 4, top + high) for p in plan.bolster_places_in]
        frame.shapes(weights, style.PALE, width=1.4)
    frame.rule(y=0, color=style.INK, width=2.8)
    for p in plan.sticker_places_in[:: 1 if len(plan.sticker_places_in) <= 9 else 2]:
        frame.text(p, -0.035 * length, f"{p:.0f}", at="middle")
    frame.text(length / 2, -0.085 * length, "place of each sticker, inches from the left end", at="middle")
    many, places = len(plan.layers), ", ".join(f"{p:.0f}" for p in plan.sticker_places_in)
    said = (
        f"{many} layer{'s' * (many > 1)} on stickers at {places} in from one "
        f"end; {plan.sticker_count} stickers, {len(plan.bolster_places_in)} bolsters on {plan.footings} footings, "
        f"{plan.green_lb:,.0f} lb green."
    )
    return page, said, _list(plan)


@style.drawn
def plumb_line(
    line_in: float, shift_in: float, spacing_in: float = 24.0, layers: int = 8
) -> tuple[Drawing, str]:
    """Draw the left part of a pile with a plumb line hung before it, and a tape along the lowest board.

    Parameters
    ----------
    line_in : float
        Where the line hangs, in from the left end of the boards.
    shift_in : float
        How far every second row of stickers is off.
    spacing_in : float
    layers : int

    Returns
    -------
    (Drawing, str)
    """
    places = stack.sticker_places_in(LENGTH_IN, spacing_in)
    rests = stack.shifted_places_in(places, layers, shift_in, LENGTH_IN)
    page, frame = _canvas((-5, 84), (-9, 44.4))
    thick = sawn_in(1.0)
    tall, pitch = 2.0 * thick, 2.0 * thick + 1.5  # heights doubled, so that rows are told apart
    frame.shapes(
        [box(0, k * pitch, 90, k * pitch + tall) for k in range(layers)], style.WOOD, style.BARK, 1.4
    )
    sticks = [
        box(p - 0.625, k * pitch - 1.5, p + 0.625, k * pitch) for k in range(1, layers) for p in rests[k]
    ]
    frame.shapes(sticks, "white", width=2)
    top = layers * pitch + 3
    frame.strokes([[(line_in, -1), (line_in, top)]], style.BLUE, 2.8)
    frame.mark(line_in, -1.3, "v", style.BLUE, 9, style.BLUE)
    ticks = [[(t, -4.2), (t, -4.9 if t % 12 else -5.6)] for t in range(0, 84, 2)]
    frame.strokes([[(0, -4.2), (84, -4.2)], *ticks], width=1.6)
    for t in range(0, 84, 12):
        frame.text(t, -7.2, f"{t}" if t else "0 in", at="middle")
    for k in range(1, layers):
        frame.text(-0.7, k * pitch - 0.75, f"{k}", at="end")
    hits = [f"{k}" for k in range(1, layers) if np.abs(rests[k] - line_in).min() <= 0.25]
    read = f"rows {', '.join(hits)}" if hits else "no sticker"
    frame.text(0, top + 2.2, f"{line_in:.1f} in: middle of {read}", bold=True)
    said = (
        f"A plumb line hangs {line_in:.1f} in from the left end of the boards, down a pile with {layers - 1} rows of "
        f"stickers; it runs through the middle of {read}."
    )
    return page, said
