"""A lesson in a window as narrow as a phone: it has the width, and large print is large and whole in every field."""

import json
import time

import pytest
from labtools import needs_browser, open_and_run, run, wait_for
from selenium.webdriver.common.action_chains import ActionChains

pytestmark = needs_browser

LESSON = "lessons/08-keep-the-records.ipynb"
WIDTHS = """return [document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden)')?.getBoundingClientRect().width,
  !!document.querySelector('.jp-FileBrowser')?.offsetParent]"""
# Names, fields and buttons smaller than the print, or with a part of their words out of sight
BAD = """
const what = '.woodcalc :is(label, .widget-label, input:not([type=checkbox]), select, button)';
return [...document.querySelectorAll(what)]
  .filter(e => e.offsetParent && (parseFloat(getComputedStyle(e).fontSize) < arguments[0]
    || e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1))
  .map(e => `${e.tagName} ${e.ariaLabel || e.textContent} ${getComputedStyle(e).fontSize}`)"""
SCROLLS = """return [...document.querySelectorAll('.woodcalc *')].filter(e => e.offsetParent && !e.closest('table')
  && /auto|scroll/.test(getComputedStyle(e).overflowX) && e.scrollWidth > e.clientWidth + 1)
  .map(e => `${e.className} ${e.textContent.slice(0, 40)}`)"""
PICTURES = """return [...document.querySelectorAll('.woodcalc-panel .widget-html img')]
  .map(i => i.getBoundingClientRect()).map(r => r.left >= 0 && r.right <= window.innerWidth && r.width > 200)"""

READINGS = (
    "date,stack,board,kind,value,unit\n2026-05-12,Oak1,7,weight,16,lb\n2026-06-12,Oak1,7,oven-dry,9.32,lb\n"
)
CELLS = """const found = [...document.querySelectorAll('.woodcalc-form td')];
return [found.map(e => e.textContent), found.every(e => e.getBoundingClientRect().right <= window.innerWidth)]"""
SIDEWAYS = """return [...document.querySelectorAll('.jp-WindowedPanel-outer')]
  .filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.scrollWidth)"""


def widen(browser, width, height=800):
    size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)


def open_in_the_lab(lab, browser):
    """Open the lesson with the list of files beside it, as the book is opened the first time."""
    lab.stop_kernels()
    browser.get(lab.url(f"lab/tree/{LESSON}") + "&reset")
    find = "return [...document.querySelectorAll('.jp-NotebookPanel-toolbar')].some(e => e.offsetParent)"
    wait_for(lambda: browser.execute_script(find), 60)


def test_the_list_of_files_starts_shut_and_opens_by_hand(lab, browser):
    open_in_the_lab(lab, browser)
    wait_for(lambda: browser.execute_script(WIDTHS)[0] > 1150, 10)
    assert not browser.execute_script(WIDTHS)[1]
    browser.find_element("css selector", "[data-id=filebrowser]").click()
    wait_for(lambda: browser.execute_script(WIDTHS)[1], 10)
    names = browser.find_elements("css selector", ".jp-DirListing-itemName")
    other = next(e for e in names if e.text.startswith("02-"))
    ActionChains(browser).double_click(other).perform()
    wait_for(lambda: "02-open" in browser.title, 20)
    assert browser.execute_script(WIDTHS)[1]  # and stays while there is room


# The book's and JupyterLab's own buttons; other extensions bring theirs
BAR = """const bar = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-NotebookPanel-toolbar');
return [...bar.querySelectorAll('jp-button')]
  .filter(e => e.offsetParent && /woodcalc|docmanager|notebook|kernel|debugger/.test(e.dataset.command || e.className))
  .map(e => e.textContent.trim())"""
ENGINE = """const e = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook-ExecutionIndicator');
return e && getComputedStyle(e, '::before').content"""
COMMAND = ".jp-NotebookPanel:not(.lm-mod-hidden) jp-button[data-command='woodcalc:{}']"
SIZES = """const sizes = what => [...document.querySelectorAll('.jp-NotebookPanel:not(.lm-mod-hidden) ' + what)]
  .slice(0, 1).map(e => [what, parseFloat(getComputedStyle(e).fontSize)]);
return Object.fromEntries(['.jp-RenderedMarkdown p', '.woodcalc-panel .woodcalc-name', '.woodcalc td',
  '.woodcalc button', '.woodcalc-form input', '.woodcalc-ask p'].flatMap(sizes))"""
PICTURE = "return document.querySelector('.woodcalc-panel .widget-html img').src"


def command(browser, name):
    return browser.find_element("css selector", COMMAND.format(name))


def test_the_bar_above_a_lesson_holds_what_a_learner_uses(lab, browser):
    open_in_the_lab(lab, browser)
    wait_for(lambda: browser.execute_script(ENGINE) == '"Engine: ready"', 60)
    wanted = ["Run this lesson", "Start over", "Larger print", "Previous lesson", "Next lesson", "Save"]
    assert browser.execute_script(BAR) == wanted
    run(browser)
    small, picture = browser.execute_script(SIZES), browser.execute_script(PICTURE)
    try:
        command(browser, "larger-print").click()
        wait_for(lambda: browser.execute_script(PICTURE) != picture, 20)
        large = browser.execute_script(SIZES)
        assert len(small) > 4 and [what for what in small if large[what] < 1.2 * small[what]] == []
        kept = lab.folder / "my-wood/choices.json"
        wait_for(lambda: kept.exists() and json.loads(kept.read_text())["larger_print"], 10)
        command(browser, "larger-print").click()
        wait_for(lambda: browser.execute_script(SIZES) == small, 10)
        wait_for(lambda: not json.loads(kept.read_text())["larger_print"], 10)
    finally:
        (lab.folder / "my-wood/choices.json").unlink(missing_ok=True)
        browser.execute_script("localStorage.clear()")
    command(browser, "start-over").click()
    asked = "return document.querySelector('.woodcalc-start-over [role=alert]')?.textContent"
    wait_for(lambda: browser.execute_script(asked), 10)
    command(browser, "next-lesson").click()
    wait_for(lambda: "09-the-last" in browser.title, 20)
    command(browser, "previous-lesson").click()
    wait_for(lambda: "08-keep" in browser.title, 20)


def test_on_a_phone_the_lesson_has_the_width_and_large_print_is_whole(lab, browser):
    mine = lab.folder / "my-wood"
    mine.mkdir(exist_ok=True)
    (mine / "choices.json").write_text(json.dumps({"larger_print": True}))
    (mine / "readings.csv").write_text(READINGS)
    widen(browser, 390)
    try:
        open_in_the_lab(lab, browser)
        wait_for(lambda: not browser.execute_script(WIDTHS)[1], 10)
        assert browser.execute_script(WIDTHS)[0] > 300
        run(browser)
        assert len(browser.find_elements("css selector", ".woodcalc-form.woodcalc-big")) == 5
        assert browser.execute_script(BAD, 20) == []
        assert browser.execute_script(SCROLLS) == []
        shown = browser.execute_script(PICTURES)
        assert shown and all(shown)
        assert "16\xa0lb" in browser.execute_script(CELLS)[0] and browser.execute_script(CELLS)[1]
        assert browser.execute_script(SIDEWAYS) == []
    finally:
        (mine / "choices.json").unlink()
        (mine / "readings.csv").unlink()
        widen(browser, 1280)


# What leaves the page at the right: tables as a whole, and words outside of tables
CUT = """
const edge = document.querySelector('.jp-WindowedPanel-outer').getBoundingClientRect().left
  + document.querySelector('.jp-WindowedPanel-outer').clientWidth;
return [...document.querySelectorAll('.jp-Cell table, .woodcalc :is(p, li, b, span)')]
  .filter(e => e.offsetParent && !e.parentElement.closest('table') && e.getBoundingClientRect().right > edge + 1)
  .map(e => `${e.tagName} ${e.textContent.slice(0, 60)}`)"""
# Tables with a column off the edge, and cells of a card under another name than their head's
OFF_EDGE = """return [...document.querySelectorAll('.woodcalc table')]
  .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.textContent.slice(0, 60))"""
CARDS = """return [...document.querySelectorAll('.woodcalc td[data-name]')].filter(e => e.offsetParent)
  .map(e => getComputedStyle(e, '::before').content + e.textContent)"""
DOWN = "const page = document.querySelector('.jp-WindowedPanel-outer'); page.scrollTop = {}"
FRAME = """const page = document.querySelector('iframe[title^="The plan"]').contentDocument;
const off = [...page.querySelectorAll('table')].filter(e => e.scrollWidth > e.clientWidth + 1).length;
return [page.documentElement.scrollWidth - page.documentElement.clientWidth, off,
  parseFloat(getComputedStyle(page.body).zoom)]"""


def look_down(browser):
    """What is far down is laid out when it is reached: at each tenth of the page, the tables that leave the edge."""
    off, cards = [], []
    for part in range(11):
        browser.execute_script(DOWN.format(f"page.scrollHeight * {part} / 10"))
        time.sleep(0.3)
        off += browser.execute_script(OFF_EDGE) + browser.execute_script(CUT)
        cards += browser.execute_script(CARDS)
    return off, cards


@pytest.mark.parametrize(
    ("lesson", "head"),
    [("03-cut-thick-enough", "down by (in)"), ("11-the-whole-job", "left ($)")],
)
def test_on_a_phone_no_table_or_sentence_is_cut_and_each_row_is_a_card(lab, browser, lesson, head):
    widen(browser, 390)
    try:
        open_and_run(lab, browser, f"lessons/{lesson}.ipynb")
        off, cards = look_down(browser)
        assert off == []
        assert any(head in card for card in cards)
    finally:
        widen(browser, 1280)


@pytest.mark.parametrize(("width", "big"), [(390, False), (760, False), (760, True)])
def test_the_plan_s_frame_has_its_own_width_and_the_larger_print(lab, browser, width, big):
    mine = lab.folder / "my-wood"
    mine.mkdir(exist_ok=True)
    (mine / "choices.json").write_text(json.dumps({"larger_print": big}))
    widen(browser, width)
    try:
        open_and_run(lab, browser, "lessons/11-the-whole-job.ipynb")
        find = "return !!document.querySelector('iframe[title^=\"The plan\"]')?.contentDocument?.querySelector('td')"
        for part in range(11):
            browser.execute_script(DOWN.format(f"page.scrollHeight * {part} / 10"))
            time.sleep(0.3)
            if browser.execute_script(find):
                break
        wait_for(lambda: browser.execute_script(find), 20)
        wider, off, zoom = browser.execute_script(FRAME)
        assert (wider, off) == (0, 0)
        assert zoom == (1.3 if big else 1)
    finally:
        (mine / "choices.json").unlink()
        widen(browser, 1280)
