"""Pictures of shrinkage: a board before and after drying, how thick to saw, a block under the caliper."""

from math import gcd

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.patches import Circle, Polygon, Rectangle

from woodcalc import shrinkage as sh
from woodcalc import species as woods
from woodcalc.figures import plots, style

BOARD_IN = (8.0, 1.125)  # the board of the first picture: 4/4 as a custom sawyer cuts it, 8 in wide
DRAWN_TIMES = 3  # the change of shape is drawn this many times larger than it is
_MC = np.linspace(0, 90, 31)
_RINGS = np.arange(0.25, 14, 0.5)  # drawn rings, in from the pith


@plots.plotted
def board_dries(species, mc_pct, ring_angle_deg, pith_in):
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
    tuple of (Figure, str)
    """
    wood = woods.get(species)
    turn = np.radians(ring_angle_deg)
    x0, y0 = pith_in * np.sin(turn), pith_in * np.cos(turn)
    w, t = BOARD_IN
    board = sh.board_shape(w, t, x0, y0, wood, 100, mc_pct, points=16)
    fig = plots.new_figure()
    _log_end(fig.add_axes([0.01, 0.44, 0.30, 0.48]), board, x0, y0)
    _shrinkage_curves(fig.add_axes([0.42, 0.58, 0.42, 0.33]), wood, mc_pct, ring_angle_deg)
    _section(fig.add_axes([0.02, 0.01, 0.96, 0.41]), board, x0, y0)

    width_pct = 100 * (1 - board.width_in / w)
    sawn = "flat-sawn" if ring_angle_deg < 22.5 else "quarter-sawn" if ring_angle_deg > 67.5 else "rift-sawn"
    said = (
        f"{wood.name[0].upper()}{wood.name[1:]}, {sawn} {pith_in:g} in from the pith, dried to {mc_pct:g} %: "
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
    return fig, said


def _log_end(ax, board, x0, y0):
    reach = max(9.0, np.hypot(np.abs(x0) + BOARD_IN[0] / 2, np.abs(y0) + BOARD_IN[1] / 2) + 0.6)
    ax.add_patch(Circle((0, 0), reach, facecolor=style.WOOD, edgecolor=style.BARK, linewidth=5))
    around = np.linspace(0, 2 * np.pi, 40)
    ring = np.column_stack([np.cos(around), np.sin(around)])
    radii = np.arange(1, reach, 1.5)
    ax.add_collection(LineCollection([r * ring for r in radii], colors=style.BARK, linewidths=0.7, alpha=0.6))
    ax.plot(0, 0, marker="o", color=style.BARK, markersize=5)
    ax.add_patch(Polygon(board.before + [x0, y0], facecolor="white", edgecolor=style.BLUE, linewidth=2.5))
    ax.set(xlim=(-reach - 0.4, reach + 0.4), ylim=(-reach - 0.4, reach + 0.4), aspect="equal")
    ax.axis("off")
    ax.set_title("Where it lay", loc="center", y=1.0, pad=4)


def _shrinkage_curves(ax, wood, mc_pct, ring_angle_deg):
    ends = []
    for series, angle, label in (
        (plots.SERIES[0], ring_angle_deg, "width"),
        (plots.SERIES[1], 90 - ring_angle_deg, "thickness"),
    ):
        pct = np.asarray(sh.shrinkage_pct(wood, 100, _MC, angle))
        line = {"color": series["color"], "linestyle": series["linestyle"]}
        ax.plot(_MC, pct, **line)
        now = sh.shrinkage_pct(wood, 100, mc_pct, angle)
        ax.plot(mc_pct, now, marker=series["marker"], color=series["color"], markeredgecolor="white")
        ends.append((pct[0], label, series["color"]))
    ax.set(xlim=(90, 0), ylim=(-0.4, 12.6), xlabel="Moisture content (%)", ylabel="Shrinkage (%)")
    ax.set_xticks([80, 60, 30, 15, 0])
    ax.set_yticks([0, 5, 10])
    plots.end_labels(ax, 0, ends, dx=6)
    ax.set_title("Width and thickness", y=1.0, pad=6)


def _section(ax, board, x0, y0):
    before = board.before
    after = before + DRAWN_TIMES * (board.after - before)
    ax.add_patch(
        Polygon(before, closed=True, fill=False, edgecolor=style.SOFT, linestyle=(0, (5, 3)), linewidth=1.8)
    )
    dried = Polygon(after, closed=True, facecolor=style.WOOD, edgecolor=style.INK, linewidth=2.2)
    ax.add_patch(dried)
    rings = LineCollection(_dried_rings(board, x0, y0), colors=style.BARK, linewidths=1.0, alpha=0.75)
    ax.add_collection(rings)
    rings.set_clip_path(dried)
    ax.set(xlim=(-4.6, 4.6), ylim=(-1.1, 1.3), aspect="equal")
    ax.axis("off")
    caption = f"Dashed: green. Brown: dried, the change drawn {DRAWN_TIMES} times larger"
    ax.text(-4.5, 1.2, caption, va="center")
    ax.text(4.5, -0.95, f"{board.width_in:.2f} in wide", va="center", ha="right", fontweight="bold")


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


@plots.plotted
def target_size(nominal, planing_32, shrink_pct, sawing_sd_in, set_32):
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
    tuple of (Figure, str)
    """
    size, finished, planing = sh.nominal_in(nominal), sh.lumber_size_in(nominal), planing_32 / 32
    critical = sh.critical_size_in(finished, shrink_pct, planing)
    target = sh.green_target_in(finished, shrink_pct, planing, sawing_sd_in)
    set_in = size + set_32 / 32
    share = 100 * sh.undersize_share(set_in, critical, sawing_sd_in)
    left, right = size - 0.30, size + 0.50

    fig = plots.new_figure()
    bell = fig.add_axes([0.06, 0.54, 0.90, 0.36])
    x = np.linspace(set_in - 3.5 * sawing_sd_in, set_in + 3.5 * sawing_sd_in, 81)
    y = np.exp(-0.5 * ((x - set_in) / sawing_sd_in) ** 2)
    bell.plot(x, y, color=style.BLUE, linestyle="-")
    thin = np.append(x[x < critical], critical) if critical > x[0] else x[:0]
    if thin.size:
        height = np.exp(-0.5 * ((thin - set_in) / sawing_sd_in) ** 2)
        bell.fill_between(thin, height, color=style.ORANGE, alpha=0.55, hatch="///", edgecolor="white")
    bell.axvline(critical, color=style.ORANGE, linestyle="--", linewidth=2.4)
    bell.axvline(set_in, color=style.BLUE, linestyle=":", linewidth=2)
    clear = {"facecolor": "white", "edgecolor": "none", "pad": 1}
    bell.text(left, 1.14, f"{_hundred(share)} in 100 below {critical:.3f}", color=style.ORANGE, bbox=clear)
    far = set_in > left + 0.6
    bell.text(
        set_in + (-0.008 if far else 0.008),
        1.36,
        f"set to {_inches(set_in)}",
        color=style.BLUE,
        ha="right" if far else "left",
    )
    bell.set(xlim=(left, right), ylim=(0, 1.56), yticks=[])
    bell.spines["left"].set_visible(False)
    bell.tick_params(labelbottom=False)
    bell.grid(False)
    bell.set_title("Boards as this saw cuts them", y=1.0, pad=8)

    parts = fig.add_axes([0.06, 0.13, 0.90, 0.37])
    ends = np.array([finished, finished + planing, critical, target])
    starts = np.array([left, *ends[:-1]])
    colors = [style.WOOD, style.SKY, style.GOLD, style.PINK]
    words = [
        f"finished {_inches(finished)}",
        f"planing {planing:.3f}",
        f"shrinkage {critical - finished - planing:.3f}",
        f"saw's spread {target - critical:.3f}",
    ]
    parts.barh(range(4), ends - starts, left=starts, color=colors, edgecolor=style.INK, height=0.62)
    for i, (start, end, text) in enumerate(zip(starts, ends, words, strict=True)):
        room = end < left + 0.52  # for the words, right of the bar
        parts.text(
            end + 0.008 if room else start - 0.008,
            i,
            text,
            va="center",
            ha="left" if room else "right",
            bbox=clear,
        )
    parts.axvline(critical, color=style.ORANGE, linestyle="--", linewidth=2.4, zorder=0)
    parts.axvline(set_in, color=style.BLUE, linestyle=":", linewidth=2, zorder=0)
    parts.set(xlim=(left, right), ylim=(3.5, -0.6), yticks=[], xlabel="Green thickness (in)")
    parts.spines["left"].set_visible(False)
    parts.grid(False)
    more = "" if set_in >= target else f" Set it up to {target:.3f} in for no more than 5 in 100."
    return fig, (
        f"{nominal} stock that must finish at {_inches(finished)} in needs {critical:.3f} in when green. "
        f"With the saw set to {_inches(set_in)} in, {_hundred(share)} in 100 come out too thin.{more}"
    )


def _inches(size):
    """1.0625 as 1-1/16: the way a tape is read, for sizes on the 1/32 in grid."""
    top = round(size * 32)
    whole, part = divmod(top, 32)
    if not part:
        return f"{whole}"
    cut = gcd(part, 32)
    return f"{whole}-{part // cut}/{32 // cut}".removeprefix("0-")


def _hundred(share):
    return "under 0.1" if share < 0.1 else f"{share:.1f}" if share < 9.95 else f"{share:.0f}"


@plots.plotted
def block_in_caliper(mc_pct, shrink_pct, size_in=6.0):
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
    tuple of (Figure, str)
    """
    width = size_in * sh.size_ratio(shrink_pct, 100, mc_pct)
    fig = plots.new_figure(8, 3.2)
    ax = fig.add_axes([0.01, 0.02, 0.98, 0.96])
    ax.add_patch(Rectangle((-0.5, 2.0), 7.9, 0.5, facecolor=style.PALE, edgecolor=style.INK, linewidth=1.5))
    ticks = np.arange(0, 7.01, 0.25)
    tall = np.where(ticks % 1 == 0, 0.32, np.where(ticks % 0.5 == 0, 0.22, 0.14))
    ax.add_collection(
        LineCollection([((x, 2), (x, 2 + h)) for x, h in zip(ticks, tall, strict=True)], colors=style.INK)
    )
    for inch in range(8):
        ax.text(inch, 2.62, str(inch), ha="center")
    block = Polygon(
        [(0, 0.35), (width, 0.35), (width, 1.9), (0, 1.9)], facecolor=style.WOOD, edgecolor=style.INK
    )
    ax.add_patch(block)
    arcs = np.linspace(0.15, np.pi - 0.15, 30)
    curves = [
        np.column_stack([width / 2 + r * np.cos(arcs), r * np.sin(arcs) - 2.2])
        for r in np.arange(2.3, 5.2, 0.3)
    ]
    rings = LineCollection(curves, colors=style.BARK, linewidths=1, alpha=0.75)
    ax.add_collection(rings)
    rings.set_clip_path(block)
    for x, lean in ((0, -0.35), (width, 0.35)):
        jaw = [(x, 0.0), (x, 2.5), (x + lean, 2.5), (x + lean, 1.0)]
        ax.add_patch(Polygon(jaw, facecolor=style.SOFT, edgecolor=style.INK))
    ax.text(3.0, 3.25, f"{width:.3f} in", ha="center", va="center", fontsize="x-large", fontweight="bold")
    ax.text(width + 0.45, 0.6, f"MC {mc_pct:g} %", va="center")
    ax.set(xlim=(-0.7, 7.7), ylim=(-0.15, 3.6))
    ax.axis("off")
    return (
        fig,
        f"At {mc_pct:g} % moisture content the block measures {width:.3f} in; green it was {size_in:.3f} in.",
    )
