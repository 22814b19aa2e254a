"""The printed plan: letter paper, a few pages, nothing wider than the sheet."""

import re

from labtools import needs_browser, print_to_pdf

from woodcalc.figures import plan as pages
from woodcalc.plan import make_plan

pytestmark = needs_browser


def test_prints_on_a_few_letter_pages(tmp_path):
    page = pages.write(make_plan(start="2026-05-15"), tmp_path / "plan.html")
    pdf = print_to_pdf(page, tmp_path)
    data = pdf.read_bytes()
    assert len(re.findall(rb"/Type\s*/Page\b", data)) <= 9  # the sheet for the wall, and eight
    assert set(re.findall(rb"/MediaBox\s*\[([^\]]*)\]", data)) == {b"0 0 612 792"}  # 8.5 x 11 in of 72 points


def test_nothing_sticks_out_of_the_printed_width(tmp_path, browser):
    plan = make_plan(start="2026-05-15")
    for page in (pages.write(plan, tmp_path / "plan.html"), pages.write_mill(plan, tmp_path / "mill.html")):
        browser.get(page.as_uri())
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        browser.execute_script("document.documentElement.style.width = '7.3in'")  # letter less the margins
        wide = browser.execute_script(
            "const right = document.documentElement.getBoundingClientRect().right + 0.5;"
            "return [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > right)"
            ".map(e => e.tagName + ' ' + e.textContent.slice(0, 40))"
        )
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
        assert wide == []
