"""Quarter-sawn boards by ripping at the pith: what the sheet names is followed, and looked at by its rings."""

import re

import numpy as np
import pytest
from test_sawyer import LOGS, SET_IN, check, random_log, random_mill
from test_settings_sheet import inches, words

from woodcalc.figures.settings_sheet import printed
from woodcalc.logs import Log
from woodcalc.sawing import TooThin, saw
from woodcalc.sawing.ripped import quartered_bf, rips

KERF_IN = 1 / 8


def to_rip(page):
    """Which boards a page says to rip, and how far from the pith: {board: in}."""
    told = re.search(r"rip out the pith, boards by number: (.*?) of the pith", words(page))
    return {
        int(n): inches(aside)
        for numbers, aside in re.findall(r"([\d, ]+): ([\d/-]+) in to each side", told[1] if told else "")
        for n in numbers.split(",")
    }


def ring_angle_deg(along, away):
    """Mean angle between rings and a face, by a thousand points along it."""
    return float(np.degrees(np.arctan2(np.abs(along), abs(away))).mean())


@pytest.mark.parametrize("small", [16, 19.5, 26])
def test_what_is_left_beside_the_pith_is_quarter_sawn_and_all_of_the_board_is_told(small):
    plan = saw(Log(small, length_ft=12), KERF_IN, {"4/4": SET_IN}, "through-and-through", drop_step_in=1 / 16)
    found = {r.board: r for r in rips(plan)}
    assert to_rip(printed(plan)) == {n: r.aside_in for n, r in found.items()} and len(found) >= 3
    quarter = given_up = 0.0
    for n, rip in found.items():
        b = plan.cut_boards[n - 1]
        away = (b.y1 + b.y2) / 2
        kept = 0.0
        for side, (end, width) in zip((-1, 1), zip((b.x1, b.x2), rip.widths_in, strict=True), strict=True):
            assert rip.aside_in >= 1 and rip.aside_in + width <= abs(end) + 1e-9  # no wane: inside its board
            along = side * np.linspace(rip.aside_in, rip.aside_in + width, 1000)
            assert ring_angle_deg(along, away) > 60 and width >= 4
            kept += width
        strip = 2 * (rip.aside_in - KERF_IN)
        edges = abs(b.x1) + abs(b.x2) - 2 * rip.aside_in - kept
        assert kept + strip + 2 * KERF_IN + edges == pytest.approx(b.width_in, abs=1e-9) and 0 <= edges < 1
        assert kept >= 2 / 3 * b.width_in
        quarter += kept * b.length_ft / 12
        given_up += (b.width_in - kept) * b.length_ft / 12
    rows = plan.boards
    rest = rows[(rows["grain"] == "quarter") & ~rows["board"].isin(found) & ~rows["has_pith"]]
    assert quartered_bf(plan) == pytest.approx(
        (plan.board_feet - given_up, quarter + rest["board_feet"].sum(), given_up)
    )


def test_no_cant_and_no_small_log_is_ripped():
    assert not rips(saw(Log(22, length_ft=12), KERF_IN, {"4/4": SET_IN}))
    assert not rips(saw(Log(9, length_ft=12), KERF_IN, {"4/4": SET_IN}, "through-and-through"))
    assert "rip out the pith" not in words(printed(saw(Log(22, length_ft=12), KERF_IN, {"4/4": SET_IN})))


def test_a_log_with_a_bow_keeps_farther_from_its_pith():
    for sweep in (0, 1, 3):
        plan = saw(Log(22, 24, 12, sweep_in=sweep), KERF_IN, {"4/4": SET_IN}, "through-and-through")
        for rip in rips(plan):
            b = plan.cut_boards[rip.board - 1]
            assert rip.aside_in >= 1 + plan.pith_beside_in(b)[1] - 1e-9


def test_random_logs_through_and_through_sawn_to_the_letter():
    rng, sawn = np.random.default_rng(60), 0
    for _ in range(max(LOGS // 2, 12)):
        log, mill = random_log(rng), random_mill(rng)
        try:
            plan = saw(log, mill.kerf_in, {"4/4": SET_IN}, "through-and-through", drop_step_in=mill.step_in)
        except TooThin:
            continue
        boards, _, troubles = check(log, plan, mill)
        assert not troubles, (log, mill, troubles)
        sawn += bool(boards)
        if boards:
            assert set(to_rip(printed(plan, "", mill))) <= set(boards)
    assert sawn >= 5
