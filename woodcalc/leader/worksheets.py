"""Worksheets for a class: a different one for each table, and one key; the exercises of the lessons, on paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import Markup

from woodcalc.checks import InputError, within
from woodcalc.figures.paper import page
from woodcalc.leader import paper
from woodcalc.lesson.exercise import Exercise, Numbers, Slip, every, seeded


@dataclass(frozen=True)
class Item:
    """One exercise on one sheet, with its numbers.

    Attributes
    ----------
    exercise : Exercise
    numbers : dict
        As the exercise drew them.
    """

    exercise: Exercise
    numbers: Numbers

    @property
    def text(self) -> str:
        """The question."""
        return self.exercise.text(self.numbers)

    @property
    def answer(self) -> str:
        """The answer as written in the key."""
        return self.exercise.shown(self.exercise.solve(**self.numbers))

    @property
    def bare(self) -> str:
        """The answer without its unit, for the table of all answers."""
        return self.answer.removesuffix(self.exercise.unit).strip()

    @property
    def steps(self) -> list[str]:
        """The worked steps."""
        return self.exercise.steps(**self.numbers)

    @property
    def within(self) -> str:
        """How far off still counts as right, or nothing where only the exact number does."""
        tolerance = self.exercise.tolerance
        return f"right within {tolerance:g} {self.exercise.unit}".strip() if tolerance else "exactly"

    @property
    def slips(self) -> list[tuple[Slip, str]]:
        """The usual slips that show, with the answer each would give."""
        truth = self.exercise.solve(**self.numbers)
        given = [(slip, slip.gives(**self.numbers)) for slip in self.exercise.slips]
        return [(s, self.exercise.shown(v)) for s, v in given if abs(v - truth) > self.exercise.tolerance]


@dataclass(frozen=True)
class Sheet:
    """One worksheet.

    Attributes
    ----------
    number : int
        From 1.
    items : tuple of Item
    """

    number: int
    items: tuple[Item, ...]


def on_paper(lessons: list[str] | None = None) -> list[Exercise]:
    """Return the exercises that need nothing but paper, in lesson order.

    Parameters
    ----------
    lessons : list of str, optional
        Two-digit numbers; all lessons if not given.

    Returns
    -------
    list of Exercise

    Examples
    --------
    >>> all(not e.hidden for e in on_paper(["05"]))
    True
    """
    return [
        e
        for e in every().values()
        if not e.hidden and e.needs != "panel" and (lessons is None or e.lesson in lessons)
    ]


def make(class_name: str, keys: list[str], sheets: int) -> list[Sheet]:
    """Return worksheets for a class, no two alike; the same arguments give the same sheets again.

    Parameters
    ----------
    class_name : str
        Seeds the numbers, e.g. ``"Viroqua, 3 December"``.
    keys : list of str
        Exercises, in the order of the sheet.
    sheets : int
        How many, 1 to 60.

    Returns
    -------
    list of Sheet

    Raises
    ------
    InputError
        No or unknown exercises, or an exercise that needs a panel.

    Examples
    --------
    >>> [sheet.number for sheet in make("Tuesday", [on_paper()[0].key], 2)]
    [1, 2]
    """
    sheets = int(within("sheets", sheets, 1, 60))
    possible = {e.key: e for e in on_paper()}
    if not keys:
        raise InputError("choose at least one exercise")
    if wrong := [k for k in keys if k not in possible]:
        raise InputError(f"not on paper: {', '.join(wrong)}. Known: {', '.join(possible)}.")
    made, used = [], set()
    for number in range(1, sheets + 1):
        items = []
        for key in keys:
            # a draw can repeat one of another sheet; deal again while there is hope of a new one
            for turn in range(60):
                numbers = possible[key].draw(seeded(class_name.strip().lower(), key, number, turn))
                if (key, text := possible[key].text(numbers)) not in used:
                    break
            used.add((key, text))
            items.append(Item(possible[key], numbers))
        made.append(Sheet(number, tuple(items)))
    return made


def write(folder: str | Path, class_name: str, sheets: list[Sheet], large_print: bool = False) -> list[Path]:
    """Write worksheets and key for letter paper: HTML, and PDF where a browser can print one.

    Parameters
    ----------
    folder : str or Path
    class_name : str
    sheets : list of Sheet
        From `make`.
    large_print : bool
        18-point type in place of 12.

    Returns
    -------
    list of Path
        The files written.
    """
    points = 18 if large_print else 12
    exercises = [item.exercise for item in sheets[0].items]
    lessons = {e.lesson for e in exercises}
    common = {"class_name": class_name, "sheets": sheets, "points": points}
    text = page(
        "worksheets.html",
        **common,
        lines=4,
        tables=[_table(name) for name in dict.fromkeys(e.needs for e in exercises if e.needs)],
        chart=Markup(_chart()) if "07" in lessons or "08" in lessons else "",
    )
    across = (
        4 if large_print else 6
    )  # exercises side by side in the table of answers; more would not fit the page
    blocks = [range(n, min(n + across, len(exercises))) for n in range(0, len(exercises), across)]
    key = page("key.html", **common, exercises=exercises, blocks=blocks)
    stem = "-large" if large_print else ""
    return [
        *paper.write(f"{folder}/worksheets{stem}.html", text),
        *paper.write(f"{folder}/key{stem}.html", key),
    ]


Table = tuple[str, list[str], list[list[Any]], int]  # title, heads, rows, decimals


def _emc() -> Table:
    from woodcalc import air

    temps, humidities = range(30, 141, 10), range(10, 91, 10)
    rows = [[t, *air.emc_pct(float(t), [float(h) for h in humidities])] for t in temps]
    title = "Where wood comes to rest (% MC), by temperature and relative humidity; Wood Handbook, FPL-GTR-190, eq. 4-5"
    return title, ["Air (F)", *(f"{h} %" for h in humidities)], rows, 1


def _shrinkage() -> Table:
    from woodcalc import species

    found = [species.get(name) for name in WOODS]
    rows = [[w.name, w.shrink_radial_pct, w.shrink_tangential_pct] for w in found]
    title = (
        "Total shrinkage, green to oven-dry; "
        "Wood Handbook, FPL-GTR-190, table 4-3 (status of each: data/species.csv)"
    )
    return title, ["Wood", "Radial (%)", "Tangential (%)"], rows, 1


def _spreads() -> Table:
    from woodcalc import shrinkage

    rows = [[f"{z:g}", 100 * shrinkage.undersize_share(0.1 * z, 0.0, 0.1)] for z in (0.5, 1, 1.5, 2, 2.5, 3)]
    title = "Readings that come out too thin, by the room between setting and least thickness; normal distribution"
    return title, ["Room, in spreads", "Too thin, in 100"], rows, 1


TABLES: dict[str, Callable[[], Table]] = {"emc": _emc, "shrinkage": _shrinkage, "spreads": _spreads}
WOODS = (
    "northern red oak", "white oak", "black walnut", "black cherry", "sugar maple", "white ash", "yellow-poplar",
    "American beech", "American sycamore", "eastern white pine",
)  # fmt: skip


def _table(name: str) -> tuple[str, Markup]:
    """Return the title of a table of `TABLES` and its HTML: what a question needs to be worked with a pencil."""
    import pandas as pd

    title, columns, rows, decimals = TABLES[name]()
    frame = pd.DataFrame(rows, columns=columns)
    return title, Markup(frame.to_html(index=False, border=0, float_format=f"{{:.{decimals}f}}".format))


def _chart() -> str:
    """Return an empty chart of moisture content against weeks, as SVG with a grid that a pencil can follow."""
    x0, y0, width, height, weeks, top = 60, 20, 560, 320, 26, 90
    sx, sy = width / weeks, height / top
    lines = [
        f'<line x1="{x0 + w * sx:.1f}" y1="{y0}" x2="{x0 + w * sx:.1f}" y2="{y0 + height}" '
        f'stroke="#000" stroke-width="{0.9 if w % 4 == 0 else 0.3}"/>'
        for w in range(weeks + 1)
    ]
    lines += [
        f'<line x1="{x0}" y1="{y0 + height - m * sy:.1f}" x2="{x0 + width}" y2="{y0 + height - m * sy:.1f}" '
        f'stroke="#000" stroke-width="{0.9 if m % 10 == 0 else 0.3}"/>'
        for m in range(0, top + 1, 5)
    ]
    lines += [
        f'<text x="{x0 + w * sx:.1f}" y="{y0 + height + 18}" text-anchor="middle">{w}</text>'
        for w in range(0, weeks + 1, 4)
    ]
    lines += [
        f'<text x="{x0 - 8}" y="{y0 + height - m * sy + 5:.1f}" text-anchor="end">{m}</text>'
        for m in range(0, top + 1, 10)
    ]
    lines.append(
        f'<text x="{x0 + width / 2}" y="{y0 + height + 40}" text-anchor="middle">Weeks on sticks</text>'
    )
    lines.append(
        f'<text transform="translate(16 {y0 + height / 2}) rotate(-90)" text-anchor="middle">'
        "Moisture content (%)</text>"
    )
    return (
        '<svg viewBox="0 0 640 390" width="640" role="img" aria-label="Empty chart: moisture content from 0 to 90 % '
        f'against 26 weeks" font-size="14" font-family="sans-serif">{"".join(lines)}</svg>'
    )
