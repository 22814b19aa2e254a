"""A dead engine is told in a dialog of JupyterLab's; after that the book's note is in view, where the reader was."""

import os
import signal

from labtools import needs_browser, open_and_run, wait_for
from test_saving import kernel_process

pytestmark = needs_browser

READER = "document.querySelectorAll('.woodcalc-panel')[1]"
IN_VIEW = f"""
const r = {READER}.querySelector('.woodcalc-engine')?.getBoundingClientRect();
return !!r && r.height > 0 && r.top > 0 && r.bottom < window.innerHeight"""


def test_the_note_is_in_view_once_the_dialog_is_gone(lab, browser):
    open_and_run(lab, browser, "lessons/07-dry-outdoors.ipynb")
    browser.execute_script(f"{READER}.scrollIntoView()")
    os.kill(kernel_process(lab), signal.SIGKILL)
    dialog = wait_for(lambda: browser.find_elements("css selector", ".jp-Dialog .jp-mod-accept"), 15)
    dialog[0].click()  # leads to the cell that ran last, at the end of the page
    wait_for(lambda: browser.execute_script(IN_VIEW), 5)
