"""Slides on the wall: they turn by key, the answer comes second, and nothing runs off the page at 1024 x 768."""

import nbformat
from labtools import needs_browser

from woodcalc.figures.paper import page
from woodcalc.leader import handouts, paper, slides

pytestmark = needs_browser
LOW = """return [...document.querySelectorAll('section.on *')].map(x => x.getBoundingClientRect())
  .filter(box => box.width && (box.bottom > innerHeight || box.right > innerWidth + 1)).length"""


def test_they_turn_and_fit(browser, tmp_path, monkeypatch):
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 1024, "height": 768, "deviceScaleFactor": 1, "mobile": False},
    )
    try:
        for number, lesson in handouts.lesson_files().items():
            book = nbformat.read(lesson, as_version=4)
            (file,) = slides.write(book, tmp_path / f"{number}.html")
            browser.get(file.as_uri())
            shown = [(s.heading, bool(s.answer)) for s in slides.slides(book)]
            for heading, answered in shown:
                assert browser.find_element("css selector", "section.on h1").text == heading
                hidden = browser.find_elements("css selector", "section.on:not(.open) .answer")
                assert len(hidden) == answered
                for _ in range(1 + answered):
                    assert browser.execute_script(LOW) == 0, (number, heading)
                    ActionChains(browser).send_keys(Keys.PAGE_DOWN).perform()
    finally:
        browser.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": 1280, "height": 800, "deviceScaleFactor": 1, "mobile": False},
        )
    assert "slides" in page("slides.html", title="x", slides=[])
