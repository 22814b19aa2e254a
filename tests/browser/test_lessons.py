"""Every lesson in a real browser, by keyboard alone: run it, reach and use every control, look for trouble.

Each lesson is opened once; the tests of a lesson run one after the other on the same page.
"""

import time

import pytest
from labtools import LESSONS, needs_browser, open_and_run, wait_for
from test_narrow import widen
from windows import amiss_on_a_phone, amiss_on_a_projector, what_axe_finds

pytestmark = needs_browser

# The picture is found again each time, since it is replaced.
PICTURE = """const p = document.querySelectorAll('.woodcalc-panel')[arguments[0]];
const i = p.querySelector('.widget-html img'); return i && i.src"""
TROUBLE = """return [...document.querySelectorAll(
  '[data-mime-type="application/vnd.jupyter.error"], [data-mime-type="application/vnd.jupyter.stderr"]')]
  .map(e => e.textContent.slice(0, 300))"""
WHAT = ", ".join(
    f".woodcalc {w}" for w in ("[role=slider]", "input", "select", "textarea", "button", "summary")
)
CONTROLS = f"""window.controls = [...document.querySelectorAll({WHAT!r})].filter(e => e.offsetParent && !e.disabled);
return window.controls.map(e => (e.getAttribute('aria-label') || e.textContent || e.type).trim().slice(0, 60))"""
# Where the focus goes: number of the control, whether a sighted person sees it (a ring of 2 px or more), in the lesson
FOCUSES = """window.met = [];
window.follow ??= document.addEventListener('focusin', ({ target: e }) => { const s = getComputedStyle(e);
  window.met.push([window.controls.indexOf(e), s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2,
    !!e.closest('.jp-Notebook')]) }) ?? true"""
WHOLE = "[contains(concat(' ', normalize-space(@class), ' '), ' woodcalc ')]"
NEAREST = f"ancestor::div{WHOLE}[1]"
TABS = 20  # pressed in one go
INSIDE = "return [...arguments[0].querySelectorAll(arguments[1])].filter(e => e.offsetParent && !e.disabled)"


@pytest.fixture(scope="module", params=LESSONS)
def lesson(request, lab, browser):
    """Return the name of a lesson that has just been opened and run."""
    widen(browser, 1280)
    open_and_run(lab, browser, request.param)
    yield request.param
    widen(browser, 1280)


def test_the_reader_stands_where_the_lesson_begins(lesson, lab, browser):
    assert browser.execute_script("return document.querySelector('.jp-WindowedPanel-outer').scrollTop") == 0
    assert (
        "woodcalc.lesson.server | extension was successfully loaded" in (lab.folder / "lab.log").read_text()
    )


def press(browser, *keys):
    """Press keys one after the other wherever the focus is."""
    from selenium.webdriver.common.action_chains import ActionChains

    ActionChains(browser).send_keys(*keys).perform()


def focus(browser, element):
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'}); arguments[0].focus()", element)


def panels(browser):
    return browser.find_elements("css selector", ".woodcalc-panel")


def inside(browser, element, selector):
    return browser.execute_script(INSIDE, element, selector)


def changes(browser, n, old, what):
    """Wait until panel `n` shows another picture than `old`."""
    try:
        wait_for(lambda: browser.execute_script(PICTURE, n) != old, 10, 0.03)
    except TimeoutError:
        pytest.fail(f"the picture of panel {n} does not change with {what}")


def quiet(browser, n):
    """Wait until the picture of panel `n` stays as it is."""
    old = None
    while old != (old := browser.execute_script(PICTURE, n)):
        time.sleep(0.1)


def test_it_runs_without_trouble(lesson, browser):
    assert browser.execute_script(TROUBLE) == []
    assert browser.execute_script("return document.querySelectorAll('.woodcalc').length") > 0


def test_a_screen_reader_hears_the_name_of_every_control(lesson, browser):
    """Names as chromium's own accessibility tree has them, which screen readers are given."""
    tree = browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    by_node = {n["backendDOMNodeId"]: n for n in tree if "backendDOMNodeId" in n and not n["ignored"]}
    root = browser.execute_cdp_cmd("DOM.getDocument", {"depth": 0})["root"]["nodeId"]
    found = browser.execute_cdp_cmd("DOM.querySelectorAll", {"nodeId": root, "selector": WHAT})["nodeIds"]
    heard, unnamed = [], []
    for node in found:
        described = browser.execute_cdp_cmd("DOM.describeNode", {"nodeId": node})["node"]
        if ax := by_node.get(described["backendNodeId"]):
            name = ax.get("name", {}).get("value", "").strip()
            (heard if name else unnamed).append(
                f"{ax['role']['value']}: {name} {described.get('attributes')}"[:200]
            )
    assert unnamed == []
    assert len(heard) >= len(browser.execute_script(CONTROLS)) > 0


def test_tab_reaches_every_control_in_order_and_shows_where_it_is(lesson, browser):
    from selenium.webdriver.common.keys import Keys

    names = browser.execute_script(CONTROLS)
    browser.execute_script(
        "[...document.querySelectorAll('.jp-NotebookPanel-toolbar jp-button')]"
        ".find(b => b.textContent.includes('Run this lesson')).focus()"
    )
    browser.execute_script(FOCUSES)
    went, over = [], False
    for _ in range((3 * len(names) + 60) // TABS + 1):
        press(browser, *[Keys.TAB] * TABS)
        went = browser.execute_script("return window.met")
        begun = next((n for n, (number, *_) in enumerate(went) if number >= 0), len(went))
        over = any(number == len(names) - 1 or not in_lesson for number, _, in_lesson in went[begun:])
        if over:
            break
    met, unseen = [], []
    for number, visible, in_lesson in went:
        if number >= 0:
            met.append(number)
            if not visible:
                unseen.append(names[number])
        if number == len(names) - 1 or (met and not in_lesson):
            break
    assert [names[n] for n in range(len(names)) if n not in met] == [], "not reached"
    assert met == sorted(met), "out of order"
    assert unseen == []


def chosen(browser, n, menu):
    """Go through the options of a list of panel `n` until its picture changes; False if it never does."""
    from selenium.webdriver.common.keys import Keys

    quiet(browser, n)
    focus(browser, menu)
    old = browser.execute_script(PICTURE, n)
    options = len(menu.find_elements("css selector", "option"))
    at = browser.execute_script("return arguments[0].selectedIndex", menu)
    for key in [Keys.ARROW_DOWN] * (options - 1 - at) + [Keys.ARROW_UP] * (options - 1):
        press(browser, key)
        try:  # some options draw the same picture
            wait_for(lambda: browser.execute_script(PICTURE, n) != old, 1.5, 0.03)
            return True
        except TimeoutError:
            continue
    return False


def test_typed_numbers_lists_and_boxes_to_tick_work_by_keys(lesson, browser):
    from selenium.webdriver.common.keys import Keys

    cells = "return document.querySelectorAll('.jp-Cell').length"
    many = browser.execute_script(cells)
    for n, panel in enumerate(panels(browser)):
        for box in inside(browser, panel, ".woodcalc-dial:has([role=slider]) input[type=text]"):
            row = box.find_element("xpath", "ancestor::div[contains(@class, 'woodcalc-dial')]")
            handle = row.find_element("css selector", "[role=slider]")
            knob = row.find_element("css selector", ".noUi-origin")
            stood = box.get_attribute("value")
            low, now = (float(handle.get_attribute(f"aria-value{x}")) for x in ("min", "now"))
            there, back = (Keys.ARROW_LEFT, Keys.ARROW_RIGHT)[:: -1 if now <= low else 1]
            handle.send_keys(there)  # the field shows where the slider goes, and takes it there
            wait_for(lambda x=box, s=stood: x.get_attribute("value") != s, 10, 0.03)
            wanted = box.get_attribute("value")
            handle.send_keys(back)
            wait_for(lambda x=box, s=stood: x.get_attribute("value") == s, 10, 0.03)
            before = knob.get_attribute("style")
            focus(browser, box)
            box.send_keys(Keys.CONTROL + "a")
            press(browser, *wanted, Keys.ENTER)
            wait_for(lambda k=knob, b=before: k.get_attribute("style") != b, 10, 0.03)
            handle.send_keys(back)
            wait_for(lambda x=box, s=stood: x.get_attribute("value") == s, 10, 0.03)
        for menu in inside(browser, panel, "select"):
            at = browser.execute_script("return arguments[0].selectedIndex", menu)
            if not chosen(
                browser, n, menu
            ):  # where no reading is entered yet, say, lists have nothing to tell
                dial = next(iter(inside(browser, panel, "[role=slider]")))
                dial.send_keys(Keys.END)
                assert chosen(browser, n, menu), (
                    f"no option of {menu.get_attribute('aria-label')!r} changes the picture"
                )
                dial.send_keys(Keys.HOME)
                focus(browser, menu)
            press(browser, "x", "b")  # letters look for an option; the notebook must not cut or insert a cell
            # Back to where it stood: with only meter readings in use, say, a slip in a weighing would not show.
            now = browser.execute_script("return arguments[0].selectedIndex", menu)
            press(browser, *[Keys.ARROW_UP] * (now - at), *[Keys.ARROW_DOWN] * (at - now))
        quiet(browser, n)
        for tick in inside(browser, panel, "input[type=checkbox], button.widget-toggle-button"):
            old = browser.execute_script(PICTURE, n)
            focus(browser, tick)
            press(browser, Keys.SPACE)
            quiet(browser, n)
            if (
                browser.execute_script(PICTURE, n) == old
            ):  # some count only once a slider stands above nothing
                for handle in inside(browser, panel, "[role=slider]"):
                    handle.send_keys(Keys.END)
                quiet(browser, n)
                focus(browser, tick)
            old = browser.execute_script(PICTURE, n)
            press(browser, Keys.SPACE)  # and off again
            changes(browser, n, old, tick.find_element("xpath", "..").text or "a box to tick")
            quiet(browser, n)
    assert browser.execute_script(cells) == many


def test_every_slider_moves_its_picture(lesson, browser):
    from selenium.webdriver.common.keys import Keys

    for n, panel in enumerate(panels(browser)):
        for handle in inside(browser, panel, ".woodcalc-dial [role=slider]"):
            label = handle.get_attribute("aria-label")
            seen = {browser.execute_script(PICTURE, n)}
            assert seen != {None}, f"no picture beside {label!r}"
            for key in (Keys.HOME, Keys.END):
                start, old = float(handle.get_attribute("aria-valuenow")), browser.execute_script(PICTURE, n)
                handle.send_keys(key)
                end = float(handle.get_attribute("aria-valuemin" if key == Keys.HOME else "aria-valuemax"))
                wait_for(lambda h=handle, v=end: abs(float(h.get_attribute("aria-valuenow")) - v) < 1e-6, 10)
                if start != end:
                    changes(browser, n, old, f"{label!r} from {start:g} to {end:g}")
                    seen.add(browser.execute_script(PICTURE, n))
            assert len(seen) > 1, f"{label!r} changes nothing"


def test_answers_are_typed_checked_and_dealt_anew_by_keys(lesson, browser):
    from selenium.webdriver.common.keys import Keys

    def said(box, words):
        return wait_for(lambda: any(w in box.text for w in words) and box.text, 10, 0.03)

    boxes = [
        (b, f[0])
        for b in browser.find_elements("css selector", ".woodcalc")
        if (f := [x for x in inside(browser, b, "input[type=text]") if b == x.find_element("xpath", NEAREST)])
    ]
    for box, field in boxes:
        label, buttons = (
            field.get_attribute("aria-label"),
            {b.text: b for b in inside(browser, box, "button")},
        )
        if label.startswith("My guess"):
            focus(browser, field)
            press(browser, *"12.5", Keys.ENTER)
            said(box, ["Noted: 12.5"])
        elif label.startswith("Your answer"):
            question = browser.find_element("id", field.get_attribute("aria-describedby"))
            assert len(question.text) > 30  # a screen reader tells the question with the field
            focus(browser, field)
            press(browser, *"0.123", Keys.ENTER)
            said(box, ["Not yet", "Right"])
            focus(browser, buttons["Show the steps"])
            press(browser, Keys.ENTER)
            wait_for(lambda b=box: b.find_elements("css selector", "ol li"), 10, 0.03)
            asked = {question.text}
            focus(browser, buttons["New numbers"])
            for _ in range(4):  # an exercise with few numbers may deal the same again
                press(browser, Keys.SPACE)
                wait_for(lambda b=box: not b.find_elements("css selector", "ol li"), 10, 0.03)
                asked.add(question.text)
            hidden = box.find_elements(
                "xpath", "ancestor::div[.//div[contains(@class, 'woodcalc-panel')]]" + WHOLE
            )
            assert len(asked) > 1 or hidden, question.text  # a hidden truth may read the same
            focus(browser, buttons["Check"])
            press(browser, Keys.SPACE)
            said(box, ["Type a number first"])


def test_axe_finds_nothing_amiss(lesson, browser):
    passed, found = what_axe_finds(browser)
    assert found == []
    assert passed > 50


def test_on_a_phone_nothing_is_cut_or_too_small_to_touch(lesson, browser):
    assert amiss_on_a_phone(browser) == []


def test_larger_print_is_whole_on_a_projector(lesson, browser):
    assert amiss_on_a_projector(browser) == []


def test_no_trouble_came_up_on_the_way(lesson, browser):
    time.sleep(0.5)
    assert browser.execute_script(TROUBLE) == []
    broken = browser.execute_script(
        "return [...document.querySelectorAll('.woodcalc-warn')].map(e => e.textContent)"
        ".filter(t => /could not draw/.test(t))"
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
