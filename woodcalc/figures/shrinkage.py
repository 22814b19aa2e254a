"""Pictures of shrinkage: a board before and after drying, how thick to saw, a block under the caliper."""

from __future__ import annotations

import numpy as np

from woodcalc import shrinkage as sh
from woodcalc import species as woods
from woodcalc.checks import capital
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box
from woodcalc.sizes import fraction, lumber_size_in, nominal_in

BOARD_IN = (8.0, 1.125)  # the board of the first picture: 4/4 as a custom sawyer cuts it, 8 in wide
DRAWN_TIMES = 3  # the change of shape is drawn this many times larger than it is
_MC = np.linspace(0, 90, 31)
_RINGS = np.arange(0.25, 17, 0.5)  # drawn rings, in from the pith


@style.drawn
def board_dries(species: str, mc_pct: float, ring_angle_deg: float, pith_in: float) -> tuple[Drawing, str]:
    """Draw where a board lay in the log, and its cross-section green and dried.

    Parameters
    ----------
    species : str
    mc_pct : float
        Moisture content that it has come down to, %.
    ring_angle_deg : float
        Rings against the wide face at mid-width: 0 flat-sawn, 90 quarter-sawn.
    pith_in : float
        From the pith to the middle of the board, in.

    Returns
    -------
    tuple of (Drawing, str)
    """
    wood = woods.get(species)
    turn = np.radians(ring_angle_deg)
    x0, y0 = pith_in * np.sin(turn), pith_in * np.cos(turn)
    w, t = BOARD_IN
    board = sh.board_shape(w, t, x0, y0, wood, 100, mc_pct, points=16)
    page = Drawing(8.0, 4.8)
    _log_end(page, board, x0, y0)
    _shrinkage_curves(page, wood, mc_pct, ring_angle_deg, board)
    _section(page, board, x0, y0)

    width_pct = 100 * (1 - board.width_in / w)
    sawn = "flat-sawn" if ring_angle_deg < 22.5 else "quarter-sawn" if ring_angle_deg > 67.5 else "rift-sawn"
    said = (
        f"{capital(wood.name)}, {sawn} {pith_in:g} in from the pith, dried to {mc_pct:g} %: "
        f"the {w:g} in board is "
        f"{board.width_in:.2f} in wide ({width_pct:.1f} % less) and {board.thickness_in:.2f} in thick; "
    )
    if board.holds_pith:
        said += (
            f"it holds the pith, so it splits open by {board.split_deg:.0f} degrees or stays under stress."
        )
    elif board.cup_in < 0.005:
        said += "it lies flat."
    else:
        said += (
            f"it cups {board.cup_in:.2f} in, hollow on the bark side, "
            f"and {board.flat_thickness_in:.2f} in is left once both faces are planed flat."
        )
    return page, said


def _log_end(page, board, x0, y0):
    reach = max(9.0, np.hypot(np.abs(x0) + BOARD_IN[0] / 2, np.abs(y0) + BOARD_IN[1] / 2) + 0.6)
    around = (-reach - 0.4, reach + 0.4)
    frame = Frame(page, (18, 36, 220, 220), around, around)
    page.polygons([frame.circle(reach)], style.WOOD, style.BARK, 7)
    frame.shapes([board.before + [x0, y0]], "white", style.BLUE, 3.5)
    rings = [frame.circle(r) for r in np.arange(1, reach, 1.5)]
    page.polygons(rings, edge=style.BARK, opacity=0.6)  # over the board too: they tell how it was sawn
    frame.mark(0, 0, color=style.BARK, size=3.5, edge="none")
    page.title(128, 18, "Where it lay", "middle")


def _shrinkage_curves(page, wood, mc_pct, ring_angle_deg, board):
    """How width and thickness of this board go down: as the wood does in that direction, up to the board's own size."""
    chart = Frame.chart(
        page, page.part(left=0.33, foot=0.53), (90, 0), (-0.4, 12.6), [80, 60, 30, 15, 0], [0, 5, 10],
        "Moisture content (%)", "Shrinkage (%)", "Width and thickness", beside="thickness",
    )  # fmt: skip
    ends = []
    for n, (label, angle) in enumerate((("width", ring_angle_deg), ("thickness", 90 - ring_angle_deg))):
        pct, now = (np.asarray(sh.shrinkage_pct(wood, 100, mc, angle)) for mc in (_MC, mc_pct))
        own = 100 * (1 - (board.width_in, board.thickness_in)[n] / BOARD_IN[n])  # its rings are curved
        pct, now = (pct * own / now, own) if now > 0.01 else (pct, now)
        look = style.SERIES[n]
        chart.line(_MC, pct, n, every=0, width=3.9)
        chart.mark(mc_pct, now, look["marker"], look["color"], edge="white", width=0.8)
        ends.append((pct[0], label, look["color"]))
    chart.end_labels(0, ends)


def _section(page, board, x0, y0):
    frame = Frame.to_scale(page, (16, 262, 768, 210), (-4.6, 4.6), (-1.15, 1.4))
    before = board.before
    after = before + DRAWN_TIMES * (board.after - before)
    frame.shapes([before], edge=style.SOFT, width=2.5, dash="12 7")
    frame.shapes([after], style.WOOD, "none")
    rings = _dried_rings(board, x0, y0)
    frame.strokes(rings, style.BARK, 1.4, clip=page.clip(frame.at(after)), opacity=0.75)
    frame.shapes([after], width=3)
    frame.text(-4.5, -0.98, f"Dashed: green. Brown: dried, change drawn x {DRAWN_TIMES}")
    frame.text(4.5, -0.98, f"{board.width_in:.2f} in wide", at="end", bold=True)


def _dried_rings(board, x0, y0):
    """Growth rings near the board, moved and enlarged as the outline is."""
    near, far = _reach(x0, y0)
    radii = _RINGS[(_RINGS > near) & (_RINGS < far)]
    half = np.pi if board.holds_pith else min(np.pi, np.arctan2(5, max(near, 0.3)) + 0.5)
    angle = np.linspace(board.ray - half, board.ray + half, 25)[:, None]
    x, y = radii * np.cos(angle) - x0, radii * np.sin(angle) - y0
    green = np.stack([x, y], axis=-1).swapaxes(0, 1)
    return green + DRAWN_TIMES * (board.moved(green) - green)


def _reach(x0, y0):
    w, t = BOARD_IN
    dx, dy = max(abs(x0) - w / 2, 0), max(abs(y0) - t / 2, 0)
    return np.hypot(dx, dy) - 0.3, np.hypot(abs(x0) + w / 2, abs(y0) + t / 2) + 0.3


@style.drawn
def target_size(
    nominal: str, planing_32: int, shrink_pct: float, sawing_sd_in: float, set_32: int
) -> tuple[Drawing, str]:
    """Draw the spread of a saw's boards against the least green thickness that still finishes.

    Parameters
    ----------
    nominal : str
        ``"4/4"`` ...; finished to the standard's thickness for both faces surfaced.
    planing_32 : int
        Planed off both faces together, 1/32 in.
    shrink_pct : float
        Shrinkage of the thickness, %.
    sawing_sd_in : float
        Total sawing variation, in.
    set_32 : int
        Saw set above the nominal thickness by this many 1/32 in.

    Returns
    -------
    tuple of (Drawing, str)
    """
    size, finished, planing = nominal_in(nominal), lumber_size_in(nominal), planing_32 / 32
    critical = sh.critical_size_in(finished, shrink_pct, planing)
    target = sh.green_target_in(finished, shrink_pct, planing, sawing_sd_in)
    set_in = size + set_32 / 32
    share = 100 * sh.undersize_share(set_in, critical, sawing_sd_in)
    left, right = size - 0.30, size + 0.50

    page = Drawing(8.0, 4.8)
    bell = Frame(page, (48, 48, 720, 173), (left, right), (0, 1.56))
    parts = Frame(page, (48, 240, 720, 178), (left, right), (3.5, -0.6))
    marks = ticks(left, right, 9)
    bell.axes(marks, title="Boards as this saw cuts them", xnames=())
    parts.axes(marks, xlabel="Green thickness (in)", xnames=[f"{v:.1f}" for v in marks])
    x = np.linspace(set_in - 3.5 * sawing_sd_in, set_in + 3.5 * sawing_sd_in, 81)
    thin = np.append(x[x < critical], critical) if critical > x[0] else x[:0]
    if thin.size:
        height = np.exp(-0.5 * ((thin - set_in) / sawing_sd_in) ** 2)
        bell.fill(thin, 0, height, page.hatch(style.ORANGE), opacity=0.55)
    bell.line(x, np.exp(-0.5 * ((x - set_in) / sawing_sd_in) ** 2), every=0, width=3.9)
    for chart in (bell, parts):
        chart.rule(critical, color=style.ORANGE, width=3.4, dash="11 5")
        chart.rule(set_in, color=style.BLUE, width=2.8, dash="3 5")
    bell.text(left, 1.19, f"{_hundred(share)} in 100 below {critical:.3f}", color=style.ORANGE, halo=True)
    far = set_in > left + 0.6
    side = {"dx": -8, "at": "end"} if far else {"dx": 8}
    bell.text(set_in, 1.42, f"set to {fraction(set_in, 32)}", color=style.BLUE, halo=True, **side)

    ends = np.array([finished, finished + planing, critical, target])
    starts = np.array([left, *ends[:-1]])
    colors = [style.WOOD, style.SKY, style.GOLD, style.PINK]
    words = [
        f"finished {fraction(finished, 32)}",
        f"planing {planing:.3f}",
        f"shrinkage {critical - finished - planing:.3f}",
        f"saw's spread {target - critical:.3f}",
    ]
    for i, (start, end, color, text) in enumerate(zip(starts, ends, colors, words, strict=True)):
        parts.shapes([box(start, i - 0.31, end, i + 0.31)], color, width=1.4)
        if end < left + 0.52:  # room for the words, right of the bar
            parts.text(end, i, text, dx=8, halo=True)
        else:
            parts.text(start, i, text, dx=-8, at="end", halo=True)
    more = "" if set_in >= target else f" Set it up to {target:.3f} in for no more than 5 in 100."
    return page, (
        f"{nominal} stock that must finish at {fraction(finished, 32)} in needs {critical:.3f} in when green. "
        f"With the saw set to {fraction(set_in, 32)} in, {_hundred(share)} in 100 come out too thin.{more}"
    )


def _hundred(share):
    return "under 0.1" if share < 0.1 else f"{share:.1f}" if share < 9.95 else f"{share:.0f}"


@style.drawn
def block_in_caliper(mc_pct: float, shrink_pct: float, size_in: float = 6.0) -> tuple[Drawing, str]:
    """Draw a flat-sawn block in a caliper as it dries.

    Parameters
    ----------
    mc_pct : float
        Moisture content, %.
    shrink_pct : float
        Total shrinkage of the block along the beam, %.
    size_in : float
        Green size, in.

    Returns
    -------
    tuple of (Drawing, str)
    """
    width = size_in * sh.size_ratio(shrink_pct, 100, mc_pct)
    page = Drawing(8.0, 3.2)
    frame = Frame(page, (8, 6, 784, 307), (-0.7, 7.7), (-0.15, 3.6))
    frame.shapes([box(-0.5, 2.0, 7.4, 2.5)], style.PALE, width=2)
    marks = np.arange(0, 7.01, 0.25)
    tall = np.where(marks % 1 == 0, 0.32, np.where(marks % 0.5 == 0, 0.22, 0.14))
    frame.strokes([((x, 2), (x, 2 + h)) for x, h in zip(marks, tall, strict=True)], width=2.4)
    for inch in range(8):
        frame.text(inch, 2.72, str(inch), at="middle")
    block = box(0, 0.35, width, 1.9)
    frame.shapes([block], style.WOOD, "none")
    arcs = np.linspace(0.15, np.pi - 0.15, 30)
    rings = [
        np.column_stack([width / 2 + r * np.cos(arcs), r * np.sin(arcs) - 2.2])
        for r in np.arange(2.3, 5.2, 0.3)
    ]
    frame.strokes(rings, style.BARK, 1.4, clip=page.clip(frame.at(block)), opacity=0.75)
    frame.shapes([block], width=1.4)
    jaws = [[(x, 0.0), (x, 2.5), (x + lean, 2.5), (x + lean, 1.0)] for x, lean in ((0, -0.35), (width, 0.35))]
    frame.shapes(jaws, style.SOFT, width=1.4)
    frame.text(3.0, 3.25, f"{width:.3f} in", at="middle", size=1.44, bold=True)
    frame.text(width + 0.45, 0.6, f"MC {mc_pct:g} %")
    return (
        page,
        f"At {mc_pct:g} % moisture content the block measures {width:.3f} in; green it was {size_in:.3f} in.",
    )
