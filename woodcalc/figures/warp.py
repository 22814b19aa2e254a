"""Picture of how a free board bends as it dries, from where it lay in the log, and how flat weights hold it."""

from __future__ import annotations

from functools import cache

import numpy as np

from woodcalc import species as woods
from woodcalc.drying.rate import thickness as inches
from woodcalc.drying.warp import warp
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.shrinkage import board_shape
from woodcalc.sizes import sawn_in

WIDTH_IN, LENGTH_FT, LOG_IN = 8.0, 12.0, 26.0  # the board that is drawn, and its log
DRY_PCT = 8.0
CUTS = {"flat-sawn": (0.0, 1.0), "quarter-sawn": (1.0, 0.0), "between the two": (0.7, 0.7)}
LONG_TIMES, END_TIMES = 4, 3  # how much larger bends along and across are drawn
_SPIRAL_SEEN_IN = 4.0  # twist beyond this is drawn as this
_NO_BOW_IN = 0.05
_HELD_IN = 1 / 8  # a bow that a planer takes out of a 12 ft board cut to furniture parts: judgment


@style.drawn
def free_board(
    wood: str, thickness: str, cut: str, out_in: float, spacing_in: float, top_load: float
) -> tuple[Drawing, str]:
    """Draw a board of 8 in by 12 ft as it lay in the log, as it warps if free, and as weights on top hold it.

    Parameters
    ----------
    wood, thickness : str
        As in `woodcalc.drying.air_dry`.
    cut : str
        One of `CUTS`.
    out_in : float
        From the pith to the middle of the board, in.
    spacing_in : float
        Between stickers.
    top_load : float
        Weight on top, lb/ft2 of board.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> free_board("northern red oak", "4/4", "flat-sawn", 3, 24, 0)[1][:69]
    'Northern red oak 4/4, 8 in by 12 ft, flat-sawn, 3 in from the pith, d'
    """
    kind, nominal = woods.get(wood), inches(thickness)
    way = np.array(CUTS[cut])
    x, y = out_in * way
    free = warp(kind, nominal, WIDTH_IN, LENGTH_FT, x, y, DRY_PCT)
    left = max(0.0, 1 - top_load / free.flat_lb_per_ft2) if free.flat_lb_per_ft2 > 0 else 0.0
    held = free.bow_in * left
    between = free.bow_in * (spacing_in / (12 * LENGTH_FT)) ** 2  # of one even curve, held at each sticker
    page = Drawing(8.0, 5.2)
    name = f"{kind.name[0].upper()}{kind.name[1:]} {thickness}"
    page.title(10, 22, f"{cut[0].upper()}{cut[1:]} {thickness}, {out_in:g} in from the pith")
    _log(page, nominal, x, y, free.holds_pith)
    _ends(page, kind, nominal, x, y, free)
    _side(page, nominal, free, held, spacing_in, top_load)
    _edge(page, free)
    return page, _says(name, cut, out_in, free, held, between, spacing_in, top_load)


def _log(page, nominal, x, y, split):
    half = LOG_IN / 2
    frame = Frame.to_scale(page, (10, 44, 180, 180), (-half, half), (-half, half))
    thick = float(np.asarray(sawn_in(nominal)))
    frame.shapes([oval(LOG_IN, LOG_IN)], style.PALE, style.BARK, 2)
    page.lines([[*frame.at(ring), frame.at(ring)[0]] for ring in _rings()], style.SOFT, 0.8)
    frame.shapes(
        [box(x - WIDTH_IN / 2, y - thick / 2, x + WIDTH_IN / 2, y + thick / 2)],
        style.ORANGE if split else style.WOOD,
        style.INK,
        2,
    )
    frame.mark([0], [0], "o", style.INK, 3)
    page.text(100, 236, "where it lay", at="middle", size=0.85)


@cache
def _rings():
    return [oval(2 * r, 2 * r) for r in np.arange(1.5, LOG_IN / 2, 2.0)]


def _ends(page, kind, nominal, x, y, free):
    """The near end with its cup, the far end turned by the twist, both larger than they are."""
    frame = Frame.to_scale(page, (215, 44, 250, 180), (-6, 6), (-4.3, 4.3))
    shape = board_shape(WIDTH_IN, float(np.asarray(sawn_in(nominal))), x, y, kind, 100, DRY_PCT, points=12)
    flat, dried = np.asarray(shape.before), np.asarray(shape.after)
    seen = flat + END_TIMES * (dried - flat) if not free.holds_pith else dried
    seen = seen - seen.mean(0)
    turn = np.arctan2(END_TIMES * min(free.twist_in, _SPIRAL_SEEN_IN), 2 * WIDTH_IN)
    c, s = np.cos(turn), np.sin(turn)
    frame.shapes([seen @ np.array([[c, s], [-s, c]])], "none", style.SOFT, 1.4)
    frame.shapes([seen], style.ORANGE if free.holds_pith else style.WOOD, style.INK, 2)
    page.text(340, 236, f"its ends, drawn {END_TIMES} times as warped", at="middle", size=0.85)
    for k, (word, size) in enumerate((("cup", free.cup_in), ("twist", free.twist_in))):
        page.text(490, 84 + 54 * k, word)
        page.text(490, 108 + 54 * k, f"{size:.1f} in", bold=True, size=1.2)
    if free.holds_pith:
        page.text(490, 206, "the pith is in it:\nit splits", color=style.ORANGE, bold=True)


def _curve(size):
    t = np.linspace(0, 1, 25)
    return 12 * LENGTH_FT * t, 4 * size * t * (1 - t)


def _strip(page, down, words):
    frame = Frame(page, (10, down, 640, 96), (-1, 146), (-9.6, 12.4))
    page.text(10, down - 26 * (down < 400), words, size=0.9)
    return frame


def _band(along, up, thick):
    return np.column_stack([np.append(along, along[::-1]), np.append(up, (up + thick)[::-1])])


def _side(page, nominal, free, held, spacing, top_load):
    """The board on its stickers, from the side: held, and as it would be if free."""
    frame = _strip(page, 294, f"on its stickers, from the side; the bow drawn {LONG_TIMES} times larger")
    thick = 2 * float(np.asarray(sawn_in(nominal))) ** 0.5  # thicker than to scale: a line else
    gaps = max(1, round(142 / spacing))
    frame.shapes([box(p - 1.1, -4, p + 1.1, 0) for p in np.linspace(1, 143, gaps + 1)], style.INK, "none")
    frame.strokes([[(-1, -4), (145, -4)]], style.SOFT, 1.4)
    along, up = _curve(min(LONG_TIMES * free.bow_in, 15.0))
    ghost = _band(along, up, thick)
    frame.strokes([[*ghost, ghost[0]]], style.SOFT, 1.4, "4 4")
    along, up = _curve(min(LONG_TIMES * held, 15.0))
    bad = held > _HELD_IN
    frame.shapes([_band(along, up, thick)], style.ORANGE if bad else style.WOOD, style.INK, 1.6)
    if top_load:
        rows = 1 + int(top_load // 40)
        at = np.interp((36, 72, 108), along, up) + thick
        frame.shapes(
            [box(p - 6, h + 1.6 * k, p + 6, h + 1.6 * (k + 1)) for p, h in zip((36, 72, 108), at, strict=True)
             for k in range(rows)],
            style.PALE, style.INK, 1.2,
        )  # fmt: skip
    page.text(662, 326, "bow")
    page.text(662, 350, f"{held:.2f} in", bold=True, size=1.2, color=style.ORANGE if bad else style.INK)
    page.text(662, 374, f"of {free.bow_in:.1f} if free", size=0.85)


def _edge(page, free):
    """The board from above: no weight holds its crook."""
    frame = _strip(page, 420, f"from above; the crook drawn {LONG_TIMES} times larger: no weight holds it")
    along, level = _curve(0.0)
    straight = _band(along, level, 6.0)
    frame.strokes([[*straight, straight[0]]], style.SOFT, 1.4, "4 4")
    bent = _band(along, _curve(min(LONG_TIMES * free.crook_in, 6.0))[1], 6.0)
    bad = free.crook_in > 2 * _HELD_IN
    frame.shapes([bent], style.ORANGE if bad else style.WOOD, style.INK, 1.6)
    page.text(662, 448, "crook")
    page.text(
        662, 470, f"{free.crook_in:.1f} in", bold=True, size=1.2, color=style.ORANGE if bad else style.INK
    )


def _says(name, cut, out, free, held, between, spacing, top_load):
    told = [
        f"{name}, 8 in by 12 ft, {cut}, {out:g} in from the pith, dried to {DRY_PCT:g} %. Free, it bows "
        f"{free.bow_in:.1f} in, crooks {free.crook_in:.1f}, cups {free.cup_in:.1f} and twists {free.twist_in:.1f}, "
        "about as large."
    ]
    if free.holds_pith:
        told.append("The pith is in it, so it splits: cut it out, and two narrower boards are left.")
    if free.bow_in < _NO_BOW_IN:
        told.append("There is no bow to press flat.")
    else:
        need = np.ceil(free.flat_lb_per_ft2)
        if not top_load:
            told.append(f"On top of the pile it takes {need:.0f} lb/ft2 to press it flat, and there is none.")
        elif held > 0:
            told.append(f"{top_load:g} lb/ft2 leaves a bow of {held:.2f} in; {need:.0f} presses it flat.")
        else:
            told.append(f"{top_load:g} lb/ft2 holds it flat; it takes {need:.0f}.")
        told.append(
            f"Deeper in the pile it lifts {between:.2f} in between two stickers, {spacing:g} in apart."
        )
    told.append(
        "Weights hold cup and twist, too (common practice). Take them off, and some of it comes back."
    )
    return " ".join(told)
