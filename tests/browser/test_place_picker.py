"""On a phone's width and by keyboard alone: a ZIP code is typed, a station chosen, and the choices follow."""

import json

from labtools import needs_browser, open_and_run, wait_for
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from test_form_and_desk import field, press, said
from test_narrow import CUT, SIDEWAYS, widen

pytestmark = needs_browser

ZIP = "ZIP code, town and state, or latitude and longitude"


def test_a_place_is_chosen_by_keyboard_on_a_phone(lab, browser):
    kept = lab.folder / "my-wood" / "choices.json"
    kept.unlink(missing_ok=True)
    widen(browser, 390)
    try:
        open_and_run(lab, browser, "lessons/00-start-here.ipynb")
        wait_for(lambda: browser.find_elements(By.CSS_SELECTOR, f".woodcalc-form [aria-label='{ZIP}']"), 30)
        browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field(browser, ZIP))
        field(browser, ZIP).send_keys("K1A 0B6", Keys.ENTER)
        wait_for(lambda: any("Canada or Britain" in s for s in said(browser)), 30)
        assert field(browser, ZIP).get_attribute("value") == "K1A 0B6"
        field(browser, ZIP).send_keys(Keys.CONTROL, "a")
        field(browser, ZIP).send_keys("25801")
        press(browser, "Find stations")  # what was typed comes with the press
        wait_for(lambda: any("Found Beckley, WV 25801" in s for s in said(browser)), 30)
        assert browser.execute_script(CUT) == []
        assert browser.execute_script(SIDEWAYS) == []
        press(browser, "Use Beckley, WV")
        wait_for(lambda: any("Beckley, WV is kept for all lessons" in s for s in said(browser)), 20)
        assert json.loads(kept.read_text())["place"] == "Beckley, WV"
        wait_for(lambda: "stacked in May at Beckley, WV" in browser.page_source, 20)
    finally:
        kept.unlink(missing_ok=True)
        widen(browser, 1280)
