"""The bar of a long tally: it moves while logs are sawn, and is gone at the end; a short tally has none."""

from woodcalc.lesson import progress
from woodcalc.logs import Log
from woodcalc.sawing import saw_tally


def test_a_long_tally_counts_its_logs_and_clears_the_bar(monkeypatch):
    shown = []
    monkeypatch.setattr(progress.Progress, "show", lambda self, text: shown.append(text))
    monkeypatch.setattr(progress, "EVERY_S", 0)
    tally = [Log(8, length_ft=8)] * 70 + [Log(3, length_ft=8)]  # one too thin is seen, too
    sawn = saw_tally(tally, 1 / 8, {"4/4": 1.0625}, seen=progress.Progress(71))
    assert len(sawn.plans) == 70 and len(shown) == 72 and shown[-1] == ""
    assert 'max="71" value="70"' in shown[-2] and "70 of 71 logs sawn" in shown[-2]


def test_a_short_tally_shows_none_and_a_fast_one_few(monkeypatch):
    shown = []
    monkeypatch.setattr(progress.Progress, "show", lambda self, text: shown.append(text))
    monkeypatch.setattr(progress, "monotonic", lambda: 7.0)
    for count in (18, 100):
        bar = progress.Progress(count)
        for done in range(count + 1):
            bar(done)
    assert len(shown) == 2 and shown[1] == ""  # the first of the long one, and its end
