"""A lesson run, written in and saved on one day, opened again on the next: as a learner does it, in any lab."""

import json
import shutil
import time

from labtools import ROOT, open_lesson, run, wait_for
from selenium.webdriver.common.keys import Keys

from woodcalc.records.keep import HISTORY

LESSON = "lessons/07-dry-outdoors.ipynb"
DEAD = """return [...document.querySelectorAll('.jp-OutputArea-output')].map(e => e.textContent)
  .filter(t => /Error displaying widget|model not found|VBox\\(/.test(t))"""
# Pictures that are there, by their words; and the text of the page
STILLS = """return [...document.querySelectorAll('.jp-OutputArea-output img')].filter(i => i.naturalWidth > 0)
  .map(i => i.alt)"""
TEXT = "return document.querySelector('.jp-Notebook').innerText"
# What the boxes say of their engine: only what can be seen counts
NOTES = """
return [...document.querySelectorAll('.woodcalc-engine')].filter(e => e.offsetParent).map(e => e.innerText)"""


BOXES = """
return [...document.querySelectorAll('.woodcalc')].filter(e => e.offsetParent && e.querySelector('.lm-Widget')
  && !e.parentElement.closest('.woodcalc'))"""


def outputs(book):
    return {c["id"]: c["outputs"] for c in book["cells"] if c["cell_type"] == "code"}


def kinds(book):
    """What lies under each cell: text, stills and printed numbers as they came."""
    return {
        name: [(out["output_type"], out.get("execution_count"), sorted(out.get("data", {}))) for out in outs]
        for name, outs in outputs(book).items()
    }


def read(path):
    return json.loads(path.read_text(encoding="utf-8"))


def save(lab, browser, lesson):
    path = lab.folder / lesson
    before = path.stat().st_mtime_ns
    show(browser, browser.find_element("css selector", "jp-button[data-command='woodcalc:save']")).click()
    wait_for(lambda: path.stat().st_mtime_ns != before, 20)
    time.sleep(0.3)


def start_empty(lab):
    """What another test typed or saved comes back in no field, and no table of it is missed."""
    mine = lab.folder / "my-wood"
    shutil.rmtree(mine / HISTORY, ignore_errors=True)
    for left in (mine / "written.json", *mine.glob("*.csv")):
        left.unlink(missing_ok=True)


def field(browser, label):
    return browser.find_element("css selector", f".woodcalc [aria-label='{label}']")


def show(browser, element):
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", element)
    return element


def write_and_save(lab, browser):
    """Run a lesson, write a guess and an answer, save it twice; what lies on the disk is as it should be."""
    path, shipped = lab.folder / LESSON, read(ROOT / LESSON)
    open_lesson(lab, browser, LESSON)
    printed = "as printed with the book. Run this lesson to see your own"
    wait_for(lambda: printed in browser.execute_script(TEXT), 20)
    run(browser)
    assert printed not in browser.execute_script(TEXT)
    assert "These are Kettle Hollow's stacks" in browser.execute_script(TEXT)
    show(browser, field(browser, "My guess (days)")).send_keys("75" + Keys.ENTER)
    wait_for(lambda: "Noted: 75 days" in browser.execute_script(TEXT), 10)
    show(browser, field(browser, "Your answer (days, a whole number)")).send_keys("123" + Keys.ENTER)
    wait_for(lambda: "Not yet" in browser.execute_script(TEXT), 10)
    save(lab, browser, LESSON)
    saved = read(path)
    assert "widget-view" not in path.read_text()
    assert saved["metadata"] == shipped["metadata"]
    for part in ("id", "metadata", "source"):
        assert [c[part] for c in saved["cells"]] == [c[part] for c in shipped["cells"]]
    assert kinds(saved) == kinds(shipped)
    assert (
        sum("You wrote" in json.dumps(out) for out in outputs(saved).values()) == 2
    )  # the guess and the answer
    show(browser, field(browser, "My guess (days)")).send_keys(Keys.BACKSPACE * 2 + "80" + Keys.ENTER)
    wait_for(lambda: "Noted: 80 days" in browser.execute_script(TEXT), 10)
    save(lab, browser, LESSON)
    assert browser.find_elements("css selector", ".jp-Dialog") == []  # no talk of a file that changed on disk


def open_again(lab, browser):
    """The next day: stills, questions and words are there, and a run brings them back into the boxes."""
    open_lesson(lab, browser, LESSON)
    stills = wait_for(lambda: len(found := browser.execute_script(STILLS)) >= 4 and found, 30)
    text = browser.execute_script(TEXT)
    assert browser.execute_script(DEAD) == []
    assert "You wrote 80. Run this lesson to go on." in text and "You wrote 123." in text
    assert not any("error" in still.lower() for still in stills)
    run(browser)
    assert browser.execute_script(DEAD) == []
    assert field(browser, "My guess (days)").get_attribute("value") == "80"
    assert field(browser, "Your answer (days, a whole number)").get_attribute("value") == "123"
    assert len(browser.find_elements("css selector", ".woodcalc-panel [role=slider]")) > 3
    assert browser.execute_script(NOTES) == []


def load_again_while_it_runs(lab, browser):
    """Press run and load the page again at once, three times: the lab's terminal stays readable."""
    log = lab.folder / "lab.log"
    before = log.stat().st_size
    for _ in range(3):
        open_lesson(lab, browser, LESSON)
        run(browser, wait=False)
        browser.refresh()
    open_lesson(lab, browser, LESSON)
    said = log.read_bytes()[before:].decode()
    assert "Traceback" not in said and "WebSocketClosedError" not in said
    assert len(said.splitlines()) < 200
