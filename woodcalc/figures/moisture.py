"""Pictures of the water in wood: a board on a scale, the oven test and its mistakes, a sample board."""

from math import floor, log10

import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import Polygon, Rectangle

from woodcalc import moisture as m
from woodcalc import species as woods
from woodcalc.figures import plots, style

THICK_IN = 1.125  # green thickness of the board on the scale

# The oven test's little world is invented for teaching, in sensible proportions: a red oak board at 80 % that has lain
# a few days with bare ends, and sections 1 in long from 1 x 6 in stock.
BOARD_MC, END_MC, DRIES_IN = 80.0, 30.0, 4.0  # %; %; in: the dry end fades to a third every 4 in
SECTION_DRY_G, OVEN_H = 55.0, 4.0  # g oven-dry; h: a third of the water is left after every 4 h in the oven


@plots.plotted
def board_on_scale(species, mc_pct, width_in, length_ft):
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
    tuple of (Figure, str)
    """
    wood = woods.get(species)
    full = m.greatest_mc_pct(wood.basic_sg)
    mc = min(mc_pct, full)
    bound, free = m.bound_and_free_pct(mc, wood.shrink_start_mc_pct)
    feet3 = THICK_IN * width_in * length_ft / 144
    dry = feet3 * m.green_weight_lb_per_ft3(wood, 0, volume="green")
    in_wall, in_cavity = dry * bound / 100, dry * free / 100
    total = dry + in_wall + in_cavity

    fig = plots.new_figure()
    _scale(fig.add_axes([0.01, 0.05, 0.32, 0.88]), width_in, length_ft, total)
    _column(fig.add_axes([0.43, 0.12, 0.13, 0.76]), dry, in_wall, in_cavity, dry * (1 + full / 100))
    _cells(fig.add_axes([0.72, 0.06, 0.27, 0.82]), wood, mc, bound, free, full)
    where = (
        "all of it bound in the cell walls"
        if free < 0.05
        else f"{in_wall:.1f} lb bound, {in_cavity:.1f} lb free"
    )
    if mc_pct > full + 0.5:
        where += f"; {wood.name} cannot hold more than {full:.0f} %, so that is drawn"
    return fig, (
        f"At {mc:.0f} % this {wood.name} board weighs {total:.1f} lb: {dry:.1f} lb of wood and "
        f"{total - dry:.1f} lb of water, {where}."
    )


def _scale(ax, width_in, length_ft, total):
    half = 0.5 + 2.4 * length_ft / 16
    deep = 0.25 + 0.5 * width_in / 16
    board = Polygon(
        [(-half, 4.6), (half - 0.5, 4.6), (half, 4.6 + deep), (-half + 0.5, 4.6 + deep)],
        facecolor=style.WOOD, edgecolor=style.BARK, linewidth=2,
    )  # fmt: skip
    front = Rectangle(
        (-half, 4.3), 2 * half - 0.5, 0.3, facecolor=style.WOOD, edgecolor=style.BARK, linewidth=2
    )
    steel = {"facecolor": style.PALE, "edgecolor": style.INK, "linewidth": 2}
    ax.add_patch(Polygon([(-1.6, 3.9), (1.6, 3.9), (1.9, 4.3), (-1.9, 4.3)], **steel))
    ax.add_patch(Rectangle((-0.35, 3.2), 0.7, 0.7, **steel))
    ax.add_patch(Polygon([(-2.1, 0.6), (2.1, 0.6), (1.7, 3.2), (-1.7, 3.2)], **steel))
    ax.add_patch(Rectangle((-1.45, 1.35), 2.9, 1.15, facecolor="white", edgecolor=style.INK, linewidth=2))
    ax.add_patch(front)
    ax.add_patch(board)
    ax.text(0, 1.9, f"{total:.1f} lb", ha="center", va="center", fontsize="large", fontweight="bold")
    ax.text(0, 6.1, f"{width_in:g} in x {length_ft:g} ft", ha="center")
    ax.set(xlim=(-3.1, 3.1), ylim=(0.2, 6.8))
    ax.axis("off")
    ax.set_title("On the scale", loc="center", y=1.0, pad=6)


def _column(ax, dry, in_wall, in_cavity, most):
    for low, high, color, hatch in (
        (0, dry, style.WOOD, None),
        (dry, in_wall, style.BLUE, "///"),
        (dry + in_wall, in_cavity, style.SKY, None),
    ):
        ax.bar(0, high, 0.8, bottom=low, color=color, edgecolor="white" if hatch else style.INK, hatch=hatch)
    ax.bar(0, most, 0.8, fill=False, edgecolor=style.SOFT, linestyle="--", linewidth=1.8)
    heights = [dry / 2, dry + in_wall / 2, dry + in_wall + in_cavity / 2]
    names = [
        (f"wood {dry:.1f}", style.BARK),
        (f"bound {in_wall:.1f}", style.BLUE),
        (f"free {in_cavity:.1f}", "#1f78b4"),
    ]
    least = most * 0.065
    for i in (1, 2):
        heights[i] = max(heights[i], heights[i - 1] + least)
    shown = [True, in_wall > 0.005 * dry, in_cavity > 0.005 * dry]
    for y, (text, color), show in zip(heights, names, shown, strict=True):
        if show:
            ax.text(0.5, y, text, va="center", color=color)
    ax.set(xlim=(-0.5, 0.5), ylim=(0, most * 1.02), xticks=[], ylabel="Weight (lb)")
    ax.set_title("Wood and water", y=1.0, pad=8)


def _cells(ax, wood, mc, bound, free, full):
    """A few cells cut across: walls as thick as this wood's, darker as they fill; cavities as full as they are."""
    size = (1 - wood.shrink_volumetric_pct / 100 * (1 - bound / wood.shrink_start_mc_pct)) ** 0.5
    open_ = (1 - wood.basic_sg / m.CELL_WALL_SG) ** 0.5 * 0.97  # width of a cavity over width of a cell
    room = full - wood.shrink_start_mc_pct
    level = min(1.0, free / room) if room > 0 else 0.0
    walls, holes, water = [], [], []
    for row in range(5):
        for column in range(4):
            x, y = column + 0.5 * (row % 2), row * 0.9
            c = np.array([x + 0.5, y + 0.45])
            box = np.array([[-0.5, -0.45], [0.5, -0.45], [0.5, 0.45], [-0.5, 0.45]])
            walls.append(c + box * 0.985)
            hole = box * open_
            holes.append(c + hole)
            top = hole[0, 1] + level * (hole[2, 1] - hole[0, 1])
            water.append(c + np.array([hole[0], hole[1], [hole[1, 0], top], [hole[0, 0], top]]))
    shift = np.array([2.25, 2.25])
    walls, holes, water = (shift + size * (np.array(p) - shift) for p in (walls, holes, water))
    wet = bound / wood.shrink_start_mc_pct
    dry_rgb, wet_rgb = np.array([0.85, 0.73, 0.54]), np.array([0.0, 0.447, 0.698])
    ax.add_collection(
        PolyCollection(walls, facecolor=dry_rgb + 0.75 * wet * (wet_rgb - dry_rgb), edgecolor=style.INK)
    )
    ax.add_collection(PolyCollection(holes, facecolor="white", edgecolor=style.INK, linewidths=0.8))
    if level > 0:
        ax.add_collection(PolyCollection(water, facecolor=style.SKY, edgecolor=style.INK, linewidths=0.8))
    ax.set(xlim=(-0.15, 4.65), ylim=(-1.35, 4.7), aspect="equal")
    ax.text(2.25, -0.5, f"walls {100 * wet:.0f} % full", ha="center")
    ax.text(2.25, -1.1, f"cavities {100 * level:.0f} % full", ha="center")
    ax.axis("off")
    ax.set_title("In the cells", loc="center", y=1.0, pad=6)


def mc_along_pct(from_end_in, board_mc_pct=BOARD_MC):
    """Return the moisture content along the invented board, by the distance from its bare end, %."""
    return board_mc_pct - (board_mc_pct - END_MC) * np.exp(-np.asarray(from_end_in, dtype=float) / DRIES_IN)


def section_weights_g(hours, from_end_in, division_g, board_mc_pct=BOARD_MC):
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


@plots.plotted
def oven_test(hours, from_end_in, division_g, board_mc_pct=BOARD_MC, tell=True):
    """Draw an oven test: where the section came from, how it dried, and what moisture content it gives.

    Parameters
    ----------
    hours, from_end_in, division_g, board_mc_pct :
        As in `section_weights_g`.
    tell : bool
        Show the board's true moisture content beside the test's answer.

    Returns
    -------
    tuple of (Figure, str)
    """
    wet, dried = section_weights_g(hours, from_end_in, division_g, board_mc_pct)
    test = m.oven_test(wet, dried, division_g) if wet > dried else m.OvenTest(0.0, 0.0, 0.0)
    fig = plots.new_figure()
    _along(fig.add_axes([0.05, 0.72, 0.90, 0.20]), from_end_in, board_mc_pct if tell else None)
    _drying(fig.add_axes([0.10, 0.14, 0.47 if tell else 0.80, 0.37]), hours, from_end_in, dried, board_mc_pct)
    decimals = max(0, -floor(log10(division_g)))  # as many as the scale shows
    weighed = f"The section weighs {wet:.{decimals}f} g wet and {dried:.{decimals}f} g after {hours:g} h in the oven"
    if not tell:
        return (
            fig,
            f"{weighed}; the scale reads to {division_g:g} g, and the section was cut {from_end_in:g} in from the end.",
        )
    _answer(fig.add_axes([0.70, 0.14, 0.27, 0.37]), test, board_mc_pct)
    off = test.mc_pct - board_mc_pct
    side = "right to a point" if abs(off) < 1 else f"{abs(off):.0f} points too {'high' if off > 0 else 'low'}"
    scale = f"; the scale alone may put it off by {test.most_pct:.1f}" if test.most_pct >= 0.05 else ""
    return fig, f"{weighed}: {test.mc_pct:.1f} %, where the board has {board_mc_pct:g} %: {side}{scale}."


def _along(ax, from_end_in, board_mc_pct):
    if board_mc_pct is None:
        ax.add_patch(Rectangle((0, 0), 36, 1, facecolor=style.WOOD, edgecolor=style.BARK, linewidth=2))
    else:
        edges = np.arange(0, 37, 1.5)
        share = mc_along_pct(edges[:-1] + 0.75, 1.0 * board_mc_pct) / board_mc_pct
        # pale dry, brown wet
        tone = np.array([0.94, 0.86, 0.72]) + share[:, None] * np.array([-0.36, -0.43, -0.47])
        strips = [[(a, 0), (a + 1.5, 0), (a + 1.5, 1), (a, 1)] for a in edges[:-1]]
        ax.add_collection(PolyCollection(strips, facecolors=tone, edgecolors="none"))
        ax.add_patch(Rectangle((0, 0), 36, 1, fill=False, edgecolor=style.BARK, linewidth=2))
    ax.add_patch(
        Rectangle((from_end_in - 0.5, -0.12), 1, 1.24, fill=False, edgecolor=style.BLUE, linewidth=3)
    )
    ax.set(xlim=(-0.6, 37), ylim=(-0.25, 1.3), yticks=[], xlabel="From the bare end (in)")
    ax.set_xticks([0, 12, 24, 36])
    ax.spines["left"].set_visible(False)
    ax.grid(False)
    ax.set_title(
        "Where the section is cut (darker: wetter)" if board_mc_pct else "Where the section is cut",
        y=1.0,
        pad=4,
    )


def _drying(ax, hours, from_end_in, dried, board_mc_pct):
    h = np.linspace(0, 36, 61)
    water = SECTION_DRY_G * float(mc_along_pct(from_end_in, board_mc_pct)) / 100
    ax.plot(h, SECTION_DRY_G + water * np.exp(-h / OVEN_H), color=style.BLUE)
    ax.plot(
        hours, dried, marker="s", color=style.ORANGE, linestyle="none", markersize=11, markeredgecolor="white"
    )
    ax.axvline(hours, color=style.ORANGE, linestyle=":", linewidth=1.8)
    ax.set(xlim=(0, 36), ylim=(50, 105), xlabel="Time in the oven (h)", ylabel="Weight (g)")
    ax.set_xticks([0, 12, 24, 36])
    ax.set_yticks([60, 80, 100])
    ax.set_title("How it dries", y=1.0, pad=6)


def _answer(ax, test, board_mc_pct):
    ax.bar([0, 1], [board_mc_pct, test.mc_pct], 0.62, color=[style.WOOD, style.SKY], edgecolor=style.INK)
    if test.most_pct >= 0.5:
        ax.errorbar(1, test.mc_pct, yerr=test.most_pct, color=style.INK, capsize=8, linewidth=2)
    for x, y in ((0, board_mc_pct), (1, test.mc_pct)):
        ax.text(x, 3, f"{y:.1f}", ha="center", fontweight="bold")
    ax.set(xlim=(-0.6, 1.6), ylim=(0, 105), ylabel="MC (%)")
    ax.set_xticks([0, 1], ["board", "test"])
    ax.set_yticks([0, 50, 100])
    ax.grid(False, axis="x")
    ax.set_title("What it tells", y=1.0, pad=6)


@plots.plotted
def sample_board(section_1_pct, section_2_pct, green_lb, lost_lb):
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
    tuple of (Figure, str, str)
    """
    sections = tuple((100 + mc, 100.0) for mc in (section_1_pct, section_2_pct))
    board = m.SampleBoard(sections, green_lb)
    now_lb = green_lb - lost_lb
    now = board.mc_now_pct(now_lb) - 1e-9  # so that 62.25 reads as the start does, 62.2
    fig = plots.new_figure()
    ax = fig.add_axes([0.10, 0.15, 0.84, 0.74])
    mc = np.array([0.0, 110.0])
    ax.plot(mc, board.weight_at(mc), color=style.SOFT, linewidth=2)
    spots = [
        (board.start_mc_pct, "start", style.BLUE, "o", (-8, -18)),
        (now, "now", style.ORANGE, "s", (6, 32)),
        (20, "20 %", style.GREEN, "^", (-8, -16)),
        (8, "8 %", style.GREEN, "v", (8, 12)),
    ]
    lines = [((p, 0), (p, board.weight_at(p))) for p, *_ in spots]
    ax.add_collection(LineCollection(lines, colors=[s[2] for s in spots], linestyles=":", linewidths=1.8))
    for p, name, color, marker, at in spots:
        lb = board.weight_at(p)
        ax.plot(p, lb, marker=marker, color=color, markersize=11, markeredgecolor="white", linestyle="none")
        ax.annotate(
            f"{name}: {lb:.2f} lb", (p, lb), at, textcoords="offset points", color=color, va="center",
            ha="right" if at[0] < 0 else "left",
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1},  # no line runs through the words
        )  # fmt: skip
    ax.set(xlim=(128, -16), ylim=(0, 7), xlabel="Moisture content (%)", ylabel="Weight of the board (lb)")
    ax.set_xticks([120, 100, 80, 60, 40, 20, 0])
    ax.set_title("One board tells for the stack", y=1.0)
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
        fig,
        f"From {green_lb:.2f} lb at {board.start_mc_pct:.1f} % to {now_lb:.2f} lb: the board is at {now:.1f} %, "
        f"and it will weigh {board.weight_at(20):.2f} lb at 20 %.",
        f"<table>{cells}</table>",
    )
