"""A lesson in windows of every width, all of it laid out at once, and what axe-core says of the book's own parts."""

import time
from importlib.resources import files

from test_narrow import CUT, SIDEWAYS, widen

AXE = files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
# The book's own parts; the rest of the page is JupyterLab's. Empty heads of tables this axe does not know yet.
OURS = """const done = arguments[arguments.length - 1], parts = ['.woodcalc', '.jp-Notebook .jp-RenderedMarkdown'];
const empty = [...document.querySelectorAll(parts.map(part => `${part} th`))].filter(e => !e.textContent.trim());
axe.run({include: parts.map(part => [part])}, {resultTypes: ['violations', 'passes']})
  .then(({ passes, violations }) => done([passes.flatMap(each => each.nodes).length,
      [...empty.map(e => `empty: ${e.closest('table').textContent.slice(0, 100)}`),
        ...violations.flatMap(each => each.nodes.map(n => `${each.id}: ${n.target} ${n.html.slice(0, 200)}`))]]),
    error => done([0, [`${error}`]]))"""
# How tall a window shows all: JupyterLab adds empty room below the last part, the more the taller the window
TALL = """const page = document.querySelector('.jp-WindowedPanel-outer');
return Math.ceil([...page.querySelectorAll('.jp-Cell')].at(-1).getBoundingClientRect().bottom + page.scrollTop) + 40"""

# What a finger has to meet: 40 px of its own, or more. A slider's knob has a larger field around it.
SMALL = """
const what = '.woodcalc :is(button, input:not([type=checkbox]), select, .widget-checkbox label, .noUi-touch-area)';
return [...document.querySelectorAll(what)].filter(e => e.offsetParent)
  .map(e => [e, e.getBoundingClientRect()]).filter(([e, r]) => Math.min(r.height, r.width) < 39.5)
  .map(([e, r]) => `${e.className} ${e.textContent.slice(0, 40)} ${r.width} x ${r.height}`)"""
# Panels whose picture is not above their dials, or has not the width
ABOVE = """
return [...document.querySelectorAll('.woodcalc-panel .woodcalc-beside')].filter(e => {
  const picture = e.querySelector('img').getBoundingClientRect();
  const dials = [...e.querySelectorAll('.woodcalc-dial')].filter(d => d.offsetParent);
  return picture.width < 0.95 * e.clientWidth || dials.some(d => d.getBoundingClientRect().top < picture.bottom - 1);
}).map(e => `picture: ${e.closest('.woodcalc').textContent.slice(0, 60)}`)"""
# Names, fields and buttons of less than 19 px, or with a part of their words out of sight; a path may be any length
CLIPPED = """
const what = '.woodcalc :is(label, .widget-label, input:not([type=checkbox]), select, button)';
return [...document.querySelectorAll(what)]
  .filter(e => e.offsetParent && !/[/\\\\]/.test(e.value ?? '') && (parseFloat(getComputedStyle(e).fontSize) < 19
    || e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1))
  .map(e => `${e.tagName} ${e.ariaLabel || e.textContent} ${e.value} ${getComputedStyle(e).fontSize}`)"""
STATE = "return document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status"
LARGER_PRINT = ".jp-NotebookPanel:not(.lm-mod-hidden) jp-button[data-command='woodcalc:larger-print']"


def unfold(browser, width, height=800):
    """Widen the window to `width`, and make it as tall as the lesson, so that all of it is laid out."""
    widen(browser, width, height)
    # a picture stays in sight where the page is scrolled: over the dials, then
    browser.execute_script(
        "document.activeElement?.blur(); document.querySelector('.jp-WindowedPanel-outer').scrollTop = 0"
    )
    for _ in range(10):  # what comes into the window takes its room, and more comes
        more = browser.execute_script(TALL)
        if more <= height + 1:
            return
        height = more
        widen(browser, width, height)
        time.sleep(0.2)


def amiss(browser, *looks):
    """Return what the scripts find, once it stands for some seconds: a page that was resized takes its time."""
    end = time.monotonic() + 6
    while (
        found := [each for look in looks for each in browser.execute_script(look)]
    ) and time.monotonic() < end:
        time.sleep(0.3)
    return found


def amiss_on_a_phone(browser):
    unfold(browser, 390)
    return amiss(browser, SIDEWAYS, CUT, SMALL, ABOVE)


def amiss_on_a_projector(browser):
    """The same in larger print, 1024 pixels wide; it is turned on and off by its button."""
    unfold(browser, 1024, 768)
    _print(browser, "small")
    unfold(browser, 1024, 768)
    try:
        return amiss(browser, SIDEWAYS, CUT, CLIPPED)
    finally:
        _print(browser, "large")


def _print(browser, now):
    """Press the button if any box stands in `now` print, and wait until the engine has kept that."""
    count = "return document.querySelectorAll('.jp-Notebook .woodcalc{}').length"
    of = count.format(":not(.woodcalc-big)" if now == "small" else ".woodcalc-big")
    end = time.monotonic() + 30  # in a narrow window the bar hides what has no room, and brings it back
    while browser.execute_script(of) and time.monotonic() < end:
        if found := browser.find_elements("css selector", LARGER_PRINT):
            found[0].click()
            break
        time.sleep(0.2)
    quiet, end = 0, time.monotonic() + 60
    while quiet < 3 and time.monotonic() < end:
        time.sleep(0.2)
        quiet = quiet + 1 if not browser.execute_script(of) and browser.execute_script(STATE) == "idle" else 0


def what_axe_finds(browser):
    """Return how many parts passed, and a line for each that did not."""
    unfold(browser, 1280)
    browser.execute_script(AXE)
    return browser.execute_async_script(OURS)
