"""The pages of a plan, and the sheets for the mill: for paper, readable in black and white."""

from __future__ import annotations

import html
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from woodcalc.dates import day_told
from woodcalc.figures import paper, style
from woodcalc.figures import stack as stack_pictures
from woodcalc.figures.ladder import ladders
from woodcalc.figures.plan_charts import promise_and_saw, way_down, year_of_air, year_of_the_job
from woodcalc.figures.settings_sheet import at_foot, printed
from woodcalc.logs import bark_left_in
from woodcalc.plan.job import ASSUMPTIONS
from woodcalc.plan.standing import TARGETS_PCT
from woodcalc.plan.steps import SHOWN_ROWS, sizes_told
from woodcalc.plan.wall import wall_sheet
from woodcalc.records.keep import save_made

if TYPE_CHECKING:
    from woodcalc.plan.job import Plan

WHOLE_CELLS = ("wood", "kiln", "ready", "season", "stickers", "nominal")  # of a table's columns, not broken
SMALLEST_PT, SMALL_PT, LARGE_PT = 8.5, 8.7, 12.5  # letters of the sheet for the wall
LINES = 64  # that it holds at 8.7 points
BOARDS_LISTED = 16  # of standing stacks, on the sheet for the wall
MOST_ROWS = 400  # of the sheet for the wall: every wood has its rows


def plan_page(plan: Plan) -> str:
    """Return the plan as one HTML page for letter paper: text, tables and pictures inside the file.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    str
    """
    wall = wall_sheet(plan)
    points, roomy = _wall_size(wall)
    pictures = {"saw": promise_and_saw, "air": year_of_air, "dry": way_down}
    drawn = {key: _figure(draw(plan)) for key, draw in pictures.items()}
    pile = _figure(stack_pictures.own_stack(plan.pile))
    drawn["stack"] = pile | {"says": f"The pile of {plan.species.name}: {pile['says']}"}
    assumed = [
        (f"{plan.assumptions[name]:g} {unit}", what, name) for name, (_, unit, what) in ASSUMPTIONS.items()
    ]
    made = paper.page(
        "plan.html", plan=plan, summary=plan.summary,
        year=_figure(year_of_the_job(plan)), pictures=drawn, assumed=assumed,
        rings=paper.rings(),
        tables={s.key: _cells(s) for s in plan.steps}, wall=wall, made_on=day_told(plan.made_on),
        sizes=sizes_told(plan.sizes), foot=Markup(in_css(plan.name)), started=day_told(plan.start),
        wall_pt=f"{points:.1f}", wall_gap=0.1 if roomy else 0.04, roomy=roomy,
        standing_on=day_told(max((s.as_of for s in wall.standing), default=plan.made_on)),
        standing_boards=[(s, board) for s in wall.standing for board in s.boards][:BOARDS_LISTED],
        targets=TARGETS_PCT,
        wall_tables=[(s, _cells(s, MOST_ROWS)) for s in (wall.todo, wall.settings, wall.weights)],
    )  # fmt: skip
    return paper.with_names(made)


def _wall_size(wall):
    """Points of the letters on the sheet for the wall, and whether there is room for all that is told of each stack.

    It is read with gloves on, so it fills its page. A line takes so much of the height as its letters are large, and
    larger letters break more lines.
    """
    rows = sum(len(step.table) + 3 + 2 * len(step.notes) for step in (wall.todo, wall.settings, wall.weights))
    boards = sum(len(stack.boards) for stack in wall.standing)
    rows += min(boards, BOARDS_LISTED) + 3 if boards else 0
    said = sum(1 + len(" ".join(stack.says)) // 110 for stack in wall.standing)
    points = SMALL_PT * (LINES / (rows + said)) ** 0.75
    return min(max(points, SMALLEST_PT), LARGE_PT), points >= SMALL_PT


def write(plan: Plan, path: str | Path) -> Path:
    """Write the plan as one page to print: everything inside the file, black and white will do, letter paper.

    Parameters
    ----------
    plan : Plan
    path : path

    Returns
    -------
    Path

    Raises
    ------
    SaveError
        The file could not be written.
    """
    return save_made(path, plan_page(plan))


def write_mill(plan: Plan, path: str | Path) -> Path:
    """Write the settings sheets of all logs as pages to tape on the mill; as `write`."""
    return save_made(path, mill_pages(plan))


def mill_pages(plan: Plan) -> str:
    """Return the settings sheets of all logs as one HTML page, each on paper of its own, to print and hang at the mill.

    For quartered logs there is one sentence in place of the sheets: why there are none, and what to do.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    str
    """
    notes = dict(zip(plan.tally["log"], plan.tally["note"], strict=True))
    sheets = dict.fromkeys(
        printed(cut, notes[log], plan.mill, bark_left_in(cut.log), cut.log.species)
        for log, cut in plan.sawings.items()
    )  # one sentence, said once
    return paper.page(
        "mill.html", plan=plan, sheets=sheets, settings=plan.settings, rings=paper.rings(),
        names=[Markup(in_css(at_foot(cut, notes[log]))) for log, cut in plan.sawings.items()],
        ladders=ladders(list(plan.sawings.values())),
    )  # fmt: skip


def in_css(text: str) -> str:
    """Return text for a string of a style sheet: all but letters, digits and blanks as code points and a blank."""
    return "".join(c if c.isascii() and (c.isalnum() or c == " ") else f"\\{ord(c):06x} " for c in text)


def _cells(step, most=SHOWN_ROWS):
    """Headings and rows of one table as (text, class) pairs; the months of the air run across."""
    heads, rows = step.shown(most)
    kinds = ["n" if form else "t" for _, form in step.heads.values()]
    if step.key == "air":
        columns = list(zip(*rows, strict=True))
        heads = ["", *columns[0]]
        rows = [
            [name, *column] for name, column in zip(list(step.heads.values())[1:], columns[1:], strict=True)
        ]
        rows = [[name, *cells] for (name, _), *cells in rows]
        kinds = ["t", *["n"] * 12]
    first = next(iter(step.heads))
    kinds = ["t keep" if kind == "t" and name in ("log", "species", "set", "date", "gap", *WHOLE_CELLS) else kind
             for kind, name in zip(kinds, [*step.heads, *[""] * 12][: len(kinds)], strict=True)]  # fmt: skip
    broken = [name.startswith(("mc", "before", "after", "paces")) for name in step.heads]
    if any(broken):  # the range in brackets goes under the date
        rows = [
            [t.replace(" (", "\n(") if b else t for t, b in zip(row, broken, strict=True)] for row in rows
        ]
    if "took" in step.heads:  # nor is a margin broken
        at = list(step.heads).index("took")
        rows = [[*row[:at], row[at].replace(" to ", "\u00a0to\u00a0"), *row[at + 1 :]] for row in rows]
    mark = first == "date"
    return {
        "heads": list(zip(heads, kinds, strict=True)),
        "rows": [(list(zip(row, kinds, strict=True)), row[0].lower() == "all") for row in rows],
        "boxes": mark,
        "short": len(rows) <= 16,
    }


def _figure(drawn):
    figure, sentence = drawn[:2]
    svg = style.to_svg(figure)
    svg = svg[svg.index("<svg") :]
    svg = svg.replace("<svg ", f'<svg role="img" aria-label="{html.escape(sentence)}" ', 1)
    return {"svg": svg, "says": sentence}
