"""The page of a log at the mill as a PDF: one leaf a log, no side that runs over, warnings large enough."""

import shutil
import subprocess

import pytest
from labtools import needs_browser, print_to_pdf

from woodcalc import records
from woodcalc.figures.settings_sheet import page_of
from woodcalc.logs import Log, logs_of
from woodcalc.sawing import rules, saw
from woodcalc.sawing.mill import Mill

pytestmark = [
    needs_browser,
    pytest.mark.skipif(not shutil.which("pdftotext"), reason="needs poppler's pdftotext"),
]
SET = {"4/4": 1.0625}
AWKWARD = (
    (Log(26, 29, 10, species="black walnut", label="W", crack_clock=2, metal_check="found"), "heart check 7 in long"),
    (Log(12, 13.5, 12, species="eastern white pine", label="P", sweep_in=3, bow_clock=4), ""),
    (Log(20, 22.5, 12, species="northern red oak", label="O", worst_clock=5), "knots on one face"),
)  # fmt: skip


def sides(tmp_path, page):
    """The text of each side of paper of a page, as it comes out of the printer."""
    made = tmp_path / "sheet.html"
    made.write_text(page, encoding="utf-8")
    pdf = print_to_pdf(made, tmp_path)
    text = subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True
    ).stdout
    return text.split("\f")[:-1]


def test_each_log_has_its_own_leaf_and_no_side_runs_over(tmp_path):
    """A card, then what hangs at the mill: one side, or two and a blank, or three; the ladder last."""
    some = [(log, "") for log in logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv"))[:6:2]]
    for log, note in [*AWKWARD, *some]:
        for plan in (
            rules.sawn_by(log, 1 / 8, SET),
            saw(log, 1 / 8, SET, "through-and-through", drop_step_in=1 / 16, bow_up=bool(log.sweep_in)),
        ):
            page = page_of(plan, note, Mill(), 0.75)
            found = sides(tmp_path, page)
            hang = page.count('<div class="at-mill">')
            blank, ladder = page.count('<p class="blank">'), page.count('class="ladder"')
            assert len(found) == 1 + hang + blank + ladder, (log, plan.pattern, len(found), hang)
            assert (1 + hang + blank) % 2 == 0 and hang <= 3
            assert all("at the mill" in side for side in found[1 : 1 + hang])


def test_warnings_are_of_twelve_points_at_least(tmp_path, browser):
    log, note = AWKWARD[0]
    made = tmp_path / "sheet.html"
    made.write_text(page_of(rules.sawn_by(log, 1 / 8, SET), note, Mill(), 0.75), encoding="utf-8")
    browser.get(made.as_uri())
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    seen = browser.execute_script(
        "return [...document.querySelectorAll('.told, .told .small, .detect, .warns')]"
        ".map(e => [e.className, parseFloat(getComputedStyle(e).fontSize) * 0.75])"
    )
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert {name for name, _ in seen} >= {"told", "small", "detect", "warns"}
    assert min(points for _, points in seen) >= 12 - 1e-6, seen


def test_no_cell_runs_into_its_neighbor_and_no_column_cuts_a_warning(tmp_path, browser):
    """Every pass's cells keep 3 px apart; a warning, and a picture with its title, stand in one column."""
    made = tmp_path / "sheet.html"
    for log, note in AWKWARD:
        for kerf in (0.1, 1 / 8):
            made.write_text(page_of(rules.sawn_by(log, kerf, SET), note, Mill(), 0.75), encoding="utf-8")
            browser.get(made.as_uri())
            browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
            near, cut, both, columns = browser.execute_script(
                """document.querySelectorAll('.steps').forEach(e => { e.style.height = '8.1in' });  // as paper does
                const box = e => { const g = document.createRange(); g.selectNodeContents(e); return g };
                const near = [...document.querySelectorAll('.passes tbody tr')].flatMap(r => [...r.cells].slice(0, -1)
                  .filter(c => c.innerText.trim()).map((c, i) => [r.cells[c.cellIndex + 1].getBoundingClientRect().left
                  - box(c).getBoundingClientRect().right, c.innerText]));
                const cut = [...document.querySelectorAll('.set-up .warns')].filter(e => {
                  const x = [...e.getClientRects()].map(r => r.left); return Math.max(...x) - Math.min(...x) > 340
                  }).map(e => e.innerText);
                const both = [...document.querySelectorAll('.lies:has(h3)')].filter(
                  e => e.getClientRects().length > 1).length;
                const columns = new Set([...document.querySelectorAll('.set-up')].flatMap(
                  e => [...e.getClientRects()].map(r => Math.round(r.left)))).size;
                return [near, cut, both, columns]"""
            )
            browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
            assert near and min(gap for gap, _ in near) >= 3, min(near)
            assert columns > 1 and not cut and not both, (log, cut, both, columns)
