"""A picture of a stack from its end: its courses, the stickers between, and where the sample boards lie."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from woodcalc.dates import calendar_day
from woodcalc.drying.rate import REFERENCE_WIDTH_FT
from woodcalc.figures import style
from woodcalc.figures.drawing import Drawing, box
from woodcalc.figures.stack import END_GAP_PX, END_THICK, from_its_end

SIDES = ("windy side", "middle", "lee side")
HEIGHTS = ("top", "halfway up", "bottom")
_SIDE_WORDS = (r"windy|windward", r"middle|center|centre", r"lee|leeward")
_HEIGHT_WORDS = (r"top|upper", r"half ?way(?: up)?|mid height", r"bottom|lowest|lower")
DRAWN = 6  # sample boards that are drawn
_COURSES, _LEAST, _MOST = 12, 3, 9  # courses, and boards in one, that are drawn
_NAME = 12  # letters of a board's name that there is room for
_SPOTS = ((0, 1), (1, 1), (2, 1))  # good places: one on the windy side, one in the middle, one in the lee


@dataclass(frozen=True)
class Sample:
    """A sample board and its last reading.

    Attributes
    ----------
    name : str
    side, height : str
        One of `SIDES` and of `HEIGHTS`, or "" where it is not noted.
    mc_pct : float or None
        Moisture content of the last reading; None if none tells it yet.
    day : date or None
        Of the last reading.
    kind : str
        ``"weight"`` or ``"meter"``.
    trusted : bool
        False of a meter past the end of its scale.
    """

    name: str
    side: str = ""
    height: str = ""
    mc_pct: float | None = None
    day: date | None = None
    kind: str = "weight"
    trusted: bool = True

    @property
    def says(self) -> str:
        """The last reading in words.

        Examples
        --------
        >>> Sample("A1", mc_pct=24.3, day=date(2027, 7, 5)).says
        '24 % on 5 July 2027'
        """
        if self.mc_pct is None or self.day is None:
            return "no moisture known yet"
        if not self.trusted:
            return f"wet, over the meter's scale, on {calendar_day(self.day)}"
        how = " by meter" if self.kind == "meter" else ""
        return f"{self.mc_pct:.0f} %{how} on {calendar_day(self.day)}"

    @property
    def lies(self) -> str:
        """Where it lies, in words.

        Examples
        --------
        >>> Sample("A1", "windy side", "top").lies, Sample("A2").lies
        ('windy side, top', 'place not noted')
        """
        return ", ".join(filter(None, (self.side, self.height))) or "place not noted"


def place_in(note: str) -> tuple[str, str]:
    """Return (side, height) that a note of the records tells; "" for what it does not.

    Parameters
    ----------
    note : str

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> place_in("sections 98.55 to 59.2 g; windy side, halfway up"), place_in("stopped raining")
    (('windy side', 'halfway up'), ('', ''))
    """
    sides = [name for name, words in zip(SIDES, _SIDE_WORDS, strict=True) if _said(words, note)]
    heights = [name for name, words in zip(HEIGHTS, _HEIGHT_WORDS, strict=True) if _said(words, note)]
    return (sides[0] if len(sides) == 1 else "", heights[0] if len(heights) == 1 else "")


def _said(words, note):
    return re.search(rf"(?i)\b(?:{words})\b", note)


@style.drawn
def sample_boards(
    stack: str, wood: str, nominal: str, width_ft: float | None, samples: Sequence[Sample]
) -> tuple[Drawing, str, str]:
    """Draw a stack from its end, the wind from the left, with its sample boards and their last readings.

    Parameters
    ----------
    stack, wood, nominal : str
        As in the records.
    width_ft : float or None
        Width of the pile.
    samples : sequence of Sample
        Those read last stand last.

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> seen = [Sample("A1", "windy side", "halfway up", 24.3, date(2027, 7, 5))]
    >>> print(sample_boards("A", "northern red oak", "4/4", 4.0, seen)[1].replace(". B", ".\\nB"))
    Stack A, northern red oak 4/4, from its end, with the wind from the left.
    Board A1 (windy side, halfway up): 24 % on 5 July 2027.
    """
    page = Drawing(8.0, 5.1)
    across = round((width_ft or REFERENCE_WIDTH_FT) * 12 / 9)  # boards of 8 in, an inch apart
    across = min(max(across, _LEAST), _MOST)
    left, right, top, foot = 70.0, 370.0, 96.0, 400.0
    page.title(left - 50, 26, f"Stack {_cut(stack)} from its end")
    step, wide = from_its_end(page, (left, top, right, foot), _COURSES, across)

    def place(side, height):
        """The outline of the board at a side (0-2) and height (0-2)."""
        column = (0, (across - 1) // 2, across - 1)[side]
        course = (1, _COURSES // 2, _COURSES - 2)[height]
        x, y = left + column * wide, top + course * step
        return x, y, x + wide - END_GAP_PX, y + END_THICK * step

    for y in (top + 60, top + 150, top + 240):
        page.arrow((16, y), (56, y), style.BLUE, 2.4)
    page.text(36, top + 30, "wind", "middle", style.BLUE)
    page.text((left + right) / 2, foot + 42, "white: stickers; not to scale", "middle", style.SOFT, 0.85)

    drawn = list(samples)[-DRAWN:]
    placed = [sample for sample in drawn if sample.side]
    loose = [sample for sample in drawn if not sample.side]
    taken: dict[tuple[float, float], int] = {}
    lines = sorted(placed, key=lambda s: HEIGHTS.index(s.height or HEIGHTS[1])) + loose
    room = 62.0 if page.bold == 1 else 66.0
    y = 70.0
    for sample in lines:
        if sample in placed:
            x0, y0, x1, y1 = place(SIDES.index(sample.side), HEIGHTS.index(sample.height or HEIGHTS[1]))
            down = step * taken.setdefault((x0, y0), 0)
            taken[x0, y0] += 1
            outline = box(x0, y0 + down, x1, y1 + down)
            page.polygons([outline], _fill(page, sample), style.INK, 2.6)
            page.lines([[(x1, (y0 + y1) / 2 + down), (412, y)]], style.INK, 1.4)
        page.polygons([box(412, y - 9, 430, y + 9)], _fill(page, sample), style.INK, 1.8)
        page.text(440, y, _cut(sample.name) or "no number", bold=True)
        page.text(440, y + 1.3 * page.type, _short(sample), size=0.9)
        y += room
    if not placed:
        spots = [place(*spot) for spot in _SPOTS]
        page.polygons([box(*spot) for spot in spots], "white", style.INK, 2.4, "5 3")
        page.text(440, y + 14, "Dashed: good places\nfor sample boards", size=0.9)
    key = [("over 30 %", style.BLUE), ("20 to 30 %", page.hatch(style.SKY)), ("20 % or less", style.GOLD)]
    page.key(20, foot + 84, [(name, {"fill": fill}) for name, fill in key])
    return page, _sentence(stack, wood, nominal, samples, placed), ""


def _fill(page, sample):
    """White with lines: no moisture known; dark: still wet; hatched: on its way; light: down to 20 %."""
    if sample.mc_pct is None:
        return "white"
    if sample.mc_pct > 30:
        return style.BLUE
    return page.hatch(style.SKY) if sample.mc_pct > 20 else style.GOLD


def _short(sample):
    if sample.mc_pct is None or sample.day is None:
        return sample.says
    told = f"{sample.mc_pct:.0f} %, " if sample.trusted else "wet, "
    where = "" if sample.side else "; where?"
    day = f"{sample.day.day} {sample.day:%b %Y}"
    return f"{told}{'meter, ' if sample.kind == 'meter' else ''}{day}{where}"


def _sentence(stack, wood, nominal, samples, placed):
    said = [f"Stack {stack}, {wood} {nominal}, from its end, with the wind from the left."]
    said += [f"Board {s.name or 'without a number'} ({s.lies}): {s.says}." for s in list(samples)[-DRAWN:]]
    if (more := len(samples) - DRAWN) > 0:
        said.append(f"{more} more, read before these, are not drawn.")
    if not samples:
        said.append(
            "No board of it has been read yet. Put one on the windy side, one in the middle, one in the lee."
        )
    elif not placed:
        said.append(
            "To see where they lie, write windy side, middle or lee side, and top, halfway up or bottom, into the note "
            "of one of their rows."
        )
    return " ".join(said)


def _cut(name):
    name = str(name)
    return name if len(name) <= _NAME else f"{name[: _NAME - 2]}.."
