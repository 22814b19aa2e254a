"""The settings sheet: a log sawn by what the printed page says, no sheet for a quartered log, the page for the mill."""

import base64
import html
import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from woodcalc import moisture, records, sizes
from woodcalc.checks import InputError
from woodcalc.figures import plan as pages
from woodcalc.figures.as_it_lies import as_it_lies
from woodcalc.figures.settings_sheet import MILLS, page_of, printed, sheet_walk
from woodcalc.lesson import plan as desks
from woodcalc.lesson import sawing as panels
from woodcalc.logs import Log, bark_left_in, logs_of
from woodcalc.plan import job, make_plan
from woodcalc.sawing import PATTERNS, saw, saw_tally, settings_sheet
from woodcalc.sawing.best import SCALE_IN, AllDefect
from woodcalc.sawing.mill import Mill as MyMill
from woodcalc.sawing.rules import sawn_by

ROOT = Path(__file__).parents[1]
FREE = {"least_slab_in": 0}  # a flat may stop short of the small end then, or be narrow
TWO_FACES = {**FREE, "steady_cant": False}  # of a big log: a cant that stands tall on that
UP = {1: (0, 1), 2: (1, 0), 3: (0, -1), 4: (-1, 0)}  # faces clockwise, seen from the small end


def inches(text):
    return float(sum(Fraction(part) for part in text.split("-")))


def words(page):
    """The text of a page, tags off."""
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", re.sub(r"</?span[^>]*>", "", page))))


def read(page):
    """What somebody at the mill reads on a printed sheet: [(face up, center, small block, [(blade, comes off)])]."""
    size = r"(\d+(?:-\d+/\d+)?|\d+/\d+)"
    out = []
    for part in page.split('<div class="set-up')[1:]:
        head = words(part.split("<table")[0])
        face = int(re.search(r"face (\d) up", head)[1])
        center = inches(re.search(rf"[Cc]enter of the log at {size} in over the bed at both ends", head)[1])
        block = re.search(rf"Blocks: {size} in under the small end, none under the large end", head)
        assert block or "No blocks." in head or "no shims" in head
        rows = [re.findall(r"<td[^>]*>(.*?)</td>", row, re.S) for row in part.split("<tr>")[2:]]
        passes = [(inches(words(r[1]).strip()), words(r[-1]).strip()) for r in rows]
        out.append((face, center, inches(block[1]) if block else 0.0, passes))
    return out


# number, width, length, whether it stays on the bed, what it starts off the small end if it stops short of both ends
BOARD = (
    r"\b(\d+): (?:\S+ x )?([\d/-]+) in x ([\d.]+) ft( stays on the bed)?(?: \(([\d.]+) ft off the small end)?"
)


class Mill:
    """A bowed, tapered, oval log sawn by a printed sheet alone: its surface as points, cuts as planes.

    Lengths run from the small end (0) to the large end (1); x and y from the line between the centers of the ends.
    """

    def __init__(self, log):
        long = np.sqrt(log.oval_ratio)
        self.log, self.flats = log, {}
        self.z = np.linspace(0, 1, 41)
        self.r = (log.small_in + (log.large_end_in - log.small_in) * self.z) / 2
        self.bow = log.sweep_in * 4 * self.z * (1 - self.z)  # toward face 2, as the sheet says
        self.axes = np.array([long, 1 / long])
        turn = np.radians(np.arange(0, 360, 1))
        ring = np.column_stack([np.cos(turn), np.sin(turn)]) * self.axes
        self.points = self.r[:, None, None] * ring + np.stack([self.bow, 0 * self.bow], -1)[:, None]

    def lowest(self, up, end=None):
        """Lowest wood along `up`, anywhere or at one end: the round outside, or a sawn face where one is."""
        points = self.points if end is None else self.points[end]
        low = (points @ np.array(up)).min()
        return max(low, -self.flats.get((-up[0], -up[1]), np.inf))

    def holds(self, box, length_ft, start_ft="", edged=False):
        """How far (in) a board of this box leaves the wood at its worst: 0 or less if it does not.

        It is flush with the large end unless it is told where it starts; one that is `edged` is edged where it fits
        best, with a straightedge.
        """
        start = float(start_ft) if start_ft else self.log.length_ft - length_ft
        z = self.z * self.log.length_ft
        here = (z >= start - 1e-9) & (z <= start + length_ft + 1e-9)
        corners = np.array([(x, y) for x in box[0] for y in box[1]])
        moved = np.linspace(0, self.log.sweep_in, 65 if edged and self.log.sweep_in else 1)
        middle = np.stack([self.bow[here] - moved[:, None], np.zeros((len(moved), here.sum()))], -1)
        out = np.hypot(*np.moveaxis((corners - middle[:, :, None]) / self.axes, -1, 0)) - self.r[here, None]
        return out.max((1, 2)).min()


def follow(plan):
    """Saw by the printed sheet; return for each board (number, how much too thick, how far it leaves the wood)."""
    mill, found = Mill(plan.log), []
    for face, center, block, passes in read(printed(plan)):
        up, down = UP[face], UP[(face + 1) % 4 + 1]
        # it rests on the bed or on the block, with the center of both ends as high as the sheet says
        assert center + mill.lowest(up, 0) == pytest.approx(block, abs=1 / 16)
        assert -1 / 32 <= center + mill.lowest(up, -1) < 3 / 32
        assert center + mill.lowest(up) > -1 / 16  # no part of it is under the bed
        for blade, comes in passes:
            under = blade - center  # along `up`, from the line between the centers of the ends
            for text in comes.split("; "):
                if board := re.search(BOARD, text):
                    stays = "stays" in text
                    top = under if stays else mill.flats[up]
                    foot = -mill.flats[down] if stays else under + plan.kerf_in
                    number, width, length = int(board[1]), inches(board[2]), float(board[3])
                    across = np.array([-width / 2, width / 2])
                    along = sorted((sum(up) * foot, sum(up) * top))
                    box = (across, along) if up[1] else (along, across)
                    sides = [at for way, at in mill.flats.items() if way[0] * up[0] + way[1] * up[1] == 0]
                    assert not sides or width <= sum(sides) + 1 / 8  # no wider than the cant
                    b = plan.cut_boards[number - 1]
                    thick = b.x2 - b.x1 if b.turned else b.y2 - b.y1
                    holds = mill.holds(box, length, board[5], edged=bool(up[1]))
                    found.append((number, top - foot - thick, holds))
            mill.flats[up] = under
    return found


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_a_log_sawn_by_the_printed_sheet_gives_the_boards_that_it_promises(pattern):
    """Blocks, center and heights against a bowed, oval, tapered log as points and planes; 40 logs.

    Center and blade are read to 1/16 in, so a face may lie 1/32 in off by each of the two.
    """
    rng = np.random.default_rng(11)
    boards = 0
    for _ in range(20):
        log = Log(
            small_in=float(rng.uniform(9, 24)), length_ft=float(rng.integers(4, 9) * 2),
            taper_in_per_ft=float(rng.uniform(0, 0.3)), oval_ratio=float(rng.choice([1, 1.15])),
            sweep_in=float(rng.choice([0, 0.5, 1.5, 2.0])), label="7",
        )  # fmt: skip
        kerf = float(rng.choice([1 / 16, 0.1, 1 / 4]))
        plan = saw(log, kerf, [1.125], pattern)
        assert ("the hump (the outside of the bow) toward face 2" in printed(plan)) == bool(log.sweep_in)
        found = follow(plan)
        said = words(printed(plan))
        assert [n for n, *_ in found] == list(range(1, len(found) + 1))
        assert f"{len(found)} boards, " in said
        assert (len(found) < len(plan.cut_boards)) == ("leave one thick piece. Without" in said)
        for number, thicker, out in found:
            assert abs(thicker) <= 1 / 16 + 1e-6, (log, number)
            assert out <= 1 / 16 + 1e-6, (log, number)  # no wane on any board
        boards += len(found)
    assert boards > 200


def test_there_is_no_sheet_for_a_quartered_log_however_it_is_asked_for():
    plan = saw(Log(small_in=18, length_ft=12), 1 / 16, {"4/4": 1.0625}, "quartered")
    assert not settings_sheet.has_sheet(plan)
    for ask in (settings_sheet.sheet, settings_sheet.stages, settings_sheet.set_ups):
        with pytest.raises(InputError, match="no safe settings sheet for a quartered log"):
            ask(plan)
    with pytest.raises(InputError, match="rip the middle boards at the pith"):
        sheet_walk(1, "quartered", 14, 0.0625, next(iter(MILLS)))
    with pytest.raises(InputError, match="no safe settings sheet"):
        _ = saw_tally([plan.log], 1 / 16, [1.0625], "quartered").sheets
    page = printed(plan, "look for wire")
    assert words(page).strip() == settings_sheet.NO_SHEET and "<t" not in page


def test_the_passes_of_a_quartered_log_are_data_and_say_that_they_are_not_for_the_mill():
    cuts = saw(Log(small_in=18, length_ft=12), 1 / 16, {"4/4": 1.0625}, "quartered").cuts
    assert sorted(set(cuts["board_below"]) - {0}) == list(range(1, len(cuts) - 1))
    assert (cuts[["turn", "blade", "drop"]] == "").all(axis=None) and (cuts["face_up"] == 0).all()
    assert cuts[["blade_in", "drop_in", "turn_deg"]].isna().all(axis=None)
    assert cuts["takes"].str.startswith("not for the mill").all()


def test_the_panel_of_lesson_3_offers_no_quartered_sheet():
    offered = [value for _, value in panels.sheet_panel().dials["pattern"].options]
    assert offered == ["through-and-through", "cant"]


@pytest.fixture(scope="module")
def quartered():
    return make_plan(start="2026-05-15", pattern="quartered")


def test_a_quartered_plan_says_why_it_has_no_settings(quartered, tmp_path):
    assert quartered.settings == {} and quartered.step("saw").table["boards"].iloc[-1] > 0
    assert settings_sheet.NO_SHEET in quartered.step("saw").notes
    page = pages.write_mill(quartered, tmp_path / "mill.html").read_text(encoding="utf-8")
    assert page.count(settings_sheet.NO_SHEET) == 1
    assert "<table" not in page and not re.search(r"\d in\b|blade at", words(page.split("<body>")[1]), re.I)
    tables = {p.stem: pd.read_csv(p) for p in quartered.to_csv(tmp_path)}
    assert list(tables["plan-mill-settings"]) == ["log", "note", "use"]
    assert set(tables["plan-mill-settings"]["use"]) == {settings_sheet.NO_SHEET}
    assert tables["plan-boards"]["height_in"].isna().all()


def test_the_table_of_settings_says_that_it_is_not_the_sheet_and_holds_the_note(mill, tmp_path):
    plan, _ = mill
    table = {p.stem: p for p in plan.to_csv(tmp_path)}["plan-mill-settings"]
    rows = pd.read_csv(table, dtype={"log": str}, keep_default_na=False)
    told = "use only with mill.html: center, blocks, stops and the note stand there"
    assert rows["use"].str.startswith(told).all()
    for log, cut in plan.sawings.items():  # no pass below a stop, and it is said where to stop
        mine, stop = rows[rows["log"] == log], settings_sheet.stop_pass(settings_sheet.set_ups(cut))
        assert len(mine) == (stop - 1 if stop else len(cut.cuts))
        assert set(mine["use"]) == {
            told + (f"; stop after pass {stop - 1}: leave one thick piece" if stop else "")
        }
    notes = plan.tally.set_index("log")["note"]
    assert rows["note"].tolist() == [notes[log] for log in rows["log"]] and rows["note"].any()
    assert rows["blade_in"].astype(float).gt(0).all()


def test_the_table_of_settings_ends_where_the_sheet_says_to_stop():
    cut = saw(Log(24.5, 30.5, 14, label="1"), 1 / 16, {"4/4": 1.0625}, "cant", **TWO_FACES)
    stop = settings_sheet.stop_pass(settings_sheet.set_ups(cut))
    rows = settings_sheet.kept_passes(cut)
    assert stop and rows["pass"].max() == stop - 1
    assert job.use_of_settings(cut, len(rows)).endswith(f"stop after pass {stop - 1}: leave one thick piece")


def test_the_desk_says_that_a_quartered_log_has_no_settings(quartered, tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    monkeypatch.setattr(desks.planning, "make_plan", lambda *_, **__: quartered)
    desk = desks.plan_desk(str(tmp_path / "mine"), start="2026-05-15")
    desk.write()
    assert "mill.html that says why a quartered log has no settings" in desk.said


@pytest.fixture(scope="module")
def mill():
    plan = make_plan(start="2026-05-15")
    from woodcalc.figures.plan import mill_pages

    return plan, mill_pages(plan)


def test_each_log_has_a_page_that_stands_by_itself(mill):
    """Log, wood, ends, length, note, kerf, board, center, blocks, stops: on every page, as each may hang alone."""
    plan, page = mill
    sheets = page.split('<section class="mill-sheet">')[1:]
    tally = records.read(records.KETTLE_HOLLOW / "logs.csv").set_index("log")
    set_to = plan.step("target").table.set_index("species")["set_in"]
    assert len(sheets) == len(tally) == len(plan.settings)
    for text, (log, row) in zip(sheets, tally.iterrows(), strict=True):
        said = words(text)
        assert f"Log {log}, {row['species']}" in said
        ends = [sizes.sixteenths(row[name]) for name in ("small_in", "large_in")]
        made = plan.sawings[log].boards[
            "thickness_in"
        ]  # a kerf of 1/8 in on a scale in sixteenths: never thinner
        assert 0 <= made.min() - set_to[row["species"]] < 1 / 16
        board = settings_sheet.both_ways(made.iloc[0])
        assert f"{ends[0]} in {ends[1]} in {row['length_ft']:g} ft {board}, 4/4" in said
        assert "1/8 in (0.125 in)" in said  # the kerf, as a fraction and as a decimal
        assert ("From the tally: " + row["note"] in said) if row["note"] else "From the tally" not in said
        assert "Use a metal detector before the log goes on the mill, and again after every slab." in said
        assert ("Metal breaks a blade" in said) == ("wire" in row["note"])
        assert ("hump (the outside of the bow) toward face 2" in said) == (row["sweep_in"] > 0)
        bark = round(bark_left_in(plan.sawings[log].log) * 16) / 16
        assert f"Heights are for a log with {sizes.sixteenths(bark)} in of bark left on" in said
        assert "Stops and clamps at least 1/2 in below the blade; drop the stops for the last passes." in said
        turns = settings_sheet.with_bark(settings_sheet.set_ups(plan.sawings[log]), bark)
        cuts = pd.concat([s.cuts[s.cuts["blade_in"] > s.stop_in] for s in turns])
        low, high = (sizes.sixteenths(cuts["blade_in"].agg(how)) for how in ("min", "max"))
        assert ("bow included" in said) == (row["sweep_in"] > 0)
        if not row["sweep_in"]:
            assert f"a log of {ends[1]} in and its bark" in said
        assert f"the blade from {low} to {high} in" in said
        found = read(text)
        assert [n for _, _, _, passes in found for n, _ in passes] == cuts["blade_in"].tolist()
        # a round log on the bed: the center is half the large end high, and the blocks are half the difference
        center, block = found[0][1:3]
        assert row["large_in"] / 2 <= center - bark < row["large_in"] / 2 + 1 / 16
        assert block == pytest.approx((row["large_in"] - row["small_in"]) / 2, abs=1 / 16)


def test_stops_stay_half_an_inch_under_the_lowest_pass(mill):
    """Said where a stop can be that high: up to 16 in (common practice)."""
    silent = 0
    for sheet in mill[1].split('<section class="mill-sheet">')[1:]:
        for part in sheet.split('<div class="set-up')[1:]:
            said = re.search(r"no higher than (\S+) in( at the last pass)?\.", words(part.split("<table")[0]))
            blades = [inches(b) for b in re.findall(r"<td><b>(.*?)</b></td>", part)]
            silent += said is None
            if said is None:
                assert min(blades) - 0.5 >= 16
                continue
            assert inches(said[1]) == min(blades) - 0.5 < 16
            assert bool(said[2]) or inches(said[1]) > max(blades) / 4
    big = saw(Log(small_in=29, length_ft=8), 0.1, {"4/4": 1.0625}, "cant")
    assert "no higher than" not in parts(big)[0][0] and "no higher than" in parts(big)[-2][0]
    assert "Stops and clamps at least 1/2 in below the blade" in words(printed(big))


class Weight:
    """A tapered, bowed, round log as 25 x 61 x 61 points: where the weight of what is left of it lies."""

    def __init__(self, log):
        self.long = (np.arange(25) + 0.5) / 25
        r = (log.small_in + (log.large_end_in - log.small_in) * self.long) / 2
        cell = np.linspace(-1, 1, 61) * r.max()
        z, x, y = np.meshgrid(self.long, cell, cell, indexing="ij")
        inside = x**2 + y**2 < np.repeat(r, 61 * 61).reshape(z.shape) ** 2
        self.r, self.length_ft = r, log.length_ft
        self.z = z[inside]
        self.points = np.column_stack([x[inside] + 4 * log.sweep_in * self.z * (1 - self.z), y[inside]])
        self.bow = 4 * log.sweep_in * self.long * (1 - self.long)

    def saw(self, up, under):
        left = self.points @ np.array(up) < under
        self.z, self.points = self.z[left], self.points[left]

    def flat(self, up, center):
        """From where to where (share of the length) the side that lies on the bed is flat."""
        low = self.bow * up[0] - self.r
        flat = self.long[low < -center - 0.01]
        return (flat[0], flat[-1]) if len(flat) else (1.0, 1.0)


def test_after_each_instruction_the_weight_lies_over_what_the_wood_stands_on():
    """Tapered logs as points: whenever blocks must be out, the weight is a quarter of the length inside the flat.

    A point stands for a 25th of the length, so the margin may be short by one of them.
    """
    rng, said_of = np.random.default_rng(5), {"out": 0, "stop": 0}
    short = [Log(small, small + more, 8) for small, more in ((12, 8), (14, 6), (23, 6), (26, 5), (26, 8))]
    for n in range(45):
        small = float(rng.integers(20, 60) / 2)
        log = Log(
            small_in=small, large_in=small + float(rng.integers(4, 13) / 2), length_ft=float(rng.integers(4, 9) * 2),
            sweep_in=float(rng.choice([0, 0, 1])),
        )  # fmt: skip
        log = short[n] if n < len(short) else log
        pattern = str(rng.choice(settings_sheet.WITH_SHEET))
        board = dict([(("4/4", 1.0625), ("8/4", 2.125))[int(rng.integers(2))]])
        kerf = float(rng.choice([1 / 16, 0.1]))
        if log in short:
            pattern, board, kerf = "cant", {"4/4": 1.0625}, 1 / 8
        free = TWO_FACES if pattern == "cant" and (log in short or rng.integers(2)) else {}
        page = printed(saw(log, kerf, board, pattern, **free))
        wood = Weight(log)
        for part, (face, center, block, passes) in zip(
            page.split('<div class="set-up')[1:], read(page), strict=True
        ):
            up, told = UP[face], words(part.split("<table")[0])
            out = re.search(r"Take the blocks out before the pass at (\S+) in\.", told)
            stop = re.search(r"Stop before the pass at (\S+) in: leave one thick piece", told)
            said_of["out"] += bool(out)
            said_of["stop"] += bool(stop)
            assert not stop or all(blade > inches(stop[1]) for blade, _ in passes)
            start, end = wood.flat(up, center)
            for blade, _ in passes:
                free = bool(out) and blade <= inches(out[1])
                assert free or blade >= block + 0.5  # the blade stays clear of the blocks
                for cut in (False, True):
                    if cut:
                        wood.saw(up, blade - center)
                    if free:
                        at = wood.z.mean()
                        assert at - start >= 0.25 - 0.04, (log, pattern, blade)
                        assert end > 0.95 or end - at >= 0.25 - 0.04
    assert said_of["out"] > 3 and said_of["stop"] > 1, said_of


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_no_side_clamp_bears_where_a_round_side_leans_out_over_it(pattern):
    """Half an inch under the blade the small end's outline is never 30 degrees or more from upright, leaning out."""
    for small, large, oval in ((9, 11, 1), (16, 17, 1.2), (13, 16, 1), (26, 29, 1.1)):
        log = Log(small_in=small, large_in=large, length_ft=10, oval_ratio=oval)
        for board in (1.0625, 2.125):
            page = printed(saw(log, 0.1, {"x": board}, pattern))
            for at, (_, center, _, passes) in enumerate(read(page)):
                if pattern == "cant" and at > 1:
                    continue  # between two sawn faces
                half = small / 2 / np.sqrt(oval)
                for blade, _ in passes:
                    under = max(center - (blade - 0.5), 0.0)
                    assert under < half and np.degrees(np.arcsin(under / half)) < 30, (log, blade)


def test_what_is_left_below_is_weighed_at_the_last_passes():
    """A thick piece as strips of a straight log from the bed to the blade, in red oak."""
    log = Log(small_in=16, large_in=17, length_ft=10, species="northern red oak")
    plan = saw(log, 0.1, {"4/4": 1.0625}, "through-and-through")
    page = words(printed(plan))
    _, center, _, passes = read(printed(plan))[-1]
    lb = moisture.weight_range_lb_per_ft3(log.species)[1] * log.lifted_ft3 / log.volume_ft3
    left = []
    for blade, _ in passes:
        at = np.linspace(-center, blade - center, 401)
        wide = [
            np.trapezoid(2 * np.sqrt(np.maximum(r * r - at * at, 0)), at) for r in np.linspace(8, 8.5, 41)
        ]
        left.append(np.mean(wide) / 144 * 10 * lb)
    told = re.search(r"If you stop early, what is left may weigh up to (\d+) lb: too heavy", page)
    assert int(told[1]) == pytest.approx(left[-5], rel=0.02)  # center to 1/16 in
    assert "stop early" not in words(printed(saw(Log(small_in=16, length_ft=10), 0.1, {"4/4": 1.0625})))


def test_a_tall_cant_is_warned_of_before_its_blocks_and_leans_on_the_stops_first():
    plan = saw(Log(small_in=16, large_in=18.5, length_ft=12), 0.1, {"4/4": 1.0625}, "cant")
    said = parts(plan)[2][0]
    leaning = (
        "Stops up, the cant leaning against them and held, then lift the end, push the block in with a stick, "
        "clamp tight."
    )
    held = "Hold it with the turner or a winch until it is clamped: clamp it before you let go of it."
    order = ("The cant stands", held, "don't reach half way up", "Blocks: ", leaning)
    at = [said.index(text) for text in order]
    assert at == sorted(at)


def test_the_side_at_the_mill_says_once_what_holds_for_each_set_up_and_each_foot_what_a_later_page_would_lack():
    plan = saw(Log(small_in=16, large_in=18.5, length_ft=12, label="4"), 0.1, {"4/4": 1.0625}, "cant")
    for note, says in (
        ("second log.", "second log. Chalk 1-2-3-4"),
        ("wire", "Metal likely: look again after every slab."),
    ):
        side = words(printed(plan, note).split('<div class="at-mill">')[1].split('<div class="steps">')[0])
        assert says in side and "16 in small end, 18-1/2 in large, 12 ft. Boards 1-1/16 in (4/4)." in side
        assert "Kerf about 3/32 in." in side and "Heights are without bark." in side
        assert "Stops and clamps 1/2 in below the blade, engine off before you reach in." in side
        foot = "Log 4. Kerf about 3/32 in, boards 1-1/16 in" + ". Metal likely" * (note == "wire")
        assert f'@bottom-left {{ content: "{foot}"' in page_of(plan, note)


def test_a_bent_flat_is_as_wide_as_its_wood():
    """A flat c from the center of a round log is 2 sqrt(r^2 - c^2) wide at each end, whatever the bow beside it."""
    log = Log(small_in=12, large_in=14, length_ft=10, sweep_in=3, species="eastern white pine")
    for board in (1.0625, 2.125, 3.25):
        s = settings_sheet.set_ups(saw(log, 0.1, {"x": board}, "through-and-through"))[1]
        ends = [2 * np.sqrt(r * r - s.center_in**2) for r in (6, 7)]
        assert (s.foot_in, s.wide_foot_in) == pytest.approx(ends) and s.foot_in > 5


def test_a_sprung_face_is_not_clamped_straight_and_no_thin_block_is_asked_for():
    for large in (16, 16.1, 16.2, 17):
        plan = saw(Log(small_in=16, large_in=large, length_ft=12), 0.1, {"4/4": 1.0625}, "cant")
        for said, s in parts(plan):
            assert ("If it rocks or shows daylight, it has sprung: do as the other side says." in said) == (
                not s.round_side
            )
            assert ("Blocks: " in said) == (s.small_block_in > 0)
            assert not s.round_side or (s.small_block_in > 0) == (large > 16.1)
            assert s.small_block_in == 0 or s.small_block_in >= 1 / 8


def test_a_sprung_face_is_mended_step_by_step_and_what_moves_is_wedged():
    page = words(printed(saw(Log(small_in=16, length_ft=12), 0.1, {"4/4": 1.0625}, "cant")))
    order = (
        "Don't clamp it straight.",
        "Shim it and hold it, and skim the top.",
        "Turn onto that, skim the bowed face, and turn back.",
        "Heights stay; the center is lower by what you skimmed.",
        "If a piece moves: stop feeding, shut the blade off, wait till it stands still, then wedge it.",
    )
    at = [page.index(text) for text in order]
    assert at == sorted(at) and "don't stop the blade" not in page


def test_a_face_sprung_in_the_middle_is_mended_to_boards_as_thick_as_printed():
    """A flat that rests on its ends, the middle up by 3/8 in: what is skimmed comes off the wood, and off no board."""
    plan = saw(Log(small_in=16, length_ft=12), 1 / 8, {"4/4": 1.0625}, "cant")
    last = settings_sheet.set_ups(plan)[-1]
    heights, kerf = last.cuts["blade_in"].tolist(), plan.kerf_in
    z = np.linspace(0, 1, 101)
    bowed = -last.center_in + 0.375 * 4 * z * (1 - z)  # the sprung face, from the center
    new_bed = np.full_like(z, bowed.max())  # skimmed flat from a flat top: its highest place is the new face
    center_in = -new_bed[0]
    assert last.center_in - center_in == pytest.approx(0.375)  # lower by what was skimmed
    tops = np.array(heights)[:, None] + new_bed  # heights stay
    thick = tops[:-1] - tops[1:] - kerf
    assert np.allclose(thick, 1.0625) and np.allclose(tops[-1] - new_bed, heights[-1])


def test_wood_that_would_tip_is_told_from_wood_that_could():
    """The weight of the points that are left, against where the flat begins; worst of the passes not printed."""
    told = set()
    for small in (24.5, 20, 22, 26):
        for more in (2, 4, 6):
            log = Log(small_in=small, large_in=small + more, length_ft=14)
            plan, wood = saw(log, 1 / 16, {"4/4": 1.0625}, "cant", **TWO_FACES), Weight(log)
            page = printed(plan)
            for part, (face, center, _, passes) in zip(
                page.split('<div class="set-up')[1:], read(page), strict=True
            ):
                said = words(part.split("<table")[0])
                for blade, _ in passes:
                    wood.saw(UP[face], blade - center)
                if stop := re.search(
                    r"Stop before the pass at (\S+) in: .* Without its blocks it (\w+) tip", said
                ):
                    begins, at = wood.flat(UP[face], center)[0], [wood.z.mean()]
                    for blade in plan.cuts["blade_in"][len(read(page)[0][3]) + len(passes) :]:
                        wood.saw(UP[face], blade - center)
                        at.append(wood.z.mean())
                    inside = (min(at) - begins) * log.length_ft
                    assert abs(inside) < 0.6 or (stop[2] == "could") == (inside > 0), (
                        log
                    )  # a point is 14/25 ft
                    assert ("small end if pushed." in said) == (stop[2] == "could")
                    told.add(stop[2])
    assert told == {"would", "could"}


@pytest.mark.parametrize(
    ("lesson", "told"),
    [
        ("01-measure-the-log", "Two people can hold 102 lb at the end of a 60 in handle"),
        (
            "02-open-the-log",
            "turn that flat onto the bed: the widest that the log has",
        ),
    ],
)
def test_the_lessons_say_what_a_hook_and_a_side_clamp_cannot_hold(lesson, told):
    cells = json.loads((ROOT / "lessons" / f"{lesson}.ipynb").read_text(encoding="utf-8"))["cells"]
    care = next(t for c in cells if "## Take care" in (t := "".join(c["source"])))
    assert told in " ".join(care.split())


def test_a_sheet_that_stops_prints_no_pass_below_and_names_what_is_left():
    plan = saw(
        Log(small_in=24.5, large_in=30.5, length_ft=14, species="white oak"),
        1 / 16,
        {"4/4": 1.0625},
        "cant",
        **TWO_FACES,
    )
    page = printed(plan)
    said = parts(plan)[-1][0]
    assert "Stop before the pass at 2-3/16 in: leave one thick piece. Without its blocks it would tip" in said
    assert "Take the blocks out" not in page
    blades = [blade for blade, _ in read(page)[-1][3]]
    assert (
        min(blades) > 2.1875 and f"Stops no higher than {sizes.sixteenths(min(blades) - 0.5)} in" not in said
    )
    assert f"no higher than {sizes.sixteenths(min(blades) - 0.5)} in at the last pass" in said
    assert f"the blade from {sizes.sixteenths(min(blades))} to" in words(page)
    left = re.search(r"Stop here. The thick piece that is left may weigh (\d+) lb: too heavy", words(page))
    assert (
        f"Heaviest piece of this log to lift: the thick piece that is left, which may weigh {left[1]} lb"
        in words(page)
    )
    mill, pounds = Mill(plan.log), moisture.weight_range_lb_per_ft3("white oak")[1]
    center = read(page)[-1][1]
    at = np.linspace(-center, min(blades) - center, 401)
    wide = [
        np.trapezoid(2 * np.minimum(np.sqrt(np.maximum(r * r - at * at, 0)), plan.cant_in / 2), at)
        for r in mill.r
    ]
    lifted = pounds * plan.log.lifted_ft3 / plan.log.volume_ft3
    assert int(left[1]) == pytest.approx(np.trapezoid(wide, mill.z) / 144 * 14 * lifted, rel=0.02)


def test_the_heaviest_piece_to_lift_may_be_a_slab():
    log = Log(small_in=16, large_in=17.5, length_ft=12, species="eastern white pine")
    page = words(printed(saw(log, 0.1, {"4/4": 1.0625}, "cant", least_slab_in=3)))
    told = re.search(
        r"Heaviest piece of this log to lift: the slab of pass (\d+), which may weigh (\d+) lb", page
    )
    rows = re.findall(r"☐ (\d+) \S+ \S+ (\d+) lb: \w+ slab", page)
    assert max(rows, key=lambda row: int(row[1])) == told.groups()
    assert int(told[2]) > max(int(n) for n in re.findall(r"(\d+) lb: \w+ \d+: ", page))


def test_the_sheet_says_what_a_mill_must_hold_and_how_a_piece_leaves_it():
    plan = saw(Log(small_in=26, large_in=29, length_ft=10), 0.1, {"4/4": 1.0625}, "cant", steady_cant=False)
    above = words(printed(plan).split('<div class="set-up')[0])
    tall = max(s.tall_in for s in settings_sheet.set_ups(plan)[2:])
    reach = inches(
        re.search(r"If your stops and clamps don't reach (\S+) in, saw this log through", above)[1]
    )
    assert tall / 2 <= reach < tall / 2 + 1 / 16
    assert "<b>Stop the blade. Lift off the slab or board. Bring the head back raised.</b>" in printed(plan)
    side = words(
        printed(plan, "look for wire").split('<div class="at-mill">')[1].split('<div class="set-up')[0]
    )
    assert "Metal likely: look again after every slab. look for wire" in side


def test_wood_that_stands_tall_on_a_narrow_foot_is_said_to_tip(mill):
    plan, page = mill
    straight = {log: cut for log, cut in plan.sawings.items() if not cut.log.sweep_in}
    for log, cut in straight.items():
        text = (
            page.split(f"<h2>Log {log}, {cut.log.species}, at the mill")[1]
            .split("Set-up 3")[1]
            .split("<table")[0]
        )
        turns = settings_sheet.with_bark(settings_sheet.set_ups(cut), bark_left_in(cut.log))
        tall = sizes.sixteenths(turns[2].tall_in)
        assert f"The cant stands {tall} in tall on its round side" in words(text)
        assert "in a line: it can tip or roll. Hold it with the turner or a winch" in words(text), log


def parts(plan, note=""):
    """What is printed over the passes of each set-up, and the set-up."""
    found = [words(p.split("<table")[0]) for p in printed(plan, note).split('<div class="set-up')[1:]]
    return list(zip(found, settings_sheet.set_ups(plan), strict=True))


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_wood_on_a_sawn_face_is_never_shimmed_nor_its_heights_moved(pattern):
    plan = saw(Log(small_in=26, large_in=27.25, length_ft=10), 0.1, {"4/4": 1.0625}, pattern)
    above = words(printed(plan).split('<div class="set-up')[0])
    assert "Round side on the bed: the center decides, not the blocks. Shim until" in above
    assert above.count("raise or lower every height") == 1 and above.count("Shim until") == 1
    assert "If you moved the heights, the stop limit moves with them." in above
    for said, s in parts(plan):
        flat = "no shims, heights stay as printed" in said
        assert flat == ("more than 1/4 in off: stop and measure" in said) == (not s.round_side)
        assert not re.search("shim until|raise or lower", said, re.I)


def test_a_log_that_stands_tall_on_the_narrow_end_of_its_flat_is_said_to_tip():
    """The flat of a straight tapered log is a chord at each end: 2 sqrt(r^2 - c^2); cants taller than the square."""
    tall = 0
    for small in (9, 13, 19, 25):
        for taper in (0.5, 1, 2, 3):
            for share in (0.7, 0.8, 0.9):
                log = Log(small_in=small, large_in=small + taper * 3, length_ft=12)
                plan = saw(log, 0.1, {"4/4": 1.0625}, "cant", cant_in=share * small, least_slab_in=0)
                said, s = parts(plan)[1]
                ends = [2 * np.sqrt(max(d * d / 4 - s.center_in**2, 0)) for d in (small, log.large_end_in)]
                assert (s.foot_in, s.wide_foot_in) == pytest.approx(ends)
                tips = s.center_in + log.large_end_in / 2 > 2 * ends[0]
                assert ("it can tip or roll" in said) == ("needs a mill that can hold it" in said) == tips, (
                    log
                )
                assert "on edge" not in said
                if tips:
                    narrow, wide = map(sizes.sixteenths, ends)
                    assert f"on a foot {narrow} to {wide} in wide" in said or ends[1] - ends[0] < 1 / 16
                tall += tips
    assert tall > 10


def test_the_half_log_of_through_and_through_stands_low_on_its_widest_flat():
    """The flat at the pith is as wide as the log, so half the log is no taller than it is wide; no stop, no blocks."""
    for small in (9, 13, 19, 29):
        for more in (0, 2, 8):
            log = Log(small_in=small, large_in=small + more, length_ft=12, species="white oak")
            page = printed(saw(log, 0.1, {"4/4": 1.0625}, "through-and-through"))
            said, s = parts(saw(log, 0.1, {"4/4": 1.0625}, "through-and-through"))[-1]
            assert s.center_in < 1.2 and s.foot_in > 0.9 * small and s.tall_in < s.foot_in * 1.1
            assert not re.search("tip|Blocks:|Stop before|Take the blocks", said)
            assert "leave one thick piece. Without" not in words(page)
            weight, hook = settings_sheet.turns_lb(saw(log, 0.1, {"4/4": 1.0625}, "through-and-through"))[1]
            assert 0.4 < weight / settings_sheet.lift_lb(saw(log, 0.1, [1.0625]))[0] < 0.7
            assert (
                ("or two people with a cant hook" in said)
                == hook
                == (weight * max(log.large_end_in, s.tall_in) / 2 / 60 <= 102)
            )


def test_every_tall_and_narrow_set_up_says_when_not_to_saw_it_so():
    plan = saw(Log(small_in=26, large_in=27.25, length_ft=10), 0.1, {"4/4": 1.0625}, "cant")
    assert "Clamp it before you let go" in parts(plan)[0][0] and "on edge" not in parts(plan)[0][0]
    half = "If stops and clamps don't reach half way up, "
    told = [half + "don't stand it on edge: lay it on its wide sawn face" in said for said, _ in parts(plan)]
    assert told == [s.tippy and s.cant for _, s in parts(plan)] == [False, False, True, *[False] * 4]
    narrow = saw(plan.log, 0.1, {"4/4": 1.0625}, "cant", cant_in=24, least_slab_in=0)
    said, s = parts(narrow)[1]
    assert s.tippy and half + "don't saw it" in said


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_whatever_lies_on_a_round_side_stands_on_a_line(pattern):
    for small, sweep in ((9, 0), (14, 3), (26, 0)):
        plan = saw(Log(small_in=small, length_ft=12, sweep_in=sweep), 0.1, {"4/4": 1.0625}, pattern)
        for said, s in parts(plan):
            if s.round_side:
                assert s.tippy and s.foot_in == s.wide_foot_in == 0
                assert re.search("before you let go", said)


@pytest.mark.parametrize("sweep", [0.5, 3])
@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_a_bent_log_is_said_to_roll_where_its_weight_is_not_over_its_foot(pattern, sweep):
    log = Log(small_in=12, large_in=13.5, length_ft=12, sweep_in=sweep)
    said = [said for said, _ in parts(saw(log, 0.1, {"4/4": 1.0625}, pattern))]
    rolls = ["It wants to roll: " in text for text in said]
    assert "wedge both sides before you let go, clamp it once its center is right." in said[0]
    assert pattern != "cant" or "It wants to roll: clamp and wedge it before you let go." in said[2]
    # on a sawn face the weight lies well inside its foot: two thirds of the sweep from the line between the ends
    assert rolls == ([True, False, True, False] if pattern == "cant" else [True, False])
    straight = parts(saw(Log(small_in=12, length_ft=12), 0.1, {"4/4": 1.0625}, pattern))
    assert not any("wants to roll" in text for text, _ in straight)


def test_blocks_are_put_in_with_a_stick_under_a_chocked_log():
    plan = saw(Log(small_in=14, large_in=20, length_ft=16), 1 / 8, {"4/4": 1.125}, "cant", **FREE)
    above = words(printed(plan).split('<div class="set-up')[0])
    assert (
        "raise the end with the mill's lift or a jack, chock both sides of the log, push the block in with a stick. "
        "Never a hand or a foot under the log." in above
    )
    first, *_, last = (said for said, _ in parts(plan))
    assert "none under the large end. It touches at two places and rolls: chock it first" in first
    assert "none under the large end, snug, not lifting the flat off the bed." in last
    even = saw(Log(small_in=14, large_in=14, length_ft=8), 1 / 8, {"4/4": 1.125}, "through-and-through")
    assert not any("two places" in said or "snug" in said for said, _ in parts(even))


def test_a_row_says_what_its_board_weighs_and_who_lifts_it():
    """A flitch as slices of the log between two saw lines, in red oak at 76.8 lb/ft3; 51 lb for each person."""
    log = Log(small_in=20, large_in=22, length_ft=10, species="northern red oak", trim_in=4)
    plan = saw(log, 0.1, {"4/4": 1.0625, "8/4": 2.125}, "through-and-through")
    per_ft3 = moisture.weight_range_lb_per_ft3("northern red oak")[1]
    z = np.linspace(0, 1, 201)
    r = 10 + z
    seen, most = set(), (0, 0)
    for row in re.findall(r"<tr>(.*?)</tr>", printed(plan).split('class="passes"', 1)[1], re.S):
        text = words(row)
        lifted = re.findall(r"(\d+) lb: (\w+)", text)
        for number in map(int, re.findall(r"\b(\d+): \d/4 x", text)):
            b = plan.cut_boards[number - 1]
            y = np.linspace(b.y1, b.y2, 201)
            wide = np.trapezoid(2 * np.sqrt(np.maximum(r[:, None] ** 2 - y**2, 0)), y, axis=1).mean()
            pounds = wide / 144 * (10 + 4 / 12) * per_ft3
            told = lifted.pop(0) if np.ceil(pounds) > 51 else None
            if told:
                assert int(told[0]) == pytest.approx(pounds, abs=2.5) and int(told[0]) > b.width_in * 4.5
                people = int(np.ceil(int(told[0]) / 51))
                assert told[1] == (str(people) if people <= 4 else "machine")
            seen.add(number)
            most = max(most, (pounds, number))
        assert not lifted or "slab" in text
    assert seen == set(range(1, len(plan.cut_boards) + 1))
    top = words(printed(plan).split("<table")[0])
    assert f"Heaviest piece of this log to lift: board {most[1]}, which may weigh" in top


def test_no_board_is_for_two_people_whatever_it_weighs():
    log = Log(small_in=26, large_in=29, length_ft=16, species="white oak")
    thick = printed(saw(log, 0.1, {"12/4": 3.25}, "through-and-through"))
    assert "lb: too heavy to lift by hand, use a machine" in thick.split("<table")[0]
    assert "Boards at the heart may split. Too heavy to lift by hand, use a machine." in words(thick)
    assert "people carry" not in thick
    light = printed(
        saw(Log(small_in=10, length_ft=6, species="eastern hemlock"), 0.1, {"4/4": 1.0625}, "cant")
    )
    assert "Boards at the heart may split: carry them flat." in light and "people carry" not in light
    unknown = printed(saw(Log(small_in=10, length_ft=6), 0.1, {"4/4": 1.0625}, "cant"))
    assert "Two people carry each flat." in unknown and "no more than 51 lb for each person" in unknown


def test_a_slab_too_heavy_for_one_is_said_and_a_bent_log_is_weighed_bent():
    log = Log(small_in=12, large_in=13.5, length_ft=12, sweep_in=3, species="eastern white pine")
    plan = saw(log, 0.1, {"4/4": 1.0625}, "cant", least_slab_in=3)
    mill, weights = Mill(log), settings_sheet.pieces_lb(plan)
    per_ft3 = moisture.weight_range_lb_per_ft3(log.species)[1] * log.lifted_ft3 / log.volume_ft3
    at = next(
        n for n, p in enumerate(plan.passes) if p.up == 2
    )  # the hump is up: its slab, by strips of the log
    low = settings_sheet.stages(plan)[at].above[0] + 1.5  # from the centers of the ends
    x = low + np.linspace(0, 30, 6001)
    half = np.sqrt(np.maximum(mill.r[:, None] ** 2 - (x - mill.bow[:, None]) ** 2, 0))
    area = np.trapezoid(2 * np.minimum(half, plan.cant_in / 2), x, axis=1)
    assert weights[at][0] == pytest.approx(np.trapezoid(area, mill.z) / 144 * 12 * per_ft3, rel=0.02)
    lifted = dict(re.findall(r"([\d-]+(?:/\d+)?) \S+ (\d+) lb: \w+ slab", words(printed(plan))))
    assert int(lifted[plan.cuts["blade"][at]]) == np.ceil(weights[at][0])


@pytest.mark.parametrize(
    "note",
    [
        "heart check 7 in long on the butt",
        "ring shake",
        "split end",
        "cracked",
        "some rot",
        "hollow butt",
        "spider heart",
        "loose heart",
    ],  # fmt: skip
)
def test_a_note_of_a_weak_heart_is_repeated_where_the_heart_is_opened(note):
    plan = saw(
        Log(small_in=20, large_in=21.5, length_ft=12, species="black cherry"), 0.1, {"4/4": 1.0625}, "cant"
    )
    told = (
        "Boards within 5 in of the pith, or as far as the check reaches on either end if that is more, may come apart "
        "under the blade or in the hands: measure it and mark it on the end. Stand clear of the line of the blade, and "
        "don't carry such a board alone. If a piece moves: stop feeding, shut the blade off, wait till it stands "
        "still, then wedge it."
    )
    assert told in words(printed(plan, note).split('<div class="at-mill">')[1].split("<table")[0])
    hearts = {
        n for n, b in enumerate(plan.cut_boards, 1) if np.hypot(max(b.x1, -b.x2, 0), max(b.y1, -b.y2, 0)) < 5
    }
    assert len(hearts) > 5
    for said, s in parts(plan, note):
        opened = s.cuts[["board_above", "board_below"]].isin(hearts).any(axis=None)
        assert bool(re.search("may come apart", said)) == opened
        assert bool(re.search("may come apart. (Two|Three) people carry each flat", said)) == (s.number == 5)
    page = printed(plan, note)  # on each side that hangs at the mill
    assert words(page).count(told) == page.count('<div class="at-mill">') == 3
    named = {
        int(re.search(BOARD, words(row))[1])
        for row in printed(plan, note).split("<tr>")
        if re.search("(near|at)</b> the heart|<b>(near|at) the heart", row)
    }
    assert named | {len(plan.cut_boards)} == hearts | {len(plan.cut_boards)}
    assert "come apart" not in printed(plan, "look for wire")


def test_a_bent_log_says_where_its_hump_goes_and_what_room_it_takes():
    """Against the log as points: its greatest reach across with the bow level, and over the bed with the hump up."""
    plan = saw(Log(small_in=12, large_in=13.5, length_ft=12, sweep_in=3), 0.1, {"4/4": 1.0625}, "cant")
    x = Mill(plan.log).points[..., 0]
    room = x.max() - x.min()
    assert settings_sheet.room_in(plan) == pytest.approx(room, abs=0.01)
    page = words(printed(plan))
    told = re.search(r"a log of (\S+) in, bow included,", page)[1]
    assert room <= inches(told) < room + 1 / 8
    assert "A bent log is under stress: boards spring, pinch the blade, or kick." in page
    first, second, third, last = (said for said, _ in parts(plan))
    assert "Hump toward face 2, level with the bed." in first and "Hump toward face 2" in second
    assert "Hump up, resting on its two ends." in third and "Hump down, on its sawn face." in last
    for said, s in parts(plan):
        slab = s.tall_in - s.cuts["blade_in"].iloc[0]
        named = re.search(r"The slab is up to (\S+) in thick: check that the mill has that much room", said)
        assert bool(named) == (slab > 2)
        assert not named or inches(named[1]) == pytest.approx(slab, abs=1 / 32)
    assert parts(plan)[2][1].tall_in == pytest.approx(room, abs=1 / 16)
    straight = words(printed(saw(Log(small_in=12, large_in=13.5, length_ft=12), 0.1, {"4/4": 1.0625})))
    assert not re.search(r"hump|\bbow\b(?! up, all)|bent", straight, re.I)


def test_the_weight_of_log_and_cant_is_on_the_sheet_never_too_low():
    """Cone volume written out, trim counted; the cant as slices of the end between its two faces."""
    log = Log(small_in=26, length_ft=10, species="black walnut", trim_in=5)
    plan = saw(log, 0.1, {"4/4": 1.0625}, "cant")
    per_ft3 = 1.1 * moisture.weight_range_lb_per_ft3("black walnut")[1]
    r, big, length = 13 / 12, log.large_end_in / 24, 10 + 5 / 12
    whole = np.pi * length / 3 * (r * r + r * big + big * big) * per_ft3
    at = np.linspace(-0.5, 0.5, 4001) * plan.cant_in / 12
    faces = [np.trapezoid(2 * np.sqrt(q * q - at * at), at) for q in np.linspace(r, big, 41)]
    cant = np.mean(faces) * length * per_ft3
    said = words(printed(plan))
    log_lb, cant_lb = re.search(r"may weigh up to ([\d,]+) lb; the cant up to ([\d,]+) lb", said).groups()
    assert whole <= int(log_lb.replace(",", "")) <= 1.1 * whole
    assert cant <= int(cant_lb.replace(",", "")) <= 1.1 * cant
    assert (
        "turner, or a winch rated for its weight; not by cant hook; never by hand alone." in said
        and "a flared butt weighs more" in said
    )
    measured = Log(small_in=26, large_in=28, length_ft=10, species="black walnut")
    said = words(printed(saw(measured, 0.1, {"4/4": 1.0625}, "through-and-through")))
    assert "flared" not in said and "cant up to" not in said and "may weigh up to" in said
    assert "not by cant hook" in words(printed(saw(Log(small_in=12, length_ft=8), 0.1, [1.0625])))


def test_two_people_with_a_cant_hook_turn_no_more_than_they_can_hold():
    """Weight x half width over a 60 in handle, against 2 x 51 lb; weights by the cone, trim, bark and wettest wood."""
    per_ft3 = 1.1 * moisture.weight_range_lb_per_ft3("white oak")[1]
    allowed = set()
    for small in range(8, 26, 2):
        for length in (6, 8, 12):
            log = Log(small_in=small, large_in=small + 1, length_ft=length, species="white oak")
            r, big = small / 24, (small + 1) / 24
            pull = np.pi * length / 3 * (r * r + r * big + big * big) * per_ft3 * (small + 1) / 2 / 60
            pull *= log.lifted_ft3 / log.volume_ft3  # the trim is turned, too
            said = words(printed(saw(log, 0.1, {"4/4": 1.0625})))
            allowed.add(by_hand := pull <= 102)
            first = said.split("Set-up 1")[0]
            assert (
                "or two people with a cant hook, 60 in handle, feet clear; never by hand alone" in first
            ) == by_hand
            assert ("or a winch rated for its weight; not by cant hook; never" in first) != by_hand
    assert allowed == {True, False}


def test_each_set_up_says_what_is_turned_and_whether_a_cant_hook_will_do():
    """A cant as slices between its faces, in white oak with a tenth for bark; half its width over 60 in, 102 lb."""
    per_ft3, seen = 1.1 * moisture.weight_range_lb_per_ft3("white oak")[1], set()
    for small in (11, 14, 17):
        log = Log(small_in=small, large_in=small + 1, length_ft=8, species="white oak")
        plan = saw(log, 0.1, {"4/4": 1.0625}, "cant")
        at = np.linspace(-0.5, 0.5, 2001) * plan.cant_in
        r = np.linspace(small / 2, (small + 1) / 2, 41)
        cant = (
            np.mean([np.trapezoid(2 * np.sqrt(q * q - at * at), at) for q in r])
            / 144
            * (8 + 4 / 12)
            * per_ft3
        )
        told, hook = settings_sheet.turns_lb(plan)[2]
        assert told == pytest.approx(cant, rel=0.01)
        assert hook == (cant * (small + 1) / 2 / 60 <= 102)
        said = parts(plan)[2][0]
        up_to = int(re.search(r"Up to ([\d,]+) lb to turn\.", said)[1].replace(",", ""))
        assert cant <= up_to <= 1.1 * cant and ("not by cant hook" in said) != hook
        seen.add((hook, settings_sheet.turns_lb(plan)[0][1]))
    assert (True, False) in seen  # the cant may be turned where the log may not
    unknown = parts(saw(Log(small_in=9, length_ft=6), 0.1, {"4/4": 1.0625}, "cant"))
    assert all("not by cant hook" in said and "to turn" not in said for said, _ in unknown[1:])


@pytest.mark.parametrize(
    ("pattern", "sweep"), [("cant", 0), ("cant", 2), ("through-and-through", 0), ("through-and-through", 2)]
)
def test_the_sheet_names_the_widest_cut_and_the_weight_on_the_bed(pattern, sweep):
    """The log as points: how wide the wood is where the blade passes, its bow in."""
    log = Log(small_in=16, large_in=18, length_ft=12, sweep_in=sweep, species="white oak")
    plan, widest = saw(log, 1 / 8, {"4/4": 1.0625}, pattern), 0.0
    mill = Mill(log)
    for face, center, _, passes in read(printed(plan)):
        up = UP[face]
        for blade, _ in passes:
            at = blade - center
            spans = []
            for r, bow in zip(mill.r, mill.bow, strict=True):
                off = at - bow * up[0]
                if abs(off) >= r:
                    continue
                half = np.sqrt(r * r - off * off)
                side = bow if up[1] else 0.0
                # sawn faces are measured from the ends' centers, as the points are
                low, high = side - half, side + half
                for way, flat in mill.flats.items():
                    if way[0] * up[0] + way[1] * up[1] == 0:
                        low, high = (low, min(high, flat)) if sum(way) > 0 else (max(low, -flat), high)
                spans.append((low, high))
            if spans:
                widest = max(widest, max(h for _, h in spans) - min(low for low, _ in spans))
            mill.flats[up] = at
    assert settings_sheet.widest_cut_in(plan) == pytest.approx(widest, abs=0.1)
    page = words(printed(plan))
    told = inches(re.search(r"a cut (\S+) in wide between the guides, and bark", page)[1])
    assert 0 <= told - settings_sheet.widest_cut_in(plan) < 1 / 16
    log_lb = re.search(r"The log may weigh up to ([\d,]+) lb", page)[1]
    assert f"{log_lb} lb on the bed;" in page


@pytest.mark.parametrize(
    ("note", "name", "long_in"),
    [("heart check 7 in long on the butt", "check", 7), ("7-1/2 in check", "check", 7.5),
     ("shake at the center", "shake", 0), ("split, 3 in deep", "split", 0),
     ("cracked 2.5 in across", "crack", 2.5), ("some rot", "", 0), ("", "", 0),
     ("wire 20 in up; check", "check", 0)],
)  # fmt: skip
def test_a_note_of_a_crack_is_read_with_its_length(note, name, long_in):
    assert settings_sheet.crack_of(note) == (name, long_in)


def test_a_check_is_laid_where_few_boards_hold_it():
    log = Log(small_in=20, large_in=21.5, length_ft=12)
    through = saw(log, 1 / 8, {"4/4": 1.0625}, "through-and-through")
    cant = saw(log, 1 / 8, {"4/4": 1.0625}, "cant", steady_cant=False)
    assert cant.cant_in >= 10
    said = words(printed(cant, "heart check 7 in long").split("<table")[0])
    assert (
        "Turn the log so that the check stands upright, from face 1 to face 3: few boards hold it then."
        in said
    )
    half = f"the cant reaches {sizes.sixteenths(cant.cant_in / 2)} in to either side of the pith: "
    assert f"It is 7 in long, and {half}side boards can hold it, too." in said  # it may run to one side alone
    said = words(printed(cant, "heart check 4 in long").split("<table")[0])
    assert f"It is 4 in long, and {half}the side boards stay clear of it." in said
    # upright, it lies in the cant's boards alone, of which those by the pith hold it
    held = {
        n
        for n, b in enumerate(cant.cut_boards, 1)
        if b.x1 < 0.1 and b.x2 > -0.1 and b.y1 < 3.5 and b.y2 > -3.5
    }
    assert len(held) <= 2 and all(cant.cut_boards[n - 1].turned for n in held)
    said = words(printed(cant, "heart check 15 in long").split("<table")[0])
    assert "side boards can hold it, too." in said
    # a cant off four faces is sawn level at last, and so is its check
    four = saw(log, 1 / 8, {"4/4": 1.0625}, "cant")
    said = words(printed(four, "heart check 7 in long").split("<table")[0])
    assert "so that the check lies level, from face 2 to face 4" in said
    assert f"the cant reaches {sizes.sixteenths(four.cant_wide_in / 2)} in to either side of the pith" in said
    assert sum(b.y1 < 0.1 and b.y2 > -0.1 and b.x1 < 3.5 and b.x2 > -3.5 for b in four.cut_boards) <= 2
    said = words(printed(through, "split").split("<table")[0])
    assert (
        "Turn the log so that the split lies level, from face 2 to face 4" in said and "in long" not in said
    )
    none, some = (
        words(printed(saw(replace(log, defect_pct=pct), 1 / 8, {"4/4": 1.0625}), "shake").split("<table")[0])
        for pct in (0, 5)
    )
    less = "The tally takes nothing off for it: expect fewer board feet than this page says."
    assert less in none and less not in some
    bent = words(printed(saw(replace(log, sweep_in=1), 1 / 8, {"4/4": 1.0625}), "check").split("<table")[0])
    assert "The bow decides how this log lies" in bent and "stands upright" not in bent
    assert "stands upright" not in words(printed(cant, "some rot"))


def test_a_log_that_gives_more_in_two_says_so_in_a_box():
    log = Log(small_in=12, large_in=13.5, length_ft=12, sweep_in=5, species="eastern white pine", label="2")
    plan = saw(log, 0.1, {"4/4": 1.0625}, "cant", drop_step_in=SCALE_IN)
    told = f"Cut this log in two at 6 ft: about {plan.in_two_bf:.0f} bf instead of {plan.board_feet:.0f}."
    assert f'<p class="told"><b>{told}</b></p>' in printed(plan) and plan.in_two_bf > 60
    assert "in two" not in printed(saw(replace(log, sweep_in=0), 0.1, {"4/4": 1.0625}))


def test_a_plan_tells_of_a_log_that_gives_more_in_two(tmp_path):
    head = "log,species,small_in,large_in,length_ft,trim_in,sweep_in,defect_pct,note\n"
    (tmp_path / "logs.csv").write_text(
        head + "2,eastern white pine,12,13.5,12,4,5,0,\n3,eastern white pine,12,13.5,12,4,0,0,\n"
    )
    plan = make_plan(tmp_path, start="2026-05-15")
    told = [remark for remark in plan.remarks if "in two" in remark]
    assert len(told) == 1 and told[0].startswith("Log 2: Cut this log in two at 6 ft: about ")


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_the_first_page_says_how_a_log_is_loaded_marked_and_measured(pattern):
    above = words(
        printed(saw(Log(16, length_ft=12), 1 / 8, [1.0625], pattern)).split('<div class="set-up')[0]
    )
    for told in (
        "Load it: outriggers down, bed level, stops up first. Ramps made for the weight, a winch or a machine, and "
        "nobody below the log.",
        "Lay the log so that, standing at its small end, the stops are on your right.",
        "from the bed to the lowest tooth: a set tooth cuts about 0.02 in below the band.",
        "print the page again with that kerf.",
    ):
        assert told in above


@pytest.mark.parametrize(
    "note",
    ["wire", "barbwire on one side", "barbed-wire", "old fencing", "fencerow tree", "chain grown in", "hook",
     "eye bolt", "rebar", "T-post", "horseshoe", "tap holes", "old spile", "sugar tap", "cable", "irons",
     "tree stand", "hammock tree", "old swing", "gate post", "lawn tree", "street tree", "grew by the house",
     "basketball hoop", "gun range", "targets on it", "deer stand",
     "blue stain on the butt", "butt log, black stain", "yard tree", "sign nailed on", "No hunting signs",
     "insulators", "lag screws", "staples"],
)  # fmt: skip
def test_words_that_tell_of_metal_bring_the_warning(note):
    assert settings_sheet.mentions_metal(note)
    assert "Metal breaks a blade" in printed(saw(Log(small_in=12, length_ft=8), 1 / 8, [1.125]), note)


@pytest.mark.parametrize(
    "note",
    [
        "",
        "ironwood, butt log",
        "blue stain",
        "chain saw nick",
        "knots on one face",
        "butt log, staghorn",
        "street side of the woodlot",
        "sawn on a swing-blade mill",
        "grew in the woods",
    ],
)
def test_other_notes_do_not(note):
    assert not settings_sheet.mentions_metal(note)
    said = words(printed(saw(Log(small_in=12, length_ft=8), 1 / 8, [1.125]), note))
    assert (
        "Metal breaks" not in said and "metal detector" in said and "Don't saw what you can't clear." in said
    )


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_the_row_of_a_board_at_the_heart_says_that_it_may_split(pattern):
    plan = saw(Log(small_in=20, large_in=21.5, length_ft=12), 0.1, {"4/4": 1.0625}, pattern)
    held = plan.boards.loc[plan.boards["has_pith"], "board"]
    rows = [
        words(r.split("</tr>")[0])
        for r in printed(plan).split("<tr>")
        if "<b>at the heart</b>" in r.split("</tr>")[0]
    ]
    named = set()
    for row in rows:
        two = [int(n) for n in re.findall(r"; (\d+) at the heart", row)]
        named |= set(two or [int(re.search(BOARD, row)[1])])
    assert "Boards at the heart may split." in words(printed(plan))
    assert named and set(held) <= named and len(named) <= 2
    for n in named:
        b = plan.cut_boards[n - 1]
        assert max(abs(b.y1 + b.y2) / 2 if not b.turned else abs(b.x1 + b.x2) / 2, 0) < 1.0625 / 2 + 0.1


def test_each_page_names_its_log_and_the_cautions_are_not_the_smallest_print(mill):
    plan, page = mill
    for n, (log, cut) in enumerate(plan.sawings.items(), 1):
        assert (
            f'@page log-{n} {{ @bottom-left {{ content: "Log {log}\\00002c  {cut.log.species}\\00002e  Kerf'
            in page
        )
        assert page.count(f'style="page: log-{n}"') == 1 + (
            n == 1
        )  # its sheet; the first has the page's head
    points = [float(p) for p in re.findall(r"font-size: ([\d.]+)pt", page.split(".mill-sheet ul {")[1])]
    assert points[0] == 11
    assert "Set-up 4 of 4" in page and words(page).count(
        "Sizes are after edging; a short board loses"
    ) == len(plan.sawings)


def test_a_label_cannot_break_the_style_of_the_page():
    from woodcalc.figures.plan import in_css

    assert in_css('7"}</style>') == "7\\000022 \\00007d \\00003c \\00002f style\\00003e "


def test_a_note_is_shown_word_for_word_and_cannot_break_the_page():
    plan = saw(Log(small_in=12, length_ft=8, label="<7>"), 1 / 8, [1.125])
    page = printed(plan, ' <b>"Zaun" & Draht: nails at 3 ft ')
    assert "From the tally: &lt;b&gt;&#34;Zaun&#34; &amp; Draht: nails at 3 ft<" in page
    assert page.count("nails at 3 ft") == 2 and "Log &lt;7&gt;" in page  # in a box on both sides
    assert "From the tally" not in printed(plan, "  ")


def test_what_is_not_measured_or_rounded_is_said():
    log = Log(small_in=12, length_ft=8)
    said = words(printed(saw(log, 1 / 8, [1.125])))
    assert "13 in, not measured" in said and "1/8 in (0.125 in)" in said and "about 3/32" not in said
    assert settings_sheet.both_ways(3 / 32) == "3/32 in (0.09375 in)"
    assert "rounded to sixteenths" not in said and "sweep" not in said
    said = words(printed(saw(Log(small_in=12, large_in=13, length_ft=8), 0.1, {"4/4": 1.125, "8/4": 2.25})))
    assert "not measured" not in said and "single boards can be up to 1/16 in thinner" in said
    assert "1-1/8 in (1.125 in), 4/4" in said


def test_where_a_lesson_recommends_quartering_it_says_that_loose_quarters_roll():
    cells = json.loads((ROOT / "lessons" / "02-open-the-log.ipynb").read_text(encoding="utf-8"))["cells"]
    told = [text for c in cells if "Quarter big logs" in (text := " ".join("".join(c["source"]).split()))]
    assert len(told) == 1
    for words_of in settings_sheet.NO_SHEET.replace(": loose", ". Loose").split(". "):
        assert words_of.rstrip(".").lower() in told[0].lower()
    care = next(t for c in cells if "## Take care" in (t := "".join(c["source"])))
    assert "Loose halves and quarters can roll or slip under the blade" in care


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        (r"stops up and tight", "at least 1/2 in below the blade"),
        (r"need each other badly", "start fires"),
        (r"both halves together", ""),
        (
            r"two lift a board|two people for a long wet board",
            "over 51 lb takes two people, over 102 lb three",
        ),
        (r"Turn it with a cant hook from", "not by cant hook"),
    ],
)
def test_no_dangerous_words_are_left_anywhere(wrong, right):
    folders = ("lessons", "woodcalc", "data")
    ends = (".ipynb", ".py", ".j2", ".md", ".html", ".css", ".json", ".toml", ".csv")
    files = [
        p for f in folders for p in (ROOT / f).rglob("*") if p.suffix in ends and "my-wood" not in p.parts
    ]
    text = {p: p.read_text(encoding="utf-8") for p in files}
    assert [p.name for p, t in text.items() if re.search(wrong, t, re.I)] == []
    assert any(right in t for p, t in text.items() if p.suffix == ".ipynb")


def defect_log(pct):
    return Log(small_in=16, large_in=18, length_ft=10, species="white oak", label="7", defect_pct=pct)


def test_defects_come_off_what_a_sheet_promises():
    plan = saw(defect_log(20), 1 / 16, {"4/4": 1.0625})
    said = words(printed(plan))
    assert f"{plan.board_feet:.0f} bf; {0.8 * plan.board_feet:.0f} bf with 20 % defect off" in said
    assert plan.net_bf == pytest.approx(0.8 * plan.board_feet)
    assert "defect" not in words(printed(saw(defect_log(0), 1 / 16, {"4/4": 1.0625})))


@pytest.mark.parametrize(("pct", "warned"), [(50, False), (51, True), (99, True)])
def test_a_log_more_than_half_gone_has_no_sheet_without_a_sentence(pct, warned):
    said = words(printed(saw(defect_log(pct), 1 / 16, {"4/4": 1.0625})))
    assert (f"The tally says that {pct} % of it is rotten" in said) == warned
    assert not warned or said.index("cut it back to sound wood") < said.index("Set-up 1")


def test_a_log_that_is_all_defect_has_no_sheet_and_no_boards():
    for pattern in PATTERNS:
        with pytest.raises(AllDefect, match="all of it is rotten, split or missing"):
            saw(defect_log(100), 1 / 16, {"4/4": 1.0625}, pattern)
    tally = saw_tally([defect_log(100), defect_log(60), defect_log(0)], 1 / 16, {"4/4": 1.0625})
    rows = tally.logs
    assert rows["boards"].tolist()[0] == 0 and rows["boards"].min() < rows["boards"].max()
    assert tally.net_bf == pytest.approx(1.4 * rows["board_feet"].iloc[2])
    assert rows["note"].tolist()[0] == "nothing of it is sound: not sawn" and "half" in rows["note"].iloc[1]
    assert rows[["slab_ft3", "lumber_ft3"]].iloc[0].tolist() == [0, 0]  # rot is no firewood


def test_no_order_is_filled_from_a_log_that_is_more_than_half_gone():
    order = [(4, 2.0, 6, 10)]
    for pct, number in ((50, 4), (51, 0)):
        tally = saw_tally([defect_log(pct)], 1 / 16, {"4/4": 1.0625}, wanted=order)
        assert tally.boards["wanted"].sum() == number and len(tally.short) == (number == 0)


@pytest.mark.parametrize("kerf_in", [0.055, 0.1, 1 / 16, 0.13])
@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_on_the_scale_of_a_mill_no_board_is_thin_and_every_drop_is_the_same(kerf_in, pattern):
    for small in (12, 20):
        log = Log(small_in=small, large_in=small + 2, length_ft=12)
        plan = saw(log, kerf_in, {"4/4": 1.0625}, pattern, drop_step_in=SCALE_IN)
        assert len(set(plan.cuts["drop_in"].dropna())) == 1
        thick = settings_sheet.as_printed_in(plan)
        assert set(thick) == set(plan.boards["board"])
        assert min(thick.values()) >= 1.0625 - 1e-9 and max(thick.values()) <= 1.0625 + 1 / 16
    loose = settings_sheet.as_printed_in(saw(log, 0.1, {"4/4": 1.0625}, pattern))
    assert min(loose.values()) < 1.04  # what a sheet of the unrounded kerf would give


def test_a_plan_saws_to_the_marks_of_the_scale(mill):
    plan, _ = mill
    for cut in plan.sawings.values():
        assert len(set(cut.cuts["drop_in"].dropna())) <= 1


def test_the_face_to_open_and_how_boards_are_edged_stand_on_the_sheet():
    said = words(printed(saw(Log(small_in=20, length_ft=12), 1 / 16, {"4/4": 1.0625}), "knots on one face"))
    assert "1 on top: the clearest side. A knotty side goes down, to face 3" in said
    for told in (
        "Edge the boards last, in bundles: on edge, bow up, all the same way, side by side against the stops",
        "none taller than the stops or 16 in, the bundle at least half as thick as it is tall",
        "Clamp it half way up, at least 1/2 in below the blade.",
        "Too few for a bundle: leave the edges on, or use an edger, or a straightedge and a circular saw.",
    ):
        assert told in said
    bent = words(printed(saw(Log(small_in=14, length_ft=12, sweep_in=2), 1 / 16, {"4/4": 1.0625})))
    assert "1 on top: the clearer of the two sides that can be up" in bent and "goes down" not in bent


def test_a_quartered_log_has_no_heights_in_its_data_either():
    plan = saw(Log(small_in=18, length_ft=12), 1 / 16, {"4/4": 1.0625}, "quartered")
    assert np.isnan(plan.opening_in) and all(np.isnan(p.height_in) for p in plan.passes)
    assert {(p.turn_deg, p.up) for p in plan.passes} == {(0, 0)}


@pytest.mark.parametrize("sweep", [0, 3])
def test_the_page_ends_with_the_boards_by_width_and_what_is_trimmed_off_which_end(sweep):
    """Every board of the passes once, at its own width; each shorter one with what is missing at its ends."""
    log = Log(small_in=14, large_in=17, length_ft=12, sweep_in=sweep)
    plan = saw(log, 1 / 8, {"4/4": 1.0625}, drop_step_in=SCALE_IN)
    page = printed(plan)
    said = words(page.split("and tally</h3>")[1])
    edged, square = re.search(
        r"Edge, boards by number: (.*?)\. Square as they come: (.*?)\.( Trim|\s)", said
    ).groups()[:2]
    told = {
        int(n): inches(w)
        for w, numbers in re.findall(r"([\d/-]+) in: ([\d, ]+)", f"{edged}; {square}")
        for n in numbers.split(",")
    }
    assert told == {n: b.width_in for n, b in enumerate(plan.cut_boards, 1)}
    for widths in (edged, square):
        order = [inches(w) for w in re.findall(r"([\d/-]+) in:", widths)]
        assert order == sorted(order, reverse=True)
    off = {
        n: (b.start_ft, 12 - b.start_ft - b.length_ft)
        for n, b in enumerate(plan.cut_boards, 1)
        if b.length_ft < 12
    }
    trims = said.partition("Trim, past the trim of the log: ")[2].partition("Day ___")[0]
    found = {}
    for numbers, ends in re.findall(r"([\d, ]+): ((?:[\d.]+ ft off the \w+ end(?:, )?)+)", trims):
        missing = {end: float(ft) for ft, end in re.findall(r"([\d.]+) ft off the (\w+) end", ends)}
        found |= {int(n): (missing.get("small", 0.0), missing.get("large", 0.0)) for n in numbers.split(",")}
    assert off and found == {n: pytest.approx(ends) for n, ends in off.items()}
    assert "and tally" not in printed(plan, "", MyMill(largest_in=10))  # no passes: nothing to edge


def test_each_log_has_its_own_leaves_and_each_side_its_own_head(mill):
    """Card, sides for the mill and blanks are even in number, so no log's passes back onto another log's card."""
    awkward = [
        (
            Log(26, 29, 10, species="black walnut", label="W", crack_clock=2),
            "heart check 7 in long; grew by the fence",
        ),
        (Log(12, 14, 16, species="eastern white pine", label="P", sweep_in=3, bow_clock=4), ""),
        (Log(20, 22, 12, species="northern red oak", label="O", worst_clock=3), "knots on one face"),
    ]
    sheets = mill[1].split('<section class="mill-sheet">')[1:] + [
        printed(saw(log, 1 / 8, {"4/4": 1.0625}), note, bark_in=0.5) for log, note in awkward
    ]
    split = 0
    for text in (each.split("</section>")[0] for each in sheets):
        sides = text.split('<div class="at-mill">')[1:]
        assert (1 + len(sides) + text.count('class="blank"')) % 2 == 0
        named = re.search(r"Log (\w+), ", words(text))[1]
        for side in sides:
            head = words(side.split('<div class="steps">')[0])
            assert f"Log {named}, " in head and ("side 1 of 1" not in head)
            assert ("Metal" in head) == ("Metal breaks a blade" in text)
            assert '<div class="set-up">' in side
        numbers = [int(n) for n in re.findall(r"<h3>Set-up (\d) of", text)]
        assert numbers == list(range(1, len(numbers) + 1))
        split += len(sides) > 1
    assert split >= 2


def test_log_and_cant_have_one_word_each_on_the_cant_hook():
    """The card says of each weight what its set-up says of it: Kettle Hollow's logs, and four woods of four sizes."""
    woods = ("eastern white pine", "northern red oak", "black walnut", "yellow-poplar")
    tried = [Log(d, d + 1.5, 12, species=wood) for d in (10, 12, 14, 16) for wood in woods]
    apart = 0
    for log in [*tried, *logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv"))]:
        plan = sawn_by(log, 0.1, {"4/4": 1.0625})
        page = printed(plan, "", MyMill(kerf_in=0.1, turner="cant hook"), 0.75)
        card = words(page.split('<div class="set-up')[0])
        turns = settings_sheet.turns_lb(plan)
        cant = next(s.number for s in settings_sheet.set_ups(plan) if s.cant) - 1
        told = re.search(r"may weigh up to [\d,]+ lb[;.] (.*?)Before the engine", card)[1]
        hooks = ["Two people turn it" in part for part in re.split(r"The cant may weigh", told)]
        if turns[0][1] == turns[cant][1]:
            assert hooks == [turns[0][1]]
        else:
            assert hooks == [turns[0][1], turns[cant][1]]
            apart += 1
        assert ("Not by cant hook" in told) == (not all((turns[0][1], turns[cant][1])))
    assert apart > 3


def test_boards_as_wide_as_their_cant_are_not_edged():
    """A board is square where its edges are the cant's sawn faces; every board stands in one list."""
    for small in (12, 16, 20, 26):
        plan = sawn_by(Log(small, small + 1.5, 12), 0.1, {"4/4": 1.0625})
        card = words(printed(plan).split('<div class="at-mill')[0])
        edged, square = re.search(
            r"Edge, boards by number: (.*?)\. Square as they come: (.*?)\. (?:Trim|Rip|For|Day)", card
        ).groups()
        lists = [
            {int(n) for part in told.split("; ") for n in part.partition(": ")[2].split(", ")}
            for told in (edged, square)
        ]
        assert not lists[0] & lists[1] and len(lists[0] | lists[1]) == len(plan.cut_boards)
        wide = {plan.cant_in, plan.cant_wide_in} - {0.0}
        assert lists[1] and all(plan.cut_boards[n - 1].width_in in wide for n in lists[1])


def test_a_board_asked_for_by_its_size_is_named_as_on_a_tape():
    sizes_set, wanted = {"8/4": 2.125, "4/4": 1.0625}, [(2, 2.125, 8, 12)]
    said = words(
        printed(saw(Log(14, 15.5, 12), 0.1, sizes_set, "cant", drop_step_in=SCALE_IN, wanted=wanted))
    )
    assert "2-1/8 x 8 in x 12 ft" in said and "2.125x" not in said


@pytest.mark.parametrize(("stands", "side"), [("at the stops", "end"), ("at the clamps", "start")])
def test_a_log_turns_toward_the_stops(stands, side):
    """Clockwise from the small end: the top goes right, where the stops are; the clamp's arrow comes from the left."""
    plan = saw(Log(14, 15.5, 12), 1 / 8, {"4/4": 1.0625}, drop_step_in=SCALE_IN)
    turns, walked = settings_sheet.set_ups(plan), settings_sheet.stages(plan)
    picture = as_it_lies(plan, walked[0], turns[0], stands=stands)
    svg = base64.b64decode(re.search(r"base64,([^\"]+)", picture)[1]).decode()
    iron = [
        float(x) for x in re.findall(r"[ML ]?([\d.]+)[ ,]", re.search(r'd="([^"]*)"[^>]*#c00000', svg)[1])
    ]
    assert min(iron[::2]) > 54  # right of the log's middle
    assert re.search(rf'text-anchor="{side}"[^>]*>OPERATOR', svg) or (side == "start" and ">OPERATOR" in svg)
