"""A sawyer follows each printed sheet to the letter: bark on, blocks, stops and the limits of a mill."""

import os
import re
from dataclasses import replace

import numpy as np
import pytest
from test_settings_sheet import BOARD, UP, inches, words
from test_settings_sheet import Mill as Wood

from woodcalc import records
from woodcalc.checks import InputError
from woodcalc.figures.settings_sheet import printed
from woodcalc.logs import BARK_SHARE, Log, logs_of
from woodcalc.sawing import TooThin, rules, saw
from woodcalc.sawing.limits import limits
from woodcalc.sawing.mill import Mill, kerf_of_stack_in
from woodcalc.sizes import sixteenths

SET_IN = 1.0625  # what boards are to be, green
TALLEST_STOP_IN = 16.0  # as the sheet has it
SIZE = r"(\d+(?:-\d+/\d+)?|\d+/\d+)"
LOGS = int(os.environ.get("WOODCALC_SAWYER_LOGS", "40"))  # 200 takes a minute or two


def random_mill(rng):
    pick = lambda *values: values[int(rng.integers(len(values)))]  # noqa: E731
    return Mill(
        kerf_in=pick(1 / 16, 0.09, 0.1, 1 / 8),
        step_in=pick(1 / 16, 1 / 16, 1 / 8, 1 / 4),
        lowest_in=pick(0, 1, 1.5, 2.5),
        widest_in=pick(0, 0, 17, 22),
        throat_in=pick(0, 0, 3),
        largest_in=pick(0, 0, 22, 28),
        longest_ft=pick(0, 13),
        turner=pick("cant hook", "winch", "mill's turner"),
        leveler=pick("wedges or blocks", "toe board"),
        edger=bool(rng.integers(2)),
    )


def random_log(rng):
    small = float(rng.integers(14, 50)) / 2
    return Log(
        small_in=small,
        large_in=small + float(rng.integers(0, 11)) / 2,
        length_ft=float(rng.integers(3, 9)) * 2,
        species=str(rng.choice(["", "northern red oak", "eastern white pine"])),
        label=str(rng.integers(99)),
        sweep_in=float(rng.choice([0, 0, 0.5, 1, 2])),
        oval_ratio=float(rng.choice([1, 1, 1.05, 1.12])),
    )


class Sawyer:
    """Somebody with the page alone, a log with bark, and a mill."""

    moved = 0.0  # the most that heights had to be raised or lowered by hand

    def __init__(self, log, page, mill, bark_in):
        self.log, self.page, self.mill, self.bark = log, page, mill, bark_in
        self.wood = Wood(log)
        self.set_to = SET_IN
        self.boards, self.troubles = {}, []

    def wrong(self, what, *how):
        self.troubles.append((what, *how))

    def lies(self, up, end):
        """How far (in) the center of an end stands over what the wood rests on there, bark and all."""
        round_side = (-up[0], -up[1]) not in self.wood.flats
        return -self.wood.lowest(up, end) + self.bark * round_side

    def cut_width(self, up, under):
        """From the leftmost to the rightmost wood, bark in, that the blade meets."""
        left, right = [], []
        for r, (x, y) in zip(self.wood.r, np.stack([self.wood.bow, 0 * self.wood.bow], -1), strict=True):
            a, b = (r + self.bark) * self.wood.axes if up[1] else ((r + self.bark) * self.wood.axes)[::-1]
            off, middle = under - (up[0] * x + up[1] * y), (x if up[1] else y)
            if abs(off) < b:
                half = a * np.sqrt(1 - (off / b) ** 2)
                left.append(middle - half), right.append(middle + half)
        if not left:
            return 0.0
        sides = [
            (way[0] + way[1]) * at
            for way, at in self.wood.flats.items()
            if way[0] * up[0] + way[1] * up[1] == 0
        ]
        low = max([min(left), *(s for s in sides if s < 0)])
        high = min([max(right), *(s for s in sides if s > 0)])
        return high - low

    def saw(self):
        for part in self.page.split('<div class="set-up')[1:]:
            self.set_up(part)
        return self

    def set_up(self, part):
        told = words(part.split("<table")[0])
        face = int(re.search(r"face (\d) up", told)[1])
        up, down = UP[face], UP[(face + 1) % 4 + 1]
        center = inches(re.search(rf"[Cc]enter of the log at {SIZE} in over the bed at both ends", told)[1])
        block = re.search(rf"(?:Blocks|Toe board): {SIZE} in (?:under|up under) the small end", told)
        block = inches(block[1]) if block else 0.0
        out = re.search(rf"(?:Take the blocks out|Let the toe board down) before the pass at {SIZE} in", told)
        stops = re.search(rf"no higher than {SIZE} in( at the last pass)?\.", told)
        stop_before = re.search(rf"Stop before the pass at {SIZE} in", told)
        # the small end up by the block, the large end on the bed: how high the center really stands
        stands = self.lies(up, -1)
        moved = stands - center  # "raise or lower every height of that set-up by the difference"
        if abs(self.lies(up, 0) + block - stands) > 3 / 32 and block:  # both rounded
            self.wrong("not level", self.lies(up, 0) + block, stands)
        if "sawn face on the bed" in told:
            if abs(moved) > 0.25:
                self.wrong("center of a flat", moved)
            moved = 0.0  # heights stay as printed
            stands = center
        self.moved = max(self.moved, abs(moved))
        rows = [re.findall(r"<td[^>]*>(.*?)</td>", row, re.S) for row in part.split("<tr>")[2:]]
        for r in rows:
            if not r[1]:
                continue
            blade, takes = inches(words(r[1]).strip()), words(r[-1]).strip()
            down_to = words(r[2]).strip()
            if down_to != ("up" if blade >= 0.5 + TALLEST_STOP_IN else sixteenths(blade - 0.5)):
                self.wrong("stops of a pass", blade, down_to)
            if stop_before and blade <= inches(stop_before[1]):
                self.wrong("a pass below the stop", blade)
            at = blade + moved
            high = TALLEST_STOP_IN if not stops else inches(stops[1]) + moved
            iron = min(TALLEST_STOP_IN, at - 0.5) if not stops or stops[2] else high
            if at - iron < 0.5 - 1e-6:
                self.wrong("stops", at, iron)
            blocked = 0.0 if out and blade <= inches(out[1]) else block
            if blocked and at - blocked < 0.5 - 1e-6:
                self.wrong("blocks", at, blocked)
            if blade < self.mill.lowest_in - 1e-6:
                self.wrong("under the lowest safe cut", blade)
            under = at - stands
            wide = self.cut_width(up, under)
            if self.mill.widest_in and wide > self.mill.widest_in + 1e-6:
                self.wrong("wider than the guides", wide)
            self.come_off(takes, up, down, under)
            self.wood.flats[up] = under

    def come_off(self, takes, up, down, under):
        """Lay each board that a row names into the wood, and see what is wrong with it."""
        off = 0
        for number, width, length, stays, start in re.findall(BOARD, takes):
            off += not stays
            width, length = inches(width), float(length)
            top = under if stays else self.wood.flats[up]
            foot = -self.wood.flats[down] if stays else under + self.mill.kerf_in
            across = np.array([-width / 2, width / 2])
            along = sorted((sum(up) * foot, sum(up) * top))
            box = (across, along) if up[1] else (along, across)
            sides = [at for way, at in self.wood.flats.items() if way[0] * up[0] + way[1] * up[1] == 0]
            if sides and width > sum(sides) + 1 / 8:
                self.wrong("wider than the cant", number)
            if top - foot < self.set_to - 1e-6:
                self.wrong("thin", number, top - foot)
            if (away := self.wood.holds(box, length, start, edged=bool(up[1]))) > 1 / 32:
                self.wrong("wane", number, away)
            self.boards[int(number)] = top - foot
        if off > 1:
            self.wrong("two loose boards over one blade", takes)


def check(log, plan, mill, bark_share=BARK_SHARE):
    """Follow one sheet; return (boards off, what stopped it before the first pass, what went wrong)."""
    bark = log.large_end_in / 2 * (np.sqrt(1 + bark_share) - 1)
    page = printed(plan, "", mill)
    assert sum(plan.shares.values()) == pytest.approx(1, abs=1e-9)
    barred = [limit.what for limit in limits(plan, mill, 0.0) if limit.stops]
    said = words(page)
    assert bool(barred) == ("No passes are printed" in said) == ('<div class="set-up' not in page)
    assert all(limit.says in said for limit in limits(plan, mill, 0.0))
    sawyer = Sawyer(log, page, mill, bark).saw()
    return sawyer.boards, barred, sawyer.troubles


@pytest.mark.parametrize(
    ("mill", "but"),
    [(Mill(), ""), (Mill(kerf_in=0.1, lowest_in=1.5, leveler="toe board"), "few_a_side")],
)
def test_each_sheet_of_kettle_hollow_sawn_to_the_letter(mill, but):
    made = 0
    for log in logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv")):
        plan = rules.sawn_by(log, mill.kerf_in, {"4/4": SET_IN}, [r for r in rules.USUAL if r != but])
        boards, barred, troubles = check(log, plan, mill)
        assert not barred and not troubles, (log.label, troubles)
        made += len(boards)
        below = len(plan.cut_boards) - len(boards)
        assert below == 0 if mill.lowest_in < 1 else 1 <= below <= 4
    assert made > 250


def test_random_logs_on_random_mills_sawn_to_the_letter():
    """No wane, no board under its set size, no blade near iron, nothing beyond the mill."""
    rng, count = np.random.default_rng(15), {"boards": 0, "barred": 0, "thin": 0, "sawn": 0}
    for _ in range(LOGS):
        log, mill = random_log(rng), random_mill(rng)
        names = [r.name for r in rules.RULES if r.name == "steady" or rng.integers(2)]
        try:
            plan = rules.sawn_by(log, mill.kerf_in, {"4/4": SET_IN}, names, drop_step_in=mill.step_in)
        except TooThin:
            count["thin"] += 1
            continue
        boards, barred, troubles = check(log, plan, mill)
        assert not troubles, (log, mill, troubles)
        count["boards"] += len(boards)
        count["barred"] += bool(barred)
        count["sawn"] += bool(boards)
    assert count["sawn"] > LOGS / 3 and count["barred"] > LOGS / 20, count


def test_a_bowed_log_sawn_through_with_its_bow_up_is_sawn_to_the_letter():
    rng, sawn = np.random.default_rng(3), 0
    for _ in range(LOGS):
        log, mill = replace(random_log(rng), sweep_in=float(rng.choice([1, 2, 3]))), random_mill(rng)
        way = {"bow_up": True, "drop_step_in": mill.step_in}
        try:
            plan = saw(log, mill.kerf_in, {"4/4": SET_IN}, "through-and-through", **way)
        except TooThin:
            continue
        boards, _, troubles = check(log, plan, mill)
        assert not troubles, (log, mill, troubles)
        assert not boards or "Face 2 goes up before the first pass." in printed(plan, "", mill)
        sawn += bool(boards)
    assert sawn > LOGS / 4


def test_a_sheet_without_its_blocks_or_its_stops_is_found_out():
    """The sawyer of these tests sees what a wrong page would do."""
    log, mill = Log(16, 19, 12), Mill()
    plan = rules.sawn_by(log, mill.kerf_in, {"4/4": SET_IN})
    page = printed(plan, "", mill)

    def wrong(changed):
        assert changed != page
        return {trouble[0] for trouble in Sawyer(log, changed, mill, 0.5).saw().troubles}

    assert not Sawyer(log, page, mill, 0.5).saw().troubles
    assert "not level" in wrong(page.replace("Blocks: 1-1/2 in", "Blocks: 1/2 in"))
    first = re.search(r"<td><b>([\d/-]+)</b></td>", page.split("Set-up 2 of 4")[-1])[1]
    assert "stops" in wrong(
        re.sub(r"Stops no higher than [\d/-]+ in", "Stops no higher than 15-3/4 in", page)
    )
    assert wrong(page.replace(f"<b>{first}</b>", f"<b>{int(first.split('-')[0]) - 1}</b>")) & {"thin", "wane"}


@pytest.mark.parametrize(
    ("has", "what"),
    [
        ({"largest_in": 18}, "largest log"),
        ({"longest_ft": 12}, "longest log"),
        ({"widest_in": 10}, "widest cut"),
        ({"throat_in": 1}, "throat"),
        ({"turner": "cant hook"}, "turner"),
        ({"lowest_in": 2}, "lowest safe cut"),
    ],
)
def test_what_a_mill_cannot_hold_or_cut_is_said_before_the_first_pass(has, what):
    log = Log(18, 20.5, 12, species="northern red oak")
    plan = rules.sawn_by(log, 1 / 8, {"4/4": SET_IN})
    assert not limits(plan, Mill())
    found = limits(plan, Mill(**has), 0.0)  # as the page below, of a peeled log
    assert [limit.what for limit in found] == [what]
    page = words(printed(plan, "", Mill(**has)))
    assert page.index(found[0].says) < page.index("Use a metal detector")
    roomy = Mill(largest_in=24, longest_ft=13, widest_in=24, throat_in=4, lowest_in=1)
    assert not limits(plan, roomy) and "Not on your mill" not in words(printed(plan, "", roomy))


def test_the_kerf_from_a_stack_and_a_mill_that_cannot_be():
    assert kerf_of_stack_in(9.5, 8.7, 8) == pytest.approx(0.1)
    for call, says in [
        (lambda: kerf_of_stack_in(8.7, 9.5, 8), "one pass too few"),
        (lambda: Mill(step_in=0.1), "sixteenths"),
        (lambda: Mill(turner="mule"), "expected one of cant hook"),
        (lambda: Mill(largest_in=2), "Largest log"),
        (lambda: Mill.of("wide"), "names and values"),
    ]:
        with pytest.raises(InputError, match=says):
            call()
    assert Mill.of({"kerf_in": 0.1, "lowest_in": 2, "color": "red"}) == Mill(kerf_in=0.1, lowest_in=2)


@pytest.mark.parametrize("bark_in", [0.25, 0.75, 1.5])
def test_a_sheet_for_a_log_with_its_bark_on_needs_no_height_moved(bark_in):
    for log in logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv"))[::4]:
        plan = rules.sawn_by(log, 1 / 8, {"4/4": SET_IN})
        bare, barked = printed(plan), printed(plan, bark_in=bark_in)
        peeled, on = Sawyer(log, bare, Mill(), bark_in).saw(), Sawyer(log, barked, Mill(), bark_in).saw()
        assert peeled.moved == pytest.approx(bark_in, abs=1 / 16) and on.moved < 1 / 16
        assert not peeled.troubles and not on.troubles and peeled.boards == pytest.approx(on.boards)
        assert f"with {sixteenths(bark_in)} in of bark left on" in words(
            barked
        ) and "Peel the log" not in words(barked)
        assert "without bark" in words(bare)
