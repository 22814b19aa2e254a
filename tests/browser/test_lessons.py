"""Every lesson in a real browser: run it, move every slider to both ends with the keyboard, look for trouble."""

import time

import pytest
from labtools import LESSONS, needs_browser, open_and_run, wait_for

pytestmark = needs_browser

# One line per panel: how many sliders it has; the picture is found again each time, since it is replaced.
PICTURE = """const p = document.querySelectorAll('.woodcalc-panel')[arguments[0]];
const i = p.querySelector('.widget-html img'); return i && i.src"""
TROUBLE = """return [...document.querySelectorAll(
  '[data-mime-type="application/vnd.jupyter.error"], [data-mime-type="application/vnd.jupyter.stderr"]')]
  .map(e => e.textContent.slice(0, 300))"""
UNNAMED = """return [...document.querySelectorAll('.woodcalc [role=slider], .woodcalc input, .woodcalc select')]
  .filter(e => !(e.getAttribute('aria-label') || (e.labels && e.labels.length && e.labels[0].textContent.trim())))
  .map(e => e.outerHTML.slice(0, 120))"""


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_learner_runs_the_lesson_and_moves_every_slider(lesson, lab, browser):
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys

    open_and_run(lab, browser, lesson)
    assert browser.execute_script(TROUBLE) == []
    assert browser.execute_script(UNNAMED) == []
    for n, panel in enumerate(browser.find_elements(By.CSS_SELECTOR, ".woodcalc-panel")):
        handles = panel.find_elements(By.CSS_SELECTOR, ".woodcalc-dial [role=slider]")
        for handle in handles:
            label = handle.get_attribute("aria-label")
            seen = {browser.execute_script(PICTURE, n)}
            assert seen != {None}, f"{lesson}: no picture beside {label!r}"
            for key in (Keys.HOME, Keys.END):
                start = float(handle.get_attribute("aria-valuenow"))
                handle.send_keys(key)
                end = float(handle.get_attribute("aria-valuemin" if key == Keys.HOME else "aria-valuemax"))
                wait_for(lambda h=handle, v=end: abs(float(h.get_attribute("aria-valuenow")) - v) < 1e-6, 10)
                if start != end:
                    wait_for(lambda n=n, seen=seen: browser.execute_script(PICTURE, n) not in seen, 10, 0.03)
                    seen.add(browser.execute_script(PICTURE, n))
            assert len(seen) > 1, f"{lesson}: {label!r} changes nothing"
    time.sleep(0.5)
    assert browser.execute_script(TROUBLE) == []
    broken = browser.execute_script(
        "return [...document.querySelectorAll('.woodcalc-warn')].map(e => e.textContent).filter(t => /could not draw/.test(t))"
    )
    assert broken == []
    loud = [
        line["message"]
        for line in browser.get_log("browser")
        if line["level"] == "SEVERE" and "favicon" not in line["message"]
    ]
    assert loud == []


def test_no_lesson_is_left_out():
    assert len([name for name in LESSONS if name.startswith("lessons/") and name.count("/") == 1]) == 12
