"""A solar kiln cut open from south to north: which way its air goes in one hour, and what the heat is spent on."""

from __future__ import annotations

import html

import numpy as np

from woodcalc.figures import style
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.figures.kiln import LOAD_BF, july_run

# Corners on the page (px), south at the left. The slope is about that of 43 degrees north; the rest is not to scale.
_FLOOR, _SOUTH, _NORTH = 462.0, 238.0, 548.0
_KNEE, _RIDGE = 396.0, 108.0  # heights of the two walls
_LOAD = (342.0, 478.0, 352.0, 446.0)  # left, right, top, foot of the boards
_FAN = (410.0, 296.0, 34.0)  # middle and radius
_BLACK = 26.0  # from the glass down to the absorber
_STRONG_BTU = 5500.0  # an hour of the strongest sun there


def _roof(x, down=0.0):
    """Height of the glass above a place between the walls, `down` px under it."""
    return _KNEE + (_RIDGE - _KNEE) * (x - _SOUTH) / (_NORTH - _SOUTH) + down


def _walls(page, share):
    wall = dict(fill=style.PALE, width=1.6)
    page.polygons([box(_SOUTH - 14, _FLOOR, _NORTH + 14, _FLOOR + 14)], **wall)
    # each wall has its vent: a gap, and a flap that hangs out of it
    for x, top, foot, gap, way in (
        (_SOUTH - 14, _KNEE, _FLOOR, (426, 450), -1),
        (_NORTH, _RIDGE, _FLOOR, (140, 164), 1),
    ):
        page.polygons([box(x, top, x + 14, gap[0]), box(x, gap[1], x + 14, foot)], **wall)
        outside = x if way < 0 else x + 14
        turn = np.radians(70) * share
        flap = (outside + way * 26 * np.sin(turn), gap[0] + 24 * np.cos(turn))
        page.lines([[(outside, gap[0]), flap]], style.INK, 4)
    glass = [(_SOUTH - 14, _roof(_SOUTH - 14)), (_NORTH + 14, _roof(_NORTH + 14))]
    page.lines([glass], style.SKY, 9)
    page.lines([glass], style.INK, 1.2)
    page.lines([[(x, _roof(x, _BLACK)) for x in (_SOUTH + 26, _NORTH - 26)]], style.INK, 6)


def _load(page):
    left, right, top, foot = _LOAD
    layers = np.linspace(foot, top + 13, 6)
    wide = (right - left - 12) / 3
    page.polygons(
        [box(left + k * (wide + 6), y - 12, left + k * (wide + 6) + wide, y) for y in layers for k in range(3)],
        style.WOOD, style.BARK, 1.2,
    )  # fmt: skip
    page.polygons([box(left, y, right, y + 5) for y in layers[1:]], style.SOFT, "none")
    page.polygons([box(x, foot, x + 16, _FLOOR) for x in (left + 8, right - 24)], style.SOFT, style.INK, 1)


def _baffles(page):
    """What leaves the air no way but through the load: over it with the fan in it, and under it."""
    x, y, radius = _FAN
    sheets = [
        [(x, _roof(x, _BLACK)), (x, y - radius)],
        [(x, y + radius), (x, _LOAD[2])],
        [(x, _LOAD[3]), (x, _FLOOR)],
    ]
    page.lines(sheets, style.BARK, 5)


def _fan(page, on):
    x, y, radius = _FAN
    page.polygons([oval(16, 2 * radius, x, y)], "white" if not on else style.GOLD, style.INK, 2)
    page.lines([[(x, y - radius), (x, y + radius)]], style.INK, 2)


def _airs_way(page, on, share):
    """Round through the load while the fans run: hot from the black sheet, cooler and damper behind the boards."""
    hot, damp = style.ORANGE, style.BLUE
    x, y, _ = _FAN
    if on:
        page.arrow((x + 18, y), (x + 74, y), hot, 5)
        page.arrow((516, y + 12), (516, 366), hot, 5)
        for height in (386, 409, 439):
            page.arrow((532, height), (486, height), hot, 3)
            page.arrow((336, height), (292, height), damp, 3)
        page.arrow((266, 448), (266, 414), damp, 5)
        start, middle, end = [(xx, _roof(xx, _BLACK + 18)) for xx in (282.0, 318.0, 352.0)]
        page.lines([[start, middle]], damp, 5)
        page.lines([[middle, end]], hot, 5)
        page.arrow(end, (x - 14, y + 8), hot, 5)
    else:
        for xx in (300.0, 516.0):  # what rises by itself
            page.arrow((xx, 440), (xx, 404), style.SOFT, 2.2)
    if share > 0:
        page.arrow((_SOUTH - 66, 438), (_SOUTH - 4, 438), damp, 2 + 2 * share)
        page.arrow((_NORTH - 12, 152), (_NORTH + 52, 152), damp, 2 + 2 * share)


def _sky(page, hour, sun_btu):
    """The sun over the south by the clock, its rays as long as it is strong; a moon when there is none."""
    way = np.clip((hour + 0.5 - 5) / 14.5, 0, 1)
    middle = np.array([70.0, 222 - 138 * np.sin(np.pi * way)])
    if sun_btu <= 0:
        page.polygons([oval(40, 40, *middle)], style.PALE, style.INK, 1.4)
        return
    page.polygons([oval(48, 48, *middle)], style.GOLD, style.INK, 1.4)
    ray = np.subtract(((_SOUTH + _NORTH) / 2, _roof((_SOUTH + _NORTH) / 2)), middle)
    ray *= (24 + 40 * sun_btu / _STRONG_BTU) / np.hypot(*ray)
    for at in (0.12, 0.34, 0.56):
        x = _SOUTH + at * (_NORTH - _SOUTH)
        foot = np.array((x, _roof(x) - 8))
        page.arrow(foot - ray, foot, style.GOLD, 4)


@style.drawn
def inside(charge: str, day: int, hour: int, fans: str, vents: str) -> tuple[Drawing, str, str]:
    """Draw a solar kiln at Madison in July, cut open, in one hour of its run: the air's way and state, vents, load.

    Parameters
    ----------
    charge : str
        One of `kiln.CHARGES`.
    day : int
        Of the run, 1 to 40.
    hour : int
        Standard time at which the hour begins, 0 to 23.
    fans, vents : str
        Of `kiln.FANS` and `kiln.VENTS`.

    Returns
    -------
    (Drawing, str, str)
        The drawing, the sentence, and what came in and went out in that hour as an HTML table.

    Examples
    --------
    >>> inside("red oak 4/4, air-dried (20 %)", 10, 14, "8 to 18 h", "by humidity")[1][:42]
    'Day 10, 14 to 15 h, at Madison in July, fa'
    """
    h = july_run(charge, fans, vents).hourly.iloc[24 * (day - 1) + hour]
    on, share = bool(h.fans > 0), round(float(h.working), 2)
    stand = {0.0: "shut", 1.0: "wide open"}.get(share, f"{100 * share:.0f} %\nopen")
    page = Drawing(8.0, 5.2)
    page.title(12, 20, f"Day {day}, {hour} h: the fans {'run' if on else 'stand'}")
    _sky(page, hour, h.sun_btu)
    _walls(page, share)
    _load(page)
    _baffles(page)
    _airs_way(page, on, share)
    _fan(page, on)
    for x, y, words, at in (
        (12, 296, f"outdoors\n{h.outdoor_f:.0f} F", "start"),
        (572, 82, f"out with the air:\n{h.vented_lb:.2f} lb of water", "start"),
        (572, 236, f"the air in it:\n{h.temp_f:.0f} F, {h.rh_pct:.0f} %", "start"),
        (572, 316, f"would hold wood\nat {h.emc_pct:.1f} %", "start"),
        (572, 410, f"the wood {h.mc_pct:.1f} %,\nits face {h.surface_pct:.1f} %", "start"),
        (12, 362, "SOUTH", "start"),
        (12, 424, f"vents {stand}", "start"),
        (394, 500, "baffles above and below the load", "middle"),
    ):  # fmt: skip
        page.text(x, y, words, at)
    steep = -np.degrees(np.arctan2(_KNEE - _RIDGE, _NORTH - _SOUTH))
    page.text(488, _roof(488) - 5 - page.type, "glass", "middle", turn=steep)
    page.text(486, _roof(486, _BLACK) + 6 + page.type, "black sheet", "middle", turn=steep)
    sentence = (
        f"Day {day}, {hour} to {hour + 1} h, at Madison in July, fans {'on' if on else 'off'}: the kiln's air is at "
        f"{h.temp_f:.0f} F and {h.rh_pct:.0f} %, {h.temp_f - h.outdoor_f:.0f} F above outdoors, and would hold wood at "
        f"{h.emc_pct:.1f} %. "
        + (
            "The fans push it through the load: hot from the black sheet, back cooler and damper. "
            if on
            else "It hardly moves, and the boards give off little. "
        )
        + f"In this hour {LOAD_BF} bf of {charge} give off {h.evaporated_lb:.2f} lb of water."
    )
    comes = {"sun": h.sun_btu, "fans": h.fan_btu} | (
        {"wood and walls cool": -h.stored_btu} if h.stored_btu < 0 else {}
    )
    goes = {
        "through glass, walls": h.walls_btu,
        "with the air": h.vent_btu,
        "water driven off": h.evaporation_btu,
    }
    goes |= {"wood and walls warm": h.stored_btu} if h.stored_btu >= 0 else {}
    rows = "".join(
        f"<tr><th>{html.escape(name)}</th>"
        + "".join(f"<td>{html.escape(what)}: {btu:,.0f} Btu</td>" for what, btu in side.items())
        + "</tr>"
        for name, side in (("heat in", comes), ("heat out", goes))
    )
    return page, sentence, f"<table>{rows}</table>"
