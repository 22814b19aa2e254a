"""Speed of sawing: one log by three patterns, and a whole tally."""

import numpy as np

from woodcalc.logs import Log
from woodcalc.sawing import PATTERNS, saw, saw_tally


def test_three_patterns_of_one_log(benchmark):
    """Target: a 20-in log, three thicknesses, all three patterns in 100 ms."""
    log = Log(small_in=20, length_ft=16)
    sizes = {"4/4": 1.125, "5/4": 1.375, "8/4": 2.25}
    plans = benchmark(lambda: [saw(log, 3 / 32, sizes, p) for p in PATTERNS])
    assert min(p.board_feet for p in plans) > 300


def test_tally_of_200_logs(benchmark):
    """Target: 200 logs with boards, shares and sheets in 10 s."""
    rng = np.random.default_rng(1)
    logs = [Log(small_in=float(d), length_ft=12) for d in rng.uniform(8, 24, 200)]

    def run():
        tally = saw_tally(logs, 1 / 8, {"4/4": 1.125, "8/4": 2.25})
        return tally, len(tally.sheets)

    tally, _ = benchmark.pedantic(run, rounds=2)
    assert len(tally.plans) == 200
