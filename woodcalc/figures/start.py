"""Pictures of the first lesson: the job step by step, and what a choice of wood, place and month means."""

import numpy as np
from matplotlib.patches import Circle, Ellipse, Polygon, Rectangle

from woodcalc import choices, climate, species
from woodcalc.figures import plots, style
from woodcalc.figures.air import FURNITURE_PCT

# number, title, file, what the picture shows
STEPS = (
    ("01", "Measure the log", "01-measure-the-log", "a log end with a rule across it"),
    ("02", "Open the log", "02-open-the-log", "a log end with saw lines and the boards between them"),
    ("03", "Cut thick enough", "03-cut-thick-enough", "a green board, and the smaller dry one inside it"),
    ("04", "Water in the wood", "04-water-in-the-wood", "a board on a scale, with a drop of water"),
    ("05", "Wood and the air", "05-wood-and-the-air", "a board that gives water to the air and takes it"),
    ("06", "Build the stack", "06-build-the-stack", "boards in layers with sticks between, all in line"),
    ("07", "Dry outdoors", "07-dry-outdoors", "a drying curve that falls and levels out"),
    ("08", "Keep the records", "08-keep-the-records", "a page of dated readings"),
    ("09", "The last points", "09-the-last-points", "a small drying house under the sun"),
    ("10", "Wood that moves", "10-wood-that-moves", "a table top that widens and narrows"),
    ("11", "The whole job", "11-the-whole-job", "a plan on one page, ticked off"),
)
_W, _H = 200, 130  # px of one small picture


def _wood(ax, x, y, w, h, **look):
    ax.add_patch(Rectangle((x, y), w, h, **{"fc": style.WOOD, "ec": style.BARK, "lw": 1.6} | look))


def _arrow(ax, start, end, color=style.BLUE, head="-|>"):
    arrow = {"arrowstyle": f"{head},head_length=0.5,head_width=0.3", "lw": 2.6, "color": color}
    ax.annotate("", end, start, arrowprops=arrow)


def _log_end(ax, x, y, r):
    ax.add_patch(Circle((x, y), r, fc=style.BARK, ec=style.INK, lw=1.2))
    ax.add_patch(Circle((x, y), 0.9 * r, fc=style.WOOD, ec="none"))
    for part in (0.25, 0.5, 0.72):
        ax.add_patch(Circle((x, y), part * r, fc="none", ec=style.BARK, lw=0.9))


def _measure(ax):
    _log_end(ax, 100, 66, 54)
    ax.add_patch(Rectangle((30, 58), 140, 16, fc=style.GOLD, ec=style.INK, lw=1.4))
    for x in range(38, 170, 12):
        ax.plot([x, x], [58, 66], color=style.INK, lw=1.2)


def _open(ax):
    _log_end(ax, 100, 66, 54)
    for y, half in ((30, 30), (46, 42), (62, 46), (78, 44), (94, 34)):
        ax.plot([38, 162], [y - 2, y - 2], color=style.ORANGE, lw=1.6, ls="--")
        _wood(ax, 100 - half, y, 2 * half, 11, fc="#ead4b0")


def _thick(ax):
    _wood(ax, 26, 30, 148, 62, fc="none", ls="--", lw=2)
    _wood(ax, 34, 36, 132, 50)
    for y in (100, 22):
        _arrow(ax, (100, y + (18 if y > 50 else -18)), (100, y - (4 if y > 50 else -4)), style.ORANGE)


def _water(ax):
    _wood(ax, 56, 62, 88, 26)
    ax.add_patch(Polygon([(40, 56), (160, 56), (150, 22), (50, 22)], fc=style.PALE, ec=style.INK, lw=1.8))
    ax.add_patch(Circle((100, 39), 12, fc="white", ec=style.INK, lw=1.4))
    ax.plot([100, 106], [39, 46], color=style.ORANGE, lw=2)
    ax.plot([44, 156], [59, 59], color=style.INK, lw=3)
    t = np.linspace(0, 2 * np.pi, 40)
    drop = np.column_stack([15 * np.sin(t) * np.sin(t / 2) ** 1.5, 15 * np.cos(t)]) + [100, 108]
    ax.add_patch(Polygon(drop, fc=style.SKY, ec=style.INK, lw=1.3))


def _air(ax):
    _wood(ax, 50, 46, 100, 30)
    for x, up in ((70, True), (100, False), (130, True)):
        _arrow(ax, (x, 82 if up else 116), (x, 116 if up else 82), style.BLUE)
        _arrow(ax, (x, 40 if up else 8), (x, 8 if up else 40), style.BLUE)


def _stack(ax):
    for row in range(4):
        y = 30 + 20 * row
        for x in (34, 80, 126):
            _wood(ax, x, y, 40, 13, lw=1.2)
        for x in (42, 94, 146):
            ax.add_patch(Rectangle((x, y - 7), 12, 7, fc=style.INK, ec="none"))
    ax.add_patch(Polygon([(18, 104), (182, 116), (182, 122), (18, 110)], fc=style.SOFT, ec=style.INK, lw=1.2))
    for x in (38, 90, 142):
        ax.add_patch(Rectangle((x, 10), 20, 13, fc=style.SOFT, ec=style.INK, lw=1))


def _curve(ax):
    ax.plot([28, 28, 182], [116, 18, 18], color=style.INK, lw=2)
    x = np.linspace(0, 1, 30)
    ax.fill_between(30 + 150 * x, 36 + 78 * np.exp(-3.4 * x) - 8 * x, 36 + 78 * np.exp(-2.2 * x), color=style.SKY,
                    alpha=0.6, lw=0)  # fmt: skip
    ax.plot(30 + 150 * x, 34 + 78 * np.exp(-2.8 * x), color=style.BLUE, lw=3)


def _records(ax):
    ax.add_patch(Rectangle((52, 10), 96, 112, fc="white", ec=style.INK, lw=1.8))
    for k, y in enumerate(range(24, 112, 17)):
        ax.plot([62, 92], [y, y], color=style.SOFT, lw=3)
        ax.plot([104, 104 + 6 + 5 * k], [y, y], color=style.BLUE, lw=5)


def _last(ax):
    ax.add_patch(Polygon([(40, 14), (160, 14), (160, 56), (40, 98)], fc=style.PALE, ec=style.INK, lw=1.8))
    ax.plot([36, 166], [99, 54], color=style.BLUE, lw=6, solid_capstyle="butt")
    for y in (22, 36):
        _wood(ax, 62, y, 76, 9, lw=1.2)
    ax.add_patch(Circle((158, 104), 15, fc=style.GOLD, ec=style.INK, lw=1.2))
    for a in np.radians((150, 195, 240, 285)):
        ax.plot([158 + 20 * np.cos(a), 158 + 30 * np.cos(a)], [104 + 20 * np.sin(a), 104 + 30 * np.sin(a)],
                color=style.ORANGE, lw=2.4)  # fmt: skip


def _moves(ax):
    ax.add_patch(Rectangle((24, 66), 152, 16, fc="none", ec=style.BARK, ls="--", lw=1.6))
    _wood(ax, 34, 66, 132, 16)
    for x in (48, 142):
        _wood(ax, x, 14, 10, 52)
    _arrow(ax, (60, 104), (18, 104), style.ORANGE)
    _arrow(ax, (140, 104), (182, 104), style.ORANGE)


def _plan(ax):
    ax.add_patch(Rectangle((44, 8), 112, 114, fc="white", ec=style.INK, lw=1.8))
    for y in (98, 74, 50, 26):
        ax.add_patch(Rectangle((56, y - 6), 13, 13, fc="white", ec=style.INK, lw=1.4))
        ax.plot([58, 62, 70], [y, y - 4, y + 7], color=style.GREEN, lw=2.8)
        ax.plot([80, 142], [y, y], color=style.SOFT, lw=3)


_DRAW = (_measure, _open, _thick, _water, _air, _stack, _curve, _records, _last, _moves, _plan)


@plots.plotted
def step_picture(number):
    """Draw one step of the job, 200 x 130 px.

    Parameters
    ----------
    number : int
        1 to 11, the lesson's number.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> step_picture(1)[1]
    'Lesson 1, Measure the log: a log end with a rule across it.'
    """
    _, title, _, shows = STEPS[number - 1]
    fig = plots.new_figure(_W / 100, _H / 100)
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(0, _W), ylim=(0, _H))
    ax.axis("off")
    _DRAW[number - 1](ax)
    return fig, f"Lesson {number}, {title}: {shows}."


def strip_html():
    """Return the whole job as a strip of small pictures, each a link to its lesson.

    Examples
    --------
    >>> strip_html().count("<a href=")
    22
    """
    cells = []
    for number, (_, title, file, _) in enumerate(STEPS, 1):
        figure, sentence = step_picture(number)
        image = style.to_img(figure, sentence)
        cells.append(
            '<td style="text-align:center;padding:6px 8px;background:white;font-size:15px;max-width:none">'
            f'<a href="{file}.ipynb">{image}</a><br><a href="{file}.ipynb"><b>{number}.</b> {title}</a></td>'
        )
    rows = "".join(f"<tr>{''.join(cells[k : k + 4])}</tr>" for k in range(0, len(cells), 4))
    return f'<table style="border:0;margin:0">{rows}</table>'


THICKNESSES = ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4")


@plots.plotted
def your_wood(place, species_name, thickness, month):
    """Draw a board of the chosen thickness, its water when green, and the year of air that it will lie in.

    Parameters
    ----------
    place, species_name : str
        As `woodcalc.climate.get` and `woodcalc.species.get` know them.
    thickness : str
        Rough thickness by name, ``"4/4"``.
    month : int
        Month of stacking, 1 to 12.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> your_wood("Madison, WI", "northern red oak", "4/4", 5)[1][:58]
    'You chose 4/4 northern red oak, stacked in May at Madison,'
    """
    wood, year = species.get(species_name), climate.get(place).monthly
    inches = choices.Choices(thickness=thickness).thickness_in
    rest, name = float(year.emc_pct[month]), climate.MONTHS[month - 1]
    fig = plots.new_figure()
    fig.text(
        0.03, 0.93, f"{thickness} {wood.name}, stacked in {name}", weight="bold", size="large", va="center"
    )

    ax = fig.add_axes([0, 0, 0.4, 0.88])
    ax.set(xlim=(0, 320), ylim=(0, 422))
    ax.axis("off")
    high, floor = 34 * inches, 250  # 34 px to the inch, 6 in wide
    board = Rectangle((40, floor), 204, high, fc=style.WOOD, ec=style.BARK, lw=2)
    ax.add_patch(board)
    for r in (130, 200, 270):
        ring = Ellipse((142, floor - 70), 2 * r, 1.2 * r, fc="none", ec=style.BARK, lw=1.2)
        ax.add_patch(ring)
        ring.set_clip_path(board)
    ax.text(254, floor + high / 2, f"{inches:g} in", va="center")
    ax.text(142, floor - 20, "end of a 6 in board, to scale", ha="center", va="center", size="small")
    for y, label, mc, look in (
        (150, f"green: {wood.green_mc_pct:.0f} %", wood.green_mc_pct, {"fc": style.BLUE}),
        (72, f"rests at {rest:.1f} % in {name}", rest, {"fc": style.SKY, "hatch": "//"}),
    ):
        ax.text(20, y + 34, label, va="center")
        ax.add_patch(Rectangle((20, y), min(mc, 160) * 1.75, 22, ec=style.INK, lw=1.4, **look))
    ax.text(20, 30, "lb of water to 100 lb of dry wood", va="center", size="small")

    ax = fig.add_axes([0.49, 0.14, 0.48, 0.66])
    ax.axhspan(*FURNITURE_PCT, color=style.GOLD, alpha=0.3, lw=0)
    ax.text(6.5, 2.2, "shaded: furniture wood", ha="center", va="center")
    ax.plot(range(1, 13), year.emc_pct, **plots.SERIES[0])
    ax.plot([month], [rest], "o", ms=15, color=style.INK, mfc=style.GOLD, mew=2.5, zorder=5)
    ax.set(xlim=(0.5, 12.5), ylim=(0, 24), yticks=(0, 8, 16, 24), xticks=range(1, 13))
    ax.set_xticklabels([m[0] for m in climate.MONTHS])
    ax.set(xlabel="Month (January to December)", ylabel="Wood rests at (% MC)")
    ax.set_title(place, size="medium")
    low, top = FURNITURE_PCT
    return fig, (
        f"You chose {thickness} {wood.name}, stacked in {name} at {place}: boards {inches:g} in thick that start near "
        f"{wood.green_mc_pct:.0f} % moisture content, in air that would let them rest at {rest:.1f} %. Furniture wants "
        f"{low:g} to {top:g} %."
    )


@plots.plotted
def practice(rings):
    """Draw a log end with as many growth rings as the slider says: something to move in the first lesson.

    Parameters
    ----------
    rings : int
        1 to 60.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> practice(20)[1]
    'A log end with 20 rings: the tree stood about 20 years.'
    """
    fig = plots.new_figure(8, 3.2)
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(0, 800), ylim=(0, 320))
    ax.axis("off")
    r = 60 + 1.5 * rings
    ax.add_patch(Circle((170, 160), r + 6, fc=style.BARK, ec=style.INK, lw=1.5))
    ax.add_patch(Circle((170, 160), r, fc=style.WOOD, ec="none"))
    angle = np.linspace(0, 2 * np.pi, 40)
    for k in range(1, rings, max(rings // 20, 1)):
        ax.plot(
            170 + r * k / rings * np.cos(angle), 160 + r * k / rings * np.sin(angle), color=style.BARK, lw=0.9
        )
    ax.text(372, 160, f"{rings} rings", size="xx-large", weight="bold", va="center")
    years = "1 year" if rings == 1 else f"{rings} years"
    return fig, f"A log end with {rings} ring{'s' * (rings > 1)}: the tree stood about {years}."
