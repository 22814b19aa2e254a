"""A wood of one's own that the table lacks: from what is known of it, and the figures of its group for the rest.

The group is a wood that it is most like, or all woods of its kind. What a group's figure may be off is measured on the
woods of the table: how far woods of one genus differ, or those of a genus that is left out from the line of the rest.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import InputError, within
from woodcalc.moisture import greatest_mc_pct
from woodcalc.shrinkage import coefficient
from woodcalc.species import WATER_LB_PER_FT3, Species

KINDS = ("hardwood", "softwood")
AIR_DRY_PCT = 12.0  # moisture at which handbooks print the weight of dry wood
_GREEN_PCT = 30.0  # where shrinkage begins: green wood is wetter
_LOW = 1.28  # standard deviations: nine in ten are above, normally distributed
_FIGURES = ("basic_sg", "shrink_radial_pct", "shrink_tangential_pct", "start_mc_pct", "moe_green_psi")


def from_figures(
    name: str,
    kind: str,
    like: str = "",
    basic_sg: float | None = None,
    dry_lb_per_ft3: float | None = None,
    shrink_radial_pct: float | None = None,
    shrink_tangential_pct: float | None = None,
    green_mc_pct: float | None = None,
) -> Species:
    """Return a wood of one's own; figures that are left out are those of its group, and said to be.

    Parameters
    ----------
    name : str
        What to call it.
    kind : {"hardwood", "softwood"}
    like : str
        A wood of the table that it is most like; left out, its group is all woods of its kind.
    basic_sg : float, optional
        Oven-dry weight over green volume, water = 1.
    dry_lb_per_ft3 : float, optional
        Weight of a cubic foot at 12 % moisture, which stands in for the specific gravity.
    shrink_radial_pct, shrink_tangential_pct : float, optional
        Shrinkage from green to oven-dry, across the rings and along them, %.
    green_mc_pct : float, optional
        Moisture content of a green tree, %.

    Returns
    -------
    Species

    Raises
    ------
    InputError
        No name, another kind, a figure that no wood has, or two that contradict each other.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), ch. 4: how specific gravity, moisture and weight hang together.

    Examples
    --------
    >>> bur = from_figures("bur oak", "hardwood", like="white oak", basic_sg=0.58)
    >>> bur.basic_sg, bur.basic_sg_varies, bur.shrink_tangential_pct, round(bur.shrink_varies, 2)
    (0.58, 0.0, 10.5, 0.15)
    >>> print(bur.notes)  # doctest: +NORMALIZE_WHITESPACE
    Typed in: specific gravity. Of white oak, and rougher: shrinkage (by 15 %), green moisture (by 21 %), stiffness
    (its low side). The table's woods of one genus differ by that much, so the margins are wider.
    """
    name = " ".join(str(name).split())
    if not any(c.isalpha() for c in name) or len(name) > 40:
        raise InputError(f"name: found {name[:50]!r}; expected a name of up to 40 letters, such as bur oak.")
    if kind not in KINDS:
        raise InputError(
            f"kind = {kind!r}: expected hardwood (a tree with leaves) or softwood (one with needles)."
        )
    kin = woods.get(like) if like else None
    if kin is not None and kin.kind != kind:
        raise InputError(f"kind: {kin.name} is a {kin.kind}, so a wood like it is one, too; found {kind}.")
    across = _checked("shrink_radial_pct", shrink_radial_pct, 0.5, 12, "%", _SHRINK)
    along = _checked("shrink_tangential_pct", shrink_tangential_pct, 1, 18, "%", _SHRINK)
    group = _group(kind, kin)
    density = _density(basic_sg, dry_lb_per_ft3, across, along, group)
    given = density is not None
    sg = density if density is not None else group["basic_sg"]
    radial, tangential = _shrinkage(across, along, sg, group)
    full = float(greatest_mc_pct(sg))
    hint = f"Wood as dense as this cannot hold more than {full:.0f} %."
    green = _checked("green_mc_pct", green_mc_pct, 20, np.floor(full), "% MC", hint)
    likely = float(min(group["green_mc"](sg), full)) if green is None else green
    shrinkages = (across is not None) + (along is not None)
    varies = {
        "specific gravity": 0.0 if given else group["basic_sg_varies"],
        "shrinkage": 0.0 if shrinkages == 2 else group["shrink_varies"],
        "green moisture": _no_drier(likely, group["green_varies"]) if green is None else 0.0,
    }
    told = _told(kin, kind, varies, shrinkages)
    wet = group["wet_share"] * full
    keeps = kin is not None and green is None  # the parts of the log are its kin's
    return Species(
        name=name,
        botanical="",
        kind=kind,
        shrink_radial_pct=radial,
        shrink_tangential_pct=tangential,
        shrink_volumetric_pct=round(radial + tangential + _volume_gap(), 1),
        basic_sg=sg,
        green_mc_pct=round(likely, 1),
        green_mc_heartwood_pct=_capped(kin.green_mc_heartwood_pct, full) if kin and keeps else None,
        green_mc_sapwood_pct=_capped(kin.green_mc_sapwood_pct, full) if kin and keeps else None,
        sapwood_stand_in_pct=round(float(max(wet, green or 0.0)), 1),
        c_r=round(float(coefficient(radial)), 5),
        c_t=round(float(coefficient(tangential)), 5),
        shrink_start_mc_pct=kin.shrink_start_mc_pct if kin else 30.0,
        safe_loss_4_4_pct_per_day=None,
        safe_loss_8_4_pct_per_day=None,
        air_dry_days_min=None,
        air_dry_days_max=None,
        moe_green_psi=float(round(group["moe"](sg), -4)),
        notes=told,
        like=kin.name if kin else "",
        basic_sg_varies=varies["specific gravity"],
        shrink_varies=varies["shrinkage"],
        green_mc_varies=varies["green moisture"],
    )


_SHRINK = "Shrinkage is in percent of the green size, from green to oven-dry; most woods have 2 to 12."


def _checked(name, value, low, high, unit, hint):
    return None if value is None else float(within(name, value, low, high, unit, hint))


def _capped(mc, full):
    return None if mc is None else min(mc, round(full, 1))


def _density(basic_sg, dry_lb_per_ft3, across, along, group):
    """The specific gravity that was typed, or that the weight of dry wood gives; None if neither was."""
    hint = "Pounds per cubic foot belong in the line for the weight."
    sg = _checked("basic_sg", basic_sg, 0.2, 1.0, "", hint)
    dry = _checked("dry_lb_per_ft3", dry_lb_per_ft3, 12, 75, "lb", "Of a cubic foot of wood at 12 %.")
    if dry is None:
        return sg
    radial, tangential = _shrinkage(across, along, dry / WATER_LB_PER_FT3, group)
    shrunk = 1 - (radial + tangential + _volume_gap()) / 100 * (1 - AIR_DRY_PCT / 30)
    by_weight = float(dry / WATER_LB_PER_FT3 / (1 + AIR_DRY_PCT / 100) * shrunk)
    if sg is None:
        within(
            "dry_lb_per_ft3",
            by_weight,
            0.2,
            1.0,
            "as specific gravity",
            "Is the weight that of a cubic foot?",
        )
        return round(by_weight, 2)
    if abs(by_weight / sg - 1) > 0.1:
        raise InputError(
            f"specific gravity {sg:g} and {dry:g} lb a cubic foot at {AIR_DRY_PCT:.0f} % do not go together: that "
            f"weight is a specific gravity of {by_weight:.2f}. Keep the one that you are sure of, and leave the "
            "other blank."
        )
    return sg


def _shrinkage(across, along, sg, group):
    """Radial and tangential shrinkage: what was typed, else the group's; the ratio is the group's for one alone."""
    radial, tangential = group["shrinkage"](sg)
    if across is not None and along is not None and across >= along:
        raise InputError(
            f"shrinkage: {across:g} % across the rings and {along:g} % along them. Wood shrinks more along the rings: "
            "are the two the wrong way round?"
        )
    if across is None and along is None:
        return round(radial, 1), round(tangential, 1)
    if along is None:
        along = across * tangential / radial
    if across is None:
        across = along * radial / tangential
    return round(across, 1), round(along, 1)


@cache
def _group(kind, kin):
    """Its group's figures, and how far one wood may be off them: a standard deviation as a share of the figure."""
    table = woods.table()
    table = table[table.kind == kind]
    full = greatest_mc_pct(table.basic_sg.to_numpy())
    wet = (table.green_mc_sapwood_pct / full).max()
    stiff, off = _line(table, "moe_green_psi")
    if kin is not None:
        apart = {name: _within_genera(name) for name in _FIGURES}
        radial_tangential = (kin.shrink_radial_pct, kin.shrink_tangential_pct)
        own_stiff = kin.moe_green_psi or stiff(kin.basic_sg)
        return {
            "basic_sg": kin.basic_sg,
            "basic_sg_varies": apart["basic_sg"],
            "shrinkage": lambda _: radial_tangential,
            "shrink_varies": float(
                np.hypot(apart["shrink_radial_pct"], apart["shrink_tangential_pct"]) / np.sqrt(2)
            ),
            "green_mc": lambda _: kin.start_mc_pct,
            "green_varies": max(apart["start_mc_pct"], kin.start_varies),
            "wet_share": wet,
            "moe": lambda sg: own_stiff * (1 - _LOW * apart["moe_green_psi"]),
        }
    green = _green_line(table)
    radial, _ = _line(table, "shrink_radial_pct")
    tangential, _ = _line(table, "shrink_tangential_pct")
    shrinks = [
        _off_its_genus(table, name, lambda rest, name=name: _line(rest, name)[0])
        for name in ("shrink_radial_pct", "shrink_tangential_pct")
    ]
    return {
        "basic_sg": round(float(table.basic_sg.mean()), 2),
        "basic_sg_varies": _off_its_genus(table, "basic_sg", lambda rest: lambda _: rest.basic_sg.mean()),
        "shrinkage": lambda sg: (radial(sg), max(tangential(sg), 1.2 * radial(sg))),
        "shrink_varies": float(np.hypot(*shrinks) / np.sqrt(2)),
        "green_mc": green,
        "green_varies": _off_its_genus(table, "start_mc_pct", _green_line),
        "wet_share": wet,
        "moe": lambda sg: stiff(sg) * (1 - _LOW * off),
    }


def _off_its_genus(table, column, guess):
    """How far a wood of a genus that the table lacks is off, as a share: genus by genus left out, each counting once.

    `guess` makes the group's figure on specific gravity from the rest of the table.
    """
    genus = table.botanical.str.split().str[0]
    off = []
    for each in genus.unique():
        own, of = table[genus == each], guess(table[genus != each])
        ours = np.array([float(of(sg)) for sg in own.basic_sg])
        off.append(np.mean(np.log(own[column].to_numpy() / ours) ** 2))
    return float(np.sqrt(np.mean(off)))


def _line(table, column):
    """A figure as a line on specific gravity, and how far woods are off it, as a share of their mean."""
    line = np.polyfit(table.basic_sg, table[column], 1)
    off = (table[column] - np.polyval(line, table.basic_sg)).std()
    return lambda sg: float(np.polyval(line, sg)), float(off / table[column].mean())


def _green_line(table):
    """Moisture of the green tree on specific gravity, heavier woods drier; no drier than the heaviest quarter."""
    power, level = np.polyfit(np.log(table.basic_sg), np.log(table.start_mc_pct), 1)
    floor = table.start_mc_pct[table.basic_sg >= table.basic_sg.quantile(0.75)].median()
    return lambda sg: np.maximum(np.exp(level) * sg**power, floor)


@cache
def _within_genera(column):
    """How far woods of one genus are off its mean, as a share of it (the pooled standard deviation)."""
    table = woods.table()
    figure, genus = np.log(table[column]), table.botanical.str.split().str[0]
    left = figure - figure.groupby(genus).transform("mean")
    more = genus.groupby(genus).transform("size") > 1
    return float(np.sqrt((left[more] ** 2).sum() / (more.sum() - genus[more].nunique())))


@cache
def _volume_gap():
    """How much the shrinkage of the volume is over that of both ways together, points; the woods' middle."""
    table = tables.read("species")
    gap = table.shrink_volumetric_pct - table.shrink_radial_pct - table.shrink_tangential_pct
    return float(gap.median())


def _no_drier(mc, spread):
    """A spread of green moisture that leaves nine in ten above where shrinkage begins: green wood is no drier."""
    return float(min(spread, np.log(max(mc, _GREEN_PCT) / _GREEN_PCT) / _LOW + 0.05))


def _told(kin, kind, varies, shrinkages):
    """Sentences: which figures were typed, whose the others are, and how far woods are apart in those."""
    half = {"shrinkage": "one of the two shrinkages"} if shrinkages == 1 else {}
    typed = [half.get(figure, figure) for figure, off in varies.items() if not off or figure in half]
    other = {"shrinkage": "the other shrinkage"} if half else {}
    rest = [f"{other.get(figure, figure)} (by {100 * off:.0f} %)" for figure, off in varies.items() if off]
    whose = f"Of {kin.name}" if kin is not None else f"What {kind}s have on average"
    first = f"Typed in: {', '.join(typed)}. " if typed else ""
    why = " The table's woods of one genus differ by that much, so the margins are wider." if rest else ""
    if rest and kin is None:
        why = (
            f" {kind.capitalize()}s of a genus that the table lacks are off by that much, so the margins are wider; a "
            "single wood may have half as much or twice."
        )
    return f"{first}{whose}, and rougher: {', '.join([*rest, 'stiffness (its low side)'])}.{why}"
