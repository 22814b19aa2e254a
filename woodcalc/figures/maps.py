"""Maps of the 48 states: a dot a weather station, its step of a scale told by color, shape and size together."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, drying, movement, tables
from woodcalc.checks import InputError, blank, capital
from woodcalc.dates import month_name
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.figures.drying import stacked
from woodcalc.moisture import FURNITURE_PCT

if TYPE_CHECKING:
    from woodcalc.climate import Site


NOT_DRAWN = ("AK", "HI")  # states far from the others

# Six steps, from what a sawyer likes to what he does not. Blue and yellow stay apart in every common color vision, and
# each step is darker than the one before, so that a gray print tells them too: tests/test_maps.py holds both.
STEPS: tuple[dict[str, Any], ...] = (
    {"color": "#ffe7a8", "kind": "o", "size": 3.6},
    {"color": "#e9bd55", "kind": "^", "size": 4.0},
    {"color": "#b8925f", "kind": "s", "size": 3.4},
    {"color": "#68738f", "kind": "D", "size": 3.6},
    {"color": "#33518a", "kind": "v", "size": 4.4},
    {"color": "#0b2450", "kind": "o", "size": 5.0},
)
# A scale: where each step but the last ends, and what the six are called
RESTS = (
    (8, 10, 12, 14, 16),
    ("8 % or under", "8 to 10 %", "10 to 12 %", "12 to 14 %", "14 to 16 %", "over 16 %"),
)
# months in which a house does it, turned round: many is what a sawyer likes
HOUSE = (-10, -8, -6, -4, -2), (
    "10 months or more", "8 or 9 months", "6 or 7 months", "4 or 5 months", "2 or 3 months", "1 month or none",
)  # fmt: skip
SHOWN = (("days to 20 %", "days"), ("where it stops drying", "stops"))  # what the map of stacks can show
_TO_PCT = 20  # % MC: air-dry, ready to come under a roof or into a kiln


def albers(longitude: Any, latitude: Any) -> np.ndarray:
    """Return places of a flat map on which equal areas are equal, on a ball of radius 1.

    Parameters
    ----------
    longitude, latitude : float or array
        Degrees, west negative.

    Returns
    -------
    ndarray (..., 2)
        East of 96 W and north of 23 N.

    References
    ----------
    Albers' conic with standard parallels 29.5 and 45.5 N: J. P. Snyder, Map Projections: A Working Manual, U.S.
    Geological Survey Professional Paper 1395, 1987, eq. 14-1 to 14-6 and p. 291.

    Examples
    --------
    >>> albers(-75, 35).round(4).tolist()
    [0.2953, 0.2417]
    """
    first, second, origin = np.sin(np.radians([29.5, 45.5, 23.0]))
    n = (first + second) / 2
    c = 1 - first**2 + 2 * n * first
    rho = np.sqrt(c - 2 * n * np.sin(np.radians(latitude))) / n
    theta = n * np.radians(np.asarray(longitude) + 96)
    return np.stack([rho * np.sin(theta), np.sqrt(c - 2 * n * origin) / n - rho * np.cos(theta)], axis=-1)


@cache
def _stations():
    """The stations that are drawn: a mask over all, and their places on the map."""
    table = climate.stations()
    drawn = ~table.state.isin(NOT_DRAWN).to_numpy()
    here = table[drawn]
    return drawn, albers(here.longitude.to_numpy(), here.latitude.to_numpy()), here.name.to_numpy()


@cache
def _states():
    """The outlines of the states, and the corners of the map, which hold all stations too."""
    table = tables.read("us_outlines")
    at = albers(table.longitude.to_numpy(), table.latitude.to_numpy())
    lines = np.split(at, np.flatnonzero(np.diff(table.line)) + 1)
    all_of_it = np.concatenate([at, _stations()[1]])
    return lines, all_of_it.min(axis=0), all_of_it.max(axis=0)


def step_of(values: Any, scale: tuple[Sequence[float], Sequence[str]]) -> np.ndarray:
    """Return which step of a scale each value is on, 0 to 5; what is never reached is on the last.

    Examples
    --------
    >>> step_of([8.0, 8.1, 40, np.nan], RESTS).tolist()
    [0, 1, 5, 5]
    """
    values = np.asarray(values, dtype=float)
    return np.searchsorted(scale[0], np.where(np.isnan(values), np.inf, values))


def _page():
    """An empty page and the frame of the map on it: the same for all maps."""
    page = Drawing(*(px / 100 for px in _PX))
    _, low, high = _states()
    left, top, width, height = page.part()
    head, foot = _HEAD * page.type, (_FOOT + 0.4) * page.type
    within = left, top + head, width, height - head - foot
    return page, Frame.to_scale(page, within, (low[0], high[0]), (low[1], high[1]))


_HEAD, _FOOT = 3.1, 4.3  # title and note; the key: heights of type


def _map(title, note, values, scale, place, mine, says, also=""):
    """A page with the map: `values` of all stations, the chosen place ringed with what it `says`.

    `also` is a station to be read off, and what it says.
    """
    page, frame = _page()
    t = page.type
    drawn, at, _ = _stations()
    left, top, width, height = page.part()
    page.title(left, top + 0.6 * t, title)
    page.text(left, top + 2.0 * t, note, size=0.95)
    page.whole_lines([frame.at(line) for line in _states()[0]], _BORDER)
    step = step_of(values[drawn], scale)
    dots = frame.at(at)
    for k, look in enumerate(STEPS):
        page.stamps(dots[step == k], **look)
    other = climate.get(also[0]) if also and also[0] != place.name else None
    _key(page, left, top + height - _FOOT * t, width, scale[1], other is not None)
    marked = [(place, mine, says)] if on_map(place) else []
    if other is not None and on_map(other):
        marked.append((other, values[station_row(other.name)], also[1]))
    named = [
        (each, f"{each.name.partition(' (')[0]}: {told}" if len(each.name) < 24 else told)
        for each, _, told in marked
    ]
    for (each, value, _), (_, words), ground in zip(marked, named, _grounds(page, frame, named), strict=True):
        look = STEPS[int(step_of(value, scale))]
        _ring(page, frame, each, look, words, ground, squared=each is other)
    return page


_BORDER = "#a9a39a"


def _key(page, left, top, width, names, squared):
    """The six steps in two rows of three."""
    t = page.type
    for k, (name, look) in enumerate(zip(names, STEPS, strict=True)):
        x, y = left + width / 3 * (k // 2) + 14, top + (1.0 + 1.35 * (k % 2)) * t
        page.stamps([(x, y)], **look | {"size": 1.7 * look["size"]})
        page.text(x + 22, y, name, size=0.95)
    page.text(
        left,
        top + 3.75 * t,
        "Ringed: the place. "
        + ("Squared: what you read off. " if squared else "")
        + "Alaska and Hawaii are not drawn.",
        size=0.85,
        color=style.SOFT,
    )


def _around(page, frame, place):
    """The ground that the mark of a place takes: left, top, right, bottom."""
    x, y = frame.at(albers(place.longitude, place.latitude))
    r = 12 * (1.0 if page.bold == 1 else style.BIG)
    return x - r, y - r, x + r, y + r


def _ring(page, frame, place, look, words, ground, squared):
    """A place: its dot, large, in a ring or a square; its number on its ground, with a line to it if it is far off."""
    x, y = frame.at(albers(place.longitude, place.latitude))
    big = 1.0 if page.bold == 1 else style.BIG
    around = box(*_around(page, frame, place)) if squared else oval(24 * big, 24 * big, x, y)
    page.polygons([around], "white", style.INK, 2.2)
    page.stamps([(x, y)], **look | {"size": 1.7 * look["size"]})
    way = _way_to(ground, x, y)
    if np.hypot(*(way[-1] - way[0])) > _BESIDE * big:
        way = way[np.hypot(*(way - [x, y]).T) >= 12 * big]
        page.lines([way[[0, -1]]], "white", 4)
        page.lines([way[[0, -1]]], style.INK, 1.2)
    page.polygons([box(*ground)], "white", "none", opacity=0.85)
    page.text((ground[0] + ground[2]) / 2, (ground[1] + ground[3]) / 2, words, "middle", bold=True)


def _grounds(page, frame, named):
    """The ground of each number, one after the other: in the order in which they hide and stray the least."""
    ways = []
    for order in itertools.permutations(range(len(named))):
        taken, found, worse = [_around(page, frame, place) for place, _ in named], {}, 0.0
        for k in order:
            place, words = named[k]
            found[k], cost = _clear_ground(page, frame, place, page.width(words, bold=True), taken)
            x, y = frame.at(albers(place.longitude, place.latitude))
            taken += [found[k], *((*(each - 2), *(each + 2)) for each in _way_to(found[k], x, y))]
            worse += cost
        ways.append((worse, [found[k] for k in range(len(named))]))
    return min(ways, key=lambda way: way[0])[1]


def _way_to(ground, x, y):
    """Points on the way from a mark to the ground of its number, a few px apart."""
    end = [min(max(x, ground[0] + 6), ground[2] - 6), ground[1] if ground[1] > y else ground[3]]
    return np.linspace([x, y], end, 64)


_BESIDE = 34.0  # px: a number further off its mark has a line to it
_DOT_PX = 4.0
_HIDDEN_PX = 60.0  # so much farther a number goes to hide one dot less (judgment)


def _clear_ground(page, frame, place, wide, taken):
    """Where a number hides the fewest dots and is near its mark: sea, a margin, or thin country; and how bad that is.

    It keeps clear of all grounds that are taken, and the line to it of those that are not its own mark's.
    """
    (x, y), t = frame.at(albers(place.longitude, place.latitude)), page.type
    left, top, width, height = page.part()
    reach = np.array([wide / 2 + 4, 0.7 * t])
    xs = np.arange(left + reach[0], left + width - reach[0] + 0.1, 16)
    ys = np.arange(top + (_HEAD + 0.3) * t + reach[1], top + height - (_FOOT + 0.2) * t - reach[1], 8)
    beside = [
        (np.clip(x, xs[0], xs[-1]), np.clip(y + up * t, ys[0], ys[-1])) for up in (-1.9, 1.9, -2.6, 2.6)
    ]
    middles = np.concatenate([beside, np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)])
    low, high = np.array(taken)[:, :2], np.array(taken)[:, 2:]
    apart = (middles[:, None] <= low - reach - 2) | (middles[:, None] >= high + reach + 2)
    middles = middles[apart.any(axis=2).all(axis=1)]
    dots = frame.at(_stations()[1])
    hidden = (np.abs(middles[:, None] - dots) < reach + _DOT_PX).all(axis=2).sum(axis=1)
    off = np.hypot(*(np.maximum(np.abs(middles - [x, y]) - reach, 0)).T)
    cost = _HIDDEN_PX * hidden + off
    own = ((low < [x, y]) & (high > [x, y])).all(axis=1)
    order = np.argsort(cost, kind="stable")
    for k in order[:_TRIED]:
        ground = (*(middles[k] - reach), *(middles[k] + reach))
        way = _way_to(ground, x, y)[:, None]
        if not ((way > low[~own]) & (way < high[~own])).all(axis=2).any():
            return ground, cost[k]
    return (*(middles[order[0]] - reach), *(middles[order[0]] + reach)), 2 * cost[order[-1]]


_TRIED = 400  # grounds, whether the line to them is clear


def station_row(name: str) -> int:
    """Return at which row of `climate.everywhere` a station stands.

    Parameters
    ----------
    name : str
        As `climate.get` knows it.

    Returns
    -------
    int

    Raises
    ------
    InputError
        A place of one's own, which is no dot of the map, or none at all.

    Examples
    --------
    >>> climate.stations().name[station_row("Duluth, MN")]
    'Duluth, MN'
    """
    site = climate.get(name)
    if not site.station_id:
        raise InputError(
            f"{site.name} is a place of your own, and no dot of the map: mark it with the list of places."
        )
    return _rows()[site.station_id]


@cache
def _rows():
    return {str(number): row for row, number in enumerate(climate.stations().station_id)}


def dots(big: bool = False) -> tuple[np.ndarray, np.ndarray]:
    """Return the names of the stations that are drawn, and where their dots lie on the picture.

    Parameters
    ----------
    big : bool
        The picture is drawn in large print.

    Returns
    -------
    (array of str, array (n, 2))
        The places in shares of the picture's width and height, from the top left.

    Examples
    --------
    >>> len(dots()[0]), bool((dots()[1] < 1).all())
    (925, True)
    """
    before = style.type_scale.set(style.BIG if big else 1.0)
    try:
        page, frame = _page()
    finally:
        style.type_scale.reset(before)
    _, at, names = _stations()
    return names, frame.at(at) / (page.size * 100)


def station_at(across: float, down: float, big: bool = False) -> str:
    """Return the station whose dot is nearest to a point of the picture, "" where none is near.

    Parameters
    ----------
    across, down : float
        Shares of the picture's width and height, from the top left.
    big : bool
        As in `dots`.

    Returns
    -------
    str

    Examples
    --------
    >>> station_at(0.57, 0.31), station_at(0.5, 0.02)
    ('Rochester, MN', '')
    """
    names, at = dots(big)
    off = np.hypot(*((at - [across, down]) * _PX).T)
    nearest = int(off.argmin())
    return str(names[nearest]) if off[nearest] <= _NEAR else ""


def next_station(place: Site, toward: str) -> str:
    """Return the nearest station that is drawn and lies in a direction from a place; "" if none does.

    Parameters
    ----------
    place : Site
    toward : {"west", "north", "south", "east"}
        A quarter of the map, its middle the direction.

    Returns
    -------
    str

    Examples
    --------
    >>> next_station(climate.get("Madison, WI"), "east"), next_station(climate.get("Key West, FL"), "south")
    ('Watertown, WI', '')
    """
    _, at, names = _stations()
    off = at - albers(place.longitude, place.latitude)
    on, aside = off @ TOWARD[toward], np.abs(off @ np.array(TOWARD[toward])[::-1])
    there = (on > 1e-6) & (on >= aside)
    if not there.any():
        return ""
    return str(names[np.where(there, np.hypot(*off.T), np.inf).argmin()])


TOWARD = {"west": (-1, 0), "north": (0, 1), "south": (0, -1), "east": (1, 0)}
_PX = (800, 640)  # of the page
_NEAR = 36.0  # px of the page: about a finger on a phone


def on_map(place: Site) -> bool:
    """Return whether a place lies within the corners of the map.

    Examples
    --------
    >>> on_map(climate.get("Madison")), on_map(climate.get("702730"))
    (True, False)
    """
    if not np.isfinite(place.latitude + place.longitude):
        return False
    _, low, high = _states()
    at = albers(place.longitude, place.latitude)
    return bool((low <= at).all() and (at <= high).all())


def _at(values, decimals, unit, never=""):
    """Where it is least and where most, and between what the middle half of the stations lies."""

    def told(value):
        return f"{value:,.{decimals}f} {unit}" if np.isfinite(value) else never

    drawn, _, names = _stations()
    here = np.where(np.isnan(values[drawn]), np.inf, values[drawn])
    low, high = int(here.argmin()), int(here.argmax())
    q1, q3 = np.quantile(here, [0.25, 0.75], method="nearest")
    middle = f"{q1:,.{decimals}f} to {told(q3)}" if np.isfinite(q3) else f"{told(q1)} or longer"
    return (
        f"{told(here[low])} at {names[low]}, {told(here[high])} at {names[high]}, and {middle} at the middle half of "
        f"the {len(here)} places"
    )


def _read_off(also, says):
    """The station that is read off with what it says, for `_map`; nothing if none is."""
    return (also, says(station_row(also))) if also else ""


def _and_also(also, site):
    """A sentence for the station that is read off."""
    if not also or also[0] == site.name:
        return ""
    return " " + _of_mine(climate.get(also[0]), also[1])


def _of_mine(site, says):
    return f"{site.name}: {says}." + ("" if on_map(site) else " It is not on this map.")


@style.drawn
def rests_outdoors(place: str, month: int, also: str = "") -> tuple[Drawing, str]:
    """Draw where wood comes to rest outdoors, under a roof, in one month.

    Parameters
    ----------
    place : str
        A place that `woodcalc.climate.get` knows.
    month : int
        1 to 12.
    also : str
        A station to read off beside it.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> rests_outdoors("Madison, WI", 5, "Duluth, MN")[1][-40:]
    'Madison, WI: 12.8 %. Duluth, MN: 12.5 %.'
    >>> rests_outdoors("Madison, WI", 5)[1][-20:]
    'Madison, WI: 12.8 %.'
    """
    site, values = climate.get(place), climate.everywhere("emc_pct")[:, month - 1]
    mine, name = float(site.monthly.emc_pct[month]), month_name(month)
    page = _map(
        f"Wood outdoors under a roof, in {name}",
        "comes to rest at (% MC)",
        values,
        RESTS,
        site,
        mine,
        f"{mine:.1f} %",
        read := _read_off(also, lambda row: f"{values[row]:.1f} %"),
    )
    dry, among = dry_places(values)
    return page, (
        f"In {name} wood under a roof outdoors comes to rest at {_at(values, 1, '%')}. At {dry or 'none'} of the "
        f"{among} it is {FURNITURE_PCT[1]:g} % or under, dry enough for furniture. {_of_mine(site, f'{mine:.1f} %')}"
        f"{_and_also(read, site)}"
    )


def dry_places(values: np.ndarray) -> tuple[int, int]:
    """Return at how many of the places on the map wood rests dry enough for furniture, and how many there are.

    Parameters
    ----------
    values : array (1011,)
        % MC at all stations.

    Examples
    --------
    >>> dry_places(climate.everywhere("emc_pct")[:, 0])[1]
    925
    """
    here = values[_stations()[0]]
    return int((here <= FURNITURE_PCT[1]).sum()), len(here)


@style.drawn
def stacks_outdoors(
    wood: str, thickness: str, month: int, place: str, shown: str, also: str = ""
) -> tuple[Drawing, str]:
    """Draw how long a stack needs outdoors to come down to 20 %, or how dry it ever gets there.

    Parameters
    ----------
    wood, thickness : str
        As in `woodcalc.drying.air_dry`.
    month : int
        Stacked in the middle of it, 1 to 12.
    place : str
        A place that `woodcalc.climate.get` knows.
    shown : {"days", "stops"}
    also : str
        A station to read off beside it.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> stacks_outdoors("northern red oak", "4/4", 5, "Madison, WI", "stops")[1][-18:]
    'Madison, WI: 13 %.'
    """
    site = climate.get(place)
    drying.thickness(thickness)  # says each time what it was not checked on
    stack = f"{capital(wood)} {thickness}, stacked in mid {month_name(month)}"
    values = _outdoors(wood, thickness, month, shown)
    unit = _days if shown == "days" else (lambda pct: f"{pct:.0f} %")
    read = _read_off(also, lambda row: unit(values[row]))
    if shown == "stops":
        mine = float(_alone(wood, thickness, month, site).stops_at_pct)
        page = _map(
            stack, "Outdoors it gets no drier than (% MC)", values, RESTS, site, mine, f"{mine:.0f} %", read
        )
        told = _at(values, 0, "%")
        return (
            page,
            f"{stack}: drying outdoors stops at {told}. {_of_mine(site, f'{mine:.0f} %')}{_and_also(read, site)}",
        )
    low, mine, high = _months_of(wood, thickness, site).loc[month]
    page = _map(
        stack,
        f"Likely days outdoors to {_TO_PCT} % MC",
        values,
        days_scale(wood, thickness),
        site,
        mine,
        _days(mine),
        read,
    )
    says = _days(mine)
    if not blank(mine):
        says += (
            f", four stacks in five {low:,.0f} to {high:,.0f}"
            if not blank(high)
            else f", at the soonest {low:,.0f}"
        )
    return (
        page,
        f"{stack}, to {_TO_PCT} %: {_at(values, 0, 'days', _NEVER)}. {_of_mine(site, says)}{_and_also(read, site)}",
    )


@lru_cache(maxsize=64)
def days_scale(wood: str, thickness: str) -> tuple[Sequence[float], Sequence[str]]:
    """Return the steps of days for a wood and thickness: one scale for all months and places.

    They go by the days of 68 F that it needs, so that each wood's map has its light and its dark places.

    Parameters
    ----------
    wood, thickness : str
        As in `woodcalc.drying.air_dry`.

    Examples
    --------
    >>> days_scale("northern red oak", "4/4")[1][0]
    '50 days or under'
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        need = drying.warm_days_needed(wood, thickness, _TO_PCT)
    ends = [_round_days(need * share) for share in (0.6, 0.75, 0.9, 1.3, 2.0)]
    between = [f"{low:,} to {high:,}" for low, high in itertools.pairwise(ends)]
    return ends, (f"{ends[0]} days or under", *between, f"over {ends[-1]:,}, or never")


def _round_days(days):
    step = next(step for step, upto in ((1, 20), (5, 150), (10, 500), (50, np.inf)) if days < upto)
    return step * round(days / step)


_NEVER = "not in four years"


def _days(days):
    return f"{days:,.0f} days" if np.isfinite(days) else _NEVER


@lru_cache(maxsize=64)
def _outdoors(wood, thickness, month, shown):
    of = drying.everywhere if shown == "days" else drying.driest_everywhere
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # said once, by whoever draws
        return of(wood, thickness, stacked(month))


@lru_cache(maxsize=64)
def _months_of(wood, thickness, site):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return drying.by_start(wood, thickness, site, _TO_PCT)


@lru_cache(maxsize=64)
def _alone(wood, thickness, month, site):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return drying.air_dry(wood, thickness, site, stacked(month))


@style.drawn
def houses(
    place: str, heat_f: float, people_g_per_m3: float, mc_pct: float, also: str = ""
) -> tuple[Drawing, str]:
    """Draw in how many months of the year the air of a heated house holds wood at a moisture content or under.

    Parameters
    ----------
    place : str
        A place that `woodcalc.climate.get` knows.
    heat_f, people_g_per_m3 : float
        As in `woodcalc.movement.indoors`.
    mc_pct : float
        %.
    also : str
        A station to read off beside it.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> houses("Madison, WI", 68, 3, 7)[1][-44:]
    'Madison, WI: 3 months, December to February.'
    """
    site = climate.get(place)
    emc = movement.indoors_everywhere(heat_f=heat_f, people_g_per_m3=people_g_per_m3)
    dry = movement.indoors(site, heat_f=heat_f, people_g_per_m3=people_g_per_m3).emc_pct.to_numpy() <= mc_pct
    many = (emc <= mc_pct).sum(axis=1)
    mine = int(dry.sum())
    title = f"A house heated to {heat_f:g} F as a dryer"
    note = f"Its air holds wood at {mc_pct:g} % or under in so many months a year"
    read = _read_off(also, lambda row: _of_months(int(many[row])))
    page = _map(title, note, -many, HOUSE, site, -mine, _of_months(mine), read)
    here = many[_stations()[0]]
    when = f", {_run(dry)}" if 0 < mine < 12 else ""
    half, none = (here >= 6).sum(), (here == 0).sum()
    does = f"holds wood at {mc_pct:g} % or under"
    return page, (
        f"In a house heated to {heat_f:g} F the air {does} for half of the year or longer at "
        f"{half} of the {len(here)} places, in no month at {none}. {_of_mine(site, _of_months(mine) + when)}"
        f"{_and_also(read, site)}"
    )


def _of_months(many):
    return f"{many or 'no'} month{'s' if many > 1 else ''}"


def _run(dry):
    """The months that are True in words: 'November to April', in more than one run if they are."""
    starts = [m for m in range(12) if dry[m] and not dry[m - 1]]
    runs = []
    for first in starts:
        last = first
        while dry[(last + 1) % 12]:
            last += 1
        runs.append(month_name(first + 1) + (f" to {month_name(last % 12 + 1)}" if last > first else ""))
    return " and ".join(runs)
