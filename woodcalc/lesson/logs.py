"""Panels of lesson 1: the log end and the rules, volume and weight, a stick on an oval end."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from woodcalc import logs, species
from woodcalc.checks import blank
from woodcalc.figures import logs as figures
from woodcalc.lesson import own
from woodcalc.lesson.box import table
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.records.choices import kept_choices

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


def log_end_panel() -> Panel:
    """Panel: the small end to scale, what each rule pays for, and the rules across diameters.

    Examples
    --------
    >>> log_end_panel().dials["short_in"].value
    16.0
    """
    return panel(
        figures.log_end_and_rules,
        [
            slider("short_in", "Narrowest way, inside bark (in)", 6.0, 40.0, 0.5, 16.0),
            slider("wider_in", "Wider the other way by (in)", 0.0, 3.0, 0.5, 0.0),
            slider("bark_in", "Bark thickness (in)", 0.0, 1.25, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0),
            choice("shown", "The chart counts", figures.SHOWN),
        ],
        "What the log end tells the scaler",
    )


def weight_panel() -> Panel:
    """Panel: the log from the side, its cubic feet and its green weight with the range to reckon with.

    It starts from the wood that the learner chose.

    Examples
    --------
    >>> weight_panel().dials["species"].value
    'northern red oak'
    """
    return panel(
        figures.volume_and_weight,
        [
            slider("small_in", "Small end, inside bark (in)", 6.0, 40.0, 0.5, 16.0),
            slider("taper_in_per_4ft", "Taper (in per 4 ft)", 0.0, 1.5, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0),
            choice("species", "Wood", species.names(), kept_choices().species),
        ],
        "How much wood, and how heavy",
    )


def oval_end_panel(short_in: float, long_in: float, lies_deg: float, **_: Any) -> Panel:
    """Panel: carry a scale stick round an oval end and read it; the sizes are in the picture only.

    Parameters
    ----------
    short_in, long_in, lies_deg : float
        The hidden log: narrowest and widest diameter inside bark (in), where the narrowest way lies (degrees).

    Examples
    --------
    >>> oval_end_panel(14, 16, 40).dials["turn_deg"].value
    0
    """

    def draw(turn_deg, big=False):
        return figures.oval_end(turn_deg, short_in, long_in, lies_deg, big=big)

    return panel(
        draw,
        [slider("turn_deg", "Carry the stick round (degrees)", 0, 170, 10, 0)],
        "A log end and a scale stick",
    )


LISTED = 60  # logs shown one by one


def own_tally() -> Box | Shown:
    """Show every log of the learner's tally by every rule, and what to load for.

    Examples
    --------
    >>> print(own_tally())  # doctest: +ELLIPSIS
    These are Kettle Hollow's logs (an invented woodlot), as ...
    18 logs: Doyle 1,548, Scribner 1,807, International 1,893 bf; 285 ft3 of wood
    ...
    """
    return own.show(_tally, "logs", lesson="01")


def _tally(wood, say):
    import pandas as pd

    tally = wood.tables["logs"]
    parts = own.by_parts(tally, logs.net_scale, own.left_out(say, "Log", "log"))
    scaled = pd.concat(parts) if parts else logs.net_scale(tally.head(0))
    many = "1 log" if len(scaled) == 1 else f"{len(scaled):,} logs"
    doyle, scribner, international, wood_ft3 = (
        f"{scaled[name].sum():,.0f}" for name in ("doyle_bf", "scribner_bf", "international_bf", "volume_ft3")
    )
    sums = f"{many}: Doyle {doyle}, Scribner {scribner}, International {international} bf; {wood_ft3} ft3 of wood"
    say += [f"Log {r.log}: {says}" for r in scaled.itertuples() if (says := logs.defect_says(r.defect_pct))]
    heads = ["log", "species", "small end (in)", "length (ft)", "defect (%)", "Doyle (bf)", "Scribner (bf)",
             "International (bf)", "wood (ft3)", "load for (lb)"]  # fmt: skip
    whole = ["doyle_bf", "scribner_bf", "international_bf", "volume_ft3", "weight_high_lb"]
    rows = [
        [
            str(r.log),
            r.species,
            f"{r.small_in:.4g}",
            f"{r.length_ft:g}",
            f"{r.defect_pct:g}",
            *(_whole(getattr(r, name)) for name in whole),
        ]
        for r in scaled.head(LISTED).itertuples()
    ]
    if len(scaled) > LISTED:
        say.append(f"The table shows the first {LISTED} of {len(scaled):,} logs; the sums count them all.")
    return f"<p>{sums}</p>{table(heads, rows)}"


def _whole(value):
    return "" if blank(value) else f"{value:,.0f}"  # NaN: not known
