"""Talk to a running JupyterLab as a browser does: run code in one of its kernels.

As a program it starts a lab, runs a lesson in it, ends it and prints what it saw: `lab_client.py LESSONS NOTEBOOK
COMMAND`. With `--cut-off` at the end it first switches on the loopback of a new network namespace, such as
`unshare -rn` makes: then there is no way out.
"""

import json
import os
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path


class LabClient:
    """What a browser would do with the lab that keeps its state in `lessons`/.lab."""

    def __init__(self, lessons, alive=lambda: True, wait_s=600):
        end = time.monotonic() + wait_s
        while not self._found(Path(lessons) / ".lab/runtime"):
            if time.monotonic() > end or not alive():
                raise TimeoutError("no lab answers")
            time.sleep(0.05)

    def _found(self, runtime):
        for path in runtime.glob("jpserver-*.json"):
            try:
                told = json.loads(path.read_text())
                self.url, self.token = f"http://127.0.0.1:{told['port']}", told["token"]
                return self.ask("api/status")
            except (OSError, ValueError):  # half written, not up yet, or left behind
                continue

    def fetch(self, path, method="GET", body=None):
        """Return the bytes of a page."""
        data = json.dumps(body).encode() if body is not None else None
        request = urllib.request.Request(f"{self.url}/{path}", data, method=method)
        request.add_header("Authorization", f"token {self.token}")
        with urllib.request.urlopen(request, timeout=60) as page:
            return page.read()

    def ask(self, path, method="GET", body=None):
        """Return what a JSON page says."""
        text = self.fetch(path, method, body)
        return json.loads(text) if text else None

    def cells(self, notebook):
        """Return the code cells of a notebook as the server hands it out."""
        book = self.ask(f"api/contents/{notebook}")["content"]
        return ["".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "code"]

    def run(self, cells, folder=""):
        """Run cells in a new kernel in `folder`; return what they printed. A cell that fails is an AssertionError."""
        kernel = self.ask("api/kernels", "POST", {"name": "python3", "path": folder})["id"]
        address = f"{self.url.replace('http', 'ws', 1)}/api/kernels/{kernel}/channels"
        try:
            return execute(address, {"Authorization": f"token {self.token}"}, cells)
        finally:
            self.ask(f"api/kernels/{kernel}", "DELETE")


def message(kind, content, number=0):
    """A message to a kernel, as a page sends it."""
    header = {"msg_id": f"m{number}", "msg_type": kind, "username": "", "session": "s", "version": "5.3"}
    return json.dumps(
        {"header": header, "parent_header": {}, "metadata": {}, "content": content, "channel": "shell"}
    )


def execute(address, headers, cells):
    """Run cells in the kernel behind a websocket; return what they printed."""
    from tornado.httpclient import HTTPRequest
    from tornado.ioloop import IOLoop
    from tornado.websocket import websocket_connect

    printed = []

    async def talk():
        line = await websocket_connect(HTTPRequest(address, headers=headers))
        for n, code in enumerate(cells):
            content = {"code": code, "silent": False, "store_history": False, "allow_stdin": False}
            await line.write_message(message("execute_request", content, n))
            waits = {"execute_reply", "idle"}  # they come on two channels, in either order
            while waits:
                reply = json.loads(await line.read_message())
                kind, content = reply["header"]["msg_type"], reply["content"]
                if reply["parent_header"].get("msg_id") != f"m{n}":
                    continue
                if kind == "stream":
                    printed.append(content["text"])
                if kind == "execute_reply":
                    assert content["status"] == "ok", content.get("traceback")
                waits -= {kind, content.get("execution_state") if kind == "status" else None}
        line.close()

    IOLoop(make_current=False).run_sync(talk, timeout=180)
    return "".join(printed)


def loopback_up():
    """Switch on the loopback of a new network namespace, which begins with none."""
    import fcntl
    import socket
    import struct

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as s:
        fcntl.ioctl(s, 0x8914, struct.pack("16sh14x", b"lo", 0x1 | 0x40))  # SIOCSIFFLAGS: up, running


def use_once(lessons, notebook, command):
    """Start a lab with a shell command, run a lesson in it, end it; return what was seen."""
    began = time.monotonic()
    with subprocess.Popen(
        command,
        shell=True,
        start_new_session=True,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as lab:
        seen = {}
        try:
            client = LabClient(lessons, lambda: lab.poll() is None)
            seen["seconds"] = time.monotonic() - began
            seen["page"] = "jupyter-config-data" in client.fetch(f"lab/tree/{notebook}").decode()
            cells = client.cells(notebook)
            seen["cells"] = len(cells)
            where = (
                "import woodcalc; from woodcalc.records import choices; "
                "print(woodcalc.__file__, choices.folder(), sep='\\n')"
            )
            seen["said"] = client.run([*cells, where]).splitlines()[-2:]
        except TimeoutError:
            seen["seconds"] = None
        finally:
            if lab.poll() is None:
                os.killpg(lab.pid, signal.SIGTERM)
            seen["window"] = lab.communicate(timeout=60)[0]
            seen["ended with"] = lab.returncode
    return seen


if __name__ == "__main__":
    *where, command = sys.argv[1:4]
    if sys.argv[4:] == ["--cut-off"]:
        loopback_up()
    print(json.dumps(use_once(*where, command)))
