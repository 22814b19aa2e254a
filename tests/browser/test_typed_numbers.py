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


def _near(handle, value):
    """True if the slider says that it stands there; it says tenths."""
    return abs(float(handle.get_attribute("aria-valuenow")) - value) < 0.06


def _row(browser):
    found = browser.find_elements(By.XPATH, f"//*[@role='slider' and @aria-label='{DIAL}']")
    return found and found[0].find_element(By.XPATH, "ancestor::div[contains(@class, 'woodcalc-dial')]")
