"""Every picture is true to its sentence, its words can be read, and its series are told apart in gray."""

import re
from datetime import timedelta

import numpy as np
import pandas as pd
import pytest
from contact_sheet import BLIND, PURPOSE, drawings, settings
from PIL import ImageColor
from svg_paint import hard_to_read, luminance
from svg_text import words
from test_panels import MAKERS, every_panel, made

from woodcalc import climate
from woodcalc.dates import day_told
from woodcalc.drying import air_dry
from woodcalc.figures import drying, job, records, style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing
from woodcalc.figures.style import to_svg
from woodcalc.records import choices

pytestmark = pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    """A folder of its own: one panel keeps what is chosen on it."""
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))


def test_every_panel_has_its_purpose():
    assert set(PURPOSE) == set(MAKERS)


@every_panel
def test_words_are_read_on_what_lies_under_them(name):
    """4.5 to 1: WCAG 2.2 (W3C, 2023), 1.4.3, type of ordinary size."""
    bad = {where: found for where, svg, _ in drawings(name) if (found := hard_to_read(svg))}
    assert not bad, bad


def test_words_in_the_color_of_a_line_are_read_on_the_tints():
    for tint in (
        "#ffffff",
        style.PALE,
        "#f8e3b2",
        "#c4e4f7",
    ):  # the last two: GOLD at 0.3 and SKY at 0.35 on white
        for word in style.WORDS.values():
            assert hard_to_read(_sheet(tint, word)) == []


def _sheet(tint, word):
    page = Drawing(1, 1)
    page.polygons([[(0, 0), (100, 0), (100, 100), (0, 100)]], tint, "none")
    page.text(20, 50, "oak", color=word)
    return page.svg()


def _lightness(color):
    """L* of the CIE 1976 color space: CIE 15, Colorimetry; 0 black to 100 white."""
    share = float(luminance(ImageColor.getrgb(color)))
    return 116 * np.cbrt(share) - 16 if share > 216 / 24389 else share * 24389 / 27


def test_the_first_series_differ_in_gray():
    """Nine steps of L*: four times what is just seen side by side (2.3: Mahy and others 1994, from memory)."""
    light = [_lightness(look["color"]) for look in style.SERIES[:4]]
    apart = np.abs(np.subtract.outer(light, light))[np.triu_indices(4, 1)]
    assert apart.min() > 9, light


@pytest.mark.parametrize("eyes", BLIND)
def test_the_first_series_differ_to_color_blind_eyes(eyes):
    """The matrices are made for linear light; what is seen goes about by its cube root, as in CIE 1976."""
    seen = []
    for look in style.SERIES[:4]:
        share = np.array(ImageColor.getrgb(look["color"])) / 255
        linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
        seen.append(np.cbrt(np.clip(np.array(BLIND[eyes]) @ linear, 0, 1)))
    for k, one in enumerate(seen):
        for other in seen[k + 1 :]:
            assert np.abs(one - other).max() > 0.1, eyes


# ---- what a sentence says of a point, and where the picture has it ----


class _Points:
    """What was drawn in frames: (frame, x, y) of marks, of the points of lines, of corners of shapes."""

    def __init__(self, monkeypatch):
        self.marks, self.corners, self.depth = [], [], 0
        for method, x_y in (("mark", self._xy), ("line", self._xy)):
            self._watch(monkeypatch, method, x_y, self.marks)
        for method in ("shapes", "strokes"):
            self._watch(monkeypatch, method, self._outlines, self.corners)

    def _watch(self, monkeypatch, method, points, into):
        plain = getattr(Frame, method)

        def watched(frame, *args, **look):
            into.extend((frame, float(x), float(y)) for x, y in points(args))
            return plain(frame, *args, **look)

        monkeypatch.setattr(Frame, method, watched)

    @staticmethod
    def _xy(args):
        x, y = np.broadcast_arrays(np.atleast_1d(args[0]), np.atleast_1d(args[1]))
        return [(a, b) for a, b in zip(x, y, strict=True) if np.isfinite(a) and np.isfinite(b)]

    @staticmethod
    def _outlines(args):
        return [point for outline in args[0] for point in np.asarray(outline, dtype=float).reshape(-1, 2)]

    def clear(self):
        self.marks.clear()
        self.corners.clear()

    def inside(self):
        """All points that lie within their frame's axes."""
        return [(x, y) for frame, x, y in self.marks + self.corners if _within(frame, x, y)]


def _within(frame, x, y):
    return all(
        min(ends) - 1e-6 * abs(ends[1] - ends[0]) <= v <= max(ends) + 1e-6 * abs(ends[1] - ends[0])
        for v, ends in ((x, frame.xlim), (y, frame.ylim))
    )


def _signed(v):
    return f"{round(v, 2) + 0.0:+.2f}"


def _stacked_day(x, _, setting):
    return drying.day_name(drying.stacked(setting["month"]), x**2)


def _job_day(x, _, setting):
    start = drying_start(setting["month"])
    when = start.replace(month=1, day=1) + timedelta(days=round(x))
    return f"{when.day} {climate.MONTHS[when.month - 1]} {when.year}"


def drying_start(month):
    """The day from which the calendar of the job is drawn."""
    return job.drying.start_date(int(month))


def _recorded_day(x, _, setting):
    return day_told(records.recorded(0, "both", False)[0].start + timedelta(days=round(x)))


# panel: what its sentence says of points, and what is read off a point (x, y) of the picture in the same words
POINTS = {
    "start.choices_panel": [(r"let them rest at ([\d.]+) %", lambda x, y, s: f"{y:.1f}")],
    "logs.weight_panel": [
        (r"weighs about ([\d,]+) lb", lambda x, y, s: f"{x:,.0f}"),
        (r"plan on ([\d,]+) to", lambda x, y, s: f"{x:,.0f}"),
        (r" to ([\d,]+) lb, bark", lambda x, y, s: f"{x:,.0f}"),
    ],
    "sawing.first_cut_panel": [(r"first cut: ([\d.]+) bf", lambda x, y, s: f"{y:.1f}")],
    "shrinkage.board_panel": [(r"wide \(([\d.]+) % less", lambda x, y, s: f"{y:.1f}")],
    "shrinkage.target_panel": [(r"needs ([\d.]+) in when green", lambda x, y, s: f"{x:.3f}")],
    "shrinkage.block_panel": [(r"block measures ([\d.]+) in", lambda x, y, s: f"{x:.3f}")],
    "moisture.board_panel": [(r"board weighs ([\d.]+) lb", lambda x, y, s: f"{y:.1f}")],
    "moisture.oven_panel": [(r" wet and ([\d.]+) g", lambda x, y, s: f"{y:.{len(_decimals(s))}f}")],
    "moisture.sample_panel": [
        (r"is at ([\d.]+) %", lambda x, y, s: f"{x:.1f}"),
        (r"weigh ([\d.]+) lb at 20 %", lambda x, y, s: f"{y:.2f}" if x == 20 else ""),
    ],
    "air.emc_panel": [(r"comes to rest at ([\d.]+) %", lambda x, y, s: f"{y:.1f}")],
    "air.year_panel": [
        (r"(?:between|and) ([\d.]+ % in \w+)", lambda x, y, s: f"{y:.1f} % in {climate.MONTHS[round(x) - 1]}")
    ],
    "air.shed_today_panel": [(r"lets wood rest at ([\d.]+) %", lambda x, y, s: f"{y:.1f}")],
    "air.shed_block_panel": [(r"block weighs ([\d.]+) oz", lambda x, y, s: f"{y:.2f}")],
    "drying.curve_panel": [(r"20 % on (.+?) \(likely", _stacked_day)],
    "drying.my_stack_panel": [(r"20 % on (.+?) \(likely", _stacked_day)],
    "drying.starts_panel": [
        (
            r"stacked in (\w+ (?:it takes )?\d+)",
            lambda x, y, s: (
                f"{drying.month_name(round(x))} {y - climate.MID_MONTHS[round(x) - 1]:.0f}"
                if 1 <= round(x) <= 12
                else ""
            ),
        )
    ],
    "drying.side_by_side_panel": [(r"takes (\d+) days", lambda x, y, s: f"{x:.0f}")],
    "drying.stack_to_save_panel": [(r"boards lose ([\d.]+) points", lambda x, y, s: f"{y:.2f}")],
    "records.learning_panel": [(r"likely (\d+ \w+ \d+)", _recorded_day)],
    "records.worth_panel": [
        (r"(?:open by|leave|readings) (\d+)(?: days|\.)", lambda x, y, s: f"{y:.0f}"),
    ],
    "kiln.three_ways_panel": [(r"8 % after (\d+) days", lambda x, y, s: f"{x:.0f}")],
    "kiln.house_panel": [(r"8 % after (\d+) days", lambda x, y, s: f"{x:.0f}" if y == 8 else "")],
    "kiln.solar_weeks_panel": [(r"8 % after (\d+) days", lambda x, y, s: f"{x:.0f}" if y == 8 else "")],
    "kiln.dehumidifier_panel": [(r"8 % after (\d+) days", lambda x, y, s: f"{x:.0f}" if y == 8 else "")],
    "kiln.solar_day_panel": [(r"kiln reaches (\d+) F", lambda x, y, s: f"{y:.0f}")],
    "movement.year_panel": [
        (
            r"(?:narrowest|widest) in (\w+ \([-+][\d.]+)",
            lambda x, y, s: f"{climate.MONTHS[(round(x) - 1) % 12]} ({_signed(y)}",
        )
    ],
    "movement.gauge_panel": [(r"is ([\d.]+) in wide", lambda x, y, s: f"{x:.2f}")],
    "plan.calendar_panel": [(r"after \d+ days \((\d+ \w+ \d+)\), most likely", _job_day)],
    "stack.spacing_panel": [
        (r"board bends ([\d.]+) in with stickers in line", lambda x, y, s: f"{10**y:.4f}" if y < 9 else ""),
        (r", ([\d.]+) in with every", lambda x, y, s: f"{10**y:.3f}" if y < 9 else ""),
    ],
}
# The picture says so in words where a point lies beyond its axes
BEYOND = ("later than shown", "later", "later, or never")


def _decimals(setting):
    return f"{setting['division_g']:g}".partition(".")[2]


@pytest.mark.parametrize("name", POINTS)
def test_a_point_stands_where_the_sentence_says(name, monkeypatch):
    """As it starts and at two corners, read off what was drawn, inside its axes.

    A number of a sentence that is no point (a setting, a sum, a price) is in no pattern of `POINTS`.
    """
    panel, seen, found = made(name), _Points(monkeypatch), 0
    for where, setting in settings(panel, name).items():
        seen.clear()
        page, sentence, *_ = panel.draw(**setting)
        said = {w.text for w in words(to_svg(page))}
        for pattern, read_off in POINTS[name]:
            for match in re.finditer(pattern, sentence):
                told = match.group(1).replace("it takes ", "")
                shown = {read_off(x, y, setting) for x, y in seen.inside()}
                found += told in shown
                assert told in shown or any(w.endswith(BEYOND) for w in said), (where, told, sentence)
    assert found, "no point was told: the pattern is out of date"


@pytest.mark.parametrize("draw", [drying.own_curve, records.own_stack])
def test_no_date_is_marked_where_readings_contradict_the_forecast(draw):
    before = air_dry("eastern white pine", "4/4", "Phoenix, AZ", "2025-06-15")
    readings = pd.DataFrame(
        {"date": [pd.Timestamp("2026-01-05")], "mc_pct": [55.0], "kind": ["weight"], "board": ["1"]}
    )
    for table, dated in ((readings.head(0), True), (readings, False)):
        page, sentence, _ = draw("A", before, table)
        assert ("no date is told" in sentence) != dated
        assert any(re.fullmatch(r"\d+ [A-Z][a-z][a-z]( \d+)?", w.text) for w in words(page.svg())) == dated


# Marks that stand outside their axes on purpose, in a margin that is theirs
IN_THE_MARGIN: set[str] = set()


@every_panel
def test_marks_stand_inside_their_axes(name, monkeypatch):
    panel, seen = made(name), _Points(monkeypatch)
    marked = []
    plain = Frame.mark

    def mark(frame, x, y, *args, **look):
        marked.extend((frame, a, b) for a, b in _Points._xy((x, y)))
        return plain(frame, x, y, *args, **look)

    monkeypatch.setattr(Frame, "mark", mark)
    for where, setting in settings(panel, name).items():
        marked.clear()
        seen.clear()
        try:
            panel.draw(**setting)
        except ValueError:
            continue  # said in words
        outside = [(round(x, 3), round(y, 3)) for frame, x, y in marked if not _within(frame, x, y)]
        assert not outside or name in IN_THE_MARGIN, (where, outside[:5])
