"""Thirty different worksheets and their key on paper: within a minute."""

import shutil

import pytest

from woodcalc.leader import worksheets

KEYS = [e.key for e in worksheets.on_paper()]


@pytest.mark.parametrize("exercises", [4, len(KEYS)])
def test_thirty_worksheets_and_key(exercises, tmp_path, benchmark):
    """Target: 60 s for HTML and PDF of both; an evening takes about four exercises, and all of them must do as well."""

    def deal_and_write():
        return worksheets.write(tmp_path, "Tuesday", worksheets.make("Tuesday", KEYS[:exercises], 30))

    files = benchmark.pedantic(deal_and_write, rounds=2)
    benchmark.extra_info["files"] = [f"{p.name}: {p.stat().st_size / 1e6:.1f} MB" for p in files]
    assert len(files) == (4 if shutil.which("chromium") else 2)
