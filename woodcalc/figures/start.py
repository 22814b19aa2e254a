"""Pictures of the first lesson: the job step by step, and what a choice of wood, place and month means."""

from __future__ import annotations

import numpy as np

from woodcalc import climate, species
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import ROUND, Drawing, box, oval
from woodcalc.moisture import FURNITURE_PCT
from woodcalc.records import choices

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


def _boxes(f, places, fill=style.WOOD, edge=style.BARK, width=2.2, dash=""):
    f.shapes([box(x, y, x + w, y + h) for x, y, w, h in places], fill, edge, width, dash=dash)


def _discs(f, x, y, radii, fill="none", edge=style.INK, width=1.7):
    f.shapes([oval(2 * r, 2 * r, x, y) for r in radii], fill, edge, width)


def _arrows(f, color, *ends):
    for start, end in ends:
        f.page.arrow(f.at(start), f.at(end), color, 3.6)


def _log_end(f):
    _discs(f, 100, 66, [54], style.BARK)
    _discs(f, 100, 66, [48.6], style.WOOD, "none")
    _discs(f, 100, 66, [13.5, 27, 39], "none", style.BARK, 1.3)


def _measure(f):
    _log_end(f)
    _boxes(f, [(30, 58, 140, 16)], style.GOLD, style.INK, 2)
    f.strokes([[(x, 58), (x, 66)] for x in range(38, 170, 12)], width=1.7)


def _open(f):
    _log_end(f)
    boards = ((30, 30), (46, 42), (62, 46), (78, 44), (94, 34))
    f.strokes([[(38, y - 2), (162, y - 2)] for y, _ in boards], style.ORANGE, 2.2, "8 4")
    _boxes(f, [(100 - half, y, 2 * half, 11) for y, half in boards], "#ead4b0")


def _thick(f):
    _boxes(f, [(26, 30, 148, 62)], "none", width=2.8, dash="10 5")
    _boxes(f, [(34, 36, 132, 50)])
    _arrows(f, style.ORANGE, ((100, 118), (100, 96)), ((100, 4), (100, 26)))


def _water(f):
    _boxes(f, [(56, 62, 88, 26)])
    f.shapes([[(40, 56), (160, 56), (150, 22), (50, 22)]], style.PALE, width=2.5)
    _discs(f, 100, 39, [12], "white", width=2)
    f.strokes([[(100, 39), (106, 46)]], style.ORANGE, 2.8)
    f.strokes([[(44, 59), (156, 59)]], width=4.2)
    drop = np.column_stack([15 * np.sin(ROUND) * np.sin(ROUND / 2) ** 1.5, 15 * np.cos(ROUND)]) + [100, 108]
    f.shapes([drop], style.SKY, width=1.8)


def _air(f):
    _boxes(f, [(50, 46, 100, 30)])
    gives = [((x, y), (x, y + way)) for x in (70, 130) for y, way in ((82, 34), (40, -32))]
    takes = [((100, 116), (100, 82)), ((100, 8), (100, 40))]
    _arrows(f, style.BLUE, *gives, *takes)


def _stack(f):
    rows = range(30, 91, 20)
    _boxes(f, [(x, y, 40, 13) for y in rows for x in (34, 80, 126)], width=1.7)
    _boxes(f, [(x, y - 7, 12, 7) for y in rows for x in (42, 94, 146)], style.INK, "none")
    f.shapes([[(18, 104), (182, 116), (182, 122), (18, 110)]], style.SOFT, width=1.7)
    _boxes(f, [(x, 10, 20, 13) for x in (38, 90, 142)], style.SOFT, style.INK, 1.4)


def _curve(f):
    f.strokes([[(28, 116), (28, 18), (182, 18)]], width=2.8)
    x = np.linspace(0, 1, 30)
    f.fill(
        30 + 150 * x, 36 + 78 * np.exp(-3.4 * x) - 8 * x, 36 + 78 * np.exp(-2.2 * x), style.SKY, opacity=0.6
    )
    f.strokes([np.column_stack([30 + 150 * x, 34 + 78 * np.exp(-2.8 * x)])], style.BLUE, 4.2)


def _records(f):
    _boxes(f, [(52, 10, 96, 112)], "white", style.INK, 2.5)
    lines = range(24, 112, 17)
    f.strokes([[(60, y), (94, y)] for y in lines], style.SOFT, 4.2)
    f.strokes([[(102, y), (113 + 5 * k, y)] for k, y in enumerate(lines)], style.BLUE, 7)


def _last(f):
    f.shapes([[(40, 14), (160, 14), (160, 56), (40, 98)]], style.PALE, width=2.5)
    f.strokes([[(36, 99), (166, 54)]], style.BLUE, 8.4)
    _boxes(f, [(62, y, 76, 9) for y in (22, 36)], width=1.7)
    _discs(f, 158, 104, [15], style.GOLD)
    rays = [np.array([[np.cos(a), np.sin(a)]]) for a in np.radians((150, 195, 240, 285))]
    f.strokes([[158, 104] + np.array([[19], [31]]) * ray for ray in rays], style.ORANGE, 3.4)


def _moves(f):
    _boxes(f, [(24, 66, 152, 16)], "none", dash="8 4")
    _boxes(f, [(34, 66, 132, 16), (48, 14, 10, 52), (142, 14, 10, 52)])
    _arrows(f, style.ORANGE, ((60, 104), (18, 104)), ((140, 104), (182, 104)))


def _plan(f):
    _boxes(f, [(44, 8, 112, 114)], "white", style.INK, 2.5)
    lines = (98, 74, 50, 26)
    _boxes(f, [(56, y - 6, 13, 13) for y in lines], "white", style.INK, 2)
    f.strokes([[(58, y), (62, y - 4), (70, y + 7)] for y in lines], style.GREEN, 4)
    f.strokes([[(78, y), (144, y)] for y in lines], style.SOFT, 4.2)


_DRAW = (_measure, _open, _thick, _water, _air, _stack, _curve, _records, _last, _moves, _plan)


@style.drawn
def step_picture(number: int) -> tuple[Drawing, str]:
    """Draw one step of the job, 200 x 130 px.

    Parameters
    ----------
    number : int
        1 to 11, the lesson's number.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> step_picture(1)[1]
    'Lesson 1, Measure the log: a log end with a rule across it.'
    """
    _, title, _, shows = STEPS[number - 1]
    page = Drawing(_W / 100, _H / 100)
    _DRAW[number - 1](Frame(page, page.part(margin=0), (0, _W), (0, _H)))
    return page, f"Lesson {number}, {title}: {shows}."


def strip_html() -> str:
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
            '<div style="text-align:center;font-size:15px">'
            f'<a href="{file}.ipynb">{image}</a><br><a href="{file}.ipynb"><b>{number}.</b> {title}</a></div>'
        )
    # four in a row where there is room, two on a phone
    columns = "repeat(auto-fill,minmax(max(110px,22%),1fr))"
    return (
        f'<div style="display:grid;grid-template-columns:{columns};gap:12px 16px;max-width:820px;background:white">'
        f"{''.join(cells)}</div>"
    )


THICKNESSES = ("4/4", "5/4", "6/4", "8/4", "10/4", "12/4")


@style.drawn
def your_wood(place: str, species_name: str, thickness: str, month: int) -> tuple[Drawing, str]:
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
    (Drawing, str)

    Examples
    --------
    >>> your_wood("Madison, WI", "northern red oak", "4/4", 5)[1][:58]
    'You chose 4/4 northern red oak, stacked in May at Madison,'
    """
    wood, year = species.get(species_name), climate.get(place).monthly
    inches = choices.Choices(thickness=thickness).thickness_in
    rest, name = float(year.emc_pct[month]), climate.MONTHS[month - 1]
    page = Drawing()
    page.title(24, 34, f"{thickness} {wood.name}, stacked in {name}")

    high, floor = 34 * inches, 230  # 34 px to the inch, 6 in wide
    board = box(40, floor - high, 244, floor)
    page.polygons([board], style.WOOD, style.BARK, 2.8)
    rings = [oval(2 * r, 1.2 * r, 142, 300) for r in (130, 200, 270)]
    page.polygons(rings, "none", style.BARK, 1.7, clip=page.clip(board))
    page.text(254, floor - high / 2, f"{inches:g} in")
    page.text(142, floor + 20, "end of a 6 in board, to scale", "middle", size=0.85)
    for y, label, mc, fill in (
        (292, f"green: {wood.start_mc_pct:.0f} %", wood.start_mc_pct, style.BLUE),
        (370, f"rests at {rest:.1f} % in {name}", rest, page.hatch(style.SKY, style.INK)),
    ):
        page.text(20, y, label)
        page.polygons([box(20, y + 16, 20 + min(mc, 160) * 1.75, y + 38)], fill, width=2)
    page.text(20, 450, "lb of water to 100 lb of dry wood", size=0.85)

    chart = Frame.chart(
        page, page.part(left=0.4, top=0.1), (0.5, 12.5), (0, 24), range(1, 13), (0, 8, 16, 24),
        "Month (January to December)", "Wood rests at (% MC)", place, [m[0] for m in climate.MONTHS],
    )  # fmt: skip
    chart.band(y=FURNITURE_PCT)
    chart.line(range(1, 13), year.emc_pct)
    chart.mark(month, rest, color=style.GOLD, size=10, width=3.5)
    chart.text(6.5, 2.2, "shaded: furniture wood", at="middle", halo=True)
    low, top = FURNITURE_PCT
    return page, (
        f"You chose {thickness} {wood.name}, stacked in {name} at {place}: boards {inches:g} in thick that start near "
        f"{wood.start_mc_pct:.0f} % moisture content, in air that would let them rest at {rest:.1f} %. Furniture wants "
        f"{low:g} to {top:g} %."
    )


@style.drawn
def practice(rings: int) -> tuple[Drawing, str]:
    """Draw a log end with as many growth rings as the slider says: something to move in the first lesson.

    Parameters
    ----------
    rings : int
        1 to 60.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> practice(20)[1]
    'A log end with 20 rings: the tree stood about 20 years.'
    """
    page = Drawing(8, 3.2)
    log = Frame(page, page.part(margin=0), (-170, 630), (-160, 160))
    r = 60 + 1.5 * rings
    page.polygons([log.circle(r + 6)], style.BARK, width=2)
    page.polygons([log.circle(r)], style.WOOD, "none")
    growth = [oval(2 * r * k / rings, 2 * r * k / rings, at=ROUND[::2]) for k in range(1, rings + 1)]
    log.shapes(growth, "none", style.BARK, 1.0)
    page.text(372, 160, f"{rings} ring{'s' * (rings > 1)}", size=1.7, bold=True)
    years = "1 year" if rings == 1 else f"{rings} years"
    return page, f"A log end with {rings} ring{'s' * (rings > 1)}: the tree stood about {years}."
