"""The steps of a plan, a table and a sentence or two each, and the cautions that go with them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, kiln, moisture, movement
from woodcalc.checks import blank, capital, count_of, in_a_list
from woodcalc.dates import calendar_day, day_told, span_told
from woodcalc.drying import forecast as drying
from woodcalc.drying.months import one_for_all
from woodcalc.kiln import loading
from woodcalc.logs import METAL, SOLID_FT3_PER_CORD, at_most_lb
from woodcalc.moisture import FURNITURE_PCT
from woodcalc.sawing.settings_sheet import NO_SHEET, WITH_SHEET, mentions_metal
from woodcalc.sizes import nominal_in, sixteenths
from woodcalc.stack import HEAVIEST, MOST_LIFTERS

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.drying.months import Months
    from woodcalc.records.usable import OwnTables
    from woodcalc.species import Species
    from woodcalc.stack import StackPlan


# Days after stacking on which to weigh: every week at first, when wood checks, then every two: common practice
WEIGH_ON = (7, 14, 21, 28, 42, 56, 70)
SHOWN_ROWS = 40  # rows of one table on the printed page; the CSV file has them all
COST_MARGIN = 0.3  # common practice: prices and paces of a first job are known no better than that
LOOSE_SAWDUST = 3.0  # common practice: loose sawdust over solid wood


@dataclass(frozen=True)
class Step:
    """One step of the job: a sentence that sums it up, a table, and how its columns are shown.

    Attributes
    ----------
    key, title : str
    says : str
        What the table says, in one or two sentences.
    table : DataFrame
        Numbers with the unit in the column's name.
    heads : dict
        Column of the table to (heading on the page, format of the numbers); columns not named are not printed.
    notes : tuple of str
    """

    key: str
    title: str
    says: str
    table: pd.DataFrame = field(repr=False)
    heads: dict[str, tuple[str, str]] = field(repr=False)
    notes: tuple[str, ...] = ()

    def shown(self, rows: int = SHOWN_ROWS) -> tuple[list[str], list[list[str]]]:
        """Return (headings, rows of text), as on the page; the last row of a long table says what is left out.

        Parameters
        ----------
        rows : int
            Most rows of the table that are shown.
        """
        heads = [head for head, _ in self.heads.values()]
        body = [
            [_shown(value, form) for value, (_, form) in zip(record, self.heads.values(), strict=True)]
            for record in self.table[list(self.heads)].itertuples(index=False)
        ]
        if len(body) > rows:
            body = [
                *body[: rows - 2],
                [f"... {len(body) - rows + 1} more"] + [""] * (len(heads) - 1),
                body[-1],
            ]
        return heads, body


def sizes_told(sizes: dict[str, str]) -> str:
    """Say the thicknesses of a job, each once.

    Parameters
    ----------
    sizes : dict of str
        Wood to its rough thickness.

    Examples
    --------
    >>> sizes_told({"white oak": "4/4", "white ash": "4/4"}), sizes_told({"white oak": "8/4", "white ash": "4/4"})
    ('4/4', '4/4 and 8/4')
    """
    names = sorted(set(sizes.values()), key=nominal_in)
    return in_a_list(names)


def first_season(forecast: drying.Forecast) -> tuple[date, float]:
    """Return (date, MC) at which the first season's drying is over: under half a point a month from there.

    Parameters
    ----------
    forecast : drying.Forecast

    Examples
    --------
    >>> when, mc = first_season(drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-15"))
    >>> when.year, round(mc)
    (2026, 16)
    """
    return loading.season_end(forecast)


def last_points(forecast: drying.Forecast) -> str:
    """Return whether the last points to furniture come off indoors, or the air takes them, and by when: a clause.

    What counts is where the first season ends; a stack that gets there only in a later one is said to.

    Parameters
    ----------
    forecast : drying.Forecast

    Examples
    --------
    >>> last_points(drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-15"))
    'so the last points come off indoors'
    """
    most = FURNITURE_PCT[1]
    season, mc = first_season(forecast)
    if mc <= most:
        return f"and it gets there on its own, near {mc:.0f} % on {calendar_day(season)}"
    later = forecast.date_of(most)[1] if forecast.stops_at_pct <= most else None
    alone = f", or on their own by {calendar_day(later)}" if later else ""
    return f"so the last points come off indoors{alone}"


def scale_step(scaled: pd.DataFrame) -> Step:
    """Return what the logs hold by each rule, and what they weigh.

    Parameters
    ----------
    scaled : DataFrame
        One row a log: its wood, sizes, board feet by each rule and weight (lb).
    """
    import pandas as pd

    numbers = ["doyle_bf", "scribner_bf", "international_bf", "volume_ft3", "weight_low_lb", "weight_lb"]
    numbers.append("weight_high_lb")
    columns = ["log", "species", "small_in", "large_in", "length_ft", "defect_pct", *numbers]
    total = {c: scaled[c].sum() for c in numbers} | {"log": "all", "species": count_of(len(scaled), "log")}
    table = pd.concat([scaled[columns], pd.DataFrame([total])], ignore_index=True)
    t, one = table.iloc[-1], "s" * (len(scaled) == 1)
    says = (
        f"{count_of(len(scaled), 'log')} hold{one} {t.volume_ft3:.0f} cubic feet and weigh{one} about "
        f"{_lb(t.weight_lb)}, somewhere from "
        f"{_lb(t.weight_low_lb)} to {at_most_lb(t.weight_high_lb)}. The same wood counts {t.doyle_bf:,.0f} board feet "
        f"by Doyle and {t.international_bf:,.0f} by International 1/4-inch: say which rule when you buy or sell."
    )
    heads = {
        "log": ("Log", ""), "species": ("Species", ""), "small_in": ("Small end (in)", ".1f"),
        "large_in": ("Large end (in)", ".1f"), "length_ft": ("Length (ft)", ".4g"), "defect_pct": ("Defect (%)", "g"),
        "doyle_bf": ("Doyle (bf)", ",.0f"), "scribner_bf": ("Scribner (bf)", ",.0f"),
        "international_bf": ("Internat. 1/4 (bf)", ",.0f"), "volume_ft3": ("Cubic feet", ",.1f"),
        "weight_lb": ("Weight (lb)", ",.0f"), "weight_high_lb": ("Load by (lb)", ",.0f"),
    }  # fmt: skip
    notes = (
        "Diameters as measured; a buyer rounds them to whole inches, and his board feet differ. Rules after the share "
        "lost to defects; cubic feet and weight before. "
        "Load and lift by the last column: up to a fifth over the wettest figure for the wood, a tenth for bark, and "
        "the trim. For a softwood with no figure for its sapwood, a close relative's stands in.",
    )
    return Step("scale", "What the logs hold", says, table, heads, notes)


def saw_step(sawn: pd.DataFrame, tallied: pd.DataFrame, pattern: str, given: dict[str, float]) -> Step:
    """Return the boards that sawing the logs by one pattern gives, log by log.

    Parameters
    ----------
    sawn : DataFrame
        One row a log: boards, board feet, kerf and the rest.
    tallied : DataFrame
        The tally that they come from.
    pattern : str
        As in `sawing.saw`.
    given : dict
        The plan's assumptions by name.
    """
    import pandas as pd

    numbers = ["boards", "best_bf", "expected_bf", "volume_ft3", "lumber_ft3", "slab_ft3", "sawdust_ft3"]
    numbers.append("international_bf")
    total = {c: sawn[c].sum() for c in numbers} | {"log": "all", "species": count_of(len(sawn), "log")}
    table = pd.concat([sawn[["log", "species", *numbers]], pd.DataFrame([total])], ignore_index=True)
    table["lumber_pct"] = 100 * table["lumber_ft3"] / table["volume_ft3"]
    heads = {
        "log": ("Log", ""), "species": ("Species", ""), "boards": ("Boards", ".0f"),
        "best_bf": ("Best, if sound (bf)", ",.0f"), "expected_bf": ("Plan on (bf)", ",.0f"),
        "lumber_pct": ("Lumber (% of log)", ".0f"), "slab_ft3": ("Slab, edging (ft\u00b3)", ".1f"),
        "sawdust_ft3": ("Sawdust (ft\u00b3)", ".1f"),
    }  # fmt: skip
    notes = [
        f"Pattern: {pattern}; kerf {given['kerf_in']:g} in. The best sawing is the most board feet that straight "
        f"cuts can give; plan on {given['lost_pct']:g} % less, and less again by each log's defects."
    ]
    if pattern not in WITH_SHEET:
        notes.append(NO_SHEET)
    if tallied is not None and not tallied.empty:
        sums = tallied.groupby("log")["board_feet"].sum()
        both = (
            table.set_index(table["log"].astype(str))
            .reindex(sums.index.astype(str))
            .dropna(subset=["best_bf"])
        )
        if len(both):
            had = float(sums.reindex(both.index).sum())
            table["tallied_bf"] = (
                table["log"].astype(str).map(dict(zip(sums.index.astype(str), sums, strict=True)))
            )
            table.loc[table.index[-1], "tallied_bf"] = had
            heads["tallied_bf"] = ("Your tally (bf)", ",.0f")
            notes.append(
                f"Boards tallied so far, from {count_of(len(both), 'log')}: {had:,.0f} bf, "
                f"{100 * had / both['best_bf'].sum():.0f} % of the best sawing of those logs."
            )
    t = table.iloc[-1]
    cords = t.slab_ft3 / SOLID_FT3_PER_CORD
    says = (
        f"Plan on about {t.expected_bf:,.0f} board feet in {count_of(round(t.boards), 'board')}. Slabs and edgings "
        f"make {cords:.1f} cord{'s' if cords >= 1.05 else ''} of firewood or kindling, the saw "
        f"{t.sawdust_ft3 * LOOSE_SAWDUST:.0f} cubic feet of loose sawdust."
    )
    return Step("saw", "What the saw gives", says, table, heads, tuple(notes))


def target_step(targets: pd.DataFrame, sizes: dict[str, str]) -> Step:
    """Return how thick to saw each wood, so that it still finishes after shrinking and planing.

    Parameters
    ----------
    targets : DataFrame
        One row a wood: thickness name, dressed, planing, shrinkage (%), least and set thickness (in).
    sizes : dict of str
        Wood to its rough thickness.
    """
    table = targets.assign(set=[sixteenths(x) for x in targets["set_in"]])
    said = []
    for _, lot in sorted(table.groupby("nominal"), key=lambda group: nominal_in(group[0])):
        low, high = lot["set_in"].min(), lot["set_in"].max()
        what = (
            f"{sixteenths(high)} in"
            if low == high
            else f"{sixteenths(low)} to {sixteenths(high)} in, by species,"
        )
        dressed = sixteenths(lot["finished_in"].iloc[0])
        said.append(f"For {lot['nominal'].iloc[0]} that dresses to {dressed} in when dry, saw {what} green.")
    says = " ".join(said)
    heads = {
        "species": ("Species", ""), **_size_column(sizes),
        "finished_in": ("Dressed, dry (in)", ".4g"), "planing_in": ("Planing (in)", ".3f"),
        "shrink_pct": ("Shrinks (%)", ".1f"), "target_in": ("Least green (in)", ".3f"), "set": ("Saw at (in)", ""),
    }  # fmt: skip
    notes = (
        "Shrinkage of a flat-sawn or quartersawn face, whichever is more, from green to 8 %. The least green size "
        "leaves one board in twenty too thin; the saw is set to the next sixteenth, and no thinner than its name.",
    )
    return Step("target", "Cut thick enough", says, table, heads, notes)


def _size_column(sizes):
    """The column of thickness names, where a job has several."""
    return {"nominal": ("Thickness", "")} if len(set(sizes.values())) > 1 else {}


def pile_step(piles: dict[str, StackPlan], sizes: dict[str, str]) -> Step:
    """Return how each pile is built, and what it weighs.

    Parameters
    ----------
    piles : dict of StackPlan
        By name.
    sizes : dict of str
        Wood to its rough thickness.
    """
    import pandas as pd

    rows = [
        (name, len(p.boards), p.board_feet, len(p.layers), p.length_in / 12, p.width_in / 12,
         (p.height_in + p.foundation_in) / 12, p.sticker_count, p.sticker_length_in, p.spacing_in, p.green_lb,
         p.green_high_lb, p.dry_lb, p.footings, p.footing_lb)
        for name, p in piles.items()
    ]  # fmt: skip
    columns = ["species", "boards", "board_feet", "layers", "length_ft", "width_ft", "height_ft", "stickers",
               "sticker_in", "spacing_in", "green_lb", "green_high_lb", "dry_lb", "footings", "footing_lb"]  # fmt: skip
    table = pd.DataFrame(rows, columns=columns)
    table["nominal"] = [sizes[p.species[0]] for p in piles.values()]
    says = (
        f"{count_of(len(table), 'pile')} on {table['footings'].sum():,} footings, with "
        f"{table['stickers'].sum():,} stickers. All boards of the best sawing are counted, so there will be room."
    )
    heads = {
        "species": ("Species", ""), **_size_column(sizes), "boards": ("Boards", "d"), "layers": ("Layers", "d"),
        "length_ft": ("Length (ft)", ".1f"), "width_ft": ("Width (ft)", ".1f"), "height_ft": ("Height (ft)", ".1f"),
        "stickers": ("Stickers", "d"), "sticker_in": ("each (in)", ".0f"), "spacing_in": ("spaced (in)", ".0f"),
        "green_high_lb": ("Green, up to (lb)", ",.0f"), "dry_lb": ("Dry (lb)", ",.0f"),
        "footing_lb": ("On a footing (lb)", ",.0f"),
    }  # fmt: skip
    notes = []
    for name in dict.fromkeys(key.partition(", pile ")[0] for key in piles if key.startswith("small lots")):
        kinds = dict.fromkeys(k for p in piles_of(piles, name) for k in p.species)
        notes.append(
            f"{capital(name)}: {', '.join(kinds)} share a pile. It is ready when its slowest wood is; "
            "keep each wood in its own layers."
        )
    return Step("stack", f"The stack, {sizes_told(sizes)}", says, table, heads, tuple(notes))


def piles_of(piles: dict[str, StackPlan], name: str) -> list[StackPlan]:
    """The piles of one wood, or of the small lots, in a dict by name.

    Parameters
    ----------
    piles : dict of StackPlan
        By name.
    name : str
        Of a wood.
    """
    return [pile for key, pile in piles.items() if key == name or key.startswith(f"{name}, pile ")]


def air_step(site: climate.Site, house: pd.DataFrame) -> Step:
    """Return the place's year of air, outdoors and in a heated house.

    Parameters
    ----------
    site : climate.Site
    house : DataFrame
        The year indoors, one row a month.
    """
    table = house.reset_index(names="month")
    table["month"] = [climate.MONTHS[m - 1] for m in table["month"]]
    outdoors = site.monthly["emc_pct"].to_numpy()
    table.insert(3, "out_emc_pct", outdoors)
    wet, dry = int(outdoors.argmax()), int(outdoors.argmin())
    says = (
        f"In {site.name} wood outdoors under a roof comes to rest between {outdoors[dry]:.1f} % in "
        f"{climate.MONTHS[dry]} and {outdoors[wet]:.1f} % in {climate.MONTHS[wet]}; in a heated house between "
        f"{house['emc_pct'].min():.1f} and {house['emc_pct'].max():.1f} %."
    )
    heads = {
        "month": ("Month", ""), "out_temp_f": ("Outdoors (F)", ".0f"), "out_rh_pct": ("Humidity (%)", ".0f"),
        "out_emc_pct": ("Wood rests at (%)", ".1f"), "temp_f": ("Heated house (F)", ".0f"),
        "rh_pct": ("Humidity (%) ", ".0f"), "emc_pct": ("Wood rests at (%) ", ".1f"),
    }  # fmt: skip
    return Step("air", f"The air in {site.name}", says, table, heads)


def dry_step(
    forecasts: dict[str, drying.Forecast],
    site: climate.Site,
    sizes: dict[str, str],
    begin: date,
    months: dict[str, Months],
    board_feet: Mapping[str, float],
) -> Step:
    """Return when each wood is dry outdoors, with its band, and which month would be the best to stack it.

    Parameters
    ----------
    forecasts : dict of Forecast
        By wood.
    site : climate.Site
    sizes : dict of str
        Wood to its rough thickness.
    begin : date
        The day that the wood goes on sticks.
    months : dict of Months
        Wood to the dangers of each month.
    board_feet : mapping of float
        Wood to the board feet that are expected of it.
    """
    import pandas as pd

    rows = []
    for name, f in forecasts.items():
        dates: dict[str, Any] = {}
        for mc in (25, 20, 15):
            span = f.date_of(mc) if f.stops_at_pct <= mc + 5 else (None, None, None)
            dates |= {f"mc{mc}_{k}": d for k, d in zip(("low", "likely", "high"), span, strict=True)}
        stop = f.stops_at_pct
        season, season_mc = first_season(f)
        rows.append({"species": name, "nominal": sizes[name], "start_mc_pct": f.start_mc_pct, **dates,
                     "stops_at_pct": stop, "season_on": season, "season_mc_pct": season_mc,
                     "stops_on": f.stops_on, "gap_low": stop - FURNITURE_PCT[1], "gap_high": stop - FURNITURE_PCT[0],
                     "basis": f.basis})  # fmt: skip
    table = pd.DataFrame(rows)
    for mc in (25, 20, 15):
        ends = ([r[f"mc{mc}_{k}"] for k in ("low", "likely", "high")] for r in rows)
        table[f"mc{mc}"] = [span_told(low, likely, high, True) for low, likely, high in ends]
    table["gap"] = [_to_go(r["stops_at_pct"], r["stops_at_pct"]) or "none" for r in rows]
    table["season"] = [f"{r['season_mc_pct']:.0f} % on {_shown(r['season_on'], '')}" for r in rows]
    first, last = min(table["stops_at_pct"]), max(table["stops_at_pct"])
    near = f"{first:.0f} %" if round(first) == round(last) else f"{first:.0f} to {last:.0f} %"
    wants = f"the {FURNITURE_PCT[0]:.0f} to {FURNITURE_PCT[1]:.0f} % that furniture wants"
    says = (
        f"{sizes_told(sizes)} stacked on {calendar_day(begin)} at {site.name}, under a roof, sides open. "
        + (
            f"Outdoors the drying stops near {near}: {_to_go(first, last)} points above {wants}."
            if _to_go(first, last)
            else f"Outdoors it gets down to {near}, as dry as {wants}."
        )
    )
    heads = {
        "species": ("Species", ""), **_size_column(sizes), "start_mc_pct": ("Green (%)", ".0f"), "mc25": ("25 %", ""),
        "mc20": ("20 %", ""), "season": ("First season ends", ""), "stops_at_pct": ("Never below (%)", ".0f"),
        "gap": ("Then to go", ""),
    }  # fmt: skip
    notes = [
        "Likely date, and in brackets from when to when four stacks in five get there. Your own readings narrow it."
    ]
    best = ", ".join(f"{name} {_best_told(each)}" for name, each in months.items())
    notes.append(f"The month to stack it, by checks and stain first and days next: {best}.{_margins(months)}")
    notes += _one_month(months, board_feet)
    for name, each in months.items():
        if said := each.says_of_dates(begin.month):
            notes.append(f"{capital(name)}: {said[0].lower()}{said[1:]}")
    if bad := [name for name, each in months.items() if begin.month in each.bad]:
        notes.append(
            f"{climate.MONTH_NAMES[begin.month - 1]} is a bad month for {', '.join(bad)}: see what can hurt."
        )
    for note in dict.fromkeys(each.note for each in months.values() if each.note):
        alike = ", ".join(name for name, each in months.items() if each.note == note)
        notes.append(f"Checks of {alike}: {note[0].lower()}{note[1:]}")
    if slow := [name for name, f in forecasts.items() if f.still_drying]:
        end = max(f.start + timedelta(days=f.horizon_days) for f in forecasts.values())
        notes.append(f"Still drying on {day_told(end)}, where this forecast ends: {', '.join(slow)}.")
    return Step("dry", "Weeks outdoors", says, table, heads, tuple(notes))


def _best_told(months: Months) -> str:
    """A wood's best month with its share of what is safe."""
    name, outer = climate.MONTH_NAMES[months.best - 1], months.table.outer[months.best]
    if blank(outer):
        return name
    return f"{name} ({outer:.1f})"


def _margins(months: dict[str, Months]) -> str:
    """What the shares beside the months are, and how far they may be off."""
    known = [each.margin_pct for each in months.values() if not blank(each.table.outer[each.best])]
    if not known:
        return ""
    least, most = min(known), max(known)
    margin = f"{least}" if least == most else f"{least} to {most}"
    return f" In brackets: the outermost boards' share of what is safe, give or take {margin} %."


def _one_month(months: dict[str, Months], board_feet: Mapping[str, float]) -> list[str]:
    """The month for all of it, and who loses by it; nothing where one wood is sawn, or all have the same."""
    if len({each.best for each in months.values()}) < 2:
        return []
    month, losers = one_for_all(months, board_feet)
    told = f"One month for all of it, weighed by board feet: {climate.MONTH_NAMES[month - 1]}."
    if not losers:
        return [f"{told} No wood loses by it."]
    lose = ", ".join(f"{name} ({months[name].reason(month)})" for name in losers)
    return [f"{told} By it {'lose' if len(losers) > 1 else 'loses'} {lose}."]


def _to_go(least_pct, most_pct):
    """How many points wood that rests from `least_pct` to `most_pct` is above what furniture wants; "" if none."""
    if most_pct <= FURNITURE_PCT[1]:
        return ""
    low, high = max(least_pct - FURNITURE_PCT[1], 0), most_pct - FURNITURE_PCT[0]
    return f"{low:.0f} to {high:.0f}" if round(low) else f"up to {high:.0f}"


def reading_step(learned: dict[str, drying.Forecast], own: OwnTables) -> Step:
    """Return what the readings of the stacks that stand already say of them.

    Parameters
    ----------
    learned : dict of Forecast
        By stack, after its readings.
    own : OwnTables
        The learner's records, as far as they can be used.
    """
    import pandas as pd

    rows = []
    for row in own.tables["stacks"].itertuples(index=False):
        if row.stack not in learned:
            continue
        after = learned[row.stack]
        before = drying.air_dry(after.species, after.thickness_in, after.site, after.start,
                                start_mc_pct=after.start_mc_pct, pile_width_ft=after.pile_width_ft,
                                part=after.part)  # fmt: skip
        assert after.readings is not None  # it has learned from them
        last = own.last_sure(row.stack)
        rows.append({"stack": row.stack, "species": row.species, "nominal": row.nominal,
                     "readings": len(after.readings),
                     "last_on": last.date.date(), "last_mc_pct": last.mc_pct, "pace_low": after.pace.low,
                     "pace": after.pace.likely, "pace_high": after.pace.high,
                     "before": span_told(*before.date_of(20), likely_first=True),
                     "after": span_told(*after.date_of(20), likely_first=True),
                     "after15": span_told(*after.date_of(15), likely_first=True)})  # fmt: skip
    table = pd.DataFrame(rows)
    table["last"] = [f"{r['last_mc_pct']:.0f} % on {_shown(r['last_on'], '')}" for r in rows]
    table["wood"] = table["species"] + " " + table["nominal"]
    table["paces"] = [f"{r['pace']:.2f} ({r['pace_low']:.2f} to {r['pace_high']:.2f})" for r in rows]
    r = rows[0]
    says = f"Stack {r['stack']} dries at {r['pace']:.2f} of the usual pace of its wood: 20 % {r['after']}."
    heads = {
        "stack": ("Stack", ""), "wood": ("Wood", ""), "readings": ("Readings", "d"), "last": ("The last", ""),
        "paces": ("Pace against the usual", ""), "before": ("20 % before readings", ""), "after": ("20 % now", ""),
        "after15": ("15 % now", ""),
    }  # fmt: skip
    return Step("readings", "What your readings say", says, table, heads)


def finish_step(forecast: drying.Forecast, boards: pd.DataFrame, given: dict[str, float]) -> Step:
    """Return the ways to bring the wood down the last points.

    Parameters
    ----------
    forecast : Forecast
        Of the main wood.
    boards : DataFrame
        All boards sawn.
    given : dict
        The plan's assumptions by name.
    """
    when, mc = first_season(forecast)
    name = forecast.species.name
    load = min(max(float(boards.loc[boards["species"] == name, "board_feet"].sum()), 50.0), 2000.0)
    target = sum(FURNITURE_PCT) / 2
    heads = {
        "way": ("Way", ""), "took": ("Days", "d"), "mc_end_pct": ("Ends at (%)", ".1f"),
        "kwh": ("Electricity (kWh)", ",.0f"),
        "cost_usd": ("Cost ($)", ",.0f"), "advice": ("Note", ""),
    }  # fmt: skip
    if mc <= FURNITURE_PCT[1]:
        return _dry_enough(when, mc, name, heads)
    table = kiln.compare(
        name, forecast.thickness_in, forecast.site, when, load, mc, target,
        price_per_kwh=given["usd_per_kwh"], part=forecast.part,
    )  # fmt: skip
    done = table.dropna(subset=["days"])
    says = f"On {calendar_day(when)} the {name} stands at about {mc:.0f} %. " + (
        f"Down to {target:.0f} %: "
        + "; ".join(
            f"{r.way}, {kiln.took(r.days, r.too_hot, between=r.between)}"
            for r in done.itertuples(index=False)
        )
        + "."
        if len(done)
        else f"None of the ways brings it to {target:.0f} % within 180 days from there."
    )
    table["took"] = [
        kiln.took(r.days, r.too_hot, 180, unit=False, between=r.between) for r in table.itertuples()
    ]
    notes: tuple[str, ...] = (
        f"A charge of {load:,.0f} bf; collector and fans in proportion to it, a dehumidifier of "
        f"{kiln.PINTS_PER_DAY:g} pints a day whatever the charge. Wiring in a damp place is work for a licensed "
        "electrician.",
    )
    if table["took"].str.contains("(", regex=False).any():
        notes += ("In brackets, the days that about three runs in four take.",)
    if not forecast.site.has_sun:
        notes += (f"No solar kiln: the figures of {forecast.site.name} do not tell its sunshine.",)
    return Step("finish", "The last points", says, table, heads, notes)


def _dry_enough(when, mc, name, heads):
    """The last points where none are left: a dry place brings wood down to what furniture wants on its own."""
    import pandas as pd

    says = (
        f"On {calendar_day(when)} the {name} stands at about {mc:.0f} %: as dry as the {FURNITURE_PCT[0]:.0f} to "
        f"{FURNITURE_PCT[1]:.0f} % that furniture wants. There are no last points to take off."
    )
    advice = "Stack it on stickers in the room where it will be used, a few weeks before you build."
    table = pd.DataFrame([{"way": "none needed", "days": 0.0, "mc_end_pct": mc, "kwh": 0.0, "cost_usd": 0.0,
                           "too_fast_days": 0, "too_hot": False, "advice": advice, "took": "0"}])  # fmt: skip
    return Step("finish", "The last points", says, table, heads)


def move_step(main: Species, house: pd.DataFrame, site: climate.Site, project: float) -> Step:
    """Return how a finished piece moves through the year indoors.

    Parameters
    ----------
    main : Species
    house : DataFrame
        The year indoors, one row a month.
    site : climate.Site
    project : float
        Width of the finished piece (in).
    """
    import pandas as pd

    rows = []
    for sawn in ("flat-sawn", "rift-sawn", "quarter-sawn"):
        year = movement.piece_year(project, 7.0, main, sawn, house, 30.0)
        gap = movement.gap_to_leave(year, margin=movement.varies(main))
        rows.append((sawn, year.grows_in, year.shrinks_in, year.change_in, climate.MONTHS[year.narrowest - 1],
                     climate.MONTHS[year.widest - 1], gap.side_in))  # fmt: skip
    columns = ["sawn", "grows_in", "shrinks_in", "change_in", "narrowest", "widest", "gap_in"]
    table = pd.DataFrame(rows, columns=columns)
    says = (
        f"A {project:g} in wide top of {main.name}, made at 7 % and kept in a heated house in {site.name}, changes by "
        f"{table['change_in'][0]:.2f} in over the year if flat-sawn, {table['change_in'][2]:.2f} in if quarter-sawn."
    )
    heads = {
        "sawn": ("Boards", ""), "grows_in": ("Grows (in)", ".2f"), "shrinks_in": ("Shrinks (in)", ".2f"),
        "change_in": ("In all (in)", ".2f"), "narrowest": ("Narrowest", ""), "widest": ("Widest", ""),
        "gap_in": ("Leave each side (in)", ".2f"),
    }  # fmt: skip
    averages = [
        f"{moisture.in_use_mc_pct('interior', region)[0]:.0f} % {where}"
        for region, where in (("most areas", "in most of the country"), ("dry southwest", "in the dry Southwest"),
                              ("damp coast", "on the damp, warm coast"))
    ]  # fmt: skip
    own = (f"{capital(main.name)} is a wood of your own. {main.notes}",) if main.shrink_varies else ()
    notes = (
        *own,
        "Single boards differ from their species by a fifth and more. Let wide pieces move: no glue across the grain.",
        f"Wood in heated houses averages {', '.join(averages)} (Wood Handbook, table 13-2, from memory).",
    )
    return Step("move", "It keeps moving", says, table, heads, notes)


def todo_step(
    forecasts: dict[str, drying.Forecast],
    piles: dict[str, StackPlan],
    sizes: dict[str, str],
    begin: date,
    read: bool,
) -> Step:
    """Return what to do when, day by day, for every wood.

    Parameters
    ----------
    forecasts : dict of Forecast
        By wood.
    piles : dict of StackPlan
        By name.
    sizes : dict of str
        Wood to its rough thickness.
    begin : date
        The day that the wood goes on sticks.
    read : bool
        Whether a stack has a reading already.
    """
    import pandas as pd

    stickers, footings = sum(p.sticker_count for p in piles.values()), sum(p.footings for p in piles.values())
    rows = [
        (
            begin - timedelta(days=28),
            f"Clear and level the yard; set the {footings:,} footings and the bolsters; cut or buy {stickers:,} "
            "stickers.",
        ),
        (
            begin - timedelta(days=7),
            "Coat the log ends if the logs must wait. Sharpen blades. Gather roof and weights.",
        ),
        (
            begin,
            "Saw and stack on the same day. Put two sample boards of each wood where you can pull them out.",
        ),
        (
            begin + timedelta(days=WEIGH_ON[0]),
            "Weigh the sample boards: every week in the first month, when wood checks, then every two weeks.",
        ),
    ]
    never, heated, season_over = [], [], []
    for name, f in forecasts.items():
        low, likely, high = f.date_of(20)
        season, mc = first_season(f)
        wood = f"{capital(name)} {sizes[name]}"
        if likely:
            ends = "" if low == high else " (" + span_told(low, likely, high, True).partition(" (")[2]
            rows.append((likely, f"{wood}: about 20 %{ends}. Weigh it before you believe it."))
        else:
            never.append(name)
        if mc > 25:  # so thick, or so cold a place, that the forecast ends before it slows down
            rows.append(
                (season, f"{wood}: still near {mc:.0f} %. Leave it on its sticks, and keep weighing.")
            )
            continue
        season_over.append(len(rows))
        rows.append((season, f"{wood}: the first season is over, near {mc:.0f} %. Bring in what you need."))
        if mc > FURNITURE_PCT[1]:
            heated.append(season)
        else:
            rows.append(
                (
                    season + timedelta(days=1),
                    f"{wood}: dry enough for furniture. Into the room where it will be used.",
                )
            )
    if heated:
        rows.append(
            (
                min(heated) + timedelta(days=1),
                "Last points, each wood in its turn: 6 to 8 % in a heated room, a solar or a dehumidifier kiln.",
            )
        )
    table = pd.DataFrame(rows, columns=["date", "what"])
    table["season_over"] = table.index.isin(season_over)
    table = table.sort_values("date", kind="stable", ignore_index=True)
    says = (
        f"{count_of(len(piles), 'pile')} to build, with {stickers:,} stickers. "
        + (f"Not likely to reach 20 % outdoors here: {', '.join(never)}. " if never else "")
        + ("" if read else "No readings yet: the first two tell more than any table.")
    )
    return Step("todo", "What remains to be done", says, table, {"date": ("When", ""), "what": ("What", "")})


def cost_step(
    n: int,
    sawn: pd.DataFrame,
    piles: dict[str, StackPlan],
    forecasts: dict[str, drying.Forecast],
    given: dict[str, float],
) -> Step:
    """Return the hours and dollars of the whole job, stage by stage.

    Parameters
    ----------
    n : int
        Logs.
    sawn : DataFrame
        One row a log.
    piles : dict of StackPlan
        By name.
    forecasts : dict of Forecast
        By wood.
    given : dict
        The plan's assumptions by name.
    """
    import pandas as pd

    bf = sawn["expected_bf"].sum()
    mill_h = bf / given["mill_bf_per_hour"]
    weeks = max((first_season(f)[0] - f.start).days for f in forecasts.values()) / 7
    stickers = sum(p.sticker_count for p in piles.values())
    footings = sum(p.footings for p in piles.values())
    cover = sum(p.cover_in[0] * p.cover_in[1] / 144 for p in piles.values())
    rows = [
        ("Bring and roll the logs", n, "log" + "s" * (n != 1), n * given["hours_per_log"] * given["mill_crew"], 0.0),
        ("Saw", bf, "bf", mill_h * given["mill_crew"], 0.0),
        ("Blades", bf / given["bf_per_blade"], "blades", 0.0, bf / given["bf_per_blade"] * given["usd_per_blade"]),
        ("Fuel", mill_h * given["fuel_gal_per_hour"], "gal", 0.0,
         mill_h * given["fuel_gal_per_hour"] * given["usd_per_gal"]),
        ("Foundations and covers", len(piles), "pile" + "s" * (len(piles) != 1), len(piles) * given["hours_per_stack"],
         footings * given["usd_per_footing"] + cover * given["usd_per_ft2_cover"]),
        ("Stack on stickers", bf, "bf", bf / given["stack_bf_per_hour"], stickers * given["usd_per_sticker"]),
        ("Check every two weeks", weeks / 2, "visits", weeks / 2 * given["hours_per_check"], 0.0),
    ]  # fmt: skip
    table = pd.DataFrame(rows, columns=["what", "amount", "unit", "hours", "usd"])
    hours = table["hours"].sum()
    if given["usd_per_hour"]:
        worth = ["Worth of the hours", hours, "h", 0.0, hours * given["usd_per_hour"]]
        table.loc[len(table)] = worth
    table.loc[len(table)] = ["All", np.nan, "", hours, table["usd"].sum()]
    usd = table["usd"].iloc[-1]
    low, high = 1 - COST_MARGIN, 1 + COST_MARGIN
    says = (
        f"Plan on {_round(low * hours)} to {_round(high * hours)} hours of work in all, and ${_round(low * usd)} "
        f"to ${_round(high * usd)} out of pocket, ${_round(low * usd / bf, 2)} to ${_round(high * usd / bf, 2)} "
        "a board foot."
    )
    table["much"] = [
        "" if blank(n) else f"{n:,.0f}" if n >= 10 or n == round(n) else f"{n:.1f}" for n in table["amount"]
    ]
    heads = {"what": ("What", ""), "much": ("How much", "d"), "unit": ("", ""), "hours": ("Hours of work", ",.0f"),
             "usd": ("Cost ($)", ",.0f")}  # fmt: skip
    notes = (
        "The mill itself and the wood are not in it. Every pace and price is an assumption, listed below.",
    )
    return Step("costs", "Hours and costs", says, table, heads, notes)


def cautions(
    tally: pd.DataFrame,
    scaled: pd.DataFrame,
    piles: dict[str, StackPlan],
    dangers: list[str],
    pieces: list[float],
    crew: float,
    heated: bool,
) -> Iterator[str]:
    """Yield what can hurt, and how not to be hurt, for these logs, piles and woods.

    `pieces` are the weights of all slabs and boards off the mill (lb), `crew` the people there; `heated`: a heater or
    a dehumidifier is in the plan.

    Parameters
    ----------
    tally, scaled : DataFrame
        One row a log: as written down, and as scaled.
    piles : dict of StackPlan
        By name.
    dangers : list of str
        What the asked-for month does to these woods (`drying.months.cautions`).
    pieces : list of float
        The weights of all slabs and boards off the mill (lb).
    crew : float
        The people there.
    heated : bool
        Whether a heater or a dehumidifier is in the plan.
    """
    heavy = scaled.loc[scaled["weight_high_lb"].idxmax()]
    yield (
        f"The heaviest log ({heavy.log}, {heavy.species}) may weigh {at_most_lb(heavy.weight_high_lb)}. Logs roll: "
        "stay uphill, chock them, never stand between two. Check the ratings of trailer, winch and loader."
    )
    yield (
        "Mill and chain saw: follow the maker's manual; eyes, ears, hands and feet protected; nobody near the blade's "
        "line. Sawdust: wear a dust mask; some woods (walnut, hickory, locust) irritate skin and lungs."
    )
    if said := by_weight(pieces, crew):
        yield said
    metal = [
        r.log for r in tally.itertuples(index=False) if mentions_metal(r.note) or r.metal_check in METAL[:2]
    ]
    if metal:
        yield f"Log {', '.join(metal)}: metal is likely. Go over it with a metal detector before the blade finds it."
    yield (
        "Piles: level and firm footings, no higher than twice their width; tie roof and pile down against wind. Nobody "
        "climbs on a pile, and children stay away."
    )
    heaviest = max(piles.values(), key=lambda pile: pile.heaviest_board_high_lb)
    for pile in piles.values():
        yield from (c for c in pile.cautions if pile is heaviest or not c.startswith(HEAVIEST))
    yield from dangers
    yield "Fans, heaters and dehumidifiers in a damp place: wiring is work for a licensed electrician."
    if heated:
        yield (
            "Dry wood, sawdust and a heater start fires: sweep, keep them at least 3 ft apart (common practice), and "
            "don't leave a heater or a dehumidifier unattended where nobody would hear the smoke alarm."
        )
    yield "Lumber for a building needs a grade stamp or the building official's leave: ask before you saw for it."
    yield (
        "Moisture contents and dates are estimates with the band shown. Measure before you load, glue or move indoors."
    )


def by_weight(pieces: list[float], crew: float) -> str:
    """Say how many of some slabs and boards (lb each) ask for three people or a machine, "" if none does.

    Parameters
    ----------
    pieces : list of float
        The most that each may weigh (lb).
    crew : float
        The people there.

    Examples
    --------
    >>> by_weight([40, 103, 230], 2)[:84]
    'Of 3 pieces off the mill, slabs and boards, 1 takes three or more people and 1 a mac'
    """
    people = np.array([moisture.lift_in_people(float(np.ceil(lb)), margin=0) for lb in pieces])
    machine = int((people > MOST_LIFTERS).sum())
    many = int((people > 2).sum()) - machine
    if not many + machine:
        return ""
    says = [f"{many:,} take{'s' * (many == 1)} three or more people"] * bool(many)
    says += [f"{machine:,} {'' if many else 'takes ' if machine == 1 else 'take '}a machine"] * bool(machine)
    over = int(((people > crew) & (people <= MOST_LIFTERS)).sum())
    short = (
        f" This plan counts on a crew of {crew:g}, too few for {over:,} of them: get more hands or a loader for that "
        "day, or buck and saw to lighter pieces."
        if over
        else ""
    )
    return (
        f"Of {count_of(len(people), 'piece')} off the mill, slabs and boards, {' and '.join(says)}: no more than "
        f"{moisture.LIFT_LB:g} lb a person. The mill's sheet says which.{short}"
    )


def _shown(value, form):
    if blank(value):
        return ""
    if isinstance(value, str):
        return value
    if hasattr(value, "strftime"):
        return day_told(value)
    return f"{int(value):d}" if form == "d" else format(value, form)


def _lb(pounds):
    return f"{float(f'{pounds:.2g}'):,.0f} lb"


def _round(value, decimals=0):
    return f"{value:,.{decimals}f}" if decimals else f"{float(f'{value:.2g}'):,.0f}"
