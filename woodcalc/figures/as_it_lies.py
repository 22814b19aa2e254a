"""The end of a log as it lies on the bed for a set-up: what it stands on, stop and clamp, first and last pass."""

from __future__ import annotations

import base64
from typing import TYPE_CHECKING

import numpy as np

from woodcalc.figures import style
from woodcalc.figures.drawing import Drawing, Points, box, oval
from woodcalc.sawing.lay import FACES, lay
from woodcalc.sawing.mill import STANDS
from woodcalc.sawing.settings_sheet import BELOW_BLADE_IN
from woodcalc.sizes import sixteenths

if TYPE_CHECKING:
    from woodcalc.logs import Log
    from woodcalc.sawing.sawn_log import SawingPlan
    from woodcalc.sawing.settings_sheet import SetUp, Stage

WIDE = 1.7  # in on the page
# of the picture: seen from the small end the log turns clockwise, its top to the stops, so that they are drawn right
SIDES = dict(zip(STANDS[1:], ("right", "left"), strict=True))
_GRAY, _BARK, _IRON = "#d9d9d9", "#8c8c8c", "#c00000"
_ASIDE = "float:right;margin:0 0 2px 10px"  # wherever the sheet stands: on paper, in a lesson


def turned(points: Points, up: tuple[int, int]) -> np.ndarray:
    """Return points of the log turned so that the direction `up` points up the page.

    Examples
    --------
    >>> turned([(1, 0)], (1, 0)).tolist()
    [[0, 1]]
    """
    x, y = np.moveaxis(np.asarray(points), -1, 0)
    ux, uy = up
    return np.stack([uy * x - ux * y, ux * x + uy * y], axis=-1)


def corners(bounds: tuple[float, ...], limit: float) -> list[tuple[float, float]]:
    """Return the corners of a box (x1, x2, y1, y2) whose open sides end at `limit`.

    Examples
    --------
    >>> corners((-2, 2, 0, float("inf")), 9)[2]
    (2.0, 9.0)
    """
    x1, x2, y1, y2 = (float(side) for side in np.clip(bounds, -limit, limit))
    return [(x1, y1), (x2, y1), (x2, y2), (x1, y2)]


def as_it_lies(
    plan: SawingPlan,
    stage: Stage,
    set_up: SetUp,
    bark_in: float = 0.0,
    stands: str = STANDS[0],
    crack_in: float = 0.0,
) -> str:
    """Return the log's small end as it lies for a set-up, as an image in HTML; the large end is dashed.

    So is the middle of a bowed log, in longer strokes: its bow lies half to each side of the saw lines' own middle.

    Parameters
    ----------
    plan : SawingPlan
    stage : Stage
        Of the first pass of the set-up.
    set_up : SetUp
    bark_in : float
        That stays on (in), and lies between wood and bed.
    stands : str
        One of `mill.STANDS`: at which side the operator stands.
    crack_in : float
        How far a check or shake runs from the pith (in), 0 if it is not told.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> from woodcalc.sawing.settings_sheet import set_ups, stages
    >>> plan = saw(Log(14, 15.5, 12), 1/8, {"4/4": 1.0625})
    >>> as_it_lies(plan, stages(plan)[0], set_ups(plan)[0])[45:106]
    'alt="Small end: face 1 up, blade from 14-5/8 to 12-1/4 in" sr'
    """
    cuts = set_up.cuts["blade_in"]
    sawn = cuts[cuts > set_up.stop_in]
    first, last = float(cuts.iloc[0]), float(sawn.min()) if len(sawn) else float(cuts.iloc[0])
    long = np.sqrt(plan.log.oval_ratio)
    bow = plan.log.sweep_in / 2
    ends, middle = np.array([-bow, 0]), np.array([bow, 0])
    rings = [oval(d * long, d / long) + ends for d in (plan.log.large_end_in, plan.log.small_in)]
    limit = plan.log.large_end_in + 2 * bark_in + bow
    lies = turned(corners(stage.before, plan.log.large_end_in / 2 * long + bow), stage.up)
    left, right = lies[:, 0].min(), lies[:, 0].max()
    scale = min(88 / max(set_up.tall_in, first + 0.5), 80 / (right - left))
    foot = max(scale * max(set_up.tall_in, first), 40) + 10
    page = Drawing(WIDE, (foot + (22 if stands in SIDES else 10)) / 100)
    page.type = 11.0

    def at(points: Points) -> np.ndarray:
        """Places over the bed to places on the page."""
        return np.asarray(points) * [scale, -scale] + [54, foot]

    def wood(points: Points) -> np.ndarray:
        return at(turned(points, stage.up) - np.array([0, stage.bed_in - bark_in * stage.round_side]))

    page.polygons([[(0, foot), (108, foot), (108, foot + 5), (0, foot + 5)]], style.INK, style.INK)
    whole = page.clip(wood(corners(stage.before, limit)))
    page.polygons([wood(rings[0])], "none", style.INK, 1.0, "3 2", clip=whole)
    if bark_in:
        d = plan.log.small_in
        page.polygons([wood(oval(d * long + 2 * bark_in, d / long + 2 * bark_in) + ends)], _BARK, clip=whole)
    page.polygons([wood(rings[1])], _GRAY, style.INK, 1.6, clip=whole)
    if bow:
        d = (plan.log.small_in + plan.log.large_end_in) / 2
        page.polygons([wood(oval(d * long, d / long) + middle)], "none", style.INK, 1.2, "8 4", clip=whole)
    page.polygons(
        [wood(corners(stage.before, limit))], "none", style.INK, 1.6, clip=page.clip(wood(rings[1]))
    )
    if set_up.small_block_in:
        block = at(box(-1.5, 0, 1.5, set_up.small_block_in))
        page.polygons([block], style.INK, style.INK)
    _seen_on_it(page, plan, whole, lambda points: wood(np.asarray(points) + ends), crack_in)
    clear = max(first - BELOW_BLADE_IN, 0.0)  # at the first pass: stops and clamps go down with the blade
    low = min(clear, 0.6 * set_up.tall_in)  # half way up, or as high as they may
    stop, clamp = (at([(side, 0), (side, low)]) for side in (right, left))
    post = stop[0, 0] + 3, stop[0, 0] + 8
    page.polygons([box(post[0], stop[1, 1], post[1], foot)], style.INK, style.INK)
    iron, high = at([(0, clear), (0, max(set_up.tall_in, first))])[:, 1]
    page.polygons([box(post[0], high, post[1], iron)], "none", _IRON, 1.6)
    page.lines([[(post[0], y + 5), (post[1], y)] for y in np.arange(high, iron - 5, 5)], _IRON, 1.4)
    y = min(clamp[1, 1] + 11, foot - 5)  # never under the bed
    page.arrow([max(clamp[1, 0] - 16, 0), y], [clamp[1, 0] - 2, y], style.INK, 2.0)
    if left < 0 < right and stage.before[0] < 0 < stage.before[1] and stage.before[2] < 0 < stage.before[3]:
        cross = ([(-0.5, 0), (0.5, 0)], [(0, -0.5), (0, 0.5)])
        page.lines([wood(np.array(stroke) + ends) for stroke in cross], width=1.6)
    for height, dash in ((first, ""), *([(last, "5 2")] if last < first else [])):
        y = at([(0, height)])[0, 1]
        page.lines([[(2, y), (108, y)]], style.INK, 2.2, dash)
        page.text(111, y, sixteenths(height), bold=True, size=0.95)
    x1, x2, y1, y2 = np.clip(stage.before, -plan.log.small_in / 2, plan.log.small_in / 2)
    center, out = np.array([(x1 + x2) / 2, (y1 + y2) / 2]), np.array([(x2 - x1) / 2, (y2 - y1) / 2])
    for face, way in enumerate([(0, 1), (1, 0), (0, -1), (-1, 0)], 1):
        px, py = wood([center + (out - 8 / scale) * way])[0]
        page.text(px, py, str(face), "middle", bold=True, halo=True)
    says = f"Small end: face {set_up.face_up} up, blade from {sixteenths(first)} to {sixteenths(last)} in"
    if foot - at([(0, last)])[0, 1] > 14:
        page.text(111, foot, "bed", size=0.9)
    if stands in SIDES:
        page.text(
            2 if SIDES[stands] == "left" else 108,
            foot + 14,
            "OPERATOR",
            {"left": "start", "right": "end"}[SIDES[stands]],
            bold=True,
        )
    code = base64.b64encode(page.svg().encode("utf-8")).decode()
    return f'<img style="{_ASIDE}" alt="{says}" src="data:image/svg+xml;base64,{code}">'


def end_on_the_bed(log: Log) -> str:
    """Return the small end of a log as it is laid for its first pass, as HTML: chalked hours outside, faces inside.

    As for a cant off two faces. Empty where nobody told by the clock where bow, worst face or check lie.

    Parameters
    ----------
    log : Log

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> end_on_the_bed(Log(14)), end_on_the_bed(Log(14, worst_clock=2))[:18]
    ('', '<figure class="end')
    """
    laid = lay(log)
    if not laid.says:
        return ""
    page = Drawing(3.2, 2.9)
    middle, radius = np.array([160.0, 140.0]), 88.0

    def at(points: Points) -> np.ndarray:
        return np.asarray(points) * [radius, -radius] + middle

    page.polygons([at(oval(2, 2))], _GRAY, style.INK, 2.0)
    _marks(page, laid, 1.0, at, 0.0, "")
    for chalked in range(1, 13):
        x, y = at(1.15 * _toward(chalked - laid.top_clock)[0])
        page.text(x, y, str(chalked), "middle", bold=chalked % 3 == 0)
    for face, hour in FACES.items():
        x, y = at(0.5 * _toward(hour)[0])
        page.text(x, y, str(face), "middle", bold=True, size=1.2, halo=True)
    if laid.bow:
        way = _toward(laid.bow)[0]
        page.arrow(at(1.32 * way), at(1.6 * way), style.INK, 3.0)
    page.polygons([[(20, 252), (300, 252), (300, 260), (20, 260)]], style.INK, style.INK)
    page.text(160, 274, "bed", "middle")
    says = (
        f"{laid.says} Outside the chalked hours, inside the mill's faces"
        + "; the arrow is the bow." * bool(laid.bow)
    )
    code = base64.b64encode(page.svg().encode("utf-8")).decode()
    return (
        f'<figure class="end"><img alt="{says}" src="data:image/svg+xml;base64,{code}">'
        f"<figcaption>On the mill. {says}</figcaption></figure>"
    )


def _seen_on_it(page, plan, left, wood, crack_in):
    """Draw a check or shake, and the worst face, where they lie."""
    _marks(page, lay(plan.log, plan.splits_upright), plan.log.small_in / 2, wood, crack_in, left)


def _marks(page, laid, radius, wood, crack_in, left):
    """Draw a check or shake as a zigzag from the pith, and the worst face as strokes at the bark."""
    if laid.crack:
        out, aside = _toward(laid.crack)
        long = min(crack_in / radius, 0.97) if crack_in else 0.9
        zigzag = [radius * (r * long * out + side * aside) for r, side in zip(_STEPS, _ZIGZAG, strict=True)]
        page.lines([wood(zigzag)], style.INK, 2.4, clip=left)
    if laid.worst:
        strokes = [
            [radius * r * _toward(laid.worst + turn)[0] for r in (0.72, 0.97)]
            for turn in (-0.7, -0.35, 0, 0.35, 0.7)
        ]
        page.lines([wood(stroke) for stroke in strokes], style.INK, 2.4, clip=left)


_STEPS, _ZIGZAG = np.linspace(0, 1, 6), (0, 0.08, -0.08, 0.08, -0.08, 0)


def _toward(clock):
    """Directions to an hour of the mill's own clock, and across it."""
    turn = np.radians(30 * clock)
    return np.array([np.sin(turn), np.cos(turn)]), np.array([np.cos(turn), -np.sin(turn)])
