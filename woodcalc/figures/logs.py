"""Pictures of a log: its end as a scaler reads it, what each rule pays for, its volume and its weight."""

from __future__ import annotations

import numpy as np

from woodcalc import logs
from woodcalc import species as woods
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.sizes import length_told, sixteenths

_RULES = (
    ("D", "Doyle", logs.doyle_bf),
    ("S", "Scribner", logs.scribner_bf),
    ("I", "Int'l 1/4", logs.international_bf),
)
SHOWN = ("board feet", "% of the end's area")


def _rings(wide, high, every_in=1.1):
    """Growth rings as outlines, closer together toward the bark."""
    n = max(int(min(wide, high) / 2 / every_in), 2)
    shares = 1 - (1 - np.arange(1, n) / n) ** 1.3
    return [share * oval(wide, high) for share in shares]


@style.drawn
def log_end_and_rules(
    short_in: float, wider_in: float, bark_in: float, length_ft: float, shown: str = "board feet"
) -> tuple[Drawing, str, str]:
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
        Drawing, sentence, table in HTML.

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
    page = Drawing(8.0, 4.8)

    wide, high = long_in + 2 * bark_in, short_in + 2 * bark_in
    one = max(1.0, wide / 29.5, high / 26.5)  # how much smaller a log of more than some 26 in is drawn
    end = Frame.to_scale(page, (0, 43, 360, 403), (-18.5 * one, 18.5 * one), (-20.7 * one, 20.7 * one))
    end.shapes([oval(wide, high)], style.BARK, width=1.5)
    end.shapes([oval(long_in, short_in)], style.WOOD, width=1.5)
    end.shapes(_rings(long_in, short_in, 1.1 * one), edge=style.BARK, width=0.8, opacity=0.6)
    for i, (letter, _, _) in enumerate(_RULES):  # each third of the end shows the core that one rule pays for
        radius, middle = np.sqrt(area_in2[i] / np.pi), np.radians(90 - 120 * i)
        around = middle + np.linspace(-np.pi / 3, np.pi / 3, 25)
        end.shapes(
            [[(0, 0), *oval(2 * radius, 2 * radius, at=around)]],
            style.SERIES[i]["color"],
            width=1.5,
            opacity=0.65,
        )
        at = max(0.6 * radius, 1.6 * one)
        end.text(at * np.cos(middle), at * np.sin(middle), letter, at="middle", bold=True, halo=True)
    below, left, tick = -high / 2 - 1.6 * one, -wide / 2 - 1.4 * one, 0.7 * one
    a, b = long_in / 2, short_in / 2
    sizes = [[(-a, below), (a, below)], [(left, -b), (left, b)]]
    sizes += [[(x, below - tick), (x, below + tick)] for x in (-a, a)]
    sizes += [[(left - tick, y), (left + tick, y)] for y in (-b, b)]
    end.strokes(sizes, width=1.7)
    end.text(0, below, f"{sixteenths(long_in)} in", dy=page.type, at="middle")
    words = f"{sixteenths(short_in)} in"
    x, y = end.at((left, b))
    page.text(max(x, 6 + page.width(words) / 2), y - 0.9 * page.type, words, "middle")
    page.title(16, 26, "The small end, to scale")
    page.text(16, 460, "Tinted: the core each rule pays for")

    in_bf, widest = shown == SHOWN[0], 28 if d <= 28 else 44
    across = np.arange(6, widest + 1, 2)
    most = next(
        m for m in (600, 1200, 2400, 4800) if m * 1.1 >= 1.0 * logs.scribner_bf(min(d, widest), length_ft)
    )
    most = max(most, 600 if widest == 28 else 1200) if in_bf else 100
    top = 1.1 * most
    chart = Frame.chart(
        page, page.part(left=0.47, top=0.07), (5, widest + 1), (0, top), range(8, widest + 1, 4 if widest == 28 else 8),
        np.linspace(0, most, 5), "Scaling diameter (in)",
    )  # fmt: skip
    left, upper = chart.box[:2]
    chart.strokes([[(d, 0), (d, 0.74 * top)]], style.SOFT, 1.7, "2 4")
    for i, (letter, name, rule) in enumerate(_RULES):
        line, look = rule(across, length_ft), style.SERIES[i]
        chart.line(across, line if in_bf else 1200 * line / length_ft / (np.pi / 4 * across**2), i, every=2)
        chart.mark(d, here[i] if in_bf else paid[i], look["marker"], look["color"], 9, width=2.2)
        value = f"{here[i]:.0f} bf" if in_bf else f"{paid[i]:.0f} %"
        y = upper + 12 + 29 * i
        page.marker(left + 18, y, look["marker"], look["color"], 7)
        for x, words in ((left + 34, letter), (left + 63, f"{name}: {value}")):
            page.text(x, y, words, color=look["color"], bold=True, halo=True)
    page.title(384, 26, "Board feet (bf)" if in_bf else "Share of the end (%)")

    sentence = (
        f"Scaled at {d:g} in and {length_told(length_ft)}, this log is {here[0]:.0f} bf by Doyle, {here[1]:.0f} by "
        f"Scribner and {here[2]:.0f} by International 1/4: the rules pay for {paid[0]:.0f}, {paid[1]:.0f} and "
        f"{paid[2]:.0f} % of the end and leave the rest to slabs, edgings and sawdust."
    )
    return page, sentence, _ways_to_read(short_in, long_in, bark_in, length_ft)


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


@style.drawn
def volume_and_weight(
    small_in: float, taper_in_per_4ft: float, length_ft: float, species: str
) -> tuple[Drawing, str, str]:
    """Draw the log from the side, to scale, and its weight as wood and water with the range to plan on.

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
        Drawing, sentence, table in HTML.

    Examples
    --------
    >>> volume_and_weight(16, 0.5, 12, "northern red oak")[1][:66]
    'A northern red oak log of 16 to 17-1/2 in and 12 ft holds 18.4 ft3'
    """
    wood = woods.get(species)
    log = logs.Log(small_in=small_in, length_ft=length_ft, taper_in_per_ft=taper_in_per_4ft / 4)
    large_in, middle_in = log.large_end_in, (small_in + log.large_end_in) / 2
    volume = log.volume_ft3
    likely = logs.log_weight_lb(wood, volume)
    low, high = logs.log_weight_range_lb(wood, log)
    dry = woods.WATER_LB_PER_FT3 * wood.basic_sg * volume
    page = Drawing(8.0, 4.8)

    _on_a_trailer(page, log, middle_in, dry / likely, high)
    step = next(lb for lb in (1000, 2000, 4000, 8000) if high <= 6.4 * lb)
    bar = Frame(page, (160, 336, 616, 78), (0, 6.4 * step), (-0.5, 1.5))
    bar.axes(range(0, 6 * step + 1, step), xlabel="Green weight (lb)")
    bar.shapes([box(0, -0.3, dry, 0.3)], style.WOOD)
    bar.shapes([box(dry, -0.3, likely, 0.3)], page.hatch(style.SKY))
    bar.text(likely, 0, f"{dry:,.0f} wood, {likely - dry:,.0f} water", dx=8, size=0.9, halo=True)
    bar.strokes([[(low, 1), (high, 1)], *([(x, 0.75), (x, 1.25)] for x in (low, high))], width=3.4)
    bar.mark(likely, 1, "D", style.GOLD, 7, width=2)
    bar.text(high, 1, f"{high:,.0f}", dx=10, bold=True)
    for y, name in enumerate(("likely", "low to high")):
        bar.text(0, y, name, dx=-7, at="end", size=0.95)
    page.title(16, 310, f"Green weight: likely {likely:,.0f} lb, load for {high:,.0f} lb")

    article = "An" if wood.name[0] in "AEIOUaeiou" else "A"
    ends = f"{sixteenths(small_in)} to {sixteenths(large_in)} in"
    sentence = (
        f"{article} {wood.name} log of {ends} and {length_told(length_ft)} "
        f"holds {volume:.1f} ft3 "
        f"and weighs about {likely:,.0f} lb green, {100 * (likely - dry) / likely:.0f} % of it water; plan on "
        f"{low:,.0f} to {high:,.0f} lb, bark and trim included, and load for the greatest."
    )
    return page, sentence, _cubic_table(small_in, middle_in, large_in, length_ft)


def _on_a_trailer(page, log, middle_in, wood_share, high_lb):
    """Draw the log to scale on a trailer, filled with its shares of wood and water by weight."""
    small_in, large_in, end = log.small_in, log.large_end_in, 12 * log.length_ft
    one = max(1.0, end / 184, large_in / 34)  # how much smaller a long or thick log is drawn
    side = Frame.to_scale(page, (16, 48, 768, 242), (-48 * one, 240 * one), (-61 * one, 27 * one))
    deck, thick, wheel = -large_in / 2, 4.0 * one, 12.0 * one
    side.shapes([box(-8 * one, deck - thick, end + 8 * one, deck)], style.SOFT, width=1.4)
    tongue = [
        (end + 8 * one, deck),
        (end + 8 * one, deck - thick),
        (min(end + 44 * one, 239 * one), deck - 1.5 * thick),
    ]
    side.shapes([tongue], style.SOFT, width=1.4)
    hubs = [(end * 0.5 + k * 13.5 * one, deck - thick - 0.6 * wheel) for k in (-1, 1)]
    side.shapes([oval(2 * wheel, 2 * wheel, *hub) for hub in hubs], style.INK, "none")
    side.shapes([oval(wheel, wheel, *hub) for hub in hubs], style.PALE, "none")
    ground = deck - thick - 1.6 * wheel
    side.strokes([[(-46 * one, ground), (238 * one, ground)]], width=2)
    side.shapes(
        [box(end - 10 * one, deck, end - 4 * one, -small_in / 2)], style.BARK, "none"
    )  # blocked up level

    face = small_in / 4  # the near end, seen at a slant
    butt = oval(large_in / 4, large_in, at=np.linspace(np.pi / 2, 3 * np.pi / 2, 25))
    body = [*butt, (end, -small_in / 2), (end, small_in / 2)]
    clip, level = page.clip(side.at(body)), large_in * (wood_share - 0.5)
    left, right = -large_in / 4, end + 1
    side.shapes([box(left, -large_in, right, level)], style.WOOD, "none", clip=clip)
    side.shapes([box(left, level, right, large_in)], page.hatch(style.SKY), "none", clip=clip)
    side.shapes([body], edge=style.BARK, width=3.4)
    side.shapes([oval(face, small_in, end)], style.WOOD, style.BARK, width=2)
    side.shapes([oval(s * face, s * small_in, end) for s in (0.25, 0.5, 0.75)], edge=style.BARK)
    small, large = (f"{sixteenths(each)} in" for each in (small_in, large_in))
    face_x = float(side.at((end + face / 2 + 3 * one, 0))[0])
    page.text(min(face_x, 796 - page.width(small)), float(side.at((0, 0))[1]), small, halo=True)
    butt_x = float(side.at((-large_in / 8 - 3 * one, 0))[0])
    page.text(max(butt_x, 4 + page.width(large)), float(side.at((0, 0))[1]), large, "end", halo=True)
    words = f"{length_told(log.length_ft)} long, {sixteenths(middle_in)} in at mid-length"
    x = max(float(side.at((end / 2, 0))[0]), 20 + page.width(words) / 2)
    page.text(x, float(side.at((0, large_in / 2))[1]) - page.type, words, "middle")
    page.text(784, 274, f"Does the trailer's plate allow {high_lb:,.0f} lb of log?", "end", size=0.95)
    page.title(16, 24, "Wood and water of a green log, by weight")


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


@style.drawn
def oval_end(turn_deg: float, short_in: float, long_in: float, lies_deg: float) -> tuple[Drawing, str]:
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
        Drawing, sentence.

    Examples
    --------
    >>> oval_end(40, 14, 16, 40)[1]
    'The stick lies 40 degrees round the log. Its zero is at the left edge of the wood, inside the bark.'
    """
    page = Drawing(8.0, 4.8)
    frame = Frame.to_scale(page, (16, 58, 768, 413), (-23, 23), (-13, 13))
    lean = lies_deg - turn_deg  # angle of the narrowest way from the stick
    bark_in = 0.6
    across, along = np.cos(np.radians(lean)), np.sin(np.radians(lean))
    turned = np.array([[across, along], [-along, across]])
    wood = oval(short_in, long_in) @ turned
    bark = oval(short_in + 2 * bark_in, long_in + 2 * bark_in) @ turned
    frame.shapes([bark], style.BARK, width=1.4)
    frame.shapes([wood], style.WOOD, width=1.4)
    frame.shapes([s * wood for s in (0.15, 0.32, 0.5, 0.68, 0.84)], edge=style.BARK)
    # the stick runs through the pith: half the reading lies on either side
    half = 0.5 / np.sqrt((across / short_in) ** 2 + (along / long_in) ** 2)
    frame.shapes([box(-half, 0, 22, 2.6)], "#fffbe8", width=1.4)
    inches = np.arange(0, 21.6 + half, 0.5)
    tall = np.where(inches % 2 == 0, 0.95, np.where(inches % 1 == 0, 0.65, 0.35))
    frame.strokes([[(x, 0), (x, t)] for x, t in zip(inches - half, tall, strict=True)], width=1.5)
    for x in range(2, int(21.2 + half) + 1, 2):
        frame.text(x - half, 1.75, f"{x}", at="middle", size=0.83)
    frame.strokes([[(half, -1), (half, 0)]], style.ORANGE, 4.2)
    clear = bark[(-2 < bark[:, 1]) & (bark[:, 1] < 0), 0].max()  # the bark may lean out under the stick
    frame.text(clear, 0, "edge of the wood", dx=9, dy=0.75 * page.type)
    page.title(35, 34, "A stick on the small end (inches)")
    return page, (
        f"The stick lies {turn_deg:g} degrees round the log. Its zero is at the left edge of the wood, inside the "
        "bark."
    )
