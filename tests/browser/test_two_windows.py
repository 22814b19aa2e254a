"""Two windows with the form for logs: each keeps its own half-typed row, and one press in each saves each row once."""

import json
import shutil

from labtools import needs_browser, open_and_run, open_lesson, run, wait_for
from second_day import start_empty
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select
from test_form_and_desk import field, press, said

from woodcalc import records

pytestmark = needs_browser


def type_log(browser, small):
    wait_for(
        lambda: browser.find_elements(By.CSS_SELECTOR, ".woodcalc-form [aria-label='Small end (in) *']"), 20
    )
    for label, text in (
        ("Species *", "white oak"),
        ("Small end (in) *", small),
        ("Length (ft) *", "12' 4\""),
    ):
        box = field(browser, label)
        browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", box)
        box.clear()
        box.send_keys(text)


def told(browser, words):
    try:
        wait_for(lambda: any(words in s for s in said(browser)), 40)
    except TimeoutError:
        raise AssertionError((words, said(browser))) from None


def test_two_windows_with_one_table(lab, browser):
    start_empty(lab)
    shutil.rmtree(
        lab.folder / "my-wood" / "history", ignore_errors=True
    )  # a number once given is not given again
    open_and_run(lab, browser, "lessons/01-measure-the-log.ipynb")
    type_log(browser, "16")
    written = lab.folder / "my-wood" / "written.json"
    wait_for(lambda: written.exists() and "12' 4" in written.read_text(), 10)
    first = browser.current_window_handle
    browser.switch_to.new_window("tab")
    try:
        open_lesson(lab, browser, "lessons/08-keep-the-records.ipynb")  # an engine of its own
        run(browser)
        Select(field(browser, "Table")).select_by_visible_text("logs")
        wait_for(
            lambda: browser.find_elements(By.CSS_SELECTOR, ".woodcalc-form [aria-label='Small end (in) *']"),
            20,
        )
        assert field(browser, "Small end (in) *").get_attribute("value") == ""
        type_log(browser, "20")
        press(browser, "Check and save")
        told(browser, "Saved as your first log")
    finally:
        browser.close()
        browser.switch_to.window(first)
    assert "12' 4" in json.dumps(json.loads(written.read_text())).replace('\\\\\\"', '"')
    assert field(browser, "Small end (in) *").get_attribute("value") == "16"
    press(browser, "Check and save")
    told(browser, "Saved as row 3 of logs.csv")
    assert records.read(lab.folder / "my-wood" / "logs.csv")["small_in"].tolist() == [20, 16]
    table = browser.find_element(By.XPATH, "//table[caption[contains(., 'logs.csv')]]").text
    assert "12' 4\"" in table and "Small end (in)" in table and "small_in" not in table
    offered = [
        o.text for o in Select(browser.find_element(By.CSS_SELECTOR, "select[aria-label='Log']")).options
    ]
    assert offered == ["1, white oak", "2, white oak"]  # the picture beside the form offers them at once


def elsewhere(browser):
    return browser.execute_script(
        "return [...document.querySelectorAll('.woodcalc-elsewhere')].map(e => e.innerText)"
    )


def test_a_lesson_that_is_run_in_a_second_window_says_so_in_the_first(lab, browser):
    start_empty(lab)
    lesson = "lessons/01-measure-the-log.ipynb"
    open_and_run(lab, browser, lesson)
    run(browser)  # again in the same window: new boxes stand where the old ones stood
    assert elsewhere(browser) == [] and browser.find_elements(By.CSS_SELECTOR, ".woodcalc-panel")
    first = browser.current_window_handle
    browser.switch_to.new_window("tab")
    try:
        open_lesson(lab, browser, lesson)
        run(browser)
        assert elsewhere(browser) == [] and browser.find_elements(By.CSS_SELECTOR, ".woodcalc-panel")
    finally:
        browser.close()
        browser.switch_to.window(first)
    wait_for(lambda: elsewhere(browser), 10)
    told = "This lesson was run in another window. Press Run this lesson here to go on."
    emptied = ".jp-CodeCell .jp-OutputArea-output.lm-mod-hidden"
    wait_for(lambda: len(elsewhere(browser)) == len(browser.find_elements(By.CSS_SELECTOR, emptied)), 10)
    assert set(elsewhere(browser)) == {told}  # whichever of a box's parts the engine closes first
    run(browser)
    assert elsewhere(browser) == [] and browser.find_elements(By.CSS_SELECTOR, ".woodcalc-panel")
