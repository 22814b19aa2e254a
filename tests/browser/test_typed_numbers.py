"""Numbers typed one after the other into a dial, on and off its steps: each stands as it was typed."""

import time

from labtools import needs_browser, open_and_run, wait_for
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

pytestmark = needs_browser

DIAL = "Narrowest way, inside bark (in)"


def test_the_last_number_that_was_typed_stands(lab, browser):
    """The page rounds a value to a step that changes, and sends that back: it must not overtake what was typed."""
    open_and_run(lab, browser, "lessons/01-measure-the-log.ipynb")
    row = wait_for(lambda: _row(browser), 20)
    field, handle = row.find_element(By.CSS_SELECTOR, "input[type=text]"), row.find_element(
        By.CSS_SELECTOR, "[role=slider]"
    )  # fmt: skip
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field)
    for typed, value in (
        ("14-1/4", 14.25),
        ("16", 16),
        ("18 3/8", 18.375),
        ("12-1/4", 12.25),
        ("15.5", 15.5),
    ):
        field.send_keys(Keys.CONTROL + "a")
        field.send_keys(typed + Keys.TAB)
        wait_for(lambda v=value: _near(handle, v), 10, 0.03)
        time.sleep(0.7)  # what the page sends back on its own comes within that
        assert field.get_attribute("value") == typed and _near(handle, value)
    handle.send_keys(Keys.ARROW_RIGHT)  # moved by hand it goes by its usual steps again
    wait_for(lambda: field.get_attribute("value") == "16", 10, 0.03)


REFUSED = {  # and what is said of it, under the picture
    "9 m": "found '9 m'; expected a number from",
    "14 lb": "This is in inches, not in pounds.",
    "14 %": "This is in inches, not in percent.",
    "12 14": "Only one number goes in here.",
    "141/2": "141/2 could be 14-1/2, or 70.5.",
    "about 14": "It does not begin with a number.",
    "14 x": "What does 'x' stand for?",
    "99": "found '99'; expected a number from",
    "-14": "found '-14'; expected a number from",
    "1e9": "found '1e9'; expected a number from",
}


def test_what_is_refused_is_said_and_moves_nothing(lab, browser):
    open_and_run(lab, browser, "lessons/01-measure-the-log.ipynb")
    row = wait_for(lambda: _row(browser), 20)
    field, handle = row.find_element(By.CSS_SELECTOR, "input[type=text]"), row.find_element(
        By.CSS_SELECTOR, "[role=slider]"
    )  # fmt: skip
    panel = row.find_element(By.XPATH, "ancestor::div[contains(@class, 'woodcalc-panel')]")
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field)
    stands = handle.get_attribute("aria-valuenow")
    for typed, says in REFUSED.items():
        field.send_keys(Keys.CONTROL + "a")
        field.send_keys(typed + Keys.TAB)
        wait_for(lambda said=says: said in panel.text, 10, 0.05)
        assert (field.get_attribute("value"), handle.get_attribute("aria-valuenow")) == (typed, stands)


def test_another_unit_is_taken_and_said(lab, browser):
    open_and_run(lab, browser, "lessons/01-measure-the-log.ipynb")
    row = wait_for(lambda: _row(browser), 20)
    field, handle = row.find_element(By.CSS_SELECTOR, "input[type=text]"), row.find_element(
        By.CSS_SELECTOR, "[role=slider]"
    )  # fmt: skip
    panel = row.find_element(By.XPATH, "ancestor::div[contains(@class, 'woodcalc-panel')]")
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field)
    for typed, says, value in (
        ("35 cm", "35 cm is 13-3/4 in.", 13.75),
        ("300 mm", "300 mm is 11-13/16 in.", 11.8125),
        ("0.4 m", "0.4 m is 15-3/4 in.", 15.75),
    ):
        field.send_keys(Keys.CONTROL + "a")
        field.send_keys(typed + Keys.TAB)
        wait_for(lambda said=says: said in panel.text, 10, 0.05)
        time.sleep(0.7)
        assert field.get_attribute("value") == typed and _near(handle, value)
    handle.send_keys(Keys.ARROW_RIGHT)
    wait_for(lambda: field.get_attribute("value") == "16" and " m is " not in panel.text, 10, 0.03)


def _near(handle, value):
    """True if the slider says that it stands there; it says tenths."""
    return abs(float(handle.get_attribute("aria-valuenow")) - value) < 0.06


def _row(browser):
    found = browser.find_elements(By.XPATH, f"//*[@role='slider' and @aria-label='{DIAL}']")
    return found and found[0].find_element(By.XPATH, "ancestor::div[contains(@class, 'woodcalc-dial')]")
