"""The whole job: from a tally of logs to a plan with tables, cautions, costs and hours, to print and to keep.

Each step of the plan is one table. What it rests on beside the tally is listed as assumptions, each of which the
reader can change.
"""

from __future__ import annotations

import re
import tomllib
import warnings
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, drying, logs, movement, shrinkage, stack
from woodcalc import species as woods
from woodcalc.checks import InputError, RangeWarning, capital, count_of, suggest, within
from woodcalc.dates import calendar_day
from woodcalc.disk import in_words, plainly
from woodcalc.drying.months import cautions as dangers
from woodcalc.drying.months import month_to_saw
from woodcalc.plan import steps as plan_steps
from woodcalc.plan.standing import Standing, standing
from woodcalc.plan.steps import FURNITURE_PCT, Step, first_season
from woodcalc.records.cells import inert
from woodcalc.records.choices import KETTLE_HOLLOW
from woodcalc.records.columns import RecordsError
from woodcalc.records.keep import save_made
from woodcalc.records.neighbors import JUDGED
from woodcalc.records.usable import read_usable, stack_taught
from woodcalc.sawing import best, settings_sheet
from woodcalc.sawing.limits import limits
from woodcalc.sawing.mill import Mill
from woodcalc.sizes import dressed_in, length_told, nominal_in, thickness_name

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.drying.forecast import Forecast
    from woodcalc.sawing.sawn_log import SawingPlan


__all__ = ["ASSUMPTIONS", "FURNITURE_PCT", "Plan", "Step", "first_season", "make_plan"]

# name: value, unit, what it is
ASSUMPTIONS = {
    name: (each["value"], each["unit"], each["what"])
    for name, each in tomllib.loads(
        (Path(__file__).parent / "assumptions.toml").read_text(encoding="utf-8-sig")
    ).items()
}
SMALL_LOT_BF = 200.0  # common practice: less than this shares a pile
LONGEST_FT = 48.0  # boards that a pile takes
MOST_LOGS, MOST_REMARKS = 1000, 40


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
        Rough thickness of that wood, ``"4/4"``.
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
    tally : DataFrame
        The logs that it is made for, as they were read.
    sawings : dict
        Log to its best sawing, a `SawingPlan`; logs that give no board are not in it.
    forecasts : dict
        Species to its `Forecast`.
    learned : dict
        Stack to the `Forecast` that its readings taught.
    pile : StackPlan or None
        Of the wood that is shown in detail.
    piles : dict
        Pile to its `StackPlan`.
    mill : Mill, optional
        That the sheets are for.
    sizes : dict of str
        Wood to its rough thickness.
    made_on : date
    standing : tuple of Standing
        Sample boards in stacks that stand already, whose oven-dry weight is known.
    """

    name: str
    place: climate.Site
    species: woods.Species
    nominal: str
    start: date
    steps: tuple[Step, ...] = field(repr=False)
    cautions: tuple[str, ...] = field(repr=False)
    remarks: tuple[str, ...] = field(repr=False)
    assumptions: dict[str, Any] = field(repr=False)
    boards: pd.DataFrame = field(repr=False)
    tally: pd.DataFrame = field(repr=False)
    sawings: dict[str, SawingPlan] = field(repr=False)
    forecasts: dict[str, Forecast] = field(repr=False)
    learned: dict[str, Forecast] = field(repr=False)
    pile: stack.StackPlan | None = field(repr=False)
    piles: dict[str, stack.StackPlan] = field(repr=False)
    mill: Mill | None = field(default=None, repr=False)
    sizes: dict[str, str] = field(default_factory=dict, repr=False)
    made_on: date = field(default_factory=date.today, repr=False)
    standing: tuple[Standing, ...] = field(default=(), repr=False)

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Names of the steps, in order."""
        return tuple(s.key for s in self.steps)

    def step(self, key: str) -> Step:
        """Return one step.

        Parameters
        ----------
        key : str
            Of a step: "scale", "saw", "target", "stack", "air", "dry", "readings", "finish", "move", "todo" or "costs".

        Examples
        --------
        >>> make_plan(start="2026-05-15").step("scale").title
        'What the logs hold'
        """
        for s in self.steps:
            if s.key == key:
                return s
        raise suggest(key, self.keys, "step")

    @cached_property
    def settings(self) -> dict[str, pd.DataFrame]:
        """Log to its settings sheet (DataFrame) for the mill, down to where the wood must be left as a thick piece.

        Empty for quartered logs, which have no safe sheet; without the logs that the mill can't take.
        """
        lowest_in = self.mill.lowest_in if self.mill else 0.0
        return {
            log: settings_sheet.kept_passes(cut, lowest_in)
            for log, cut in self.sawings.items()
            if settings_sheet.has_sheet(cut)
            and not any(limit.stops for limit in limits(cut, self.mill or Mill()))
        }

    def costs(self, **changes: float) -> Step:
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
        return plan_steps.cost_step(len(sawn), sawn, self.piles, self.forecasts, given)

    @property
    def summary(self) -> tuple[str, ...]:
        """The plan in five sentences."""
        total = self.step("scale").table.iloc[-1]
        sawn = self.step("saw").table.iloc[-1]
        forecast = self.forecasts[self.species.name]
        return (
            f"{count_of(len(self.step('scale').table) - 1, 'log')}, {total.volume_ft3:.0f} cubic feet, "
            "which the log rules call "
            f"{total.doyle_bf:,.0f} (Doyle), {total.scribner_bf:,.0f} (Scribner) or {total.international_bf:,.0f} "
            "(International 1/4-inch) board feet.",
            f"Sawn {plan_steps.sizes_told(self.sizes)} with a thin kerf they give about {sawn.expected_bf:,.0f} board "
            f"feet; the best sawing would give {sawn.best_bf:,.0f}.",
            f"{capital(self.species.name)} {self.nominal} on sticks from "
            f"{calendar_day(self.start)}: " + forecast.says(20),
            f"Outdoors it stops near {forecast.stops_at_pct:.0f} % moisture content; furniture for a heated room wants "
            f"{FURNITURE_PCT[0]:.0f} to {FURNITURE_PCT[1]:.0f} %, {plan_steps.last_points(forecast)}.",
            self.step("costs").says,
        )

    def to_csv(self, folder: str | Path) -> list[Path]:
        """Write every table as a CSV file: one for each step, the boards, and the settings of all logs.

        Text that a spreadsheet would run or take for a date (a log called ``=1+2``, 4/4) gets a tick before it.

        Parameters
        ----------
        folder : path
            Made if need be. Files of the same name are replaced; the last version of each is kept beside it.

        Returns
        -------
        list of Path
        """
        import pandas as pd

        notes = dict(zip(self.tally["log"], self.tally["note"], strict=True))
        sheets = [
            t.assign(log=log, note=notes[log], use=use_of_settings(self.sawings[log], len(t)))[
                ["log", "note", "use", *t.columns]
            ]
            for log, t in self.settings.items()
        ]
        tables = {f"plan-{n:02}-{s.key}": s.table for n, s in enumerate(self.steps, 1)}
        tables["plan-boards"] = self.boards
        none = pd.DataFrame(
            {
                "log": list(self.sawings),
                "note": [notes[log] for log in self.sawings],
                "use": [
                    "beyond the mill: see mill.html"
                    if settings_sheet.has_sheet(cut)
                    else settings_sheet.NO_SHEET
                    for cut in self.sawings.values()
                ],
            }
        )
        tables["plan-mill-settings"] = pd.concat(sheets) if sheets else none
        return [
            save_made(Path(folder) / f"{name}.csv", _inert(table).to_csv(index=False, float_format="%.6g"))
            for name, table in tables.items()
        ]


def use_of_settings(cut: SawingPlan, rows: int) -> str:
    """Say what a log's `rows` in the table of settings must have beside them: what to check, and where to stop.

    Parameters
    ----------
    cut : SawingPlan
    rows : int
        Passes of it that the table shows.
    """
    stops = "" if rows == len(cut.passes) else f"; stop after pass {rows}: leave one thick piece"
    return " ".join(
        part for part in (settings_sheet.USE_WITH + stops, logs.defect_says(cut.log.defect_pct)) if part
    )


def make_plan(
    folder: str | Path | None = None,
    *,
    place: str | climate.Site = "Madison, WI",
    thickness: str | float | Mapping[str, str | float] = "4/4",
    start: date | str | int = "May",
    species: str | None = None,
    pattern: str = "cant",
    project_in: float = 36.0,
    assumptions: dict[str, float] | None = None,
    part: str = "mixed",
    mill: Mill | None = None,
) -> Plan:
    """Plan the whole job from a tally of logs.

    Parameters
    ----------
    folder : path, optional
        A folder with ``logs.csv``, and if there are any ``boards.csv``, ``stacks.csv``, ``readings.csv``; or one CSV
        file with logs. Left out: Kettle Hollow, which is invented. Rows that cannot be right are left out; the
        remarks of the plan say which and why.
    place : str or Site
        Climate site of the yard and the house.
    thickness : str, float or mapping
        Rough thickness of all boards: ``"4/4"`` to ``"16/4"``, or inches. Or a thickness by wood,
        ``{"black walnut": "8/4"}``; the woods that it does not name are sawn 4/4, or as ``""`` says.
    start : date, str or int
        Day that the wood goes on sticks, or a month: the next 15th of it.
    species : str, optional
        The wood to show in detail; the one with most lumber if left out.
    pattern : str
        How the logs are sawn: ``"cant"``, ``"through-and-through"``, ``"quartered"``.
    project_in : float
        Width of a panel or table top whose movement is worked out (in), 1 to 120.
    assumptions : dict, optional
        New values for some of `ASSUMPTIONS`.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, that all boards are cut from: sets what their piles weigh, and their dates where its pace is known.
        A wood of which the part is not known counts as mixed, and so do the dates of a part whose pace is not; the
        remarks say so.
    mill : Mill, optional
        The learner's own: its kerf and its step set the sheets, and what it can't hold or cut is a remark.

    Returns
    -------
    Plan

    Raises
    ------
    InputError
        No log that can be used, or more than `MOST_LOGS`; an unknown place, species, thickness, pattern or
        assumption.

    Examples
    --------
    >>> plan = make_plan(start="2026-05-15")
    >>> plan.species.name, len(plan.step("scale").table) - 1
    ('northern red oak', 18)
    >>> plan = make_plan(start="2026-05-15", thickness={"black walnut": "8/4"})
    >>> plan.sizes["black walnut"], plan.sizes["white oak"]
    ('8/4', '4/4')
    """
    with warnings.catch_warnings(record=True) as doubts:  # said on the page, where the plan is read
        warnings.simplefilter("always")
        plan = _made(folder, place, thickness, start, species, pattern, project_in, assumptions, part, mill)
    said = []
    for doubt in doubts:
        if issubclass(doubt.category, RangeWarning):
            said.append(f"Less sure than usual: {_ended(plainly(str(doubt.message)))}")
        else:
            warnings.warn_explicit(doubt.message, doubt.category, doubt.filename, doubt.lineno)
    return replace(plan, remarks=(*plan.remarks, *dict.fromkeys(said)))


def _made(folder, place, thickness, start, species, pattern, project_in, assumptions, part, mill):
    site = climate.get(place)
    asked = _asked(thickness)
    begin = drying.start_date(start)
    pattern = best.pattern_name(pattern)
    project = within("project_in", project_in, 1, 120, "in", "Is it in mm?")
    given = _assumed({**({"kerf_in": mill.kerf_in} if mill else {}), **(assumptions or {})})
    own, name = _records(folder, site)
    tally, scaled, unscaled = _scaled(own.tables["logs"])
    kinds = list(dict.fromkeys(tally["species"]))
    if strange := [k for k in asked if k and k not in kinds]:
        raise InputError(f"thickness of {strange[0]}: the tally has none. It has {', '.join(kinds)}.")
    thick = {k: asked.get(k, asked.get("", 1.0)) for k in kinds}
    sizes = {k: thickness_name(round(inches * 4) / 4) for k, inches in thick.items()}
    targets = _targets(sizes, given)
    sawn, boards, sawings, unsawn = _sawn(tally, scaled, targets, sizes, pattern, given, mill)
    main = _main(species, sawn)
    parts = {k: part if woods.get(k).knows(part) else "mixed" for k in kinds}
    unparted = [
        f"{k}: how wet its {part} is, is not known, so its boards are planned as cut from the whole log."
        for k in kinds
        if parts[k] != part
    ]
    dated = {k: drying.dated_part(k, parts[k]) for k in kinds}
    unparted += [f"{k}: {why[0].lower()}{why[1:]}" for k, (_, why) in dated.items() if why]
    forecasts = {k: drying.air_dry(k, thick[k], site, begin, part=dated[k][0]) for k in kinds}
    months = {k: month_to_saw(k, thick[k], site, part=part) for k in kinds}
    piles = _piles(boards, main, parts, sizes)
    learned = _learned(own, site)
    house = movement.indoors(site)

    steps = [
        plan_steps.scale_step(scaled),
        plan_steps.saw_step(sawn, own.tables.get("boards"), pattern, given),
        plan_steps.target_step(targets, sizes),
        plan_steps.pile_step(piles, sizes),
        plan_steps.air_step(site, house),
        plan_steps.dry_step(
            forecasts, site, sizes, begin, months, sawn.groupby("species")["expected_bf"].sum().to_dict()
        ),
        *([plan_steps.reading_step(learned, own)] if learned else []),
        plan_steps.finish_step(forecasts[main.name], boards, given),
        plan_steps.move_step(main, house, site, project),
        plan_steps.cost_step(len(scaled), sawn, piles, forecasts, given),
    ]
    steps.insert(-1, plan_steps.todo_step(forecasts, piles, sizes, begin, bool(own.told)))
    heated = any(first_season(f)[1] > FURNITURE_PCT[1] for f in forecasts.values())
    cautions = greatest_of(
        plan_steps.cautions(
            tally,
            scaled,
            piles,
            dangers(months, begin.month),
            _pieces_lb(sawings),
            given["mill_crew"],
            heated,
        )
    )
    return Plan(
        name, site, main, sizes[main.name], begin, tuple(steps), cautions,
        (*unscaled, *unsawn, *unparted, *_remarks(own)), given, boards, tally, sawings,
        forecasts, learned, plan_steps.piles_of(piles, main.name)[0], piles, mill, sizes,
        standing=standing(own, site),
    )  # fmt: skip


def _asked(thickness):
    """Inches by wood; under "" what all others are sawn to."""
    by_wood = thickness if isinstance(thickness, Mapping) else {"": thickness}
    asked = {}
    for wood, size in by_wood.items():
        inches = drying.thickness(size)
        if not 0.75 <= inches <= 4:
            of = f" of {wood}" if wood else ""
            raise InputError(f"thickness{of} = {size!r}: a plan is for boards from 3/4 to 16/4.")
        asked[wood and woods.get(wood).name] = inches
    return asked


def _pieces_lb(sawings):
    """The most that each slab and board off the mill may weigh; none of quartered logs, which have no sheet."""
    same, out = {}, []
    for cut in sawings.values():
        size = replace(cut.log, label="")
        if size not in same:
            pairs = settings_sheet.pieces_lb(cut) if settings_sheet.has_sheet(cut) else []
            same[size] = [lb for pair in pairs for lb in pair if lb]
        out += same[size]
    return out


def greatest_of(cautions: Iterable[str]) -> tuple[str, ...]:
    """Keep of cautions that differ in their numbers alone, the same of several piles, the one with the greatest.

    Parameters
    ----------
    cautions : iterable of str

    Examples
    --------
    >>> greatest_of(["Too tall: 2.5 times.", "Fans.", "Too tall: 10.5 times."])
    ('Too tall: 10.5 times.', 'Fans.')
    """
    kept: dict[str, tuple[list[float], str]] = {}
    for caution in cautions:
        numbers = [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*(?:\.\d+)?", caution)]
        same = re.sub(r"[\d.,]+", "#", caution)
        kept[same] = max(kept.get(same, (numbers, caution)), (numbers, caution))
    return tuple(caution for _, caution in kept.values())


def _records(folder, site):
    """What can be used of a learner's records, and what to call them."""
    path = Path(folder) if folder is not None else KETTLE_HOLLOW
    own = read_usable(path, place=site)
    logs_there = own.tables.get("logs")
    if logs_there is None or logs_there.empty:
        bad = [p for p in own.problems if p.file.lower() not in ("boards.csv", "stacks.csv", "readings.csv")]
        lead = "no log can be used" if bad else f"folder {path.name!r} has no logs.csv"
        lines = f"\n{RecordsError(bad)}" if bad else ""
        raise InputError(f"{lead}: a plan starts from a tally of logs. {_LOGS_NEED}{lines}")
    if len(logs_there) > MOST_LOGS:
        raise InputError(
            f"the tally has {len(logs_there):,} logs, and a plan takes up to {MOST_LOGS:,}: put those of one season "
            "into a file of their own, and choose that file."
        )
    name = path.stem.replace("-", " ").replace("_", " ").strip() or "My wood"
    return own, capital(name) if name.islower() is False else name.title()


def _remarks(own):
    """What of the records is set aside, doubtful or waits, row by row, and what becomes of it."""
    out = [
        f"{_ended(str(p))} {own.becomes(p) or 'This plan is made without it.'}"
        for p in (*own.problems, *own.doubts)
    ]
    out += [*own.waits(), *own.remarks]
    if len(out) > MOST_REMARKS:
        more = len(out) - MOST_REMARKS
        out[MOST_REMARKS:] = [
            f"And {more:,} more rows like these: the doctor page in Start here lists them all."
        ]
    return out


def _ended(text):
    return text if text[-1:] in ".?!" else f"{text}."


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
    """Scale the logs: (tally, its scale, remarks), both without the logs that no rule can take."""
    remarks = []
    try:
        scaled = logs.net_scale(tally)
    except InputError as error:
        good = []
        for at in tally.index:
            try:
                logs.scale(tally.loc[[at]])
                good.append(at)
            except InputError as why:
                remarks.append(f"Log {tally.loc[at, 'log']} is left out of this plan: {in_words(why)}")
        if not good:
            raise InputError(f"no log of the tally can be scaled: {error}") from None
        tally = tally.loc[good]
        scaled = logs.net_scale(tally)
    return tally, scaled, remarks


def _targets(sizes, given):
    """Green size to set the saw for, by species: a row each."""
    import pandas as pd

    rows = []
    for name, nominal in sizes.items():
        wood = woods.get(name)
        rough, finished = nominal_in(nominal), dressed_in(nominal)
        shrink = shrinkage.shrinkage_pct(wood, wood.green_mc_pct, FURNITURE_PCT[1], 0.0)
        shrink = max(shrink, shrinkage.shrinkage_pct(wood, wood.green_mc_pct, FURNITURE_PCT[1], 90.0))
        target = shrinkage.green_target_in(finished, shrink, given["planing_in"], given["sawing_sd_in"])
        set_in = max(np.ceil(max(target, rough) * 16 - 1e-9) / 16, rough)
        rows.append((wood.name, finished, given["planing_in"], shrink, target, float(set_in)))
    columns = ["species", "finished_in", "planing_in", "shrink_pct", "target_in", "set_in"]
    return pd.DataFrame(rows, columns=columns).assign(nominal=list(sizes.values()))


def _sawn(tally, scaled, targets, sizes, pattern, given, mill):
    """Saw every log: (table by log, all boards, sawing by log, troubles)."""
    import pandas as pd

    set_in = dict(zip(targets["species"], targets["set_in"], strict=True))
    step_in = mill.step_in if mill else best.SCALE_IN
    rows, boards, sawings, troubles, same = [], [], {}, [], {}
    for log in logs.logs_of(tally):
        try:
            if log.length_ft > LONGEST_FT:
                raise InputError(
                    f"it is {length_told(log.length_ft)} long. Buck it to {length_told(LONGEST_FT)} or less."
                )
            size = replace(log, label="")  # logs of one size are sawn alike
            if size not in same:
                same[size] = best.saw(
                    log,
                    given["kerf_in"],
                    {sizes[log.species]: set_in[log.species]},
                    pattern,
                    drop_step_in=step_in,
                )
            cut = replace(same[size], log=log)
            if (wide := cut.boards["width_in"].max()) > stack.WIDEST_IN:
                raise InputError(
                    f"it would give boards {wide:g} in wide, and a pile takes up to {stack.WIDEST_IN:g} in. Is its "
                    f"small end, {log.small_in:g} in, in cm, or the distance around the log? If not, halve and quarter "
                    "it with a sawyer who knows how to hold the pieces."
                )
        except InputError as error:
            troubles.append(f"Log {log.label} is not sawn in this plan: {in_words(error)}")
            left = log.volume_ft3 if log.sound_share else 0.0  # for firewood
            rows.append((log.label, log.species, 0, 0.0, 0.0, 0.0, left, 0.0))
            continue
        v = same[size].volumes_ft3
        if says := logs.defect_says(log.defect_pct):
            troubles.append(f"Log {log.label}: {says}")
        if says := settings_sheet.in_two_says(same[size]):
            troubles.append(f"Log {log.label}: {says}")
        troubles += [
            f"Log {log.label}: {limit.says}" for limit in limits(cut, mill or Mill(), logs.bark_left_in(log))
        ]
        expected = cut.net_bf * (1 - given["lost_pct"] / 100)
        rows.append((log.label, log.species, len(cut.boards), cut.board_feet, expected, v["lumber"],
                     v["slab"] + v["edging"], v["sawdust"]))  # fmt: skip
        boards.append(cut.boards)
        sawings[log.label] = cut
    columns = ["log", "species", "boards", "best_bf", "expected_bf", "lumber_ft3", "slab_ft3", "sawdust_ft3"]
    table = pd.DataFrame(rows, columns=columns)
    table["volume_ft3"] = scaled["volume_ft3"].to_numpy()
    table["international_bf"] = scaled["international_bf"].to_numpy()
    if not boards:
        raise InputError(
            f"no log of the tally gives a board of {plan_steps.sizes_told(sizes)}. " + " ".join(troubles[:3])
        )
    boards = pd.concat(boards, ignore_index=True)
    boards["board"] = boards["log"].astype(str) + "-" + boards["board"].astype(str)
    return table, boards, sawings, troubles


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


def _piles(boards, main, parts, sizes):
    """Piles for each wood with enough boards to be worth a foundation, and for the others of one thickness together."""
    by_wood = boards.groupby("species", sort=False)["board_feet"].sum()
    own = [name for name, bf in by_wood.items() if bf >= SMALL_LOT_BF or name == main.name]
    rest = [name for name in by_wood.index if name not in own]
    alike = {
        size: [name for name in rest if sizes[name] == size] for size in dict.fromkeys(map(sizes.get, rest))
    }
    own += [names[0] for names in alike.values() if len(names) == 1]
    alike = {size: names for size, names in alike.items() if len(names) > 1}
    lots = {name: [name] for name in own}
    lots |= {
        "small lots" if len(alike) == 1 else f"small lots {size}": names for size, names in alike.items()
    }
    piles = {}
    for name, kinds in lots.items():
        made = _low_enough(
            boards[boards["species"].isin(kinds)], max(48.0, float(boards["width_in"].max()) + 2), parts
        )
        for n, pile in enumerate(made, 1):
            piles[name if len(made) == 1 else f"{name}, pile {n} of {len(made)}"] = pile
    return piles


def _low_enough(lot, width_in, parts):
    """Stack a lot on as few piles as can be built by hand from the ground."""
    lot = lot.sort_values(["length_ft", "width_in"], ascending=False, kind="stable")
    room_in = 12 * stack.guidance("height by hand")["usual"] - stack.guidance("foundation height")["usual"]
    layers = ((lot["width_in"] + 1) * lot["length_ft"]).sum() / (
        width_in * lot["length_ft"].max()
    )  # at the least
    same = {parts[k] for k in lot["species"]}
    part = (
        same.pop() if len(same) == 1 else "mixed"
    )  # a lot of which one part is not known is weighed as mixed
    count = max(1, int(layers * (lot["thickness_in"].min() + 0.75) / room_in))
    while True:
        # each pile gets its share of the long and the wide boards, which fill the layers best together
        piles = [
            stack.plan_stack(lot.iloc[n::count], pile_width_in=width_in, part=part) for n in range(count)
        ]
        high = max(p.height_in for p in piles)
        if high <= room_in or count >= len(lot):
            return piles
        count = min(max(count + 1, int(count * high / room_in)), len(lot))


def _learned(own, site):
    """Forecasts of the stacks whose readings teach one."""
    learned: dict[str, drying.Forecast] = {}
    if "stacks" not in own.tables:
        return learned
    for row in own.tables["stacks"].head(JUDGED).itertuples(index=False):
        try:
            if found := own.told.get(row.stack):
                after, why = stack_taught(row, found, site)
                learned |= {} if why else {row.stack: after}
        except InputError:  # told among the doubts of its row
            continue
    return learned


def _inert(table):
    return table.assign(**{str(c): table[c].map(inert) for c in table if table[c].dtype.kind == "O"})
