"""JupyterLab on loopback and Debian's chromium, for tests that use a lesson as a learner does."""

import contextlib
import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FOUND = [*(ROOT / "lessons").glob("*.ipynb"), *(ROOT / "lessons/leader").glob("*.ipynb")]
LESSONS = sorted(path.relative_to(ROOT).as_posix() for path in FOUND)
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")
# A machine of one's own may have no browser; the project's own checks must have one.
needs_browser = pytest.mark.skipif(
    not (CHROMIUM and DRIVER) and not os.environ.get("CI"),
    reason="needs chromium and chromedriver on the PATH",
)


class Lab:
    """A running JupyterLab with its own copy of the lessons, so that autosave cannot touch the checkout."""

    def __init__(self, folder):
        self.folder, self.token = folder, secrets.token_hex(16)
        shutil.copytree(ROOT / "lessons", folder / "lessons", ignore=shutil.ignore_patterns("my-wood", ".*"))
        with socket.socket() as s:
            s.bind(("127.0.0.1", 0))
            self.port = s.getsockname()[1]
        self.start()

    def start(self):
        """Start the server, the first time or again: same folder, same address."""
        env = os.environ | {
            "WOODCALC_MY_WOOD": str(self.folder / "my-wood"),
            "HOME": str(self.folder),
            "JUPYTER_TOKEN": self.token,
        }
        command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--port={self.port}"]
        command.append("--expose-app-in-browser")  # `run` listens to its commands
        self.log = open(self.folder / "lab.log", "a")  # noqa: SIM115 - lives as long as the server
        self.process = subprocess.Popen(
            [*command, f"--ServerApp.root_dir={self.folder}", "--ServerApp.port_retries=0"],
            env=env,
            cwd=self.folder,
            stdout=self.log,
            stderr=self.log,
        )
        for _ in range(240):
            try:
                return self.api("status") and None
            except OSError:
                time.sleep(0.25)
        raise RuntimeError((self.folder / "lab.log").read_text())

    def url(self, path):
        return f"http://127.0.0.1:{self.port}/{path}?token={self.token}"

    def api(self, path, method="GET"):
        request = urllib.request.Request(self.url(f"api/{path}"), method=method)
        request.add_header("Authorization", f"token {self.token}")
        with urllib.request.urlopen(request, timeout=10) as answer:
            text = answer.read()
        return json.loads(text) if text else None

    def stop_kernels(self):
        for session in self.api("sessions"):
            self.api(f"sessions/{session['id']}", "DELETE")

    def close(self):
        self.process.terminate()
        self.process.wait(20)
        self.log.close()


def kernel_process(lab):
    """Return the process of the one kernel that runs."""
    pids = [int(p) for p in os.listdir("/proc") if p.isdigit()]
    found = []
    for pid in pids:
        try:
            command = open(f"/proc/{pid}/cmdline", "rb").read()  # noqa: SIM115
            parent = int(open(f"/proc/{pid}/stat").read().rsplit(")", 1)[1].split()[1])  # noqa: SIM115
        except (OSError, IndexError):
            continue
        if b"ipykernel_launcher" in command and parent == lab.process.pid:
            found.append(pid)
    assert len(found) == 1
    return found[0]


@pytest.fixture(scope="session", name="lab")
def lab_fixture(tmp_path_factory):
    server = Lab(tmp_path_factory.mktemp("lab"))
    yield server
    server.close()


@pytest.fixture(scope="session", name="browser")
def browser_fixture(tmp_path_factory):
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    for word in (
        "--headless=new --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
        f"--disable-component-update --disable-sync --user-data-dir={tmp_path_factory.mktemp('chromium')}"
    ).split():
        options.add_argument(word)
    driver = webdriver.Chrome(options=options, service=Service(DRIVER))
    driver.set_script_timeout(120)
    driver.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 1280, "height": 800, "deviceScaleFactor": 1, "mobile": False},
    )
    yield driver
    driver.quit()


def print_to_pdf(page, folder):
    """Print a page as the browser does for paper; return the PDF."""
    pdf = folder / f"{page.stem}.pdf"
    words = (
        "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking"
    )
    subprocess.run(
        [CHROMIUM, *words.split(), "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
         f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={pdf}", page.as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    return pdf


def wait_for(what, seconds=30, every=0.1):
    """Return the first true answer of `what()`, or raise when the time is up.

    An element that the page replaced while it was read is no answer yet.
    """
    from selenium.common.exceptions import StaleElementReferenceException

    end = time.monotonic() + seconds
    while True:
        with contextlib.suppress(StaleElementReferenceException):
            if answer := what():
                return answer
        if time.monotonic() > end:
            raise TimeoutError(f"waited {seconds} s for {getattr(what, '__name__', what)}")
        time.sleep(every)


def open_lesson(lab, browser, lesson):
    """Open a lesson in the single-document view and wait until it can be run."""
    browser.get(lab.url(f"doc/tree/{lesson}"))
    wait_for(lambda: _button(browser), 60)
    wait_for(lambda: _idle(browser), 60)


def open_and_run(lab, browser, lesson):
    """Open a lesson in the single-document view, press its run button, wait until every cell has run."""
    lab.stop_kernels()
    open_lesson(lab, browser, lesson)
    run(browser)


# What the button does is one of JupyterLab's commands: the page hears that it was given, and is told when it is done.
LISTEN = """if (!window.jupyterapp) return false;
const commands = window.jupyterapp.commands, runs = window.runs ||= { begun: 0, ended: 0 };
if (!runs.heard) commands.commandExecuted.connect(runs.heard = (_, { id, result }) => {
  if (id !== 'woodcalc:run-lesson') return;
  runs.begun += 1;
  result.finally(() => { runs.ended += 1; });
});
runs.begun = runs.ended = 0;
return true"""
# A box asks its engine something while it comes up, and gets the names of its dials a moment after it stands there.
SETTLED = """const named = [...document.querySelectorAll('.woodcalc-dial')].every(dial =>
  !dial.querySelector('.woodcalc-name')?.textContent || dial.querySelector('[aria-label]'));
return named && document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status === 'idle'"""


def run(browser, wait=True):
    """Press the run button of the lesson that is open, wait until it has begun, and until every cell has run."""
    from selenium.common.exceptions import ElementClickInterceptedException

    wait_for(lambda: browser.execute_script(LISTEN), 60)
    for _ in range(20):  # a click can come before the notebook listens
        try:
            _button(browser).click()
            wait_for(lambda: browser.execute_script("return window.runs.begun"), 3, 0.02)
            break
        except ElementClickInterceptedException:  # the picture that JupyterLab begins with still lies over it
            time.sleep(0.1)
        except TimeoutError:
            continue
    if wait:
        wait_for(lambda: browser.execute_script("return window.runs.begun === window.runs.ended"), 120)
        settle(browser)


def settle(browser):
    """Wait until the boxes of a lesson that has run stand still: one look is not enough, five in a second are."""
    looks = []

    def still():
        looks.append(browser.execute_script(SETTLED))
        return len(looks) >= 5 and all(looks[-5:])

    wait_for(still, 120, 0.2)


def _button(browser):
    found = browser.find_elements("css selector", ".jp-NotebookPanel-toolbar jp-button")
    return next((b for b in found if "Run this lesson" in b.text), None)


def _idle(browser):
    return (
        browser.execute_script(
            "return document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset.status"
        )
        == "idle"
    )
