"""On a phone's width and by keyboard alone: a wood is looked up, one's own put in, and the choices and pages follow."""

import json

from labtools import needs_browser, open_and_run, wait_for
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from test_form_and_desk import asked, field, press, said
from test_narrow import CUT, SIDEWAYS, widen

pytestmark = needs_browser

NAME, CALLED = "The name that you know the wood by", "What to call the wood"
SG = "Specific gravity: dry weight, green size (water is 1)"


def test_a_wood_is_chosen_and_one_s_own_put_in_on_a_phone(lab, browser):
    kept = lab.folder / "my-wood" / "choices.json"
    kept.unlink(missing_ok=True)
    widen(browser, 390)
    try:
        open_and_run(lab, browser, "lessons/00-start-here.ipynb")
        wait_for(lambda: browser.find_elements(By.CSS_SELECTOR, f".woodcalc-form [aria-label='{NAME}']"), 30)
        browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field(browser, NAME))
        field(browser, NAME).send_keys("poplar", Keys.ENTER)
        wait_for(lambda: any("could be several woods" in s for s in said(browser)), 30)
        assert field(browser, NAME).get_attribute("value") == "poplar"
        assert browser.execute_script(CUT) == [] and browser.execute_script(SIDEWAYS) == []
        press(browser, "Use yellow-poplar")
        wait_for(lambda: any("Yellow-poplar is kept for all lessons" in s for s in said(browser)), 20)
        field(browser, NAME).send_keys(Keys.CONTROL, "a")
        field(browser, NAME).send_keys("osage orange", Keys.ENTER)
        wait_for(lambda: any("Osage-orange is not among the 103 woods" in s for s in said(browser)), 30)
        press(browser, "Put in Osage-orange as my own wood")
        wait_for(lambda: field(browser, CALLED).get_attribute("value") == "Osage-orange", 20)
        wait_for(lambda: field(browser, SG).get_attribute("value") == "0.76", 20)
        field(browser, SG).send_keys(Keys.CONTROL, "a")
        field(browser, SG).send_keys("76")
        press(browser, "Check and use this wood")
        wait_for(lambda: any("expected a number from 0.2 to 1" in s for s in said(browser)), 20)
        assert field(browser, SG).get_attribute("value") == "76"
        field(browser, SG).send_keys(Keys.CONTROL, "a")
        field(browser, SG).send_keys("0.95")
        press(browser, "Check and use this wood")
        wait_for(lambda: any("Are you sure?" in s for s in asked(browser)), 20)
        assert browser.execute_script(CUT) == [] and browser.execute_script(SIDEWAYS) == []
        press(browser, "Keep it all the same")
        wait_for(lambda: any("Osage-orange is kept for all lessons" in s for s in said(browser)), 20)
        assert json.loads(kept.read_text())["species"] == "Osage-orange"
        wait_for(lambda: "What the book knows of Osage-orange" in browser.page_source, 20)
        assert browser.execute_script(CUT) == [] and browser.execute_script(SIDEWAYS) == []
    finally:
        kept.unlink(missing_ok=True)
        widen(browser, 1280)
