"""Pictures of a log: its end as a scaler reads it, what each rule pays for, its volume and its weight."""

import numpy as np
from matplotlib.collections import LineCollection, PatchCollection
from matplotlib.patches import Ellipse, Polygon, Wedge

from woodcalc import logs
from woodcalc import species as woods
from woodcalc.figures import plots, style

_RULES = (
    ("D", "Doyle", logs.doyle_bf),
    ("S", "Scribner", logs.scribner_bf),
    ("I", "Int'l 1/4", logs.international_bf),
)
_ROUND = np.linspace(0, 2 * np.pi, 49)
SHOWN = ("board feet", "% of the end's area")


def _rings(radius_x, radius_y, every_in=1.1):
    """Growth rings as outlines, closer together toward the bark."""
    n = max(int(min(radius_x, radius_y) / every_in), 2)
    shares = 1 - (1 - np.arange(1, n) / n) ** 1.3
    outline = np.column_stack([radius_x * np.cos(_ROUND), radius_y * np.sin(_ROUND)])
    return LineCollection([s * outline for s in shares], colors=style.BARK, linewidths=0.6, alpha=0.55)


@plots.plotted
def log_end_and_rules(short_in, wider_in, bark_in, length_ft, shown="board feet"):
    """Draw the small end to scale beside the board feet that each rule gives across diameters.

    Parameters
    ----------
    short_in : float
        Narrowest diameter inside bark (in).
    wider_in : float
        How much wider the log is the other way (in).
    bark_in : float
        Thickness of the bark (in).
    length_ft : float
        Length (ft).
    shown : str
        One of `SHOWN`: what the chart counts.

    Returns
    -------
    tuple
        Figure, sentence, table in HTML.

    Examples
    --------
    >>> log_end_and_rules(16, 0, 0.5, 12)[1][:68]
    'Scaled at 16 in and 12 ft, this log is 108 bf by Doyle, 125 by Scrib'
    """
    long_in = short_in + wider_in
    d = logs.scaling_diameter_in(short_in, long_in)
    here = [rule(d, length_ft) for _, _, rule in _RULES]
    area_in2 = [12 * bf / length_ft for bf in here]  # board feet per foot of log, as square inches of the end
    paid = [100 * a / (np.pi / 4 * d**2) for a in area_in2]
    fig = plots.new_figure()

    ax = fig.add_axes([0.0, 0.07, 0.45, 0.84])
    ax.set(xlim=(-18.5, 18.5), ylim=(-20.7, 20.7), aspect="equal")
    ax.set_axis_off()
    wide, high = long_in + 2 * bark_in, short_in + 2 * bark_in
    ends = [Ellipse((0, 0), wide, high), Ellipse((0, 0), long_in, short_in)]
    # each third of the end shows the core that one rule pays for
    cores = [Wedge((0, 0), np.sqrt(a / np.pi), 30 - 120 * i, 150 - 120 * i) for i, a in enumerate(area_in2)]
    colours = [look["color"] + "99" for look in plots.SERIES[:3]]
    ax.add_collection(
        PatchCollection(
            ends + cores, facecolors=[style.BARK, style.WOOD, *colours], edgecolors=style.INK, linewidths=1.1
        )
    )
    ax.add_collection(_rings(long_in / 2, short_in / 2))
    for i, (letter, _, _) in enumerate(_RULES):
        at, angle = max(0.6 * np.sqrt(area_in2[i] / np.pi), 1.6), np.radians(90 - 120 * i)
        ax.text(at * np.cos(angle), at * np.sin(angle), letter, ha="center", va="center", fontweight="bold")
    below, left = -high / 2 - 1.6, -wide / 2 - 1.4
    a, b = long_in / 2, short_in / 2
    strokes = [[(-a, below), (a, below)], [(left, -b), (left, b)]]
    strokes += [[(x, below - 0.7), (x, below + 0.7)] for x in (-a, a)]
    strokes += [[(left - 0.7, y), (left + 0.7, y)] for y in (-b, b)]
    ax.add_collection(LineCollection(strokes, colors=style.INK, linewidths=1.2))
    ax.text(0, below - 0.9, f"{long_in:g} in", ha="center", va="top")
    ax.text(max(left - 2.7, -18.2), short_in / 2 + 0.6, f"{short_in:g} in", va="bottom")
    fig.text(0.02, 0.93, "The small end, to scale", fontweight="bold", fontsize="large")
    fig.text(0.02, 0.03, "Tinted: the core each rule pays for")

    chart = fig.add_axes([0.54, 0.15, 0.44, 0.73])
    across = np.arange(6, 29, 2)
    in_bf = shown == SHOWN[0]
    top = 660 if in_bf else 110
    for i, (letter, name, rule) in enumerate(_RULES):
        line, look = rule(across, length_ft), plots.SERIES[i]
        y = line if in_bf else 1200 * line / length_ft / (np.pi / 4 * across**2)
        value = f"{here[i]:.0f} bf" if in_bf else f"{paid[i]:.0f} %"
        chart.plot(across, y, markevery=2, **look)
        at = here[i] if in_bf else paid[i]
        key = f"{'●■▲'[i]} {letter}  {name}: {value}"
        chart.text(
            5.6, (1 - 0.08 * i) * top - 0.02 * top, key, color=look["color"], va="top", fontweight="bold"
        )
        chart.plot(
            [d], [at], marker=look["marker"], color=look["color"], markersize=14, mec=style.INK, mew=1.6
        )
    chart.axvline(d, ymax=0.74, color=style.SOFT, linewidth=1.2, linestyle=":")
    chart.set(xlim=(5, 29), ylim=(0, top), xticks=[8, 12, 16, 20, 24, 28])
    chart.set_yticks([0, 150, 300, 450, 600] if in_bf else [0, 25, 50, 75, 100])
    chart.set_xlabel("Scaling diameter (in)")
    fig.text(
        0.48,
        0.93,
        "Board feet (bf)" if in_bf else "Share of the end (%)",
        fontweight="bold",
        fontsize="large",
    )

    sentence = (
        f"Scaled at {d:g} in and {length_ft:g} ft, this log is {here[0]:.0f} bf by Doyle, {here[1]:.0f} by "
        f"Scribner and {here[2]:.0f} by International 1/4: the rules pay for {paid[0]:.0f}, {paid[1]:.0f} and "
        f"{paid[2]:.0f} % of the end and leave the rest to slabs, edgings and sawdust."
    )
    return fig, sentence, _ways_to_read(short_in, long_in, bark_in, length_ft)


def _ways_to_read(short_in, long_in, bark_in, length_ft):
    """The same log read rightly and wrongly, as an HTML table."""
    mean = (short_in + long_in) / 2
    up, down = (logs.scaling_diameter_in(short_in, long_in, halves=h) for h in ("up", "down"))
    ways = [("small end, inside bark", up)]
    if up != down:
        ways = [("small end, inside bark, half inch up", up), ("the same, half inch down", down)]
    ways += [
        ("slip: over the bark", logs.scaling_diameter_in(mean + 2 * bark_in)),
        ("slip: at the large end", logs.scaling_diameter_in(mean + length_ft / 8)),
    ]
    head = "".join(
        f"<th>{h}</th>" for h in ("measured", "in", "Doyle bf", "Scribner bf", "International 1/4 bf")
    )
    rows = "".join(
        f"<tr><td>{name}</td><td>{d:g}</td>"
        + "".join(f"<td>{rule(d, length_ft):.0f}</td>" for _, _, rule in _RULES)
        + "</tr>"
        for name, d in ways
    )
    return f"<table><tr>{head}</tr>{rows}</table>"


@plots.plotted
def volume_and_weight(small_in, taper_in_per_4ft, length_ft, species):
    """Draw the log from the side, to scale, and its weight as wood and water with the range to reckon with.

    Parameters
    ----------
    small_in : float
        Small-end diameter inside bark (in).
    taper_in_per_4ft : float
        Growth of diameter in 4 ft of length (in).
    length_ft : float
        Length (ft).
    species : str
        A wood.

    Returns
    -------
    tuple
        Figure, sentence, table in HTML.

    Examples
    --------
    >>> volume_and_weight(16, 0.5, 12, "northern red oak")[1][:64]
    'A northern red oak log of 16 to 17.5 in and 12 ft holds 18.4 ft3'
    """
    wood = woods.get(species)
    log = logs.Log(small_in=small_in, length_ft=length_ft, taper_in_per_ft=taper_in_per_4ft / 4)
    large_in, middle_in = log.large_end_in, (small_in + log.large_end_in) / 2
    volume = log.volume_ft3
    likely = logs.log_weight_lb(wood, volume)
    low, high = logs.log_weight_range_lb(wood, volume)
    dry = woods.WATER_LB_PER_FT3 * wood.basic_sg * volume
    fig = plots.new_figure()

    side = fig.add_axes([0.02, 0.50, 0.96, 0.42])
    side.set(xlim=(-36, 228), ylim=(-24, 24), aspect="equal")
    side.set_axis_off()
    end = 12 * length_ft
    face = small_in / 4  # the near end, seen at a slant
    body = Polygon([(0, large_in / 2), (end, small_in / 2), (end, -small_in / 2), (0, -large_in / 2)])
    side.add_collection(
        PatchCollection(
            [Ellipse((0, 0), large_in / 4, large_in), body, Ellipse((end, 0), face, small_in)],
            facecolors=[style.BARK, style.BARK, style.WOOD],
            edgecolors=style.INK,
            linewidths=1.2,
        )
    )
    shrunk = np.column_stack([face / 2 * np.cos(_ROUND), small_in / 2 * np.sin(_ROUND)])
    side.add_collection(
        LineCollection([s * shrunk + (end, 0) for s in (0.25, 0.5, 0.75)], colors=style.BARK, linewidths=0.7)
    )
    side.text(end + face / 2 + 3, 0, f"{small_in:g} in", va="center")
    side.text(-large_in / 8 - 3, 0, f"{large_in:.4g} in", va="center", ha="right")
    side.text(end / 2, 0, f"{middle_in:.4g} in at mid-length", va="center", ha="center", color="white")
    side.text(end / 2, large_in / 2 + 2, f"{length_ft:g} ft", ha="center", va="bottom")
    fig.text(0.02, 0.935, "The log from the side, to scale", fontweight="bold", fontsize="large")

    bar = fig.add_axes([0.20, 0.16, 0.77, 0.22])
    bar.barh([0], [dry], color=style.WOOD, edgecolor=style.INK, height=0.55)
    bar.barh([0], [likely - dry], left=[dry], color=style.SKY, edgecolor=style.INK, height=0.55, hatch="//")
    bar.plot([low, high], [1, 1], color=style.INK, marker="|", markersize=16, markeredgewidth=2.5)
    bar.plot([likely], [1], color=style.INK, marker="D", markersize=8)
    bar.set(xlim=(0, 5400), ylim=(-0.5, 1.5), xticks=range(0, 5001, 1000))
    bar.set_yticks([0, 1], ["wood | water", "low to high"])
    bar.tick_params(axis="y", length=0)
    bar.spines["left"].set_visible(False)
    bar.grid(axis="y", visible=False)
    bar.set_xlabel("Green weight (lb)")
    heading = f"Green weight: likely {likely:,.0f} lb, load for {high:,.0f} lb"
    fig.text(0.02, 0.42, heading, fontweight="bold", fontsize="large")

    article = "An" if wood.name[0] in "AEIOUaeiou" else "A"
    sentence = (
        f"{article} {wood.name} log of {small_in:g} to {large_in:.4g} in and {length_ft:g} ft holds {volume:.1f} ft3 "
        f"and weighs about {likely:,.0f} lb green, {100 * (likely - dry) / likely:.0f} % of it water; reckon with "
        f"{low:,.0f} to {high:,.0f} lb, bark included, and load for the greatest."
    )
    return fig, sentence, _cubic_table(small_in, middle_in, large_in, length_ft)


def _cubic_table(small_in, middle_in, large_in, length_ft):
    """Cubic feet by each formula, as an HTML table."""
    rows = [
        ("Smalian", "both ends", logs.smalian_ft3(small_in, large_in, length_ft)),
        ("Huber", "mid-length", logs.huber_ft3(middle_in, length_ft)),
        ("Newton", "both ends and mid-length", logs.newton_ft3(small_in, middle_in, large_in, length_ft)),
        ("cone frustum", "both ends, straight sides", logs.cone_ft3(small_in, large_in, length_ft)),
    ]
    body = "".join(f"<tr><td>{name}: {needs}</td><td>{v:.2f}</td></tr>" for name, needs, v in rows)
    return f"<table><tr><th>cubic formula: measured at</th><th>ft3</th></tr>{body}</table>"


@plots.plotted
def oval_end(turn_deg, short_in, long_in, lies_deg):
    """Draw an oval log end under a level scale stick, with no number on it but the stick's own.

    Parameters
    ----------
    turn_deg : float
        How far round the log the stick was carried (degrees).
    short_in, long_in : float
        Narrowest and widest diameter inside bark (in): what the reader must find.
    lies_deg : float
        Where the narrowest way lies (degrees).

    Returns
    -------
    tuple
        Figure, sentence.

    Examples
    --------
    >>> oval_end(40, 14, 16, 40)[1]
    'The stick lies 40 degrees round the log. Its zero is at the left edge of the wood, inside the bark.'
    """
    fig = plots.new_figure()
    ax = fig.add_axes([0.02, 0.02, 0.96, 0.86])
    ax.set(xlim=(-23, 23), ylim=(-13, 13), aspect="equal")
    ax.set_axis_off()
    lean = lies_deg - turn_deg  # angle of the narrowest way from the stick
    bark_in = 0.6
    across, along = np.cos(np.radians(lean)), np.sin(np.radians(lean))
    turned = np.array([[across, along], [-along, across]])
    circle = np.column_stack([np.cos(_ROUND), np.sin(_ROUND)])
    for extra, face in ((2 * bark_in, style.BARK), (0, style.WOOD)):
        edge = circle * [(short_in + extra) / 2, (long_in + extra) / 2] @ turned
        ax.add_patch(Polygon(edge, facecolor=face, edgecolor=style.INK, linewidth=1.0))
    shares = (0.15, 0.32, 0.5, 0.68, 0.84)
    ax.add_collection(
        LineCollection(
            [s * (circle * [short_in / 2, long_in / 2]) @ turned for s in shares],
            colors=style.BARK,
            linewidths=0.7,
        )
    )
    # the stick runs through the pith: half the reading lies on either side
    half = 0.5 / np.sqrt((across / short_in) ** 2 + (along / long_in) ** 2)
    ax.add_patch(
        Polygon([(-half, 0), (-half, 2.6), (22, 2.6), (22, 0)], facecolor="#fffbe8", edgecolor=style.INK)
    )
    inches = np.arange(0, 22 + half, 0.5)
    inches = inches[inches <= 22 + half - 0.4]
    tall = np.where(inches % 2 == 0, 0.95, np.where(inches % 1 == 0, 0.65, 0.35))
    ticks = [[(x - half, 0), (x - half, t)] for x, t in zip(inches, tall, strict=True)]
    ax.add_collection(LineCollection(ticks, colors=style.INK, linewidths=1.1))
    for x in inches[(inches % 2 == 0) & (inches > 0)]:
        ax.text(x - half, 1.05, f"{x:g}", ha="center", va="bottom", fontsize="small")
    ax.plot([half, half], [-1.0, 0], color=style.ORANGE, linewidth=3)
    ax.text(half + 0.9, -0.2, "edge of the wood", ha="left", va="top", color=style.INK)
    ax.set_title("A stick on the small end (inches)")
    return fig, (
        f"The stick lies {turn_deg:g} degrees round the log. Its zero is at the left edge of the wood, inside the "
        "bark."
    )
