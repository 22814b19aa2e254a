"""The second day: a lesson that was run, written in, saved, closed and opened again; an engine that goes away."""

import os
import signal
import time

from labtools import ROOT, kernel_process, needs_browser, open_and_run, run, wait_for
from second_day import (
    BOXES,
    DEAD,
    LESSON,
    NOTES,
    field,
    load_again_while_it_runs,
    open_again,
    read,
    save,
    show,
    start_empty,
    write_and_save,
)
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

pytestmark = needs_browser

# The form of the records; above it stands the switch that sets a lesson's dials
FORM = "//*[contains(@class, 'woodcalc-form')][.//button[normalize-space()='Check and save']]"


def no_dialog(browser):
    """Put away what JupyterLab itself asks or tells."""
    for button in browser.find_elements("css selector", ".jp-Dialog .jp-mod-accept"):
        browser.execute_script("arguments[0].click()", button)


def told(browser, words, seconds):
    """Wait for a note that holds `words`; return after how many seconds it came."""
    began = time.monotonic()
    wait_for(lambda: any(words in note for note in browser.execute_script(NOTES)), seconds, 0.05)
    return time.monotonic() - began


def test_run_written_in_saved_ended_and_opened_again(lab, browser, report):
    lab.stop_kernels()
    (lab.folder / "my-wood/written.json").unlink(missing_ok=True)  # other tests write guesses, too
    write_and_save(lab, browser)
    lab.close()
    ended_s = told(browser, "can’t reach its engine", 10)
    assert field(browser, "My guess (days)").get_attribute("value") == "80"
    lab.start()
    open_again(lab, browser)
    load_again_while_it_runs(lab, browser)
    report("seconds until a page says that its engine is out of reach (server ended)", f"{ended_s:.1f}")
    assert ended_s < 5


def test_an_engine_that_dies_under_an_open_form_is_told_within_five_seconds(lab, browser, report):
    start_empty(lab)
    open_and_run(lab, browser, "lessons/08-keep-the-records.ipynb")
    stack = wait_for(lambda: field(browser, "Stack *"), 20)
    show(browser, stack).send_keys("A" + Keys.TAB)
    field(browser, "Note").send_keys("the north end feels damp")
    assert browser.execute_script(NOTES) == []
    os.kill(kernel_process(lab), signal.SIGKILL)
    died_s = told(browser, "This page has lost its engine.", 15)
    no_dialog(browser)  # JupyterLab starts another engine by itself, and says so
    assert field(browser, "Note").get_attribute("value") == "the north end feels damp"
    assert field(browser, "Stack *").get_attribute("value") == "A"
    form = browser.find_element("xpath", FORM)
    button = form.find_element("xpath", ".//button[normalize-space()='Check and save']")
    show(browser, button).send_keys(Keys.SPACE)
    time.sleep(0.5)
    note = form.find_element("css selector", ".woodcalc-engine")
    assert 0 < button.rect["y"] - note.rect["y"] + 400 < 800, "the note stands where the hand is"
    assert "Press Run this lesson to go on." in note.text and "What you typed stays here" in note.text
    assert browser.execute_script(
        "const r = arguments[0].getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight", note
    )
    roles = "return [...document.querySelectorAll('.woodcalc-engine[role=alert]')].length"
    assert browser.execute_script(roles) <= 1  # one voice, not fifteen
    run(browser)
    wait_for(lambda: browser.execute_script(NOTES) == [], 10)
    note = "return document.querySelector(\".woodcalc-form [aria-label='Note']\").value"
    wait_for(lambda: browser.execute_script(note) == "the north end feels damp", 20)  # what was typed is back
    show(browser, field(browser, "Value *")).send_keys("heavy")
    form = browser.find_element("xpath", FORM)
    show(browser, form.find_element("xpath", ".//button[normalize-space()='Check and save']")).send_keys(
        Keys.SPACE
    )
    wait_for(lambda: "heavy" in form.text and "Not saved yet" in form.text, 10)
    assert "Stack: found" not in form.text  # the new engine knows what was brought back
    assert browser.execute_script(DEAD) == []
    report("seconds until a form says that its engine is gone (killed)", f"{died_s:.1f}")
    assert died_s < 5


def test_an_engine_that_is_started_anew_or_ended_from_elsewhere_is_told_too(lab, browser, report):
    open_and_run(lab, browser, LESSON)
    slider = "css selector", ".woodcalc-panel [role=slider]"
    lab.process.send_signal(signal.SIGSTOP)  # as if it slept, or the network had dropped out
    try:
        show(browser, browser.find_element(*slider)).send_keys(Keys.ARROW_RIGHT)
        told_s = told(browser, "can’t reach its engine", 15)
    finally:
        lab.process.send_signal(signal.SIGCONT)
    report("seconds until a page says that its engine is out of reach (server asleep)", f"{told_s:.1f}")
    assert told_s < 5
    wait_for(lambda: browser.execute_script(NOTES) == [], 15)  # it goes away by itself
    for way in ("started anew", "ended"):
        session = lab.api("sessions")[0]
        if way == "started anew":
            lab.api(f"kernels/{session['kernel']['id']}/restart", "POST")
        else:
            run(browser)
            assert browser.execute_script(NOTES) == []
            lab.api(f"sessions/{session['id']}", "DELETE")
        show(browser, browser.find_element(*slider)).send_keys(Keys.ARROW_RIGHT)
        told_s = told(browser, "This page has lost its engine.", 15)
        no_dialog(browser)
        report(f"seconds until a page says that its engine is gone ({way})", f"{told_s:.1f}")
        assert told_s < 5
        boxes = len(browser.execute_script(BOXES))
        assert boxes > 8
        wait_for(lambda n=boxes: len(browser.execute_script(NOTES)) == n, 1)  # what one finds out, all say


C, S, A = Keys.CONTROL, Keys.SHIFT, Keys.ALT
SLIPS = [
    *(
        ("d", "d"),
        "x",
        "a",
        "b",
        ("c", "v"),
        "m",
        "y",
        "r",
        *"123456",
        "z",
        Keys.ENTER,
        (Keys.ENTER, "q"),
        ("0", "0"),
    ),
    *(("i", "i"), Keys.DELETE, Keys.BACKSPACE, Keys.ARROW_LEFT, Keys.ARROW_RIGHT, "o", "l", "h"),
    *(
        [S, "m"],
        [S, "z"],
        [S, "a"],
        [S, "b"],
        [S, "v"],
        [C, "z"],
        [C, "x"],
        [C, "v"],
        [C, S, "m"],
        [C, S, "-"],
    ),
    *(
        [C, Keys.BACKSPACE],
        [C, S, Keys.ARROW_UP],
        [C, S, Keys.ARROW_DOWN],
        [C, S, Keys.ARROW_LEFT],
        [A, Keys.ENTER],
    ),
    ([C, "a"], "x"),
    ([C, "a"], "d", "d"),
    ([C, "a"], [S, "m"]),
]


def press(browser, keys):
    for key in keys if isinstance(keys, tuple) else (keys,):
        chain = ActionChains(browser)
        *held, last = key if isinstance(key, list) else [key]
        for k in held:
            chain.key_down(k)
        chain.send_keys(last)
        for k in held:
            chain.key_up(k)
        chain.perform()


CELLS = """return [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(c =>
  [/jp-(Code|Markdown|Raw)Cell/.exec(c.className)[1], c.classList.contains('jp-mod-rendered'),
   !!c.querySelector('.jp-InputPlaceholder'), !!document.querySelector('.jp-Dialog')])"""


def test_a_slip_of_the_key_changes_nothing(lab, browser):
    path = lab.folder / LESSON
    open_and_run(lab, browser, LESSON)
    save(lab, browser, LESSON)
    before, cells = path.read_bytes(), browser.execute_script(CELLS)
    kinds = [c["cell_type"] for c in read(path)["cells"]]
    for n in (kinds.index("markdown", 1), kinds.index("code")):
        cell = browser.find_elements("css selector", ".jp-Notebook .jp-Cell")[n]
        for keys in SLIPS:
            browser.execute_script("arguments[0].scrollIntoView(); arguments[0].focus()", cell)
            assert browser.execute_script("return document.activeElement === arguments[0]", cell)
            press(browser, keys)
            time.sleep(0.05)
            assert browser.execute_script(CELLS) == cells, f"cell {n}: {keys!r}"
    last = browser.find_elements("css selector", ".jp-Notebook .jp-Cell")[-1]
    browser.execute_script("arguments[0].scrollIntoView(); arguments[0].focus()", last)
    press(browser, [S, Keys.ENTER])  # JupyterLab adds an empty cell at the end: it is not kept
    time.sleep(1)
    save(lab, browser, LESSON)
    assert path.read_bytes() == before
    # Whoever wants a cell of one's own can have it, and write in it by keyboard
    own = browser.find_elements("css selector", ".jp-Notebook .jp-Cell")[-1]
    browser.execute_script("arguments[0].focus()", own)
    press(browser, (Keys.ENTER, *"6*7"))
    press(browser, [C, Keys.ENTER])
    wait_for(lambda: "42" in own.text, 20)
    save(lab, browser, LESSON)
    assert [c["source"] for c in read(path)["cells"][len(kinds) :]] == [["6*7"]]
    path.write_bytes((ROOT / LESSON).read_bytes())
