"""The button "Run this lesson" on a slow computer: pressed before the engine is there, and pressed often."""

import os
import signal
import time

from labtools import _button, kernel_process, needs_browser, open_and_run, wait_for
from second_day import BOXES, NOTES, STILLS, read, show
from selenium.common.exceptions import ElementClickInterceptedException
from selenium.webdriver.common.keys import Keys

pytestmark = needs_browser

LESSON = "lessons/07-dry-outdoors.ipynb"
# The engine of a lesson is asked for at once and comes seconds later, as on a computer that is busy
LATE = """(() => {
  const ask = window.fetch;
  window.fetch = async (what, how) => {
    const url = what.url ?? String(what), way = how?.method ?? what.method ?? 'GET';
    if (/api\\/sessions/.test(url) && way === 'POST') await new Promise(done => setTimeout(done, 6000));
    return ask(what, how);
  };
})()"""
LINE = "return document.querySelector('.woodcalc-work')?.innerText ?? ''"
RUNS = """return [...document.querySelectorAll('.jp-InputPrompt')].filter(p => /\\d/.test(p.textContent))
  .map(p => Number(p.textContent.replace(/\\D/g, '')))"""


def press(browser):
    button = wait_for(lambda: _button(browser), 60, 0.02)
    for _ in range(200):  # the picture that JupyterLab begins with lies over it
        try:
            button.click()
            return
        except ElementClickInterceptedException:
            time.sleep(0.05)


def test_pressed_before_the_engine_is_there_the_lesson_runs_once(lab, browser):
    lab.stop_kernels()
    script = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": LATE})
    try:
        browser.get(lab.url(f"doc/tree/{LESSON}"))
        press(browser)
        said = wait_for(lambda: browser.execute_script(LINE), 10, 0.02)
        assert said.startswith("Getting ready to run this lesson")
        stills = wait_for(lambda: browser.execute_script(STILLS), 10)
        assert browser.execute_script(BOXES) == []
        for _ in range(3):  # impatience
            press(browser)
        assert set(stills) <= set(
            browser.execute_script(STILLS)
        )  # nothing was emptied; more may still be drawn
        wait_for(lambda: browser.execute_script(BOXES), 60)
        wait_for(lambda: not browser.execute_script(LINE), 60)
        time.sleep(1)
        assert browser.execute_script(LINE) == ""
        code = [cell for cell in read(lab.folder / LESSON)["cells"] if cell["cell_type"] == "code"]
        assert max(browser.execute_script(RUNS)) <= len(code)  # once, however often it was pressed
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", script)


def test_a_long_run_says_how_far_it_is(lab, browser):
    open_and_run(lab, browser, LESSON)
    engine = kernel_process(lab)
    os.kill(engine, signal.SIGSTOP)
    try:
        press(browser)
        said = wait_for(lambda: browser.execute_script(LINE), 10, 0.05)
        press(browser)
    finally:
        os.kill(engine, signal.SIGCONT)
    assert said.startswith("The lesson is still working: step 1 of ")
    wait_for(lambda: not browser.execute_script(LINE), 60)
    assert browser.execute_script(BOXES)


# What loads the script of a box gives up after two seconds, and then hands on no message from the engine any more
GIVES_UP = """(() => {
  const wait = AbortSignal.timeout.bind(AbortSignal);
  AbortSignal.timeout = ms => wait(ms === 2000 ? 0 : ms);
})()"""


def test_a_box_that_was_slow_to_begin_does_not_say_that_its_engine_is_lost(lab, browser):
    script = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": GIVES_UP})
    try:
        open_and_run(lab, browser, LESSON)
        slider = browser.find_element("css selector", ".woodcalc-panel [role=slider]")
        show(browser, slider).send_keys(Keys.ARROW_RIGHT)
        end = time.monotonic() + 7  # it asks, waits, looks twice
        while time.monotonic() < end:
            assert browser.execute_script(NOTES) == []
            time.sleep(0.25)
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", script)
