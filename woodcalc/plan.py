"""The whole job: from a tally of logs to a plan with tables, cautions, costs and hours, to print and to keep.

Each step of the plan is one table. What it rests on beside the tally is listed as assumptions, each of which the
reader can change.
"""

import re
from dataclasses import dataclass, field
from datetime import timedelta
from functools import cached_property
from pathlib import Path

import numpy as np

from woodcalc import climate, drying, kiln, logs, moisture, movement, records, sawing, shrinkage, stack
from woodcalc import species as woods
from woodcalc.checks import InputError, suggest, within
from woodcalc.settings_sheet import sixteenths

FURNITURE_PCT = (6.0, 8.0)  # lumber for furniture: Wood Handbook FPL-GTR-190 (2010), p. 13-13
SHOWN_ROWS = 40  # rows of one table on the printed page; the CSV file has them all

# name: value, unit, what it is. All of them common practice on small mills, none measured here: change them.
ASSUMPTIONS = {
    "kerf_in": (0.1, "in", "saw line of a thin band blade, set included"),
    "planing_in": (0.125, "in", "taken off by the planer, both faces together"),
    "sawing_sd_in": (0.03, "in", "spread of the boards' thickness as sawn (standard deviation)"),
    "lost_pct": (10.0, "%", "of the best sawing lost to miscuts, wane and knots"),
    "mill_bf_per_hour": (100.0, "bf/h", "sawn, turned and carried off"),
    "mill_crew": (2.0, "people", "at the mill"),
    "hours_per_log": (0.3, "h", "for each person to bring, clean and roll one log"),
    "stack_bf_per_hour": (150.0, "bf/h", "put on stickers by one person"),
    "hours_per_stack": (3.0, "h", "for one person to make foundation, cover and weights of a pile"),
    "hours_per_check": (0.5, "h", "for one visit with meter or scale, every two weeks"),
    "bf_per_blade": (300.0, "bf", "between two sharp blades"),
    "usd_per_blade": (12.0, "$", "to sharpen and set one blade"),
    "fuel_gal_per_hour": (0.8, "gal/h", "burned by the mill's engine"),
    "usd_per_gal": (4.0, "$", "for a gallon of fuel"),
    "usd_per_sticker": (0.5, "$", "for a dry sticker; nothing if you saw and dry your own a year ahead"),
    "usd_per_footing": (4.0, "$", "for a concrete block or pier"),
    "usd_per_ft2_cover": (1.5, "$/ft\u00b2", "for metal roof sheets over the pile"),
    "usd_per_kwh": (0.17, "$/kWh", "for electricity"),
    "usd_per_hour": (0.0, "$/h", "is an hour of work worth; nothing if it is your own"),
}
SMALL_LOT_BF = 200.0  # common practice: less than this shares a pile
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
    table: object = field(repr=False)
    heads: dict = field(repr=False)
    notes: tuple = ()

    def shown(self, rows=SHOWN_ROWS):
        """Return (headings, rows of text), as on the page; the last row of a long table says what is left out."""
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


@dataclass(frozen=True)
class Plan:
    """The whole job, made by `make_plan`.

    Attributes
    ----------
    name : str
        The folder's or file's name.
    place : Site
    species : Species
        The wood that is shown in detail.
    nominal : str
        Rough thickness, ``"4/4"``.
    start : date
        Day that the wood goes on sticks.
    steps : tuple of Step
    cautions : tuple of str
        What can hurt, and how not to be hurt.
    remarks : tuple of str
        What in the records could not be used, and why.
    assumptions : dict
        Those of `ASSUMPTIONS` with their values here.
    boards : DataFrame
        All boards of the best sawing.
    settings : dict
        Log to its settings sheet (DataFrame) for the mill.
    forecasts : dict
        Species to its `Forecast`.
    learned : dict
        Stack to the `Forecast` that its readings taught.
    pile : StackPlan or None
        Of the wood that is shown in detail.
    piles : dict
        Pile to its `StackPlan`.
    """

    name: str
    place: object
    species: object
    nominal: str
    start: object
    steps: tuple = field(repr=False)
    cautions: tuple = field(repr=False)
    remarks: tuple = field(repr=False)
    assumptions: dict = field(repr=False)
    boards: object = field(repr=False)
    settings: dict = field(repr=False)
    forecasts: dict = field(repr=False)
    learned: dict = field(repr=False)
    pile: object = field(repr=False)
    piles: dict = field(repr=False)

    @cached_property
    def keys(self):
        """Names of the steps, in order."""
        return tuple(s.key for s in self.steps)

    def step(self, key):
        """Return one step.

        Examples
        --------
        >>> make_plan(start="2026-05-15").step("scale").title
        'What the logs hold'
        """
        for s in self.steps:
            if s.key == key:
                return s
        raise suggest(key, self.keys, "step")

    def costs(self, **changes):
        """Return the step of hours and costs under other assumptions.

        Parameters
        ----------
        **changes : float
            New values for some of `ASSUMPTIONS` that do not change the sawing: paces, prices, `lost_pct`.

        Returns
        -------
        Step

        Examples
        --------
        >>> plan = make_plan(start="2026-05-15")
        >>> slow = plan.costs(mill_bf_per_hour=50).table["hours"].iloc[-1]
        >>> bool(slow > plan.step("costs").table["hours"].iloc[-1])
        True
        """
        given = _assumed({**self.assumptions, **changes})
        sawn = self.step("saw").table.iloc[:-1]
        kept = (1 - given["lost_pct"] / 100) / (1 - self.assumptions["lost_pct"] / 100)
        sawn = sawn.assign(expected_bf=sawn["expected_bf"] * kept)
        return _cost_step(len(sawn), sawn, self.piles, self.forecasts, given)

    @property
    def summary(self):
        """The plan in five sentences."""
        total = self.step("scale").table.iloc[-1]
        sawn = self.step("saw").table.iloc[-1]
        forecast = self.forecasts[self.species.name]
        return (
            f"{len(self.step('scale').table) - 1} logs, {total.volume_ft3:.0f} cubic feet, which the log rules call "
            f"{total.doyle_bf:,.0f} (Doyle), {total.scribner_bf:,.0f} (Scribner) or {total.international_bf:,.0f} "
            "(International 1/4-inch) board feet.",
            f"Sawn {self.nominal} with a thin kerf they give about {sawn.expected_bf:,.0f} board feet; "
            f"the best sawing would give {sawn.best_bf:,.0f}.",
            f"{self.species.name[0].upper()}{self.species.name[1:]} {self.nominal} on sticks from {_day(self.start)}: "
            + forecast.says(20),
            f"Outdoors it stops near {forecast.stops_at_pct:.0f} % moisture content; furniture for a heated room wants "
            f"{FURNITURE_PCT[0]:.0f} to {FURNITURE_PCT[1]:.0f} %, so the last points come off indoors.",
            self.step("costs").says,
        )

    def to_html(self, path):
        """Write the plan as one page to print: everything inside the file, black and white will do, letter paper.

        Parameters
        ----------
        path : path

        Returns
        -------
        Path

        Raises
        ------
        SaveError
            The file could not be written.
        """
        from woodcalc.figures import plan as pages

        return _save(path, pages.plan_page(self))

    def mill_to_html(self, path):
        """Write the settings sheets of all logs as pages to tape on the mill; as `to_html`."""
        from woodcalc.figures import plan as pages

        return _save(path, pages.mill_pages(self))

    def to_csv(self, folder):
        """Write every table as a CSV file: one for each step, the boards, and the settings of all logs.

        Parameters
        ----------
        folder : path
            Made if need be. Files of the same name are replaced; the last version of each is kept beside it.

        Returns
        -------
        list of Path
        """
        import pandas as pd

        sheets = [t.assign(log=log)[["log", *t.columns]] for log, t in self.settings.items()]
        tables = {f"plan-{n:02}-{s.key}": s.table for n, s in enumerate(self.steps, 1)}
        tables["plan-boards"] = self.boards
        tables["plan-mill-settings"] = pd.concat(sheets) if sheets else pd.DataFrame({"log": []})
        return [
            _save(Path(folder) / f"{name}.csv", table.to_csv(index=False, float_format="%.6g"))
            for name, table in tables.items()
        ]


def make_plan(
    folder=None,
    *,
    place="Madison, WI",
    thickness="4/4",
    start="May",
    species=None,
    pattern="cant",
    project_in=36.0,
    assumptions=None,
):
    """Plan the whole job from a tally of logs.

    Parameters
    ----------
    folder : path, optional
        A folder with ``logs.csv``, and if there are any ``boards.csv``, ``stacks.csv``, ``readings.csv``; or one CSV
        file with logs. Left out: Kettle Hollow, which is invented.
    place : str or Site
        Climate site of the yard and the house.
    thickness : str or float
        Rough thickness of all boards: ``"4/4"`` to ``"16/4"``, or inches.
    start : date, str or int
        Day that the wood goes on sticks, or a month (its 15th).
    species : str, optional
        The wood to show in detail; the one with most lumber if left out.
    pattern : str
        How the logs are sawn: ``"cant"``, ``"through-and-through"``, ``"quartered"``.
    project_in : float
        Width of a panel or table top whose movement is worked out (in), 1 to 120.
    assumptions : dict, optional
        New values for some of `ASSUMPTIONS`.

    Returns
    -------
    Plan

    Raises
    ------
    RecordsError
        Problems in the learner's files, each with file, row, column, found and expected.
    InputError
        No logs; an unknown place, species, thickness, pattern or assumption.

    Examples
    --------
    >>> plan = make_plan(start="2026-05-15")
    >>> plan.species.name, len(plan.step("scale").table) - 1
    ('northern red oak', 18)
    """
    tables, name = _tables(folder)
    site = climate.get(place)
    thick = drying.thickness(thickness)
    nominal = f"{round(thick * 4)}/4"
    begin = drying.start_date(start)
    pattern = sawing.pattern_name(pattern)
    project = within("project_in", project_in, 1, 120, "in", "Is it in mm?")
    given = _assumed(assumptions)

    tally = tables["logs"]
    scaled = _scaled(tally)
    targets = _targets(dict.fromkeys(tally["species"]), nominal, given)
    sawn, boards, settings, troubles = _sawn(tally, scaled, targets, nominal, pattern, given)
    main = _main(species, sawn)
    forecasts = {k: drying.air_dry(k, thick, site, begin) for k in dict.fromkeys(tally["species"])}
    piles = _piles(boards, main)
    learned, unread = _learned(tables, site)
    house = movement.indoors(site)

    steps = [
        _scale_step(scaled),
        _saw_step(sawn, tables.get("boards"), pattern, given),
        _target_step(targets, nominal),
        _pile_step(piles, nominal),
        _air_step(site, house),
        _dry_step(forecasts, site, nominal, begin),
        *([_reading_step(learned, tables["stacks"])] if learned else []),
        _finish_step(forecasts[main.name], boards, given),
        _move_step(main, house, site, project),
        _cost_step(len(scaled), sawn, piles, forecasts, given),
    ]
    steps.insert(-1, _todo_step(forecasts, piles, main, begin, len(learned)))
    cautions = list(_cautions(tally, scaled, forecasts, piles, thick))
    cautions = {re.sub(r"[\d.,]+", "#", c): c for c in reversed(cautions)}  # the same of several piles: once
    return Plan(
        name, site, main, nominal, begin, tuple(steps), tuple(reversed(cautions.values())),
        (*troubles, *unread, *records.links(tables)), given, boards, settings,
        forecasts, learned, piles.get(main.name), piles,
    )  # fmt: skip


def _tables(folder):
    path = Path(folder) if folder is not None else records.KETTLE_HOLLOW
    tables = {"logs": records.read(path, "logs")} if path.is_file() else records.read_folder(path)
    if "logs" not in tables or tables["logs"].empty:
        where = "logs.csv has no rows" if "logs" in tables else f"folder {path.name!r} has no logs.csv"
        raise InputError(f"{where}: a plan starts from a tally of logs. {_LOGS_NEED}")
    name = path.stem.replace("-", " ").replace("_", " ").strip() or "My wood"
    return tables, name[0].upper() + name[1:] if name.islower() is False else name.title()


_LOGS_NEED = "It needs one row for each log with species, small_in (small-end diameter) and length_ft."


def _assumed(changes):
    given = {name: value for name, (value, _, _) in ASSUMPTIONS.items()}
    for name, value in (changes or {}).items():
        if name not in given:
            raise suggest(name, list(given), "assumption")
        high = {"lost_pct": 90, "mill_crew": 20, "kerf_in": 0.75, "planing_in": 0.75, "sawing_sd_in": 0.25}
        least = 0.0 if name.startswith("usd") or name in ("lost_pct", "planing_in", "sawing_sd_in") else 0.01
        given[name] = within(name, value, least, high.get(name, 1e5), ASSUMPTIONS[name][1])
    return given


def _scaled(tally):
    scaled = logs.scale(tally)
    keep = 1 - tally["defect_pct"].to_numpy() / 100  # the share that is left after defects
    for rule in ("doyle_bf", "scribner_bf", "international_bf"):
        scaled[rule] = scaled[rule] * keep
    return scaled.assign(defect_pct=tally["defect_pct"])


def _targets(names, nominal, given):
    """Green size to set the saw for, by species: a row each."""
    import pandas as pd

    rows = []
    for name in names:
        wood = woods.get(name)
        rough = shrinkage.nominal_in(nominal)
        finished = rough - 0.25 if rough > 2 else shrinkage.lumber_size_in(rough)  # as the table: 2, 3, 4 in
        shrink = shrinkage.shrinkage_pct(wood, wood.green_mc_pct, FURNITURE_PCT[1], 0.0)
        shrink = max(shrink, shrinkage.shrinkage_pct(wood, wood.green_mc_pct, FURNITURE_PCT[1], 90.0))
        target = shrinkage.green_target_in(finished, shrink, given["planing_in"], given["sawing_sd_in"])
        set_in = max(np.ceil(max(target, rough) * 16 - 1e-9) / 16, rough)
        rows.append((wood.name, finished, given["planing_in"], shrink, target, float(set_in)))
    columns = ["species", "finished_in", "planing_in", "shrink_pct", "target_in", "set_in"]
    return pd.DataFrame(rows, columns=columns)


def _sawn(tally, scaled, targets, nominal, pattern, given):
    """Saw every log: (table by log, all boards, settings by log, troubles)."""
    import pandas as pd

    set_in = dict(zip(targets["species"], targets["set_in"], strict=True))
    rows, boards, settings, troubles = [], [], {}, []
    for row in tally.itertuples(index=False):
        sound = 1 - row.defect_pct / 100
        log = logs.Log(
            small_in=row.small_in, large_in=row.large_in if row.large_in == row.large_in else None,
            length_ft=row.length_ft, species=row.species, label=row.log, trim_in=row.trim_in, sweep_in=row.sweep_in,
        )  # fmt: skip
        try:
            if sound == 0:
                raise InputError("its defect_pct is 100, so nothing of it is left.")
            cut = sawing.saw(log, given["kerf_in"], {nominal: set_in[log.species]}, pattern)
        except InputError as error:
            troubles.append(f"Log {log.label} is not sawn in this plan: {error}")
            rows.append((log.label, log.species, 0, 0.0, 0.0, 0.0, log.volume_ft3, 0.0))
            continue
        v = cut.volumes_ft3
        expected = cut.board_feet * sound * (1 - given["lost_pct"] / 100)
        rows.append((log.label, log.species, len(cut.boards), cut.board_feet, expected, v["lumber"],
                     v["slab"] + v["edging"], v["sawdust"]))  # fmt: skip
        boards.append(cut.boards)
        settings[log.label] = cut.cuts
    columns = ["log", "species", "boards", "best_bf", "expected_bf", "lumber_ft3", "slab_ft3", "sawdust_ft3"]
    table = pd.DataFrame(rows, columns=columns)
    table["volume_ft3"] = scaled["volume_ft3"].to_numpy()
    table["international_bf"] = scaled["international_bf"].to_numpy()
    if not boards:
        raise InputError(f"no log of the tally gives a board of {nominal}. " + " ".join(troubles[:3]))
    boards = pd.concat(boards, ignore_index=True)
    boards["board"] = boards["log"].astype(str) + "-" + boards["board"].astype(str)
    return table, boards, settings, troubles


def _main(species, sawn):
    by_wood = sawn.groupby("species")["expected_bf"].sum().sort_values(ascending=False, kind="stable")
    if species is None:
        return woods.get(by_wood.index[0])
    wood = woods.get(species)
    if wood.name not in by_wood.index:
        raise InputError(f"species = {wood.name!r}: the tally has none. It has {', '.join(by_wood.index)}.")
    if not by_wood[wood.name]:
        raise InputError(f"species = {wood.name!r}: no log of it gives a board of this thickness.")
    return wood


def _piles(boards, main):
    """A pile for each wood with enough boards to be worth a foundation; one for all the others together."""
    width = max(48.0, float(boards["width_in"].max()) + 2)
    by_wood = boards.groupby("species", sort=False)["board_feet"].sum()
    own = [name for name, bf in by_wood.items() if bf >= SMALL_LOT_BF or name == main.name]
    rest = [name for name in by_wood.index if name not in own]
    if len(rest) == 1:
        own, rest = [*own, *rest], []
    piles = {name: stack.plan_stack(boards[boards["species"] == name], pile_width_in=width) for name in own}
    if rest:
        piles["small lots"] = stack.plan_stack(boards[boards["species"].isin(rest)], pile_width_in=width)
    return piles


def first_season(forecast):
    """Return (date, MC) at which the first season's drying is over: under half a point a month from there.

    Parameters
    ----------
    forecast : drying.Forecast

    Examples
    --------
    >>> when, mc = first_season(drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-15"))
    >>> when.year, round(mc)
    (2026, 17)
    """
    likely = forecast.daily["likely"].to_numpy()
    slow = (likely[:-30] <= 25) & (likely[:-30] - likely[30:] < 0.5)
    day = int(slow.argmax()) if slow.any() else (forecast.stops_on - forecast.start).days
    return forecast.start + timedelta(days=day), float(likely[day])


def _learned(tables, site):
    """Forecasts of the stacks that have readings, and what could not be used."""
    learned, notes = {}, []
    if "stacks" not in tables or "readings" not in tables:
        return learned, notes
    for row in tables["stacks"].itertuples(index=False):
        seen = records.mc_readings(tables["readings"], row.stack, row.species)
        notes += [f"Stack {row.stack}: {note}." for note in seen.attrs["notes"]]
        if seen.empty:
            continue
        more = {"start_mc_pct": row.start_mc_pct} if row.start_mc_pct == row.start_mc_pct else {}
        more |= {"pile_width_ft": row.width_ft} if row.width_ft == row.width_ft else {}
        forecast = drying.air_dry(row.species, row.nominal, row.place or site, row.stacked, **more)
        try:
            learned[row.stack] = forecast.update(seen)
        except InputError as error:
            notes.append(f"Stack {row.stack}: readings not used. {error}")
    return learned, notes


def _scale_step(scaled):
    import pandas as pd

    numbers = ["doyle_bf", "scribner_bf", "international_bf", "volume_ft3", "weight_low_lb", "weight_lb"]
    numbers.append("weight_high_lb")
    columns = ["log", "species", "small_in", "large_in", "length_ft", "defect_pct", *numbers]
    total = {c: scaled[c].sum() for c in numbers} | {"log": "all", "species": f"{len(scaled)} logs"}
    table = pd.concat([scaled[columns], pd.DataFrame([total])], ignore_index=True)
    t = table.iloc[-1]
    says = (
        f"{len(scaled)} logs hold {t.volume_ft3:.0f} cubic feet and weigh about {_lb(t.weight_lb)}, somewhere from "
        f"{_lb(t.weight_low_lb)} to {_lb(t.weight_high_lb)}. The same wood counts {t.doyle_bf:,.0f} board feet by "
        f"Doyle and {t.international_bf:,.0f} by International 1/4-inch: say which rule when you buy or sell."
    )
    heads = {
        "log": ("Log", ""), "species": ("Species", ""), "small_in": ("Small end (in)", ".1f"),
        "large_in": ("Large end (in)", ".1f"), "length_ft": ("Length (ft)", "g"), "defect_pct": ("Defect (%)", "g"),
        "doyle_bf": ("Doyle (bf)", ",.0f"), "scribner_bf": ("Scribner (bf)", ",.0f"),
        "international_bf": ("Internat. 1/4 (bf)", ",.0f"), "volume_ft3": ("Cubic feet", ",.1f"),
        "weight_lb": ("Weight (lb)", ",.0f"), "weight_high_lb": ("Load by (lb)", ",.0f"),
    }  # fmt: skip
    notes = (
        "Diameters as measured, not rounded. Rules after the share lost to defects; cubic feet and weight before. "
        "Load and lift by the last column: it counts bark and the heaviest published green weight.",
    )
    return Step("scale", "What the logs hold", says, table, heads, notes)


def _saw_step(sawn, tallied, pattern, given):
    import pandas as pd

    numbers = ["boards", "best_bf", "expected_bf", "volume_ft3", "lumber_ft3", "slab_ft3", "sawdust_ft3"]
    numbers.append("international_bf")
    total = {c: sawn[c].sum() for c in numbers} | {"log": "all", "species": f"{len(sawn)} logs"}
    table = pd.concat([sawn[["log", "species", *numbers]], pd.DataFrame([total])], ignore_index=True)
    table["lumber_pct"] = 100 * table["lumber_ft3"] / table["volume_ft3"]
    heads = {
        "log": ("Log", ""), "species": ("Species", ""), "boards": ("Boards", ".0f"),
        "best_bf": ("Best sawing (bf)", ",.0f"), "expected_bf": ("Reckon with (bf)", ",.0f"),
        "lumber_pct": ("Lumber (% of log)", ".0f"), "slab_ft3": ("Slab, edging (ft\u00b3)", ".1f"),
        "sawdust_ft3": ("Sawdust (ft\u00b3)", ".1f"),
    }  # fmt: skip
    notes = [
        f"Pattern: {pattern}; kerf {given['kerf_in']:g} in. The best sawing is the most board feet that straight "
        f"cuts can give; reckon with {given['lost_pct']:g} % less, and less again by each log's defects."
    ]
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
                f"Boards tallied so far, from {len(both)} log{'s' * (len(both) > 1)}: {had:,.0f} bf, "
                f"{100 * had / both['best_bf'].sum():.0f} % of the best sawing of those logs."
            )
    t = table.iloc[-1]
    cords = t.slab_ft3 / sawing.SOLID_FT3_PER_CORD
    says = (
        f"Reckon with about {t.expected_bf:,.0f} board feet in {t.boards:.0f} boards. Slabs and edgings make "
        f"{cords:.1f} cord{'s' if cords >= 1.05 else ''} of firewood or kindling, the saw "
        f"{t.sawdust_ft3 * LOOSE_SAWDUST:.0f} cubic feet of loose sawdust."
    )
    return Step("saw", "What the saw gives", says, table, heads, tuple(notes))


def _target_step(targets, nominal):
    table = targets.assign(set=[sixteenths(x) for x in targets["set_in"]])
    low, high = table["set_in"].min(), table["set_in"].max()
    what = (
        f"{sixteenths(high)} in"
        if low == high
        else f"{sixteenths(low)} to {sixteenths(high)} in, by species,"
    )
    says = f"For {nominal} that dresses to {sixteenths(table['finished_in'].iloc[0])} in when dry, saw {what} green."
    heads = {
        "species": ("Species", ""), "finished_in": ("Dressed, dry (in)", ".4g"), "planing_in": ("Planing (in)", ".3f"),
        "shrink_pct": ("Shrinks (%)", ".1f"), "target_in": ("Least green (in)", ".3f"), "set": ("Saw at (in)", ""),
    }  # fmt: skip
    notes = (
        "Shrinkage of a flat-sawn or quartersawn face, whichever is more, from green to 8 %. The least green size "
        "leaves one board in twenty too thin; the saw is set to the next sixteenth, and no thinner than its name.",
    )
    return Step("target", "Cut thick enough", says, table, heads, notes)


def _pile_step(piles, nominal):
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
    says = (
        f"{len(table)} pile{'s' * (len(table) > 1)} on {table['footings'].sum()} footings, with "
        f"{table['stickers'].sum():,} stickers. All boards of the best sawing are counted, so there will be room."
    )
    heads = {
        "species": ("Species", ""), "boards": ("Boards", "d"), "layers": ("Layers", "d"),
        "length_ft": ("Length (ft)", ".1f"), "width_ft": ("Width (ft)", ".1f"), "height_ft": ("Height (ft)", ".1f"),
        "stickers": ("Stickers", "d"), "sticker_in": ("each (in)", ".0f"), "spacing_in": ("spaced (in)", ".0f"),
        "green_high_lb": ("Green, up to (lb)", ",.0f"), "dry_lb": ("Dry (lb)", ",.0f"),
        "footing_lb": ("On a footing (lb)", ",.0f"),
    }  # fmt: skip
    notes = []
    if "small lots" in piles:
        notes.append(
            f"Small lots: {', '.join(piles['small lots'].species)} share a pile. It is ready when its slowest wood is; "
            "keep each wood in its own layers."
        )
    return Step("stack", f"The stack, {nominal}", says, table, heads, tuple(notes))


def _air_step(site, house):
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


def _dry_step(forecasts, site, nominal, begin):
    import pandas as pd

    rows = []
    for name, f in forecasts.items():
        dates = {}
        for mc in (25, 20, 15):
            span = f.date_of(mc) if f.stops_at_pct <= mc + 5 else (None, None, None)
            dates |= {f"mc{mc}_{k}": d for k, d in zip(("low", "likely", "high"), span, strict=True)}
        stop = f.stops_at_pct
        season, season_mc = first_season(f)
        rows.append({"species": name, "start_mc_pct": f.start_mc_pct, **dates, "stops_at_pct": stop,
                     "season_on": season, "season_mc_pct": season_mc,
                     "stops_on": f.stops_on, "gap_low": stop - FURNITURE_PCT[1], "gap_high": stop - FURNITURE_PCT[0],
                     "basis": f.basis})  # fmt: skip
    table = pd.DataFrame(rows)
    for mc in (25, 20, 15):
        table[f"mc{mc}"] = [_span(r[f"mc{mc}_low"], r[f"mc{mc}_likely"], r[f"mc{mc}_high"]) for r in rows]
    table["gap"] = [f"{max(r['gap_low'], 0):.0f} to {max(r['gap_high'], 0):.0f}" for r in rows]
    table["season"] = [f"{r['season_mc_pct']:.0f} % on {_shown(r['season_on'], '')}" for r in rows]
    first, last = min(table["stops_at_pct"]), max(table["stops_at_pct"])
    near = f"{first:.0f} %" if round(first) == round(last) else f"{first:.0f} to {last:.0f} %"
    says = (
        f"{nominal} stacked on {_day(begin)} at {site.name}, under a roof, sides open. Outdoors the drying stops near "
        f"{near}: {max(first - 8, 0):.0f} to {max(last - 6, 0):.0f} points above the 6 to 8 % that furniture wants."
    )
    heads = {
        "species": ("Species", ""), "start_mc_pct": ("Green (%)", ".0f"), "mc25": ("25 %", ""),
        "mc20": ("20 %", ""), "season": ("First season ends", ""), "stops_at_pct": ("Never below (%)", ".0f"),
        "gap": ("Then to go", ""),
    }  # fmt: skip
    notes = (
        "Likely date, and in brackets from when to when four stacks in five get there. Your own readings narrow it.",
    )
    return Step("dry", "Weeks outdoors", says, table, heads, notes)


def _reading_step(learned, stacks):
    import pandas as pd

    rows = []
    for row in stacks.itertuples(index=False):
        if row.stack not in learned:
            continue
        after = learned[row.stack]
        before = drying.air_dry(after.species, after.thickness_in, after.site, after.start,
                                start_mc_pct=after.start_mc_pct, pile_width_ft=after.pile_width_ft)  # fmt: skip
        last = after.readings.iloc[-1]
        rows.append({"stack": row.stack, "species": row.species, "nominal": row.nominal,
                     "readings": len(after.readings),
                     "last_on": last.date.date(), "last_mc_pct": last.mc_pct, "pace_low": after.pace.low,
                     "pace": after.pace.likely, "pace_high": after.pace.high, "before": _span(*before.date_of(20)),
                     "after": _span(*after.date_of(20)), "after15": _span(*after.date_of(15))})  # fmt: skip
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


def _finish_step(forecast, boards, given):
    when, mc = first_season(forecast)
    name = forecast.species.name
    load = min(max(float(boards.loc[boards["species"] == name, "board_feet"].sum()), 50.0), 2000.0)
    target = sum(FURNITURE_PCT) / 2
    table = kiln.compare(
        name, forecast.thickness_in, forecast.site, when, load, mc, target, price_per_kwh=given["usd_per_kwh"]
    )
    done = table.dropna(subset=["days"])
    says = f"On {_day(when)} the {name} stands at about {mc:.0f} %. " + (
        f"Down to {target:.0f} %: "
        + "; ".join(f"{r.way}, {r.days:.0f} days" for r in done.itertuples(index=False))
        + "."
        if len(done)
        else f"None of the ways brings it to {target:.0f} % within 180 days from there."
    )
    heads = {
        "way": ("Way", ""), "days": ("Days", ".0f"), "mc_end_pct": ("Ends at (%)", ".1f"),
        "kwh": ("Electricity (kWh)", ",.0f"),
        "cost_usd": ("Cost ($)", ",.0f"), "advice": ("Note", ""),
    }  # fmt: skip
    notes = (
        f"A charge of {load:,.0f} bf; collector, fans and machine of the usual size for it. Wiring in a damp place is "
        "work for a licensed electrician.",
    )
    if not forecast.site.has_sun:
        notes += (f"No solar kiln: the figures of {forecast.site.name} do not tell its sunshine.",)
    return Step("finish", "The last points", says, table, heads, notes)


def _move_step(main, house, site, project):
    import pandas as pd

    rows = []
    for sawn in ("flat-sawn", "rift-sawn", "quarter-sawn"):
        year = movement.piece_year(project, 7.0, main, sawn, house, 30.0)
        gap = movement.gap_to_leave(year)
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
    notes = (
        "Single boards differ from their species by a fifth and more. Let wide pieces move: no glue across the grain.",
        f"Wood in heated houses averages {', '.join(averages)} (Wood Handbook, table 13-2, from memory).",
    )
    return Step("move", "It keeps moving", says, table, heads, notes)


def _todo_step(forecasts, piles, main, begin, stacks_read):
    import pandas as pd

    f, pile = forecasts[main.name], piles[main.name]
    likely, (season, mc) = f.date_of(20).likely, first_season(f)
    rows = [
        (
            begin - timedelta(days=28),
            "Clear and level the yard; set the footings and bolsters; cut or buy the stickers.",
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
            begin + timedelta(days=14),
            "First weighing or meter reading; then every two weeks. Keep the records.",
        ),
        *(
            [
                (
                    likely,
                    f"{main.name.capitalize()}: about 20 %. Check with meter or scale before you believe it.",
                )
            ]
            if likely
            else []
        ),
        (
            season,
            f"{main.name.capitalize()}: the first season is over, near {mc:.0f} %. Bring in what you need.",
        ),
        (
            season + timedelta(days=1),
            "Last points: down to 6 to 8 % in a heated room, a solar or a dehumidifier kiln.",
        ),
    ]
    table = pd.DataFrame(rows, columns=["date", "what"]).sort_values("date", kind="stable", ignore_index=True)
    says = (
        f"{len(piles)} pile{'s' * (len(piles) > 1)} to build, {pile.sticker_count} stickers for the {main.name} alone. "
        + (
            "Readings have begun; keep on."
            if stacks_read
            else "No readings yet: the first two tell more than any table."
        )
    )
    return Step("todo", "What remains to be done", says, table, {"date": ("When", ""), "what": ("What", "")})


def _cost_step(n, sawn, piles, forecasts, given):
    import pandas as pd

    bf = sawn["expected_bf"].sum()
    mill_h = bf / given["mill_bf_per_hour"]
    weeks = max((first_season(f)[0] - f.start).days for f in forecasts.values()) / 7
    stickers = sum(p.sticker_count for p in piles.values())
    footings = sum(p.footings for p in piles.values())
    cover = sum(p.cover_in[0] * p.cover_in[1] / 144 for p in piles.values())
    rows = [
        ("Bring and roll the logs", n, "logs", n * given["hours_per_log"] * given["mill_crew"], 0.0),
        ("Saw", bf, "bf", mill_h * given["mill_crew"], 0.0),
        ("Blades", bf / given["bf_per_blade"], "blades", 0.0, bf / given["bf_per_blade"] * given["usd_per_blade"]),
        ("Fuel", mill_h * given["fuel_gal_per_hour"], "gal", 0.0,
         mill_h * given["fuel_gal_per_hour"] * given["usd_per_gal"]),
        ("Foundations and covers", len(piles), "piles", len(piles) * given["hours_per_stack"],
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
        f"Reckon with {_round(low * hours)} to {_round(high * hours)} hours of work in all, and ${_round(low * usd)} "
        f"to ${_round(high * usd)} out of pocket, ${_round(low * usd / bf, 2)} to ${_round(high * usd / bf, 2)} "
        "a board foot."
    )
    heads = {"what": ("What", ""), "amount": ("How much", ",.0f"), "unit": ("", ""), "hours": ("Hours of work", ",.0f"),
             "usd": ("Cost ($)", ",.0f")}  # fmt: skip
    notes = (
        "The mill itself and the wood are not in it. Every pace and price is an assumption, listed below.",
    )
    return Step("costs", "Hours and costs", says, table, heads, notes)


def _cautions(tally, scaled, forecasts, piles, thick):
    heavy = scaled.loc[scaled["weight_high_lb"].idxmax()]
    yield (
        f"The heaviest log ({heavy.log}, {heavy.species}) may weigh {_lb(heavy.weight_high_lb)}. Logs roll: stay "
        "uphill, chock them, never stand between two. Check the ratings of trailer, winch and loader."
    )
    yield (
        "Mill and chain saw: follow the maker's manual; eyes, ears, hands and feet protected; nobody near the blade's "
        "line. Sawdust: wear a dust mask; some woods (walnut, hickory, locust) irritate skin and lungs."
    )
    metal = [
        r.log
        for r in tally.itertuples(index=False)
        if any(w in r.note.lower() for w in ("wire", "nail", "metal", "fence"))
    ]
    if metal:
        yield f"Log {', '.join(metal)}: metal is likely. Go over it with a metal detector before the blade finds it."
    yield (
        "Piles: level and firm footings, no higher than twice their width; tie roof and pile down against wind. Nobody "
        "climbs on a pile, and children stay away."
    )
    for pile in piles.values():
        yield from pile.cautions
    for name, f in forecasts.items():
        wood = f.species
        safe = wood.safe_loss_4_4_pct_per_day if thick < 1.75 else wood.safe_loss_8_4_pct_per_day
        most = float(-f.daily["likely"].diff().iloc[1:60].min())
        if safe and most > safe:
            yield (
                f"{name}: the forecast loses up to {most:.1f} % a day, more than the {safe:g} % that is safe for it. "
                "Slow the start: shade, burlap on the windward side, narrower gaps; coat the ends."
            )
    yield "Fans, heaters and dehumidifiers in a damp place: wiring is work for a licensed electrician."
    yield "Lumber for a building needs a grade stamp or the building official's leave: ask before you saw for it."
    yield (
        "Moisture contents and dates are estimates with the band shown. Measure before you load, glue or move indoors."
    )


def _shown(value, form):
    if value is None or value != value:
        return ""
    if isinstance(value, str):
        return value
    if hasattr(value, "strftime"):
        return f"{value.day} {value:%b %Y}"
    return f"{int(value):d}" if form == "d" else format(value, form)


def _day(when):
    return f"{when.day} {when:%B %Y}"


def _span(low, likely, high):
    """A likely date, and in brackets from when to when; years where they are not the likely date's."""
    if low is None:
        return "not reached"

    def short(when):
        return f"{when.day} {when:%b}" + (
            f" {when.year}" if likely is None or when.year != likely.year else ""
        )

    return f"{_shown(likely, '') or 'perhaps never'} ({short(low)} to {short(high) if high else 'never'})"


def _lb(pounds):
    return f"{float(f'{pounds:.2g}'):,.0f} lb"


def _round(value, decimals=0):
    return f"{value:,.{decimals}f}" if decimals else f"{float(f'{value:.2g}'):,.0f}"


def _save(path, text):
    from woodcalc.keep import locked, save

    path = Path(path)
    with locked(path):
        save(path, text.encode("utf-8"))
    return path
