"""A big log around a cant off all four faces: steady at every pass, its boards the most that its rules allow."""

import os
from dataclasses import replace
from functools import cache
from math import inf

import numpy as np
import pytest
from test_sawyer import SET_IN, check, random_mill

from woodcalc import records
from woodcalc.figures.settings_sheet import printed
from woodcalc.logs import Log, logs_of
from woodcalc.sawing import rules, saw, saw_tally
from woodcalc.sawing.four_sided import BIG_IN, STEADY
from woodcalc.sawing.mill import Mill
from woodcalc.sawing.settings_sheet import as_printed_in, set_ups, stages

LOGS = int(os.environ.get("WOODCALC_SAWYER_LOGS", "40"))  # 200 takes a minute or two


def big_log(rng):
    small = float(rng.integers(36, 64)) / 2
    return Log(
        small_in=small,
        large_in=small + float(rng.integers(0, 13)) / 2,
        length_ft=float(rng.integers(4, 9)) * 2,
        species=str(rng.choice(["", "northern red oak"])),
        sweep_in=float(rng.choice([0, 0, 0, 1, 2])),
        oval_ratio=float(rng.choice([1, 1, 1.05, 1.12])),
    )


def taller(plan):
    """The set-ups of a cant that stand over the rule: on a sawn face its narrowest, on the round side between two."""
    found = []
    for s, stage in ((s, stages(plan)[s.cuts.index[0]]) for s in set_ups(plan)):
        if not s.cant:
            continue
        x1, x2, y1, y2 = stage.before
        held = s.foot_in if not s.round_side else y2 - y1 if stage.up[0] else x2 - x1
        if s.tall_in > STEADY * held + 0.02:  # the scale's sixteenth under the center
            found.append((s.number, s.tall_in, held))
    return found


def test_no_cant_of_a_big_log_stands_taller_than_the_rule_and_each_sheet_is_sawn_to_the_letter():
    """Random big logs, bowed, oval and flared, on random mills; half of them with three boards a side."""
    rng, four, boards, none = np.random.default_rng(8), 0, 0, 0
    for n in range(LOGS):
        log, mill = big_log(rng), random_mill(rng)
        names = [name for name in rules.USUAL if n % 2 or name != "few_a_side"]
        plan = rules.sawn_by(log, mill.kerf_in, {"4/4": SET_IN}, names, drop_step_in=mill.step_in)
        assert bool(taller(plan)) == plan.too_tall, (log, mill)
        if plan.too_tall:  # flared, bowed and oval at once: no cant as wide as the rule asks for is in it
            none += 1
            assert not plan.cant_wide_in and not plan.given_up_bf
            page = printed(plan, "", mill)
            assert "No passes are printed" in page and '<div class="set-up' not in page
            continue
        off, _, troubles = check(log, plan, mill)
        assert not troubles, (log, mill, troubles)
        boards, four = boards + len(off), four + bool(plan.cant_wide_in)
    assert none <= LOGS / 20 and four > 0.6 * LOGS and boards > 20 * LOGS / 3, (four, boards)


def test_the_two_big_logs_of_kettle_hollow_are_sawn_off_four_faces_and_the_others_off_two():
    for log in logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv")):
        plan = rules.sawn_by(log, 1 / 8, {"4/4": SET_IN})
        assert bool(plan.cant_wide_in) == (log.small_in >= BIG_IN)
        if not plan.cant_wide_in:
            assert not plan.given_up_bf
            continue
        assert not taller(plan)
        assert [(s.face_up, s.turn) for s in set_ups(plan)] == [
            (1, ""), (3, "half turn"), (2, "quarter turn"), (4, "half turn"),
            (3, "quarter turn"),
        ]  # fmt: skip
        without = [r for r in rules.USUAL if r != "few_a_side"]
        (told,) = (c for c in rules.costs(log, 1 / 8, {"4/4": SET_IN}) if c.rule.name == "few_a_side")
        assert (told.board_feet, told.turns) == (0, 0)  # a lone fourth board goes with the three
        assert len(set_ups(rules.sawn_by(log, 1 / 8, {"4/4": SET_IN}, without))) == 5
        two = rules.sawn_by(log, 1 / 8, {"4/4": SET_IN}, [r for r in rules.USUAL if r != "steady_cant"])
        assert taller(two) and plan.given_up_bf == pytest.approx(two.board_feet - plan.board_feet)
        inside = [b for b in plan.cut_boards if b.height_in < plan.cant_in and not b.turned][-9:]
        assert {b.width_in for b in inside} == {plan.cant_wide_in}


@pytest.mark.parametrize("kerf", [1 / 8, 0.1, 1 / 16])
def test_on_the_scale_of_a_mill_no_board_of_the_beam_is_thin_or_thick(kerf):
    for log in (Log(20, 22, 12), Log(26, 29, 12), Log(22, 23, 10, sweep_in=1)):
        plan = saw(log, kerf, {"4/4": SET_IN}, drop_step_in=1 / 16)
        assert plan.cant_wide_in
        made = as_printed_in(plan).values()
        assert SET_IN - 1e-9 <= min(made) and max(made) <= SET_IN + 1 / 16 + 1e-9


def every_sequence(log, kerf, thick, tall, wide):
    """Most board feet off four faces of a straight round log down to a beam, by every sequence of saw lines tried."""
    small, large, long = log.small_in / 2, log.large_end_in / 2, log.length_ft

    def board(outer, cap):
        most = 0.0
        for length in np.arange(long, 3.9, -2):
            r = large - (large - small) * length / long
            room = 2 * np.sqrt(max(r * r - outer * outer, 0.0))
            width = cap if room >= cap - 1e-9 else min(np.floor(room * 2 + 1e-9) / 2, cap)
            if width >= 4 - 1e-9:
                most = max(most, width * length / 12)
        return most

    def outward(start, cap):
        @cache
        def best(line):
            if line >= large:
                return 0.0
            return max((board(line + kerf + t, cap) * counted + best(round(line + kerf + t, 6))
                        for t, counted in thick if board(line + kerf + t, cap)), default=0.0)  # fmt: skip

        return best(start)

    @cache
    def fills(left):
        if abs(left + kerf) < 1e-6:
            return 0.0
        return max((wide * long / 12 * counted + fills(round(left - t - kerf, 6))
                    for t, counted in thick if left - t > -1e-6), default=-inf)  # fmt: skip

    first = np.floor(tall * 8 + 1e-9) / 16  # both on sixteenths
    uneven = tall - 2 * first
    cap = tall if uneven < 1e-9 else tall - 1e-9
    off_two = 2 * outward(wide / 2, cap)
    return outward(first, inf) + outward(tall - first, inf) + off_two + fills(tall)


@pytest.mark.parametrize(
    ("log", "thick"),
    [(Log(18, 19, 8), [(1.0625, 1.0)]), (Log(20.5, 24, 12), [(1.0625, 1.0)]),
     (Log(19, 20, 8), [(1.125, 1.0), (2.125, 2.0)])],
)  # fmt: skip
def test_no_other_sequence_of_saw_lines_around_the_same_beam_gives_more(log, thick):
    sizes = {f"{int(4 * counted)}/4": t for t, counted in thick}
    plan = saw(log, 1 / 8, sizes)
    assert plan.cant_wide_in
    best = every_sequence(log, 1 / 8, tuple(thick), plan.cant_in, plan.cant_wide_in)
    assert plan.board_feet == pytest.approx(best)


def test_wanted_boards_and_a_timber_come_out_of_the_beam():
    log = Log(22, 24, 12)
    plan = saw(log, 1 / 8, {"4/4": 1.0625}, wanted=[(2, 2.0, 8, 12)])
    assert sum(b.wanted for b in plan.cut_boards) == 2 and sum(plan.shares.values()) == pytest.approx(
        1, abs=1e-9
    )
    plan = saw(log, 1 / 8, {"4/4": 1.0625, "8x8": 8.0}, value_per_bf={"4/4": 1.0, "8x8": 3.0})
    assert not taller(plan) or not plan.cant_wide_in
    page = printed(plan)
    assert "the pith lies at its face" not in page


def test_a_cant_off_two_faces_is_had_by_asking_for_it():
    log = Log(26, 29, 12)
    assert saw(log, 1 / 8, [1.0625]).cant_wide_in
    for asked in ({"cant_in": 13}, {"steady_cant": False}, {"least_cant_in": 4}, {"most_cant_in": 8}):
        assert not saw(log, 1 / 8, [1.0625], **asked).cant_wide_in
    held = saw(log, 1 / 8, [1.0625], most_cant_in=13.5)
    assert held.cant_wide_in == 13.5


def test_the_sheet_says_what_the_four_faces_cost_and_that_the_beam_may_be_kept():
    log = Log(22, 24, 12, species="white oak")
    plan = saw(log, 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16)
    page = printed(plan, "", Mill())
    costs = f"{plan.given_up_bf:.0f} bf" if plan.given_up_bf >= 0.5 else "no board feet"
    assert f"Beside a cant off two faces that gives up {costs}." in page
    assert "never more than 1-1/2 times as tall" in page and "Or keep the beam whole" in page
    assert "off two faces" not in printed(saw(Log(14, 15, 12), 1 / 8, {"4/4": 1.0625}))


def test_a_log_too_flared_for_whole_faces_is_turned_over_at_its_middle():
    plan = saw(Log(19, 25, 12), 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16)
    assert not plan.cant_wide_in and plan.given_up_bf and not taller(plan)
    assert "turned over at its middle" in printed(plan)


def test_no_sheet_is_printed_where_no_cant_keeps_the_rule_and_the_ways_that_are_told_have_theirs():
    """19 to 25 in, bowed and oval: the widest cant in it is narrower than the rule asks for."""
    log = Log(19, 25, 12, sweep_in=2, oval_ratio=1.12)
    settings = {"drop_step_in": 1 / 16}
    plan = saw(log, 1 / 8, {"4/4": 1.0625}, **settings)
    assert plan.too_tall and taller(plan)
    page = printed(plan)
    assert "Not for a standing cant." in page and "through and through, or cut it in two" in page
    assert "No passes are printed" in page and '<div class="set-up' not in page
    assert saw_tally([log], 1 / 8, {"4/4": 1.0625}, **settings).logs["note"][0]

    flat = saw(log, 1 / 8, {"4/4": 1.0625}, "through-and-through", **settings)
    assert '<div class="set-up' in printed(flat) and not [s for s in set_ups(flat) if s.cant]
    middle = (log.small_in + log.large_end_in) / 2
    for small, large in ((log.small_in, middle), (middle, log.large_end_in)):
        half = replace(log, small_in=small, large_in=large, length_ft=6, sweep_in=log.sweep_in / 4)
        cut = saw(half, 1 / 8, {"4/4": 1.0625}, **settings)
        assert not cut.too_tall and not taller(cut)
