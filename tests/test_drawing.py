"""The page and the charts on it, against matplotlib's font metrics and plain geometry."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextToPath
from svg_text import off_page, words, written_over

from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing

numbers = st.floats(-1000, 1000, allow_nan=False).map(lambda v: round(v, 3))


@pytest.mark.parametrize("bold, within", [(False, 0.015), (True, 0.04)])
@pytest.mark.parametrize(
    "said",
    ["eastern white pine", "Moisture (% MC)", "8 % after 31 days", "1-1/16 in", "WWW", "Log from the side"],
)
def test_width_of_words_is_that_of_the_font(said, bold, within):
    """matplotlib's metrics of DejaVu Sans; a bold letter is taken as 1.13 times a plain one."""
    font = FontProperties(family="DejaVu Sans", size=100, weight="bold" if bold else "normal")
    printed, *_ = TextToPath().get_text_width_height_descent(said, font, ismath=False)
    page = Drawing()
    assert page.width(said, bold=bold) / page.type * 100 == pytest.approx(printed, rel=within, abs=12)


def test_words_go_through_xml_unhurt():
    page = Drawing()
    page.text(100, 100, 'sapwood < 2 in & "clear"')
    assert [w.text for w in words(page.svg())] == ['sapwood < 2 in & "clear"']


def test_clipped_and_overwritten_words_are_found():
    page = Drawing(8.0, 4.8)
    page.text(100, 100, "cant")
    page.text(130, 104, "flitch")
    page.text(790, 300, "sticker")
    page.text(20, 200, "a long name reads upward beyond the foot", turn=90)
    assert written_over(page.svg()) == [("cant", "flitch")]
    assert off_page(page.svg()) == ["sticker", "a long name reads upward beyond the foot"]


@given(numbers, numbers, st.integers(2, 12))
def test_ticks_are_round_even_and_not_too_many(a, b, most):
    if abs(a - b) < 0.01:
        return
    marks = ticks(a, b, most)
    assert len(marks) <= most and (marks >= min(a, b) - 1e-6).all() and (marks <= max(a, b) + 1e-6).all()
    if len(marks) > 1:
        step = np.diff(marks)
        assert np.allclose(step, step[0])
        digits = f"{step[0]:.6e}".split("e")[0]
        assert float(digits) in (1, 2, 2.5, 5)


@given(st.tuples(numbers, numbers).filter(lambda v: abs(v[0] - v[1]) > 0.01))
def test_a_frame_maps_its_corners_to_its_box(xlim):
    frame = Frame(Drawing(), (80, 40, 600, 300), xlim, (0, 7))
    assert np.allclose(frame.at([(xlim[0], 0), (xlim[1], 7)]), [(80, 340), (680, 40)], atol=1e-6)


def test_to_scale_draws_a_circle_round():
    frame = Frame.to_scale(Drawing(), (0, 0, 800, 300), (-10, 10), (-6, 6))
    across, up = np.ptp(frame.circle(5), axis=0)
    assert across == pytest.approx(up) == pytest.approx(250)


@given(st.lists(st.floats(0, 1), min_size=1, max_size=6))
def test_labels_at_line_ends_never_touch(heights):
    page = Drawing()
    chart = Frame(page, (80, 100, 500, 280), (0, 1), (0, 1))
    chart.end_labels(1, [(y, f"series {n}", style.INK) for n, y in enumerate(heights)])
    assert written_over(page.svg()) == []


def test_a_line_keeps_within_its_chart():
    page = Drawing()
    chart = Frame(page, (80, 40, 500, 380), (0, 10), (0, 1))
    chart.line([0, 5, 10], [0.5, 3, np.nan], 1)
    paths = [e.attrib for e in ET.fromstring(page.svg()).iter("{http://www.w3.org/2000/svg}path")]
    line = next(p for p in paths if p.get("stroke") == style.ORANGE)
    assert (
        line["clip-path"] == "url(#c1)" and line["d"].count(" ") == 2
    )  # the point without a height is left out
    # The point at 3 is above the chart: one marker only.
    assert [p["d"].count("M") for p in paths if p.get("fill") == style.ORANGE] == [1]


def test_the_same_drawing_twice_is_the_same_text():
    def draw():
        page = Drawing()
        chart = Frame(page, (80, 40, 500, 380), (0, 10), (0, 1))
        chart.axes(ticks(0, 10), ticks(0, 1), "Time (days)", "Share (1)", "Twice")
        chart.fill(np.arange(11), 0, np.linspace(0, 2, 11), page.hatch(style.GOLD))
        return style.to_svg(page)

    assert draw() == draw()
