"""Exercises of lesson 10: a table top, a gap, a floor, a cup, and a house told by its wood."""

from woodcalc import species
from woodcalc.figures.movement import GAUGE_IN, gauge_width_in
from woodcalc.lesson.exercise import Exercise, Slip

_WOODS = ("black cherry", "black walnut", "sugar maple", "white ash", "yellow-poplar", "American beech")


def _coefficients(wood):
    """The printed coefficients of a wood, in thousandths, as a paper shows them: 0.00248 -> 2.48."""
    return round(1e5 * species.get(wood).c_t), round(1e5 * species.get(wood).c_r)


# A table top


def _draw_top(rng):
    wood = str(rng.choice(_WOODS))
    low = int(rng.integers(5, 8))
    c_t, c_r = _coefficients(wood)
    return {
        "wood": wood, "width_in": int(rng.integers(9, 19)) * 2, "low": low, "high": low + int(rng.integers(4, 7)),
        "c_t": c_t / 1e5, "c_r": c_r / 1e5,
    }  # fmt: skip


TOP = Exercise(
    key="table-top-movement",
    lesson="10",
    question="A flat-sawn {wood} table top is {width_in} in wide in the driest month, at {low} % MC. In the dampest "
    "it comes to "
    "{high} %. Its coefficients: {c_t:.5f} flat-sawn and {c_r:.5f} quarter-sawn, per 1 % MC. How much wider does it "
    "get?",
    draw=_draw_top,
    solve=lambda width_in, low, high, c_t, **_: width_in * c_t * (high - low),
    unit="in",
    tolerance=0.01,
    steps=lambda wood, width_in, low, high, c_t, c_r: [
        f"Change of moisture content: {high} - {low} = {high - low} points.",
        f"Flat-sawn, so take {c_t:.5f} for each point.",
        f"{width_in} in x {c_t:.5f} x {high - low} = {width_in * c_t * (high - low):.2f} in.",
    ],
    slips=(
        Slip(
            "the quarter-sawn coefficient",
            lambda width_in, low, high, c_r, **_: width_in * c_r * (high - low),
            "The width of a flat-sawn board lies along the rings: take the flat-sawn (tangential) coefficient.",
        ),
        Slip(
            "one point only",
            lambda width_in, c_t, **_: width_in * c_t,
            "The coefficient is for each 1 % of moisture content: multiply by the number of points.",
        ),
        Slip(
            "the moisture content itself, not its change",
            lambda width_in, high, c_t, **_: width_in * c_t * high,
            "Only the change counts: dampest less driest.",
        ),
    ),
    decimals=2,
)

# A gap


def _draw_gap(rng):
    made = int(rng.integers(6, 9))
    return {
        "panel_in": int(rng.integers(8, 21)), "made": made, "low": made - int(rng.integers(1, 3)),
        "high": made + int(rng.integers(3, 6)), "c_t": 0.00365,
    }  # fmt: skip


GAP = Exercise(
    key="gap-beside-a-panel",
    lesson="10",
    question="The loose center of a framed door, flat-sawn white oak ({c_t:.5f} per 1 % MC), is {panel_in} in wide, "
    "made at {made} %, and centered in its frame. Through the year it lies between {low} and {high} %. What gap do you "
    "leave at each side, with a fifth added because boards differ?",
    draw=_draw_gap,
    solve=lambda panel_in, made, high, c_t, **_: 1.2 * panel_in * c_t * (high - made) / 2,
    unit="in",
    tolerance=0.006,
    steps=lambda panel_in, made, low, high, c_t: [
        f"From made to dampest: {high} - {made} = {high - made} points.",
        f"Growth: {panel_in} in x {c_t:.5f} x {high - made} = {panel_in * c_t * (high - made):.3f} in.",
        f"A fifth more: {1.2 * panel_in * c_t * (high - made):.3f} in.",
        f"Half at each side: {1.2 * panel_in * c_t * (high - made) / 2:.3f} in.",
    ],
    slips=(
        Slip(
            "the whole growth at each side",
            lambda panel_in, made, high, c_t, **_: 1.2 * panel_in * c_t * (high - made),
            "Centered, the panel grows half to the left and half to the right.",
        ),
        Slip(
            "from driest to dampest",
            lambda panel_in, low, high, c_t, **_: 1.2 * panel_in * c_t * (high - low) / 2,
            "The gap is for what comes after it is made: from made to dampest. What it shrinks asks for a deeper "
            "groove.",
        ),
        Slip(
            "the fifth was left out",
            lambda panel_in, made, high, c_t, **_: panel_in * c_t * (high - made) / 2,
            "A board may move a fifth more than its species: multiply by 1.2.",
        ),
    ),
    decimals=3,
)

# A floor


def _draw_floor(rng):
    low = int(rng.integers(5, 8))
    return {
        "board_in": float(rng.choice([2.25, 3.25, 5.0, 7.0])), "room_ft": int(rng.integers(10, 21)),
        "laid": low + int(rng.integers(3, 7)), "low": low, "c_t": 0.00365, "c_r": 0.0018,
    }  # fmt: skip


FLOOR = Exercise(
    key="gaps-in-a-floor",
    lesson="10",
    question="A tongue-and-groove floor of flat-sawn white oak ({c_t:.5f} per 1 % MC; quarter-sawn {c_r:.5f}) was "
    "laid tight at "
    "{laid} %, in a room {room_ft} ft wide, of boards {board_in:g} in wide. In winter it dries to {low} %. How wide "
    "does each "
    "joint open, in thousandths of an inch?",
    draw=_draw_floor,
    solve=lambda board_in, laid, low, c_t, **_: 1000 * board_in * c_t * (laid - low),
    unit="thousandths of an inch",
    tolerance=1.0,
    steps=lambda board_in, room_ft, laid, low, c_t, c_r: [
        "Each board is held at its own middle, so each joint opens by what one board shrinks.",
        f"{laid} - {low} = {laid - low} points.",
        f"{board_in:g} in x {c_t:.5f} x {laid - low} = {board_in * c_t * (laid - low):.4f} in.",
        f"That is {1000 * board_in * c_t * (laid - low):.0f} thousandths.",
    ],
    slips=(
        Slip(
            "the whole room in one gap",
            lambda room_ft, laid, low, c_t, **_: 1000 * 12 * room_ft * c_t * (laid - low),
            "Each joint takes its own board's share. Take the width of one board.",
        ),
        Slip(
            "the quarter-sawn coefficient",
            lambda board_in, laid, low, c_r, **_: 1000 * board_in * c_r * (laid - low),
            "The boards are flat-sawn: take the larger coefficient.",
        ),
        Slip(
            "inches for thousandths",
            lambda board_in, laid, low, c_t, **_: board_in * c_t * (laid - low),
            "Multiply the inches by 1,000.",
        ),
    ),
)

# A cup


def _draw_cup(rng):
    return {
        "width_in": int(rng.integers(5, 11)), "radius_in": int(rng.integers(10, 17)), "s_t": 6.3, "s_r": 2.9,
    }  # fmt: skip


def _cup(width_in, radius_in, difference_pct):
    return width_in**2 * difference_pct / 100 / (4 * radius_in)


CUP = Exercise(
    key="cup-of-a-board",
    lesson="10",
    question="From green to 8 % red oak shrinks {s_t:.1f} % along the rings and {s_r:.1f} % along the rays. A "
    "flat-sawn board "
    "{width_in} in wide lay {radius_in} in from the pith. How deep does it cup? (width x width x the difference as a "
    "decimal, "
    "divided by four times the distance from the pith)",
    draw=_draw_cup,
    solve=lambda width_in, radius_in, s_t, s_r: _cup(width_in, radius_in, s_t - s_r),
    unit="in",
    tolerance=0.0025,
    steps=lambda width_in, radius_in, s_t, s_r: [
        f"Difference: {s_t:.1f} - {s_r:.1f} = {s_t - s_r:.1f} %, as a decimal {(s_t - s_r) / 100:.3f}.",
        f"{width_in} x {width_in} x {(s_t - s_r) / 100:.3f} = {width_in**2 * (s_t - s_r) / 100:.2f}.",
        f"4 x {radius_in} = {4 * radius_in}.",
        f"{width_in**2 * (s_t - s_r) / 100:.2f} / {4 * radius_in} = {_cup(width_in, radius_in, s_t - s_r):.3f} in.",
    ],
    slips=(
        Slip(
            "the diameter of the ring for its radius",
            lambda width_in, radius_in, s_t, s_r: _cup(width_in, 2 * radius_in, s_t - s_r),
            "Take the distance from the pith once: that is the radius.",
        ),
        Slip(
            "the shrinkage along the rings alone",
            lambda width_in, radius_in, s_t, s_r: _cup(width_in, radius_in, s_t),
            "Wood that shrank alike both ways would stay flat: the difference of the two makes the cup.",
        ),
        Slip(
            "the width was not squared",
            lambda width_in, radius_in, s_t, s_r: _cup(width_in, radius_in, s_t - s_r) / width_in,
            "Twice the width cups four times as deep: width times width.",
        ),
    ),
    decimals=3,
)

# Hidden: a house told by its wood


def _draw_gauge(rng):
    low = float(rng.integers(9, 15)) / 2
    return {
        "low_mc_pct": low,
        "high_mc_pct": low + float(rng.integers(7, 13)) / 2,
        "dampest": int(rng.integers(6, 10)),
    }


_BEECH_CT = 0.00431  # American beech, tangential: Wood Handbook FPL-GTR-190 (2010) table 13-5


def _swing_in(low_mc_pct, high_mc_pct, dampest):
    low = gauge_width_in((dampest + 5) % 12 + 1, low_mc_pct, high_mc_pct, dampest)
    return gauge_width_in(dampest, low_mc_pct, high_mc_pct, dampest) - low


GAUGE = Exercise(
    key="a-board-tells-the-air",
    lesson="10",
    question="A flat-sawn beech board, 24 in wide, hangs in a house: 0.00431 per 1 % MC. Find its widest and its "
    "narrowest month "
    "on the panel. By how many points does the moisture content of wood swing in that house?",
    draw=_draw_gauge,
    solve=lambda low_mc_pct, high_mc_pct, **_: high_mc_pct - low_mc_pct,
    unit="points of MC",
    tolerance=0.3,
    steps=lambda low_mc_pct, high_mc_pct, dampest: [
        f"Widest less narrowest: {_swing_in(low_mc_pct, high_mc_pct, dampest):.2f} in.",
        f"One point moves it {GAUGE_IN:g} in x 0.00431 = {GAUGE_IN * _BEECH_CT:.3f} in.",
        f"{_swing_in(low_mc_pct, high_mc_pct, dampest):.2f} / {GAUGE_IN * _BEECH_CT:.3f} = "
        f"{_swing_in(low_mc_pct, high_mc_pct, dampest) / (GAUGE_IN * _BEECH_CT):.1f} points, near "
        f"{high_mc_pct - low_mc_pct:.1f}.",
    ],
    slips=(
        Slip(
            "the inches were taken for points",
            _swing_in,
            "Divide by what one point moves the board: 24 in x 0.00431 = 0.103 in.",
        ),
        Slip(
            "measured from the 24 in of the drawing",
            lambda low_mc_pct, high_mc_pct, dampest: max(high_mc_pct - 8, 0.0),
            "24 in is its width at 8 %. Go from the narrowest month to the widest.",
        ),
    ),
    decimals=1,
    hidden=("low_mc_pct", "high_mc_pct", "dampest"),
)

EXERCISES = (TOP, GAP, FLOOR, CUP, GAUGE)
