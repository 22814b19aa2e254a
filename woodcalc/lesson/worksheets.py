"""Worksheets for a class: a different one for each table, and one key; the exercises of the lessons, on paper."""

from dataclasses import dataclass

from markupsafe import Markup

from woodcalc.checks import InputError, within
from woodcalc.lesson import exercise as _exercise
from woodcalc.lesson import paper


@dataclass(frozen=True)
class Item:
    """One exercise on one sheet, with its numbers."""

    exercise: _exercise.Exercise
    numbers: dict

    @property
    def text(self):
        """The question."""
        return self.exercise.text(self.numbers)

    @property
    def answer(self):
        """The answer as written in the key."""
        return self.exercise.shown(self.exercise.solve(**self.numbers))

    @property
    def steps(self):
        """The worked steps."""
        return self.exercise.steps(**self.numbers)

    @property
    def slips(self):
        """The usual slips that show, with the answer each would give."""
        truth = self.exercise.solve(**self.numbers)
        given = [(slip, slip.gives(**self.numbers)) for slip in self.exercise.slips]
        return [(s, self.exercise.shown(v)) for s, v in given if abs(v - truth) > self.exercise.tolerance]


@dataclass(frozen=True)
class Sheet:
    """One worksheet: its number and its items."""

    number: int
    items: tuple


def on_paper(lessons=None):
    """Return the exercises that need nothing but paper, in lesson order.

    Parameters
    ----------
    lessons : list of str, optional
        Two-digit numbers; all lessons if not given.

    Examples
    --------
    >>> all(not e.hidden for e in on_paper(["05"]))
    True
    """
    every = _exercise.every().values()
    return [e for e in every if not e.hidden and (lessons is None or e.lesson in lessons)]


def make(class_name, keys, sheets):
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
                numbers = possible[key].draw(_exercise.seeded(class_name.strip().lower(), key, number, turn))
                if (key, text := possible[key].text(numbers)) not in used:
                    break
            used.add((key, text))
            items.append(Item(possible[key], numbers))
        made.append(Sheet(number, tuple(items)))
    return made


def write(folder, class_name, sheets, large_print=False):
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
    text = paper.page(
        "worksheets.html",
        **common,
        lines=4,
        tables=[(title, Markup(html)) for lesson, title, html in _tables() if lesson in lessons],
        chart=Markup(_chart()) if "07" in lessons or "08" in lessons else "",
    )
    key = paper.page("key.html", **common, exercises=exercises)
    stem = "-large" if large_print else ""
    return [
        *paper.write(f"{folder}/worksheets{stem}.html", text),
        *paper.write(f"{folder}/key{stem}.html", key),
    ]


def _tables():
    """Yield (lesson, title, HTML table): what a sheet of that lesson needs to be worked with a pencil."""
    import pandas as pd

    from woodcalc import air, species

    rh = range(10, 91, 10)
    emc = pd.DataFrame(
        {"Temperature (F)": range(30, 91, 10)} | {f"{h} %": air.emc_pct(range(30, 91, 10), h) for h in rh}
    )
    title = "Where wood comes to rest (% MC) by temperature and relative humidity; Wood Handbook, FPL-GTR-190, eq. 4-5"
    yield "05", title, emc.to_html(index=False, border=0, float_format="{:.1f}".format)
    woods = species.table().reset_index()
    woods = woods[["name", "shrink_radial_pct", "shrink_tangential_pct"]].head(12)
    woods.columns = ["Wood", "Radial (%)", "Tangential (%)"]
    title = (
        "Shrinkage from green to oven-dry; Wood Handbook, table 4-3 (status of each figure: data/species.csv)"
    )
    yield "03", title, woods.to_html(index=False, border=0, float_format="{:.1f}".format)


def _chart():
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
        f'<text transform="translate(16 {y0 + height / 2}) rotate(-90)" text-anchor="middle">Moisture content (%)</text>'
    )
    return (
        '<svg viewBox="0 0 640 390" width="640" role="img" aria-label="Empty chart: moisture content from 0 to 90 % '
        f'against 26 weeks" font-size="14" font-family="sans-serif">{"".join(lines)}</svg>'
    )
