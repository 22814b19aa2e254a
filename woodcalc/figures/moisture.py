"""Pictures of the water in wood: a board on a scale, the oven test and its mistakes, a sample board."""

from __future__ import annotations

from math import floor, log10

import numpy as np

from woodcalc import moisture as m
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, Numbers, plain
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box
from woodcalc.sizes import length_told

THICK_IN = 1.125  # green thickness of the board on the scale

# The oven test's little world is invented for teaching, in sensible proportions: a red oak board at 80 % that has lain
# a few days with bare ends, and sections 1 in long from 1 x 6 in stock.
BOARD_MC, END_MC, DRIES_IN = 80.0, 30.0, 4.0  # %; %; in: the dry end fades to a third every 4 in
SECTION_DRY_G, OVEN_H = 55.0, 4.0  # g oven-dry; h: a third of the water is left after every 4 h in the oven


@style.drawn
def board_on_scale(species: str, mc_pct: float, width_in: float, length_ft: float) -> tuple[Drawing, str]:
    """Draw a board on a scale: how much of the weight is wood, bound water and free water, and where the water is.

    Parameters
    ----------
    species : str
    mc_pct : float
        Moisture content, %; no more than the wood can hold is drawn.
    width_in, length_ft : float
        Green size of the board, 1-1/8 in thick.

    Returns
    -------
    tuple of (Drawing, str)
    """
    wood = woods.get(species)
    full = m.greatest_mc_pct(wood.basic_sg)
    mc = min(mc_pct, full)
    bound, free = m.bound_and_free_pct(mc, wood.shrink_start_mc_pct)
    feet3 = THICK_IN * width_in * length_ft / 144
    dry = feet3 * m.green_weight_lb_per_ft3(wood, 0, volume="green")
    in_wall, in_cavity = dry * bound / 100, dry * free / 100
    total = dry + in_wall + in_cavity

    page = Drawing()
    _scale(page, width_in, length_ft, total)
    _column(page, dry, in_wall, in_cavity, dry * (1 + full / 100))
    _cells(page, wood, bound, free, full)
    where = (
        "all of it bound in the cell walls"
        if free < 0.05
        else f"{in_wall:.1f} lb bound, {in_cavity:.1f} lb free"
    )
    if mc_pct > full + 0.5:
        where += f"; {wood.name} cannot hold more than {full:.0f} %, so that is drawn"
    return page, (
        f"At {mc:.0f} % this {wood.name} board weighs {total:.1f} lb: {dry:.1f} lb of wood and "
        f"{total - dry:.1f} lb of water, {where}."
    )


def _scale(page, width_in, length_ft, total):
    page.title(136, 24, "On the scale", "middle")
    frame = Frame(page, (8, 34, 256, 422), (-3.1, 3.1), (0.2, 6.8))
    half = 0.5 + 2.4 * length_ft / 16
    deep = 0.25 + 0.5 * width_in / 16
    pan = [(-1.6, 3.9), (1.6, 3.9), (1.9, 4.3), (-1.9, 4.3)]
    foot = [(-2.1, 0.6), (2.1, 0.6), (1.7, 3.2), (-1.7, 3.2)]
    front = box(-half, 4.3, half - 0.5, 4.6)
    face = [(-half, 4.6), (half - 0.5, 4.6), (half, 4.6 + deep), (-half + 0.5, 4.6 + deep)]
    frame.shapes([pan, box(-0.35, 3.2, 0.35, 3.9), foot], style.PALE, width=2.8)
    frame.shapes([box(-1.65, 1.35, 1.65, 2.5)], "white", width=2.8)
    frame.shapes([front, face], style.WOOD, style.BARK, 2.8)
    frame.text(0, 1.9, f"{total:.1f} lb", at="middle", size=1.2, bold=True)
    frame.text(0, 6.1, f"{width_in:g} in x {length_told(length_ft)}", at="middle")


def _column(page, dry, in_wall, in_cavity, most):
    chart = Frame(page, (336, 58, 104, 386), (-0.5, 0.5), (0, most * 1.02))
    chart.axes((), ticks(0, most, 6), "", "Weight (lb)", grid="")
    page.title(318, 24, "Wood and water")
    ends, low = [], 0.0
    for name, weight, fill, color in (
        ("wood", dry, style.WOOD, style.BARK),
        ("bound", in_wall, page.hatch(style.BLUE), style.BLUE),
        ("free", in_cavity, style.SKY, "#1f78b4"),
    ):
        if weight > 0.005 * dry:
            chart.shapes([box(-0.4, low, 0.4, low + weight)], fill)
            ends.append((low + weight / 2, f"{name} {weight:.1f}", color))
        low += weight
    chart.shapes([box(-0.4, 0, 0.4, most)], "none", style.SOFT, 2.5, dash="9 5")
    chart.end_labels(0.4, ends)


def _cells(page, wood, bound, free, full):
    """A few cells cut across: walls as thick as this wood's, darker as they fill; cavities as full as they are."""
    wet = bound / wood.shrink_start_mc_pct
    size = (1 - wood.shrink_volumetric_pct / 100 * (1 - wet)) ** 0.5
    open_ = (1 - wood.basic_sg / m.CELL_WALL_SG) ** 0.5 * 0.97  # width of a cavity over width of a cell
    room = full - wood.shrink_start_mc_pct
    level = min(1.0, free / room) if room > 0 else 0.0
    middles = np.array(
        [(column + 0.5 * (row % 2) - 1.75, 0.9 * row - 1.8) for row in range(5) for column in range(4)]
    )
    frame = Frame.to_scale(page, (572, 58, 222, 400), (-2.45, 2.45), (-3.6, 2.4))

    def draw(width, high, fill, line):
        """In each cell a box, `width` of the cell's, from its foot up to `high` of its height."""
        cell = width * np.array(box(-0.5, -0.45, 0.5, 0.9 * high - 0.45))
        frame.shapes(size * (middles[:, None] + cell), fill, width=line)

    dry_rgb, wet_rgb = np.array([0.85, 0.73, 0.54]), np.array([0.0, 0.447, 0.698])
    draw(0.985, 1, _rgb(dry_rgb + 0.75 * wet * (wet_rgb - dry_rgb)), 1.4)
    draw(open_, 1, "white", 1.1)
    if level > 0:
        draw(open_, level, style.SKY, 1.1)
    frame.text(0, -2.75, f"walls {100 * wet:.0f} % full", at="middle")
    frame.text(0, -3.35, f"cavities {100 * level:.0f} % full", at="middle")
    page.title(683, 24, "In the cells", "middle")


def _rgb(shares):
    return "#" + "".join(f"{round(255 * share):02x}" for share in shares)


def mc_along_pct(from_end_in: Numbers, board_mc_pct: float = BOARD_MC) -> FloatOrArray:
    """Return the moisture content along the invented board, by the distance from its bare end, %."""
    return plain(board_mc_pct - (board_mc_pct - END_MC) * np.exp(-np.asarray(from_end_in, float) / DRIES_IN))


def section_weights_g(
    hours: float, from_end_in: float, division_g: float, board_mc_pct: float = BOARD_MC
) -> tuple[float, float]:
    """Return what the scale shows for a section: wet, and after `hours` in the oven, g.

    Parameters
    ----------
    hours : float
        In the oven.
    from_end_in : float
        Middle of the section from the end of the board, in.
    division_g : float
        Smallest step of the scale, g.
    board_mc_pct : float
        Moisture content well away from the ends, %.

    Returns
    -------
    tuple of float
    """
    water = SECTION_DRY_G * float(mc_along_pct(from_end_in, board_mc_pct)) / 100
    weights = SECTION_DRY_G + water, SECTION_DRY_G + water * np.exp(-hours / OVEN_H)
    wet, dried = (float(np.round(w / division_g) * division_g) for w in weights)
    return wet, dried


@style.drawn
def oven_test(
    hours: float, from_end_in: float, division_g: float, board_mc_pct: float = BOARD_MC, tell: bool = True
) -> tuple[Drawing, str]:
    """Draw an oven test: where the section came from, how it dried, and what moisture content it gives.

    Parameters
    ----------
    hours, from_end_in, division_g, board_mc_pct :
        As in `section_weights_g`.
    tell : bool
        Show the board's true moisture content beside the test's answer.

    Returns
    -------
    tuple of (Drawing, str)
    """
    wet, dried = section_weights_g(hours, from_end_in, division_g, board_mc_pct)
    test = m.oven_test(wet, dried, division_g) if wet > dried else m.OvenTest(0.0, 0.0, 0.0)
    page = Drawing()
    _along(page, from_end_in, board_mc_pct if tell else None)
    _drying(page, 0.6 if tell else 1.0, hours, from_end_in, dried, board_mc_pct)
    decimals = max(0, -floor(log10(division_g)))  # as many as the scale shows
    weighed = f"The section weighs {wet:.{decimals}f} g wet and {dried:.{decimals}f} g after {hours:g} h in the oven"
    if not tell:
        return (
            page,
            f"{weighed}; the scale reads to {division_g:g} g, and the section was cut {from_end_in:g} in from the end.",
        )
    _answer(page, test, board_mc_pct)
    off = test.mc_pct - board_mc_pct
    side = "right to a point" if abs(off) < 1 else f"{abs(off):.0f} points too {'high' if off > 0 else 'low'}"
    scale = f"; the scale alone may put it off by {test.most_pct:.1f}" if test.most_pct >= 0.05 else ""
    return page, f"{weighed}: {test.mc_pct:.1f} %, where the board has {board_mc_pct:g} %: {side}{scale}."


def _along(page, from_end_in, board_mc_pct):
    frame = Frame(page, (40, 44, 720, 96), (-0.6, 37), (-0.25, 1.3))
    told = " (darker: wetter)" if board_mc_pct else ""
    frame.axes(
        (0, 12, 24, 36), (), "From the bare end (in)", title=f"Where the section is cut{told}", grid=""
    )
    board = box(0, 0, 36, 1)
    if board_mc_pct is None:
        frame.shapes([board], style.WOOD, "none")
    else:
        starts = np.arange(0, 36, 1.5)
        share = mc_along_pct(starts + 0.75, 1.0 * board_mc_pct) / board_mc_pct
        for a, wet in zip(starts, share, strict=True):
            tone = _rgb(
                np.array([0.94, 0.86, 0.72]) - wet * np.array([0.36, 0.43, 0.47])
            )  # pale dry, brown wet
            frame.shapes([box(a, 0, a + 1.5, 1)], tone, tone)
    frame.shapes([board], "none", style.BARK, 2.8)
    frame.shapes([box(from_end_in - 0.5, -0.12, from_end_in + 0.5, 1.12)], "none", style.BLUE, 4.2)


def _drying(page, share, hours, from_end_in, dried, board_mc_pct):
    chart = Frame.chart(
        page, page.part(right=share, top=0.42), (0, 36), (50, 105), (0, 12, 24, 36), (60, 80, 100),
        "Time in the oven (h)", "Weight (g)", "How it dries",
    )  # fmt: skip
    h = np.linspace(0, 36, 61)
    water = SECTION_DRY_G * float(mc_along_pct(from_end_in, board_mc_pct)) / 100
    chart.line(h, SECTION_DRY_G + water * np.exp(-h / OVEN_H), every=0)
    chart.rule(x=hours, color=style.ORANGE, width=2.5, dash="2 4")
    chart.mark(hours, dried, "s", style.ORANGE, 7, "white")


def _answer(page, test, board_mc_pct):
    chart = Frame.chart(
        page, page.part(left=0.6, top=0.42), (-0.6, 1.6), (0, 105), (0, 1), (0, 50, 100), "", "MC (%)",
        "What it tells", ("board", "test"), grid="y", below=1.25,
    )  # fmt: skip
    for x, mc, off, fill in ((0, board_mc_pct, 0.0, style.WOOD), (1, test.mc_pct, test.most_pct, style.SKY)):
        chart.shapes([box(x - 0.31, 0, x + 0.31, mc)], fill)
        if off >= 0.5:
            caps = [[(x - 0.1, y), (x + 0.1, y)] for y in (mc - off, mc + off)]
            chart.strokes([[(x, mc - off), (x, mc + off)], *caps], width=2.8, clip=chart.inside())
        low = 3 if mc - off > 15 else mc + off + 3  # on the bar where there is room, else above it
        chart.text(x, low, f"{mc:.1f}", dy=-0.36 * page.type, at="middle", bold=True)


def _on_its_scale(page, green_lb, now_lb, now_pct, dry_lb):
    """The sample board on a scale, and under it what it is made of now: oven-dry wood and the water left in it."""
    page.polygons(
        [[(18, 128), (232, 128), (250, 104), (40, 104)], box(18, 128, 232, 152)], style.WOOD, style.BARK, 2.4
    )
    page.polygons([[(232, 128), (250, 104), (250, 128), (232, 152)]], style.WOOD, style.BARK, 2.4)
    page.polygons([box(50, 154, 206, 166)], style.PALE, width=2.2)
    page.polygons([[(84, 166), (172, 166), (196, 236), (60, 236)]], style.PALE, width=2.6)
    page.polygons([box(78, 180, 178, 224)], "white", width=2)
    page.text(128, 202, f"{now_lb:.2f} lb", "middle", size=1.1, bold=True)
    page.text(128, 78, "the sample board now", "middle", size=0.9)
    px, left, top = 212 / max(green_lb, now_lb), 22.0, 296.0
    wet = left + px * dry_lb
    page.polygons([box(left, top, wet, top + 40)], style.WOOD, width=1.6)
    if now_lb > dry_lb:
        page.polygons([box(wet, top, left + px * now_lb, top + 40)], page.hatch(style.SKY), width=1.6)
    page.polygons([box(left, top, left + px * green_lb, top + 40)], edge=style.SOFT, width=1.8, dash="6 5")
    page.text(left, top - 16, f"wood {dry_lb:.2f} lb,", size=0.9)
    page.text(left, top + 60, f"water {now_lb - dry_lb:.2f} lb: {now_pct:.1f} %", size=0.9)
    page.text(left, top + 88, "dashed: at the start", size=0.9)


@style.drawn
def sample_board(
    section_1_pct: float, section_2_pct: float, green_lb: float, lost_lb: float
) -> tuple[Drawing, str, str]:
    """Draw weight against moisture content for one sample board, with the weights to look for.

    Parameters
    ----------
    section_1_pct, section_2_pct : float
        Moisture contents of the two sections, %.
    green_lb : float
        The board right after cutting, lb.
    lost_lb : float
        Weight lost since, lb.

    Returns
    -------
    tuple of (Drawing, str, str)
    """
    sections = tuple((100 + mc, 100.0) for mc in (section_1_pct, section_2_pct))
    board = m.SampleBoard(sections, green_lb)
    now_lb = green_lb - lost_lb
    now = board.mc_now_pct(now_lb) - 1e-9  # so that 62.25 reads as the start does, 62.2
    page = Drawing()
    page.title(16, 24, "One board tells for the stack")
    _on_its_scale(page, green_lb, now_lb, now, board.oven_dry)
    chart = Frame.chart(
        page, page.part(left=0.33, top=0.07), (128, -46), (0, 7), range(0, 121, 20), range(8), "Moisture content (%)",
        "Weight of the board (lb)",
    )  # fmt: skip
    mc = np.array([0.0, 110.0])
    chart.line(mc, board.weight_at(mc), every=0, width=2.8, color=style.SOFT)
    spots = [
        (board.start_mc_pct, "start", style.BLUE, "o", "end", -11, 25),
        (now, "now", style.ORANGE, "s", "start", -4, -45),
        (20, "20 %", style.GREEN, "^", "end", -11, 22),
        (8, "8 %", style.GREEN, "v", "start", 9, -17),
    ]
    for p, _, color, marker, *_ in spots:
        lb = board.weight_at(p)
        chart.strokes([[(p, 0), (p, lb)]], color, 2.5, "2 4")
        chart.mark(p, lb, marker, color, 7, "white")
    for p, name, color, _, at, dx, dy in spots:
        lb = board.weight_at(p)
        words = f"{name}: {lb:.2f} lb"
        if at == "end":
            dx = max(dx, chart.box[0] + 10 + page.width(words) - chart.at((p, lb))[0])  # not over the axis
        chart.text(p, lb, words, dx, dy, at=at, color=color, halo=True)
    rows = [
        ("Sections", f"{section_1_pct:.1f} % and {section_2_pct:.1f} %, mean {board.start_mc_pct:.1f} %"),
        (
            "Oven-dry weight",
            f"{green_lb:.2f} lb / (1 + {board.start_mc_pct:.1f}/100) = {board.oven_dry:.2f} lb",
        ),
        ("MC now", f"({now_lb:.2f} / {board.oven_dry:.2f} - 1) x 100 = {now:.1f} %"),
        ("Weight to look for", "; ".join(f"{p} %: {board.weight_at(p):.2f} lb" for p in (30, 25, 20, 15, 8))),
    ]
    cells = "".join(f'<tr><th scope="row">{a}</th><td style="text-align:left">{b}</td></tr>' for a, b in rows)
    return (
        page,
        f"From {green_lb:.2f} lb at {board.start_mc_pct:.1f} % to {now_lb:.2f} lb: the board is at {now:.1f} %, "
        f"and it will weigh {board.weight_at(20):.2f} lb at 20 %.",
        f"<table>{cells}</table>",
    )
