"""A reading room as its visitors meet it: pages on a phone, records of one's own, and no way to anything else."""

import asyncio
import io
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import uuid
import zipfile

import pytest

pytest.importorskip("voila")
pytest.importorskip("segno")

from http.cookiejar import CookieJar

from lab_client import message
from labtools import ROOT, needs_browser, wait_for
from tornado.ioloop import IOLoop
from tornado.websocket import websocket_connect

LESSON = "voila/render/07-dry-outdoors.ipynb"


class Room:
    """A reading room on loopback, of two lessons and four seats."""

    def __init__(self, folder):
        with socket.socket() as s:
            s.bind(("127.0.0.1", 0))
            self.port = s.getsockname()[1]
        env = os.environ | {"HOME": str(folder), "TMPDIR": str(folder), "PYTHONPATH": str(ROOT)}
        self.log = open(folder / "room.log", "w")  # noqa: SIM115 - lives as long as the server
        self.process = subprocess.Popen(
            [sys.executable, "-m", "woodcalc", "room", "--no-browser", f"--port={self.port}"]
            + ["--lessons", "1", "7", "--visitors", "4"],
            cwd=folder, env=env, stdout=self.log, stderr=self.log,
        )  # fmt: skip
        self.folder = folder
        wait_for(lambda: self.status("") == 200, 60)

    def url(self, path, scheme="http"):
        return f"{scheme}://127.0.0.1:{self.port}/{path}"

    def status(self, path, visitor=None, method="GET"):
        try:
            with (visitor or Visitor(self)).get(path, method) as answer:
                return answer.status
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return 0

    def close(self):
        self.process.send_signal(signal.SIGINT)
        self.process.wait(30)
        self.log.close()


class Visitor:
    """Somebody with a browser of their own."""

    def __init__(self, room):
        self.room, self.jar = room, CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))

    def get(self, path, method="GET"):
        return self.opener.open(urllib.request.Request(self.room.url(path), method=method), timeout=120)

    def open_lesson(self):
        """Open lesson 7; return the kernel that it is given."""
        with self.get(LESSON) as answer:
            page = answer.read().decode()
        return page.split('"kernelId": "')[1].split('"')[0]

    def cookies(self):
        return "; ".join(f"{c.name}={c.value}" for c in self.jar)


@pytest.fixture(scope="module", name="room")
def room_fixture(tmp_path_factory):
    room = Room(tmp_path_factory.mktemp("room"))
    yield room
    room.close()
    assert not list(room.folder.glob("woodcalc-room-*"))  # what visitors typed is wiped


def ask(room, visitor, kernel, kind, content):
    """Send a message to a kernel as a page would; return the kinds of what comes back within some seconds."""

    async def talk():
        from tornado.httpclient import HTTPRequest

        where = room.url(f"api/kernels/{kernel}/channels?session_id={uuid.uuid4().hex}", "ws")
        socket_ = await websocket_connect(HTTPRequest(where, headers={"Cookie": visitor.cookies()}))
        socket_.write_message(message(kind, content))
        heard = []
        end = time.monotonic() + 4
        while time.monotonic() < end:
            try:
                text = await asyncio.wait_for(socket_.read_message(), 1)
            except TimeoutError:
                continue
            if text is None:
                break
            if isinstance(text, str):
                heard.append(json.loads(text)["header"]["msg_type"])
        socket_.close()
        return heard

    return IOLoop(make_current=False).run_sync(talk, timeout=60)


@needs_browser
def test_a_lesson_on_a_phone_and_records_of_ones_own(room, browser):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True},
    )
    try:
        browser.delete_all_cookies()
        browser.get(room.url(LESSON))
        wait_for(
            lambda: browser.execute_script(
                "return document.querySelectorAll('.woodcalc-panel img').length > 1"
            ),
            120,
        )
        wide = browser.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
        assert wide[0] <= wide[1]
        words = browser.execute_script("return document.body.innerText")
        assert "Run this lesson" not in words and "from woodcalc" not in words
        picture = browser.execute_script(
            "return document.querySelector('.woodcalc-panel img').getBoundingClientRect().width"
        )
        assert picture >= 300
    finally:
        browser.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": 1280, "height": 800, "deviceScaleFactor": 1, "mobile": False},
        )


def test_what_is_kept_is_taken_home(room):
    before = set(room.folder.glob("woodcalc-room-*/visitors/*"))
    one, two = Visitor(room), Visitor(room)
    with one.get("take-home") as answer:
        assert "Nothing to take home yet" in answer.read().decode()
    one.open_lesson()
    (own,) = set(room.folder.glob("woodcalc-room-*/visitors/*")) - before
    (own / "logs.csv").write_text("log,species\n1,black walnut\n")
    with one.get("take-home") as answer:
        packed = zipfile.ZipFile(io.BytesIO(answer.read()))
    assert packed.read("my-wood/logs.csv").decode().endswith("black walnut\n")
    with two.get("take-home") as answer:
        assert "Nothing to take home yet" in answer.read().decode()


def test_a_visitor_gets_pages_and_nothing_else(room):
    one, two = Visitor(room), Visitor(room)
    kernel = one.open_lesson()
    closed = """voila/tree voila/api/contents voila/render/11-the-whole-job.ipynb voila/render/../visitors/x.ipynb
        voila/files/07-dry-outdoors.ipynb voila/files/../../room.log voila/files/%2e%2e/room.log
        api/kernels api/contents api/terminals lab"""
    for path in closed.split():
        assert room.status(path, one) in (403, 404), path
    assert room.status(f"api/kernels/{kernel}", one) == 200
    for method in ("GET", "DELETE"):  # neither seen nor ended by somebody else
        assert room.status(f"api/kernels/{kernel}", two, method) in (403, 404)
    assert room.status(f"voila/api/shutdown/{kernel}", two, "POST") in (403, 404)
    # no code: what comes back for a question is not what comes back for an order
    assert "kernel_info_reply" in ask(room, one, kernel, "kernel_info_request", {})
    order = {"code": "open('/tmp/x', 'w')", "silent": False, "store_history": False, "allow_stdin": False}
    assert "execute_reply" not in ask(room, one, kernel, "execute_request", order)
    with pytest.raises(Exception, match="404|403"):
        ask(room, two, kernel, "kernel_info_request", {})
    # with every seat taken the next one is told so, and who is here reads on
    for _ in range(4):
        if room.status(LESSON, Visitor(room)) == 503:
            break
    assert room.status(LESSON, two) == 503
    assert room.status(LESSON, one) == 200
