"""The settings sheet as a picture: the wood on the bed at each pass of the blade, and the sheet beside it."""

from __future__ import annotations

import html
import re
from functools import lru_cache
from math import ceil, floor
from typing import TYPE_CHECKING

import numpy as np
from markupsafe import Markup

from woodcalc.checks import capital
from woodcalc.figures import paper, style
from woodcalc.figures.as_it_lies import as_it_lies, corners, turned
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, oval
from woodcalc.figures.ladder import ladders, on_the_ladder
from woodcalc.logs import METAL, Log, at_most_lb, defect_says
from woodcalc.moisture import LIFT_LB, lift_in_people
from woodcalc.sawing.best import saw
from woodcalc.sawing.four_sided import STEADY
from woodcalc.sawing.lay import lay
from woodcalc.sawing.limits import STANDING, limits
from woodcalc.sawing.mill import STANDS, Mill
from woodcalc.sawing.mill import STEPS as MILLS
from woodcalc.sawing.ripped import quartered_bf, rips
from woodcalc.sawing.settings_sheet import (
    BELOW_BLADE_IN,
    FLAT_SLACK_IN,
    HEART_SHARE,
    HOOK_IN,
    NO_SHEET,
    TALLEST_STOP_IN,
    THICK_SLAB_IN,
    as_printed_in,
    at_the_heart,
    both_ways,
    clamps_in,
    crack_of,
    has_sheet,
    in_two_says,
    left_lb,
    lift_lb,
    mentions_metal,
    mentions_weak_heart,
    near_the_heart,
    pieces_lb,
    room_in,
    set_ups,
    sheet,
    stages,
    stop_pass,
    timbers,
    too_cupped,
    turns_lb,
    widest_cut_in,
    with_bark,
)
from woodcalc.sawing.worth import LOST_PCT
from woodcalc.sizes import fraction, length_told, sixteenths
from woodcalc.stack import MOST_LIFTERS, who_lifts

if TYPE_CHECKING:
    from woodcalc.sawing.sawn_log import SawingPlan


GREEN_IN = 1.0625  # 4/4 as lesson 3 sets it: 1.042 in on average, on a scale in sixteenths 1-1/16
MILL = Mill()  # nothing of it measured
NEAR = 9  # passes of the sheet in the table under the picture
_COMES_OFF, _FACE = "#f2b36b", "#262626"
_LEFT = 'style="text-align:left;padding-left:16px"'


@lru_cache(maxsize=600)
def _planned(pattern, small_in, kerf_in, mill):
    plan = saw(
        Log(small_in=small_in, length_ft=12), kerf_in, {"4/4": GREEN_IN}, pattern, drop_step_in=MILLS[mill]
    )
    return plan, sheet(plan), stages(plan), {s.number: s for s in set_ups(plan)}


@style.drawn
def sheet_walk(
    pass_number: int, pattern: str, small_in: float, kerf_in: float, mill: str
) -> tuple[Drawing, str, str]:
    """Draw one pass of the settings sheet for a 12 ft log sawn into 4/4, and the sheet around it as a table.

    Parameters
    ----------
    pass_number : int
        Which pass; beyond the last one, the last.
    pattern : str
        One of `settings_sheet.WITH_SHEET`.
    small_in : float
        Small end (in).
    kerf_in : float
        Saw line (in).
    mill : str
        One of `MILLS`: how the mill sets its height.

    Returns
    -------
    tuple
        Drawing, sentence, table in HTML.

    Examples
    --------
    >>> sheet_walk(1, "cant", 14, 0.125, "reads a scale in sixteenths")[1][:48]
    'Pass 1 of 18: face 1 up, blade at 14-5/8 in abov'
    """
    plan, cuts, walked, lying = _planned(pattern, float(small_in), float(kerf_in), mill)
    at = min(pass_number, len(cuts)) - 1
    row, stage, set_up = cuts.iloc[at], walked[at], lying[cuts["setup"].iloc[at]]
    page = Drawing(8.0, 4.8)
    top = 17.8 if small_in <= 15 else 24.6 if small_in <= 22 else 33.6
    frame = Frame(page, (52, 40, 430, 420), (-top / 2 * 430 / 420, top / 2 * 430 / 420), (-0.6, top - 0.6))

    def on_page(points):
        return frame.at(turned(points, stage.up) - [0, stage.bed_in])

    _on_the_bed(page, frame, on_page, plan, stage)
    _scale(page, frame, top)
    x1, x2, y1, y2 = stage.before
    has_center = x1 < 0 < x2 and y1 < 0 < y2
    if has_center:
        cross = [[(-0.4, 0), (0.4, 0)], [(0, -0.4), (0, 0.4)]]  # as marked on the log's end
        page.lines([on_page(stroke) for stroke in cross], width=2.0)
    left, right = frame.xlim
    blade = frame.at([(left, row["blade_in"]), (right, row["blade_in"])])
    page.lines([blade], style.ORANGE, 3.2)
    page.text(12, 20, "Height above the bed (in)", bold=True)
    boards = plan.cut_boards
    thick = sixteenths(boards[0].x2 - boards[0].x1 if boards[0].turned else boards[0].y2 - boards[0].y1)
    in_all = [f"in all {len(boards)} boards", f"of {thick} in, {plan.board_feet:.0f} bf"]
    _beside_it(page, row, len(cuts), set_up, has_center, in_all)
    sentence = (
        f"Pass {row['pass']} of {len(cuts)}: "
        + (f"{row['turn']}, " if row["turn"] else "")
        + f"face {row['face_up']} up, blade at {row['blade']} in above the bed: {row['takes']}. "
        f"The whole sheet makes {len(boards)} boards of {thick} in, {plan.board_feet:.0f} bf."
    )
    return page, sentence, _table(cuts, at)


def _on_the_bed(page, frame, on_page, plan, stage):
    """Draw the wood as it lies at a pass, and the face numbers on what is left of the log."""
    large, small = plan.log.large_end_in / 2, plan.log.small_in / 2
    ring = oval(2, 2)
    left, right = frame.xlim
    page.polygons([frame.at([(left, 0), (right, 0), (right, -0.5), (left, -0.5)])], style.SOFT, style.INK)
    whole = page.clip(on_page(corners(stage.before, large)))
    page.polygons([on_page(large * ring)], "#e9dcc8", style.SOFT, 1.0, "5 3", clip=whole)
    for box, colour in ((stage.above, _COMES_OFF), (stage.below, style.WOOD)):
        part = page.clip(on_page(corners(box, large)))
        page.polygons([on_page(small * ring)], colour, style.BARK, 1.4, clip=part)
        inside = page.clip(on_page(small * ring))
        page.polygons([on_page(corners(box, large))], "none", style.BARK, 1.2, clip=inside)
    x1, x2, y1, y2 = stage.before
    coming = [
        corners((b.x1, b.x2, b.y1, b.y2), large)
        for b in plan.cut_boards
        if b.x1 >= x1 - 1e-6 and b.x2 <= x2 + 1e-6 and b.y1 >= y1 - 1e-6 and b.y2 <= y2 + 1e-6
    ]
    page.polygons([on_page(c) for c in coming], "none", style.INK, 0.8, "2 3")
    page.polygons([on_page(r * ring) for r in small * np.sqrt(np.arange(1, 7) / 7)], "none", style.BARK, 0.7,
                  opacity=0.45, clip=whole)  # fmt: skip
    # what is left of the log carries its face numbers
    low, high = np.clip([(x1, y1), (x2, y2)], -small, small)
    if (high - low).min() > 3:
        middle, out = (low + high) / 2, (high - low) / 2 - 0.9
        for face, way in enumerate([(0, 1), (1, 0), (0, -1), (-1, 0)], 1):
            px, py = on_page(middle + out * way)
            page.text(px, py, str(face), "middle", _FACE, bold=True)


def _scale(page, frame, top):
    """Draw the mill's scale at the left, in inches above the bed."""
    left = frame.xlim[0]
    ticks = [
        frame.at([(left, h), (left + (0.7 if h % 6 == 0 else 0.35), h)]) for h in range(int(top - 0.5) + 1)
    ]
    page.lines([frame.at([(left, 0), (left, top - 0.8)]), *ticks], width=1.4)
    for h in range(0, int(top), 6):
        x, y = frame.at((left, h))
        page.text(x - 6, y, f"{h}", "end")


def _beside_it(page, row, passes, set_up, has_center, in_all):
    """Write beside the drawing what to do at a pass, what comes off, and what the whole log gives."""
    words = [
        f"Pass {row['pass']} of {passes}",
        row["turn"] and f"{row['turn']} first",
        f"face {row['face_up']} up",
    ]
    if has_center:
        words += [f"center at {sixteenths(set_up.center_in)} in"]
    if set_up.small_block_in:
        words += [f"blocks {sixteenths(set_up.small_block_in)} in, small end"]
    words += [f"Blade at {row['blade']} in"] + ([f"down by {row['drop']} in"] if row["drop"] else [])
    y = 52
    for i, word in enumerate(w for w in words if w):
        big = word.startswith("Blade")
        colour = style.ORANGE if big else style.INK
        page.text(500, y, word, color=colour, size=1.15 if big else 1.05, bold=i == 0 or big)
        y += 1.45 * page.type
    y += 0.4 * page.type
    for line in re.split(r"(?<=[:;,]) | (?=stays)", row["takes"]):
        page.text(500, y, line, size=0.95)
        y += 1.2 * page.type
    for i, line in enumerate(in_all):
        page.text(500, 426 + 1.35 * i * page.type, line, bold=True)


def _table(cuts, at):
    heads = ("pass", "piece", "turn first", "face up", "blade at (in)", "down by (in)", "what comes off")
    rows, first = "", max(min(at - 3, len(cuts) - NEAR), 0)
    for i, r in enumerate(cuts.iloc[first : first + NEAR].itertuples(), first):
        cells = [r._1, r.piece, r.turn, r.face_up or "", r.blade, r.drop, r.takes]
        mark = ' style="background:#fdf1e7;font-weight:700"' if i == at else ""
        rows += (
            f"<tr{mark}>"
            + "".join(f"<td>{c}</td>" for c in cells[:-1])
            + f"<td {_LEFT}>{cells[-1]}</td></tr>"
        )
    head = "".join(f"<th>{h}</th>" for h in heads[:-1]) + f"<th {_LEFT}>{heads[-1]}</th>"
    return f"<table><tr>{head}</tr>{rows}</table>"


def printed(
    plan: SawingPlan, note: str = "", mill: Mill | None = None, bark_in: float = 0.0, set_for: str = ""
) -> str:
    """Return the settings sheet of one log as HTML, to print and hang at the mill.

    Parameters
    ----------
    plan : SawingPlan
    note : str
        What the tally says of the log: shown word for word.
    mill : Mill, optional
        The learner's own: what it can't hold or cut is said before the first pass, and no pass goes under its lowest.
    bark_in : float
        Thickness of bark that stays on (in): where the round side lies on the bed, all heights are higher by it.
    set_for : str
        Wood whose shrinkage the thickness goes by, if it does.

    Returns
    -------
    str
        A piece of a page; for a quartered log no sheet, but the sentence that says why.

    Examples
    --------
    >>> from woodcalc.sawing import saw
    >>> printed(saw(Log(small_in=10, length_ft=8), 1/8, [1.125]))[:28]
    '<section class="mill-sheet">'
    """
    bark_in = round(bark_in * 16) / 16
    if not has_sheet(plan):
        return f'<p class="no-sheet"><b>{html.escape(NO_SHEET)}</b></p>'
    boards = plan.boards.drop_duplicates("nominal")
    sizes = [
        f"{both_ways(t)}, {_named(name)}"
        for name, t in zip(boards["nominal"], boards["thickness_in"], strict=True)
    ]
    cuts, weights, laid = plan.cuts, pieces_lb(plan), lay(plan.log, plan.splits_upright)
    weak = mentions_weak_heart(note) or bool(plan.log.crack_clock)
    turns = with_bark(set_ups(plan, mill.lowest_in if mill else 0.0), bark_in)
    stop, rungs = stop_pass(turns), on_the_ladder(plan, mill)
    rungs = {n: rung for n, rung in rungs.items() if not (bark_in and turns[n - 1].round_side)}
    kept = cuts[cuts["pass"] < stop] if stop else cuts
    board_lb = {
        board: ceil(lb)
        for row, pair in zip(plan.passes[: len(kept)], weights, strict=False)
        for board, lb in zip((row.board_above, row.board_below), pair, strict=True)
        if board
    }
    left, walked = left_lb(plan), stages(plan)
    pieces = {f"board {board}": lb for board, lb in board_lb.items()}
    pieces |= {
        f"the slab of pass {n}": ceil(above)
        for n, (row, (above, _)) in enumerate(zip(plan.passes[: len(kept)], weights, strict=False), 1)
        if not row.board_above
    }
    if stop:
        pieces["the thick piece that is left"] = ceil(left[stop - 2])
    early = _left_early(plan, turns, kept, left)
    heaviest = max(pieces, key=lambda piece: pieces[piece])
    log_lb, cant_lb = (at_most_lb(lb) if lb else "" for lb in lift_lb(plan))
    hearts = (near_the_heart(plan) if weak else at_the_heart(plan)) & board_lb.keys()
    middle, stands = at_the_heart(plan), mill.stands if mill else STANDS[0]
    board_bf = float(plan.boards.set_index("board")["board_feet"][list(board_lb)].sum())
    return paper.page(
        "sheet.html", plan=plan, log=plan.log, note=note.strip(), laid=laid, sizes=sizes, set_for=set_for,
        metal=mentions_metal(note) or plan.log.metal_check in METAL[:2],
        kerf=both_ways(plan.kerf_in), short_kerf=_short(plan.kerf_in),
        thinner=_thinner(plan, set(board_lb)), gone=defect_says(plan.log.defect_pct),
        short_sizes=[
            f"{_short(t)} ({_named(name)})" for name, t in zip(boards["nominal"], boards["thickness_in"], strict=True)
        ],
        early_lb=_who(early) if early else "",
        set_ups=turns, stop=stop, lowest=kept["blade_in"].min(), bark=bark_in,
        highest=max(s.cuts["blade_in"].max() for s in turns),
        count=len(board_lb), board_feet=board_bf, net_bf=board_bf * plan.log.sound_share,
        room=ceil(room_in(plan) * 16 - 1e-6) / 16, inches=sixteenths, feet=length_told, log_lb=log_lb, cant_lb=cant_lb,
        hearts=hearts, heart=_heart([board_lb[n] for n in middle & board_lb.keys()], weak),
        heart_in=floor(plan.log.small_in * HEART_SHARE * 4) / 4, middle=middle, hook_in=HOOK_IN,
        turned=[(at_most_lb(lb) if lb else "", hook) for lb, hook in turns_lb(plan)], in_two=in_two_says(plan),
        crack=_crack(plan, note),
        widest=ceil(widest_cut_in(plan) * 16 - 1e-6) / 16,
        tallest=TALLEST_STOP_IN, clamps=ceil(clamps_in(turns) * 16 - 1e-6) / 16,
        thick_slab=THICK_SLAB_IN, flat_slack=FLAT_SLACK_IN, weak=weak,
        stops_to={
            n: sixteenths(max(blade - BELOW_BLADE_IN, 0.0)) if blade - BELOW_BLADE_IN < TALLEST_STOP_IN else "up"
            for s in turns for n, blade in zip(s.cuts["pass"], s.cuts["blade_in"], strict=True)
        },
        to_lift=dict(zip(cuts["pass"], map(_to_lift, weights), strict=True)),
        takes={n: _on_tape(words, len(boards) == 1) for n, words in zip(cuts["pass"], cuts["takes"], strict=True)},
        drops={s.number: _same_drop(s.cuts) for s in turns},
        heaviest=f"{heaviest}, which may weigh {_who(pieces[heaviest])}" if pieces[heaviest] else "",
        thick_lb=_who(pieces["the thick piece that is left"]) if stop and pieces[heaviest] else "",
        cupped={n: f for n, f in too_cupped(plan).items() if n in board_lb}, timbers=timbers(plan),
        pictures={
            s.number: Markup(as_it_lies(plan, walked[s.cuts.index[0]], s, bark_in, stands, crack_of(note)[1]))
            for s in turns
        },
        mill_loses=_mill_loses(board_bf * plan.log.sound_share), steady=_steady(plan), beam=_beam(plan, left),
        mill=mill, limits=limits(plan, mill or MILL, bark_in), STANDING=STANDING, on_sides=_on_sides,
        standing=_standing(turns), rungs=rungs, edging=_edging(plan, board_lb.keys() - _square(plan)),
        square=_edging(plan, board_lb.keys() & _square(plan)),
        ripped=_ripped(plan, board_lb.keys()), quartered=quartered_bf(plan),
        shorter=_shorter(plan, board_lb.keys()),
    )  # fmt: skip


# what set-ups fill of the columns at the mill, measured on paper: each of the two, and what a box takes of it
_COLUMN_IN, _METAL_IN, _WEAK_IN = 9.38, 0.4, 1.05
_HEADED, _HEADED_IN = 100, 0.17  # letters of what was told of the log to a line at the head, and its height
_LARGER = 0.15  # what is a warning takes so much more of a line
_LINE_IN, _BESIDE, _LINE, _TAKES = (
    0.163,
    27,
    55,
    27,
)  # a line's height; letters beside the picture, under it, in the table
_PICTURE = 9  # lines beside it
_HEAD_IN, _ROW_IN = 0.26, 0.2  # of a table


def _blocks_in(set_up):
    """About how tall the parts of a set-up are that no column cuts (in): words by the page's boxes, rows by threes."""
    above, _, table = re.sub(r'src="[^"]*"', "", set_up).partition("<table")
    blocks = []
    for words in above.split('<div class="lies">')[1:]:
        head, _, text = words.rpartition("</h3>")
        titled, told = (len(" ".join(re.sub(r"<[^>]+>", "", part).split())) for part in (head, text))
        told += ceil(_LARGER * sum(map(len, re.findall(r'<b class="warns">(.*?)</b>', text, re.DOTALL))))
        if head:
            told = _PICTURE * _LINE + max(told - _PICTURE * _BESIDE, 0)
        blocks.append((ceil(titled / 42) + ceil(told / _LINE)) * _LINE_IN + 0.12 * bool(head))
    rows = []
    for row in table.split("<tr")[2:]:
        takes = re.sub(r"<[^>]+>", "", row.rpartition("<td")[2].partition(">")[2])
        rows.append(max(_ROW_IN, ceil(len(takes) / _TAKES) * 0.15))
    cut = len(rows) if len(rows) < 6 else 3  # as the page glues the first three rows, and the last
    blocks[-1] += _HEAD_IN + sum(rows[:cut])
    return [*blocks, *rows[cut:-3], sum(rows[cut:][-3:])] if rows[cut:] else blocks


def _fits(set_ups, column_in):
    """Whether set-ups fill no more than two columns."""
    column, filled_in = 1, 0.0
    for tall in (block for set_up in set_ups for block in _blocks_in(set_up)):
        if filled_in and filled_in + tall > column_in:
            column, filled_in = column + 1, 0.0
        filled_in += tall
    return column < 3


def _on_sides(set_ups, metal, weak, headed):
    """Set-ups by the side of paper that they stand on whole, so that each side can have its own head."""
    sides: list[list[str]] = [[]]
    room = _COLUMN_IN - (_WEAK_IN if weak else _METAL_IN * bool(metal)) - _HEADED_IN * ceil(headed / _HEADED)
    for set_up in set_ups:
        if sides[-1] and not _fits([*sides[-1], set_up], room):
            sides.append([])
        sides[-1].append(set_up)
    return sides


def at_foot(plan: SawingPlan, note: str = "") -> str:
    """Return what stands at the foot of each page of a log's sheet, where a long one needs another page.

    Examples
    --------
    >>> from woodcalc.sawing import saw
    >>> at_foot(saw(Log(10, length_ft=8, label="3", species="white ash"), 1/8, [1.125]), "wire")
    'Log 3, white ash. Kerf 1/8 in, boards 1-1/8 in. Metal likely'
    """
    name = f"Log {plan.log.label}" if plan.log.label else "One log"
    sizes = ", ".join(_short(t) for t in plan.boards.drop_duplicates("nominal")["thickness_in"])
    told = f"{name}, {plan.log.species}".rstrip(", ") + f". Kerf {_short(plan.kerf_in)}, boards {sizes}"
    return told + ". Metal likely" * (mentions_metal(note) or plan.log.metal_check in METAL[:2])


def page_of(
    plan: SawingPlan, note: str = "", mill: Mill | None = None, bark_in: float = 0.0, set_for: str = ""
) -> str:
    """Return the sheet of one log and its ladder as a whole HTML page, to save and print; as `printed`.

    Examples
    --------
    >>> from woodcalc.sawing import saw
    >>> page_of(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], drop_step_in=1/16)).count("<h2>")
    3
    """
    name = f"Log {plan.log.label}" if plan.log.label else "One log"
    sheet_html = Markup(printed(plan, note, mill, bark_in, set_for))
    return paper.page(
        "mill.html", plan={"name": name, "settings": has_sheet(plan)}, sheets=[sheet_html],
        names=[re.sub(r"[^\w ,./-]", "", at_foot(plan, note))], rings="",
        ladders=[Markup(each) for each in ladders([plan] if 'class="set-up"' in sheet_html else [])],
    )  # fmt: skip


def _square(plan):
    """The boards that are as wide as the cant that they come off: nothing is edged off them."""
    found = set()
    for row, stage in zip(plan.passes, stages(plan), strict=True):
        for number, sides in ((row.board_above, stage.above), (row.board_below, stage.below)):
            if number:
                board = plan.cut_boards[number - 1]
                edges, ends = (
                    ((board.y1, board.y2), sides[2:]) if board.turned else ((board.x1, board.x2), sides[:2])
                )
                if np.allclose(edges, ends, rtol=0, atol=1 / 32):
                    found.add(number)
    return found


def _edging(plan, sawn):
    """The boards of some by the width they are edged to, widest first: ["10-1/2 in: 3, 6", ...]."""
    by_width: dict[float, list[int]] = {}
    for number, board in enumerate(plan.cut_boards, 1):
        if number in sawn:
            by_width.setdefault(board.width_in, []).append(number)
    return [
        f"{sixteenths(width)} in: {', '.join(map(str, by_width[width]))}"
        for width in sorted(by_width, reverse=True)
    ]


def _ripped(plan, sawn):
    """The boards to rip at the pith for quarter-sawn ones, and where: ["7, 8: 1 in to each side", ...]."""
    by_line: dict[float, list[str]] = {}
    for rip in rips(plan):
        if rip.board in sawn:
            by_line.setdefault(rip.aside_in, []).append(str(rip.board))
    return [f"{', '.join(boards)}: {sixteenths(aside)} in to each side" for aside, boards in by_line.items()]


def _shorter(plan, sawn):
    """The boards shorter than their log, and what comes off which end: ["1: 6 ft off the small end", ...]."""
    whole = plan.log.length_ft
    by_cut: dict[str, list[str]] = {}
    for number, board in enumerate(plan.cut_boards, 1):
        small, large = board.start_ft, whole - board.start_ft - board.length_ft
        off = [
            f"{ft:.3g} ft off the {end} end" for ft, end in ((small, "small"), (large, "large")) if ft > 1e-6
        ]
        if off and number in sawn:
            by_cut.setdefault(", ".join(off), []).append(str(number))
    return [f"{', '.join(boards)}: {off}" for off, boards in by_cut.items()]


def _short(size_in):
    """A size as a fraction alone."""
    return both_ways(size_in).split(" (")[0]


def _thinner(plan, sawn):
    """Which boards the rounded heights leave thinner than they are set, and by how much at most; "" for none."""
    thick = plan.boards.set_index("board")["thickness_in"]
    short = {n: thick[n] - made for n, made in as_printed_in(plan).items() if n in sawn}
    short = {n: less for n, less in short.items() if less > 1e-6}
    if not short:
        return ""
    most = fraction(ceil(max(short.values()) * 32 - 1e-6) / 32, 32)
    if len(short) > 1:
        return f"single boards can be up to {most} in thinner"
    return f"board {next(iter(short))} comes out up to {most} in thinner"


def _left_early(plan, turns, kept, left):
    """The most that may be left on the bed (lb) where a mill has to stop at the last passes; 0 if it is not known."""
    if not plan.log.species:
        return 0
    last = [n for n in turns[-1].cuts["pass"] if n in set(kept["pass"])]
    return max((ceil(left[n - 1]) for n in last[-5:]), default=0)


def _standing(turns):
    """The tallest that a cant stands on a foot less than half as wide, and that foot: (in, in); empty for none."""
    tall = [(s.tall_in, s.foot_in) for s in turns if s.cant and s.tippy and not s.round_side]
    return max(tall, default=())


def _mill_loses(bf):
    """What to plan on in place of "at best", in a sentence."""
    return f"Plan on {bf * (1 - LOST_PCT / 100):.0f} bf: miscuts, wane and trim take {LOST_PCT:g} % or more."


def _steady(plan):
    """What a big log's cant keeps to, and what that gives up, in sentences; empty for any other."""
    if not plan.cant_wide_in and not plan.given_up_bf:
        return ""
    costs = f"{plan.given_up_bf:.0f} bf" if plan.given_up_bf >= 0.5 else "no board feet"
    how = "sawn off all four faces" if plan.cant_wide_in else "wide and turned over at its middle"
    times = fraction(STEADY, 2)
    return (
        f"The cant is {how}: it is never more than {times} times as tall as what it lies on or is held between. "
        f"Beside a cant off two faces that gives up {costs}."
    )


def _beam(plan, left):
    """The beam that a cant off four faces comes to, and what it may weigh (lb, 0: not known), to be kept whole."""
    if not plan.cant_wide_in:
        return ""
    last = next(n for n, p in enumerate(plan.passes) if p.setup == plan.passes[-1].setup)
    weighs = f", up to {at_most_lb(left[last - 1])}" if left[last - 1] else ""
    return f"{sixteenths(plan.cant_wide_in)} in x {sixteenths(plan.cant_in)} in, the heart boxed in{weighs}"


def _crack(plan, note):
    """How a log with a check, split or shake is laid, and what that saves; empty for none."""
    name, long_in = crack_of(note)
    if not name:
        return ""
    how, faces = ("stands upright", "1 to face 3") if plan.splits_upright else ("lies level", "2 to face 4")
    if plan.log.sweep_in:
        says = f"The bow decides how this log lies: expect the {name} in more boards than its own."
    else:
        says = f"Turn the log so that the {name} {how}, from face {faces}: few boards hold it then."
        if plan.cant_in and long_in:
            reach_in = (plan.cant_wide_in or plan.cant_in) / 2
            half, long = sixteenths(reach_in), sixteenths(long_in)
            clear = long_in < reach_in  # it may run from the pith to one side alone
            says += f" It is {long} in long, and the cant reaches {half} in to either side of the pith: " + (
                "the side boards stay clear of it." if clear else "side boards can hold it, too."
            )
    if not plan.log.defect_pct:
        says += " The tally takes nothing off for it: expect fewer board feet than this page says."
    return says


def _who(pounds):
    """A weight, and who lifts it by the book's one rule."""
    return f"{ceil(pounds):,} lb: {who_lifts(int(lift_in_people(ceil(pounds), margin=0)))}"


def _to_lift(pounds):
    """Who lifts what a pass leaves, in short, where it is over the weight for one person: ``"97 lb: 2"``."""
    told = []
    for lb in map(ceil, pounds):
        if lb > LIFT_LB:
            people = int(lift_in_people(lb, margin=0))
            told.append(f"{lb} lb: {people if people <= MOST_LIFTERS else 'machine'}")
    return "; ".join(told)


def _on_tape(takes, one_size):
    """What comes off at a pass, widths as a tape shows them; no thickness where all boards are of one size."""

    def told(size):
        name, width = size[2], sixteenths(float(size[3]))
        if name.endswith(f"x{size[3]}"):  # one asked for by its size is named by it: 2.125x8
            name = _named(name).split(" ")[0]
        return f"{size[1]}{'' if one_size else f'{name} x '}{width} in x"

    return re.sub(r"board (\d+: )(\S+) x ([\d.]+) in x", told, takes)


def _named(nominal):
    """The name of a size as a tape has it: "2-1/8 x 8 in" for 2.125x8; any other as it is."""
    if not re.fullmatch(r"[\d.]+x[\d.]+", nominal):
        return nominal
    thick, wide = map(float, nominal.split("x"))
    return f"{sixteenths(thick)} x {sixteenths(wide)} in" if "." in nominal else nominal


def _same_drop(cuts):
    """The drop of every pass of a set-up after its first, "" where they differ or there is none."""
    drops = set(cuts["drop"]) - {""}
    return drops.pop() if len(drops) == 1 else ""


def _heart(pounds, weak):
    """What boards at the heart do, and how they are carried: by two if they may come apart or were not weighed."""
    does = f"Boards at the heart may {'come apart' if weak else 'split'}"
    most = max(pounds, default=0)
    people = int(lift_in_people(most, margin=0))
    if people == 1 and most and not weak:
        return f"{does}: carry them flat."
    carried = who_lifts(max(people, 2)).replace("lift it", "carry each flat")
    return f"{does}. {capital(carried)}."
