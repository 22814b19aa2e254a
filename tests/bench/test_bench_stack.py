"""How long a pile takes to work out, and its pictures to draw."""

import pytest

from woodcalc import stack
from woodcalc.figures import movement as rooms
from woodcalc.figures import stack as piles
from woodcalc.figures import style

PLACES = stack.sticker_places_in(146, 24)
ROWS = stack.shifted_places_in(PLACES, 12, 12, 146)


def test_shape_of_twelve_layers(benchmark):
    benchmark(lambda: stack.pile_shape(1.0, ROWS, 146, step_in=6))


def test_plan_of_sixty_boards(benchmark):
    benchmark(lambda: stack.plan_stack([(60, "4/4", 8, 12)], "northern red oak"))


@pytest.mark.parametrize(
    "draw",
    [
        lambda: piles.side_view(1.0, 7, 12, 12, "every"),
        lambda: piles.spacing_chart("northern red oak", 1.0, 24, 2.0),
        lambda: piles.end_view("northern red oak", 1.0, 60, 48, 0),
        lambda: piles.plumb_line(40.0, 6.5),
        lambda: rooms.one_log("northern red oak", 8),
        lambda: rooms.top_year("Madison, WI", "black cherry", "flat-sawn", 36, 30),
        lambda: rooms.panel_in_groove("Madison, WI", "white oak", "flat-sawn", 14, 7),
        lambda: rooms.gauge_board(5, 6.0, 12.0, 8),
    ],
    ids=["side view", "spacing", "end view", "plumb line", "one log", "year", "groove", "gauge"],
)
def test_picture(benchmark, draw):
    benchmark(lambda: style.to_svg(draw()[0]))
