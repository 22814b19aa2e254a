"""A solar kiln in feet and inches: its section from south to north, what to buy for it, and how to run it day by day.

Sizes follow from `design.SolarKiln`. What holds it up and carries wind and snow, and its wiring, belong to the local
code and to licensed people; counts of framing are for a first list at the lumber yard.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import count_of
from woodcalc.kiln import heat_treatment
from woodcalc.kiln.design import PLENUM_IN, STICKER_IN
from woodcalc.kiln.equalizing import equalize
from woodcalc.sizes import feet_and_inches, fraction

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.kiln.design import SolarKiln
    from woodcalc.kiln.runs import Run

# All in feet, common practice: blocks under the stack, the black sheet under the glass, air over the load, the least
# height of the south wall (it has a vent), and what a level roof falls toward the north, foot by foot.
BLOCKS_FT, BLACK_FT, OVER_LOAD_FT, LEAST_WALL_FT, FALL_FT = 0.5, 0.33, 0.5, 1.0, 1 / 12
# Free air of a fan by its blade, cubic feet a minute: common practice; the maker's own curve counts
FANS_CFM = {12: 800.0, 16: 1500.0, 20: 2800.0, 24: 4500.0, 30: 8000.0}
FAN_EVERY_FT = 4.0  # one fan for so much of the stack's length: common practice
VENT_HIGH_IN = 6  # flaps: common practice
STUD_IN, RAFTER_IN, STICKER_EVERY_IN = 16, 24, 16  # on center: common practice
SHEET_FT2, WASTE = 32.0, 1.1  # a sheet of plywood, and a tenth for waste
PAINT_FT2 = 300.0  # that a gallon covers once: common practice
SHOWN_DAYS = 14  # of a run, one by one; later ones by steps
MOST_ROWS = 34  # of a run sheet
_END_POINTS = 3.0  # above the target, where testing begins: common practice


@dataclass(frozen=True)
class Section:
    """The inside of a solar kiln cut from south to north; feet, all measured from the inner foot of the south wall.

    Attributes
    ----------
    length_ft, width_ft : float
        East to west, and south to north.
    south_ft, peak_ft, north_ft : float
        Heights of the south wall, of the upper end of the glass, and of the north wall.
    glass_up_ft, slope_deg : float
        Glass along the slope; it is as long as the inside.
    peak_at_ft : float
        How far north the upper end of the glass stands.
    load_ft : tuple of float
        South and north side, foot and top of the stack.
    fans, fan_in : int
        How many, and their blades.
    vents, vent_in : int, tuple of int
        Low ones, and as many high ones; each so wide and high.
    """

    length_ft: float
    width_ft: float
    south_ft: float
    peak_ft: float
    north_ft: float
    glass_up_ft: float
    slope_deg: float
    peak_at_ft: float
    load_ft: tuple[float, float, float, float]
    fans: int
    fan_in: int
    vents: int
    vent_in: tuple[int, int]

    def roof_ft(self, x_ft: float) -> float:
        """Height of the roof, so far from the south wall."""
        if x_ft <= self.peak_at_ft:
            return self.south_ft + x_ft * math.tan(math.radians(self.slope_deg))
        return self.peak_ft - FALL_FT * (x_ft - self.peak_at_ft)

    @property
    def walls_ft2(self) -> float:
        """All four walls inside, ft2."""
        ends = 2 * (
            self.peak_at_ft * (self.south_ft + self.peak_ft) / 2
            + (self.width_ft - self.peak_at_ft) * (self.peak_ft + self.north_ft) / 2
        )
        return ends + self.length_ft * (self.south_ft + self.north_ft)

    @property
    def roof_ft2(self) -> float:
        """Roof that is not glass, ft2."""
        return self.length_ft * (self.width_ft - self.peak_at_ft)

    @property
    def floor_ft2(self) -> float:
        """Floor inside, ft2."""
        return self.length_ft * self.width_ft


def section(kiln: SolarKiln) -> Section:
    """Return the section of a kiln: the box around its stack, as high as load and fans need, with all of its glass.

    Parameters
    ----------
    kiln : SolarKiln

    Returns
    -------
    Section
        Wider than the box needs if the glass is.

    Examples
    --------
    >>> from woodcalc.kiln.design import SolarKiln
    >>> cut = section(SolarKiln("black cherry", "5/4", "Madison", 800))
    >>> round(cut.length_ft * cut.glass_up_ft), round(cut.south_ft, 1), round(cut.peak_ft, 1)
    (80, 3.8, 9.8)
    """
    length, width, _ = kiln.box.inside_ft
    _, wide, high = kiln.box.stack_ft
    fans = max(1, math.ceil(kiln.box.stack_ft[0] / FAN_EVERY_FT))
    blade = next((size for size, cfm in FANS_CFM.items() if cfm >= kiln.fan_cfm / fans), max(FANS_CFM))
    slope = math.radians(kiln.slope)
    up = kiln.glass / length
    run, rise = up * math.cos(slope), up * math.sin(slope)
    width = max(width, run)
    south_side = (width - wide) / 2
    top = BLOCKS_FT + high
    bare = Section(
        length, width, 0.0, rise, rise - FALL_FT * (width - run), up, kiln.slope, run,
        (south_side, south_side + wide, BLOCKS_FT, top), fans, blade, 0, (0, 0),
    )  # fmt: skip
    needs = (
        (south_side, top + OVER_LOAD_FT),
        (south_side + wide, top + OVER_LOAD_FT),
        (width / 2, top + OVER_LOAD_FT + blade / 12),
    )
    wall = max(LEAST_WALL_FT, *(height + BLACK_FT - bare.roof_ft(x) for x, height in needs))
    vents = max(2, math.ceil(kiln.box.stack_ft[0] / 8))
    vent = (math.ceil(kiln.vent_in2 / vents / VENT_HIGH_IN), VENT_HIGH_IN)
    return Section(
        length, width, wall, wall + rise, wall + rise - FALL_FT * (width - run), up, kiln.slope, run,
        bare.load_ft, fans, blade, vents, vent,
    )  # fmt: skip


def what_to_buy(kiln: SolarKiln) -> pd.DataFrame:
    """Return what to buy for a kiln, by kind and size, counted for a first list.

    Parameters
    ----------
    kiln : SolarKiln

    Returns
    -------
    DataFrame
        `part`, `what` (kind and size) and `how_much`.

    Examples
    --------
    >>> from woodcalc.kiln.design import SolarKiln
    >>> bought = what_to_buy(SolarKiln("black cherry", "5/4", "Madison", 800)).set_index("part")
    >>> bought.how_much["glazing"]
    '2 layers of 88 ft2'
    """
    import pandas as pd

    cut = section(kiln)
    long, wide, _ = kiln.box.stack_ft
    around = 2 * (cut.length_ft + cut.width_ft)
    studs = math.ceil(around * 12 / STUD_IN) + 8  # and the corners
    stud = "2x4" if kiln.insulation_r <= 15 else "2x6"
    joists = math.ceil(cut.length_ft * 12 / STUD_IN) + 1
    rafters = math.ceil(cut.length_ft * 12 / RAFTER_IN) + 1
    skin = cut.walls_ft2 + cut.roof_ft2
    insulated = skin + cut.floor_ft2
    a_row = math.ceil(long * 12 / STICKER_EVERY_IN) + 1

    def sheets(ft2: float) -> str:
        return f"{math.ceil(WASTE * ft2 / SHEET_FT2)} sheets of 4 x 8 ft"

    def layers(ft2: float) -> str:
        return f"{kiln.glazing} {'layer' if kiln.glazing == 1 else 'layers'} of {WASTE * ft2:.0f} ft2"

    baffles_ft2 = cut.length_ft * (cut.roof_ft(cut.width_ft / 2) - cut.load_ft[3] + 1)
    rows = [
        ("floor", "2x6 joists, 16 in apart, treated where they are near the ground",
         f"{joists} of {_up(cut.width_ft)} ft"),
        ("floor, both sides", "exterior plywood, 3/4 in above, 1/2 in below", sheets(2 * cut.floor_ft2)),
        ("walls", f"{stud} studs, 16 in apart, and plates",
         f"{studs} studs up to {_up(cut.peak_ft)} ft, {3 * around:.0f} ft of plates"),
        ("walls and roof, both sides", "exterior plywood, 1/2 in; no particle board", sheets(2 * skin)),
        ("insulation", f"R-{kiln.insulation_r:g} for walls, roof and floor, held dry", f"{insulated:.0f} ft2"),
        ("inside", "two coats of aluminum or other vapor-holding paint",
         f"{math.ceil(2 * insulated / PAINT_FT2)} gallons"),
        ("roof under the glass", "rafters, 24 in apart; their size by the building department",
         f"{rafters} of {_up(cut.glass_up_ft)} ft"),
        ("glazing", "clear, made for glazing, fit for sun and for 180 F", layers(kiln.glass)),
        ("black sheet", "corrugated metal roofing, painted flat black, for heat", f"{WASTE * kiln.glass:.0f} ft2"),
        ("baffles", "plywood or canvas, from roof to load and around its ends", f"{WASTE * baffles_ft2:.0f} ft2"),
        ("fans", f"{cut.fan_in} in blades, guarded, motors fit for damp air of 150 F; together {kiln.fan_cfm:,.0f} "
         "cubic feet a minute", f"{cut.fans}, {kiln.watts:.0f} W in all"),
        ("vents", f"flaps {cut.vent_in[0]} x {cut.vent_in[1]} in, with screens, that shut tight; {kiln.vent_in2:.0f} "
         "in2 low and as much high", f"{cut.vents} low, {cut.vents} high"),
        ("doors", "insulated, the height of the load, with gaskets and a latch that opens from inside",
         f"north side, {feet_and_inches(12 * long)} wide in all"),
        ("by the electrician", "supply with ground-fault protection, timer for the fans, switch outside, fixtures for "
         "damp places", "as the local code says"),
        ("stickers", f"dry, {fraction(STICKER_IN)} in thick, 1-1/2 in wide, as long as the stack is wide",
         f"{(kiln.box.layers + 1) * a_row} of {_up(wide)} ft"),
        ("under the load", "straight 4x6 on edge or blocks in line with the stickers", f"{a_row} of {_up(wide)} ft"),
        ("to read it by", "thermometer and hygrometer in the load's shade, one probe of 200 F, scale, moisture meter",
         "one each"),
        ("drain", "1 in pipe at the low side of the floor, with a trap or a screen", "1"),
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["part", "what", "how_much"])


def _up(feet: float) -> int:
    """The next length that lumber is sold in, ft: even feet from 4."""
    return max(4, 2 * math.ceil(feet / 2))


_OPEN = ((0.05, "shut"), (0.35, "a quarter"), (0.6, "half"), (0.9, "three quarters"), (math.inf, "wide open"))


@dataclass(frozen=True, eq=False)
class RunSheet:
    """A run on paper.

    Attributes
    ----------
    run : Run
        That it is read from, in half-hour steps.
    days : DataFrame
        `day`, `mc_pct` (evening), `weighs` (times the sample board's oven-dry weight), `loss_pct` (of the day), `vents`
        and `fans` (words), `warmest_f` and `what` (to do).
    hottest_f : float
        Warmest that a cloudless day makes the nearly dry charge.
    hot_enough : bool
        Whether that is over what kills insects in the middle of a board.
    end : list of str
        How to test, stop, and take the stress out.
    """

    run: Run
    days: pd.DataFrame
    hottest_f: float
    hot_enough: bool
    end: tuple[str, ...]


def run_sheet(kiln: SolarKiln, month: int, days: int = 250) -> RunSheet:
    """Return what to read, weigh, vent and do, day by day, for a kiln loaded in the middle of a month.

    Parameters
    ----------
    kiln : SolarKiln
    month : int
        1 to 12.
    days : int
        Longest run.

    Returns
    -------
    RunSheet

    Examples
    --------
    >>> from woodcalc.kiln.design import SolarKiln
    >>> sheet = run_sheet(SolarKiln("black cherry", "5/4", "Madison", 800), 5)
    >>> bool(sheet.days.mc_pct.iloc[-1] <= 8), sheet.days.vents.iloc[0]
    (True, 'three quarters')
    """
    import pandas as pd

    run = kiln.run(month, days=days)
    daily, last = run.daily, len(run.daily)
    noon = run.hourly[run.hourly.hour == 12].working.to_numpy()
    night = run.hourly[run.hourly.hour == 2].fans.to_numpy()
    shown = [day for day in range(1, last + 1) if day <= SHOWN_DAYS]
    step = max(1, math.ceil((last - SHOWN_DAYS) / (MOST_ROWS - SHOWN_DAYS)))
    shown += range(SHOWN_DAYS + step, last, step)
    shown += [last] if last not in shown else []
    turns = _turns(kiln, run, night, shown)
    rows = []
    for day in shown:
        d = daily.loc[day]
        rows.append(
            dict(
                day=day, mc_pct=d.mc_pct, weighs=1 + d.mc_pct / 100, loss_pct=d.loss_pct,
                vents=next(words for most, words in _OPEN if noon[day - 1] <= most),
                fans="day and night" if night[day - 1] else "by the timer",
                warmest_f=d.temp_max_f, what=turns.get(day, ""),
            )
        )  # fmt: skip
    nearly = kiln.run(7, days=60, sunny=True, mc_start_pct=max(12.0, kiln.mc_target_pct + 4))
    hottest = float(nearly.daily.temp_max_f.max())
    return RunSheet(
        run, pd.DataFrame(rows), hottest, hottest > heat_treatment.ISPM15_CORE_F, tuple(_end(kiln, hottest))
    )


def _turns(kiln: SolarKiln, run: Run, night: Any, shown: list[int]) -> dict[int, str]:
    """What else is to be done on a day, on the first row that shows it."""
    mc = run.daily.mc_pct
    said: dict[int, list[str]] = {}

    def on(day: int, words: str) -> None:
        row = next((each for each in shown if each >= day), shown[-1])
        said.setdefault(row, []).append(words)

    on(1, "Weigh all sample boards before you start. Vents open, fans on.")
    if night[0] and not night[-1]:
        first = int((night == 0).argmax()) + 1
        on(first, "Fans by the timer from now on.")
    for level, words in (
        (30.0, "Look for checks with a glass; end coating whole?"),
        (25.0, "Past the worst: no cover on the glass is needed any more."),
    ):
        if run.mc_start_pct > level > kiln.mc_target_pct and (mc <= level).any():
            on(int((mc <= level).idxmax()), words)
    near = kiln.mc_target_pct + _END_POINTS
    if run.mc_start_pct > near and (mc <= near).any():
        on(int((mc <= near).idxmax()), "Begin the end test.")
    if (mc <= kiln.mc_target_pct).any():
        on(len(mc), "Stop here, if the end test says so.")
    return {day: " ".join(words) for day, words in said.items()}


def _end(kiln: SolarKiln, hottest: float) -> Any:
    target = kiln.mc_target_pct
    kind: Any = "softwood" if _soft(kiln) else "hardwood"
    even = equalize(min(max(target, 5.0), 15.0), 120.0, kind)
    core = heat_treatment.ISPM15_CORE_F
    yield (
        f"End test: {even.until}. Cut an inch from a board, a foot from its end, and weigh and oven-dry it: the scale "
        "decides, not the meter alone."
    )
    yield (
        "Uneven boards: shut the vents and run the fans on sunny days only, until the wettest has caught up. The "
        "driest should not fall by more than a point."
    )
    yield (
        "Stress: saw the prongs of lesson 9. If they turn in: on the evening of a hot day shut the vents, wet the "
        "floor or set out pans, never near the wiring, and run the fans all night; dry the faces in the next day's "
        "sun, and test again. It relieves a part (common practice): all of it takes steam at 160 F or hotter."
    )
    usual = tables.read("solar_kiln_rules").set_index("id").value["D08"]
    yield (
        f"Insects: {core:.0f} F in the middle of the thickest board for "
        f"{heat_treatment.ISPM15_HOLD_MIN:.0f} minutes kills them. Solar kilns peak at {usual} F (Chen, "
        f"Rosen & Helmer). On paper a cloudless July day brings the air of this one to {hottest:.0f} F with a nearly "
        "dry charge, vents shut and fans on"
        + (
            ": it may do it then. Only a probe in the board can say so."
            if hottest > core
            else ", which is not enough. Count on no kill."
        )
        + " No official mark may go on such wood."
    )


def _soft(kiln: SolarKiln) -> bool:
    return woods.get(kiln.species).kind == "softwood"


def boards_told(kiln: SolarKiln) -> str:
    """The stack in words: layers, boards' thickness, sizes.

    Examples
    --------
    >>> from woodcalc.kiln.design import SolarKiln
    >>> boards_told(SolarKiln("black cherry", "5/4", "Madison", 800))
    '23 layers, 8 ft long, 4 ft wide, 3 ft 10 in high'
    """
    sizes = [feet_and_inches(12 * each).removesuffix(" 0 in") for each in kiln.box.stack_ft]
    return f"{count_of(kiln.box.layers, 'layer')}, {sizes[0]} long, {sizes[1]} wide, {sizes[2]} high"


def free_sides_in(cut: Section) -> float:
    """Room between the load and either wall, in: never less than `design.PLENUM_IN`."""
    return max(PLENUM_IN, 12 * cut.load_ft[0])


__all__ = ["RunSheet", "Section", "boards_told", "free_sides_in", "run_sheet", "section", "what_to_buy"]
