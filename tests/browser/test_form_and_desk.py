"""A learner types a reading into the form and presses the desk's button: the files are there."""

import os
import signal
import time

from labtools import kernel_process, needs_browser, open_and_run, wait_for
from second_day import start_empty
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from woodcalc import records

pytestmark = needs_browser


def field(browser, label):
    return browser.find_element(By.CSS_SELECTOR, f".woodcalc-form [aria-label='{label}']")


def press(browser, text):
    button = browser.find_element(By.XPATH, f"//button[normalize-space()='{text}']")
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
    button.send_keys(Keys.SPACE)  # by keyboard, as everything must be reachable


def said(browser):
    """What the status lines say, read in one go: they are replaced as they change."""
    return browser.execute_script(
        "return [...document.querySelectorAll('[role=status]')].map(e => e.innerText).filter(Boolean)"
    )


def asked(browser):
    return browser.execute_script(
        "return [...document.querySelectorAll('[role=alert]')].map(e => e.innerText)"
    )


def test_form_keeps_a_reading(lab, browser):
    start_empty(lab)
    open_and_run(lab, browser, "lessons/08-keep-the-records.ipynb")
    wait_for(lambda: browser.find_elements(By.CSS_SELECTOR, ".woodcalc-form [aria-label='Stack *']"), 20)
    for label, text in (("Stack *", "A"), ("Board", "1-3"), ("Value *", "twelve")):
        browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", field(browser, label))
        field(browser, label).send_keys(text)
    press(browser, "Check and save")
    wait_for(lambda: any("Not saved yet" in s and "twelve" in s for s in said(browser)), 10)
    field(browser, "Value *").clear()
    field(browser, "Value *").send_keys("12,4")
    press(browser, "Check and save")
    wait_for(
        lambda: any("Saved as your first reading (row 2 of readings.csv)" in s for s in said(browser)), 10
    )
    path = lab.folder / "my-wood" / "readings.csv"
    kept = [["A", "1-3", 12.4, "lb"]]
    assert records.read(path)[["stack", "board", "value", "unit"]].to_numpy().tolist() == kept
    Select(field(browser, "To fill in or correct")).select_by_index(1)
    wait_for(lambda: field(browser, "Value *").get_attribute("value") == "12.4", 10)
    press(browser, "Take this row out")
    wait_for(lambda: any("Take row 2 out of readings.csv?" in s for s in asked(browser)), 10)
    assert browser.switch_to.active_element.text == "Keep it"  # the answer that changes nothing
    press(browser, "Take it out")
    wait_for(lambda: any("Undo brings it back" in s for s in said(browser)), 10)
    assert records.read(path).empty
    press(browser, "Undo the last save in readings.csv")
    wait_for(lambda: any("Undone: row 2 comes back" in s for s in said(browser)), 10)
    assert records.read(path)[["stack", "board", "value", "unit"]].to_numpy().tolist() == kept
    path.unlink()


def test_what_is_typed_before_the_chosen_row_has_come_is_saved_with_it(lab, browser):
    """The engine stands still while a row is chosen, a board typed and Check and save pressed."""
    start_empty(lab)
    path = lab.folder / "my-wood" / "readings.csv"
    path.parent.mkdir(exist_ok=True)
    rows = ["2025-06-01,A,2,weight,15,lb,wet", "2025-06-08,A,,weight,14,lb,dry end"]
    path.write_text("\n".join(["date,stack,board,kind,value,unit,note", *rows]) + "\n")
    open_and_run(lab, browser, "lessons/08-keep-the-records.ipynb")
    wait_for(lambda: browser.find_elements(By.CSS_SELECTOR, ".woodcalc-form [aria-label='Stack *']"), 20)
    Select(field(browser, "To fill in or correct")).select_by_index(1)
    wait_for(lambda: field(browser, "Board").get_attribute("value") == "2", 10)
    engine = kernel_process(lab)
    os.kill(engine, signal.SIGSTOP)
    try:
        Select(field(browser, "To fill in or correct")).select_by_index(2)
        field(browser, "Board").send_keys(Keys.CONTROL, "a")
        field(browser, "Board").send_keys("7")
        press(browser, "Check and save")
        time.sleep(1)
    finally:
        os.kill(engine, signal.SIGCONT)
    wait_for(
        lambda: any(
            "Row 3 of readings.csv is corrected. Board: nothing becomes 7" in s for s in said(browser)
        ),
        20,
    )
    assert path.read_text().splitlines()[1:] == [rows[0], "2025-06-08,A,7,weight,14,lb,dry end"]
    path.unlink()


def test_what_was_typed_and_not_saved_is_there_again_in_another_page_and_engine(lab, browser):
    lesson, written = "lessons/08-keep-the-records.ipynb", lab.folder / "my-wood" / "written.json"
    start_empty(lab)
    open_and_run(lab, browser, lesson)
    stack = wait_for(lambda: field(browser, "Stack *"), 20)
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", stack)
    stack.clear()
    stack.send_keys("Oak1" + Keys.TAB)
    field(browser, "Note").send_keys("the north end f")  # the field is not left
    wait_for(lambda: written.exists() and "the north end f" in written.read_text(), 10)
    browser.get("about:blank")
    open_and_run(lab, browser, lesson)  # the engine of before is ended
    wait_for(lambda: any("was not saved yet: Note. It goes with Stack Oak1." in s for s in said(browser)), 20)
    assert field(browser, "Note").get_attribute("value") == "the north end f"
    assert field(browser, "Stack *").get_attribute("value") == "Oak1"
    press(browser, "Empty these fields")
    wait_for(lambda: field(browser, "Note").get_attribute("value") == "", 10)
    assert "form: readings" not in written.read_text()


def test_the_doctor_page_mends_by_keyboard(lab, browser):
    path = lab.folder / "my-wood" / "logs.csv"
    path.parent.mkdir(exist_ok=True)
    path.write_text("log,species,small_in,length_ft\n1,white oka,16,12\n")
    open_and_run(lab, browser, "lessons/00-start-here.ipynb")
    press(browser, "Mend row 2, species: white oka becomes white oak")
    wait_for(lambda: any("Mended in logs.csv" in s for s in said(browser)), 10)
    assert records.read(path)["species"].tolist() == ["white oak"]
    wait_for(lambda: browser.switch_to.active_element.text == "Look again", 10)
    path.unlink()


def test_desk_writes_the_pages(lab, browser):
    path = lab.folder / "my-wood" / "logs.csv"  # the invented woodlot's plan is never written into it
    path.parent.mkdir(exist_ok=True)
    path.write_text("log,species,small_in,length_ft\n1,white oak,16,12\n")
    open_and_run(lab, browser, "lessons/11-the-whole-job.ipynb")
    frame = wait_for(
        lambda: browser.find_elements(By.CSS_SELECTOR, "iframe[title='The plan, as it prints']"), 20
    )[0]
    link = browser.find_element(By.CSS_SELECTOR, "a[download='plan.html']")
    assert link.get_attribute("href").startswith("data:text/html;base64,")
    press(browser, "Write the pages")
    wait_for(lambda: any("plan.html to print" in s for s in said(browser)), 15)
    assert (lab.folder / "my-wood" / "plan" / "mill.html").exists()
    browser.switch_to.frame(frame)
    assert browser.find_element(By.TAG_NAME, "h1").text
    browser.switch_to.default_content()
    path.unlink()


def test_what_is_saved_is_what_stands_on_the_screen(lab, browser):
    """A field changed twice while the engine is at work, and text typed while the save is answered."""
    start_empty(lab)
    open_and_run(lab, browser, "lessons/08-keep-the-records.ipynb")
    path = lab.folder / "my-wood" / "readings.csv"
    path.unlink(missing_ok=True)
    value = wait_for(lambda: field(browser, "Value *"), 20)
    browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", value)
    field(browser, "Stack *").clear()
    field(browser, "Stack *").send_keys("A" + Keys.TAB)
    field(browser, "Board").send_keys("1-3" + Keys.TAB)
    time.sleep(1)  # stopped in the middle of an answer, it would stand there as busy
    kernel = lab.api("sessions")[0]["kernel"]["id"]
    wait_for(lambda: lab.api("sessions")[0]["kernel"]["execution_state"] == "idle", 20)
    pids = [int(p) for p in os.listdir("/proc") if p.isdigit()]
    engine = next(p for p in pids if kernel in command_of(p))
    os.kill(engine, signal.SIGSTOP)
    try:
        value.send_keys("16.06" + Keys.TAB)
        value.clear()
        value.send_keys("16.60" + Keys.TAB)
        press(browser, "Check and save")
        value.click()
        value.send_keys(Keys.END + "7")  # already on the way to the next row
        shown = value.get_attribute("value")
        wait_for(lambda: "does not answer. It stands still" in engine_notes(browser), 15)
        assert "has stopped" not in engine_notes(browser)  # it has not: it acts when it wakes
    finally:
        os.kill(engine, signal.SIGCONT)
    wait_for(lambda: any("Saved as" in s for s in said(browser)), 40)
    wait_for(lambda: not engine_notes(browser), 10)
    assert records.read(path)["value"].tolist() == [16.6]
    wait_for(lambda: value.get_attribute("value") == shown, 20)


def engine_notes(browser):
    """What boxes say of their engine."""
    return browser.execute_script(
        "return [...document.querySelectorAll('.woodcalc-engine')].map(e => e.innerText).join(' ').trim()"
    )


def command_of(pid):
    try:
        with open(f"/proc/{pid}/cmdline", encoding="utf-8", errors="replace") as file:
            return file.read()
    except OSError:
        return ""
