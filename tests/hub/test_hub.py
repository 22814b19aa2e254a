"""A class on one machine: JupyterHub on loopback, five learners sign in, run a lesson, keep files of their own.

Needs root (it makes system accounts), the environment /opt/woodcalc and the proxy that `.ci/run` installs; see
lessons/leader/hosting/hosting.md, which says the same commands.
"""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from http.cookiejar import CookieJar
from pathlib import Path

import nbformat
import pandas as pd
import pytest
import second_day
from lab_client import execute
from labtools import browser_fixture, needs_browser, wait_for  # noqa: F401

ROOT = Path(__file__).parents[2]
PLACE = Path("/opt/woodcalc")
PROXY = Path("/opt/woodcalc-proxy/node_modules/.bin")
LEARNERS = ["ash", "birch", "cherry", "elm", "hickory"]
ready = (
    sys.platform == "linux" and os.geteuid() == 0 and (PLACE / "bin/jupyterhub").exists() and PROXY.exists()
)
pytestmark = pytest.mark.skipif(not ready and not os.environ.get("CI"), reason="needs root and /opt/woodcalc")


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


@pytest.fixture(scope="module")
def hub(tmp_path_factory):
    state = tmp_path_factory.mktemp("hub")
    (state / "class-list.txt").write_text("\n".join(LEARNERS))
    book = PLACE / "book"
    shutil.rmtree(book, ignore_errors=True)
    shutil.copytree(
        ROOT / "lessons", book / "lessons", ignore=shutil.ignore_patterns("my-wood", ".ipynb_checkpoints")
    )
    shown = PLACE / "etc/jupyter/labconfig/page_config.json"
    shown.parent.mkdir(parents=True, exist_ok=True)
    shown.write_text('{"exposeAppInBrowser": true}')  # for `labtools.run`
    subprocess.run(["chmod", "-R", "a+rX", str(PLACE)], check=True)
    ports = {
        "WOODCALC_PORT": free_port(),
        "WOODCALC_HUB_PORT": free_port(),
        "WOODCALC_PROXY_PORT": free_port(),
    }
    env = {k: v for k, v in os.environ.items() if k not in ("WOODCALC_MY_WOOD", "WOODCALC_LISTEN")}
    env |= {k: str(v) for k, v in ports.items()} | {"WOODCALC_HUB_STATE": str(state)}
    env["PATH"] = f"{PLACE}/bin:{PROXY}:{env['PATH']}"
    config = book / "lessons/leader/hosting/jupyterhub_config.py"
    with open(state / "hub.log", "w") as log:
        process = subprocess.Popen(
            [PLACE / "bin/jupyterhub", "--config", config], cwd=state, env=env, stdout=log, stderr=log
        )
    url = f"http://127.0.0.1:{ports['WOODCALC_PORT']}"
    try:
        for _ in range(240):
            try:
                urllib.request.urlopen(f"{url}/hub/login", timeout=2)
                break
            except OSError:
                assert process.poll() is None, (state / "hub.log").read_text()[-3000:]
                time.sleep(0.25)
        yield url, state
    finally:
        process.terminate()
        process.wait(30)
        for name in LEARNERS:
            subprocess.run(["userdel", "--remove", f"wc-{name}"], capture_output=True)


class Learner:
    """A browser's worth of cookies: signs in with a password of one's own, then talks to one's own server."""

    def __init__(self, hub, name, password):
        self.hub, self.name = hub, name
        self.cookies = CookieJar()
        self.web = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))
        self.get("/hub/login")
        form = {"username": name, "password": password, "_xsrf": self.xsrf("/hub/")}
        try:
            with self.web.open(
                f"{hub}/hub/login?next=/hub/home", urllib.parse.urlencode(form).encode(), 60
            ) as page:
                self.signed_in = page.url.endswith("/hub/home")
        except urllib.error.HTTPError as error:
            self.signed_in, self.said = False, error.read().decode()

    def xsrf(self, path):
        found = {c.path: c.value for c in self.cookies if c.name == "_xsrf"}
        return urllib.parse.unquote(found.get(path) or next(iter(found.values())))

    def get(self, path):
        with self.web.open(self.hub + path, timeout=60) as page:
            return page.read()

    def send(self, path, body=None, method="POST", xsrf_path=None, headers=None):
        data = json.dumps(body).encode() if body is not None else b""
        request = urllib.request.Request(self.hub + path, data, method=method, headers=headers or {})
        request.add_header("Content-Type", "application/json")
        if xsrf_path:
            request.add_header("X-XSRFToken", self.xsrf(xsrf_path))
            request.add_header("Referer", self.hub + xsrf_path)
        with self.web.open(request, timeout=120) as page:
            text = page.read()
        return json.loads(text) if text else None

    def stop(self):
        """Stop one's own server and wait until it is gone."""
        self.ask(f"/hub/api/users/{self.name}/server", method="DELETE")
        for _ in range(240):
            if not self.ask(f"/hub/api/users/{self.name}").get("servers"):
                return
            time.sleep(0.25)
        raise AssertionError(f"{self.name}'s server did not stop")

    def start(self):
        self.get("/hub/home")
        self.token = self.send(f"/hub/api/users/{self.name}/tokens", {"note": "test"}, xsrf_path="/hub/")[
            "token"
        ]
        self.key = {"Authorization": f"token {self.token}"}
        try:
            self.send(f"/hub/api/users/{self.name}/server", {}, headers=self.key)
        except urllib.error.HTTPError as error:
            said = error.read().decode()
            assert "already running" in said, said
        for _ in range(480):
            user = self.ask(f"/hub/api/users/{self.name}")
            if user.get("server"):
                return
            time.sleep(0.25)
        raise AssertionError(f"{self.name}'s server did not start")

    def ask(self, path, **kwargs):
        request = urllib.request.Request(self.hub + path, headers=self.key, **kwargs)
        with urllib.request.urlopen(request, timeout=60) as page:
            text = page.read()
        return json.loads(text) if text else None

    def run(self, cells, after=lambda: None):
        """Run code cells in a kernel of this learner's server, in the lessons folder; return what they printed.

        `after` is called before the kernel stops.
        """
        kernels = f"/user/{self.name}/api/kernels"
        kernel = self.send(kernels, {"path": ""}, headers=self.key)["id"]
        address = f"{self.hub.replace('http', 'ws', 1)}{kernels}/{kernel}/channels"
        printed = execute(address, self.key, cells)
        after()
        self.ask(f"{kernels}/{kernel}", method="DELETE")
        return printed


def memory_mb(account):
    """Return the proportional share of memory of all processes of an account, in MB."""
    total = 0
    pids = subprocess.run(["pgrep", "-u", account], capture_output=True, text=True).stdout.split()
    for pid in pids:
        try:
            text = Path(f"/proc/{pid}/smaps_rollup").read_text()
        except OSError:
            continue
        total += next(int(row.split()[1]) for row in text.splitlines() if row.startswith("Pss:"))
    return total / 1024


def test_five_learners_run_a_lesson_and_keep_their_own_files(hub, report):
    url, state = hub
    assert not Learner(url, "stranger", "a-long-password").signed_in, "only names on the class list get in"
    lesson = nbformat.read(ROOT / "lessons/05-wood-and-the-air.ipynb", as_version=4)
    cells = [c.source for c in lesson.cells if c.cell_type == "code"]
    learners = [Learner(url, name, f"{name}-likes-{name}") for name in LEARNERS]
    rows = []
    for learner in learners:
        assert learner.signed_in, learner.said
        learner.start()
        account = f"wc-{learner.name}"
        learner.run(cells, lambda a=account: rows.append({"learner": a, "memory_MB": memory_mb(a)}))
        learner.run([f"open('mine.txt', 'w').write('belongs to {learner.name}')"])

    assert not Learner(url, "ash", "some-other-guess").signed_in, "the first password stays"
    for me, other in zip(learners, learners[1:] + learners[:1], strict=True):
        assert me.ask(f"/user/{me.name}/api/contents/mine.txt")["content"] == f"belongs to {me.name}"
        with pytest.raises(urllib.error.HTTPError) as refused:  # not through the web ...
            me.ask(f"/user/{other.name}/api/contents/mine.txt")
        assert refused.value.code in (403, 404)
        look = f"open('/home/wc-{other.name}/lessons/mine.txt')"
        said = me.run([f"try:\n {look}\nexcept PermissionError: print('private')"])
        assert said == "private\n"  # ... and not through the disk

    most = max(r["memory_MB"] for r in rows)
    for gib in (8, 24):  # 1 GiB is left for the system, the hub and the proxy
        rows.append({"learner": f"learners that fit in {gib} GiB", "memory_MB": int((gib - 1) * 1024 / most)})
    report(
        "memory of a learner's server and the kernel of one lesson (proportional share)", pd.DataFrame(rows)
    )
    page = (ROOT / "lessons/leader/hosting/hosting.md").read_text()
    allowed = int(re.search(r"Allow (\d+) MB", page)[1])
    assert most < allowed, "hosting.md tells a leader to allow less than a learner takes"
    told = {int(gib): int(n) for gib, n in re.findall(r"^\| (\d+) GiB \| (\d+) \|$", page, re.M)}
    assert set(told) >= {8, 24}
    for gib, learners_told in told.items():
        assert learners_told == (gib - 1) * 1024 // allowed


class OwnLab:
    """A learner's server as the browser tests know one."""

    def __init__(self, hub, name):
        self.hub, self.name = hub, name
        self.folder = Path(f"/home/wc-{name}")

    def url(self, path):
        return f"{self.hub}/user/{self.name}/{path.replace('lessons/', '', 1)}"


@needs_browser
def test_a_lesson_that_was_run_and_saved_is_whole_the_next_day(hub, browser):
    """In a browser: sign in, run, write, save; the server stops and starts; opened again, all of it is there."""
    learner, lab = Learner(hub[0], "birch", "birch-likes-birch"), OwnLab(hub[0], "birch")
    assert learner.signed_in, learner.said
    learner.start()
    browser.get(f"{hub[0]}/hub/login")
    for name, text in (("username", "birch"), ("password", "birch-likes-birch\n")):
        wait_for(lambda n=name: browser.find_elements("name", n), 30)[0].send_keys(text)
    wait_for(lambda: "/hub/login" not in browser.current_url, 60)
    second_day.write_and_save(lab, browser)
    mine = Path("/home/wc-birch/lessons/my-wood/written.json")
    assert mine.owner() == "wc-birch" and "80" in mine.read_text()
    learner.stop()
    learner.start()
    second_day.open_again(lab, browser)


def test_a_kernel_that_asks_for_too_much_stops_alone(hub):
    greedy, modest = (Learner(hub[0], name, f"{name}-likes-{name}") for name in ("elm", "ash"))
    for learner in (greedy, modest):
        learner.start()
    ask_for = "try:\n  x = bytearray({} << 20)\n  print('given')\nexcept MemoryError: print('refused')"
    assert greedy.run([ask_for.format(3000)]) == "refused\n"  # the limit is 2 GiB of address space
    assert modest.run([ask_for.format(100)]) == "given\n"


def test_an_update_never_overwrites_a_learners_work(hub):
    url, state = hub
    home = Path("/home/wc-ash/lessons")
    mine, theirs = home / "01-measure-the-log.ipynb", home / "00-start-here.ipynb"
    book = PLACE / "book/lessons"
    account = ["su", "wc-ash", "-c"]
    changed = nbformat.read(mine, as_version=4)
    changed.cells.append(nbformat.v4.new_markdown_cell("The walnut behind the barn: 14 in."))
    nbformat.write(changed, mine)
    changed = mine.read_text()
    for name in (mine.name, theirs.name):
        better = nbformat.read(book / name, as_version=4)
        better.cells[0].source += "\n\nBetter than before."
        nbformat.write(better, book / name)
    command = f"cd ~ && {PLACE}/bin/python -m woodcalc.lesson.copies {book} {home}"
    subprocess.run([*account, command], check=True, capture_output=True)
    assert mine.read_text() == changed
    assert (home / "new versions" / mine.name).read_text() == (book / mine.name).read_text()
    assert theirs.read_text() == (book / theirs.name).read_text()


def test_it_listens_on_this_machine_only(hub):
    url, state = hub
    port = int(url.rsplit(":", 1)[1])
    sockets = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    listening = [
        where for _, where, _, state_, *_ in sockets if state_ == "0A" and where.endswith(f":{port:04X}")
    ]
    assert listening == [f"0100007F:{port:04X}"]  # 127.0.0.1, as the kernel writes it
    assert oct(state.stat().st_mode)[-2:] == "00"
    log = (state / "hub.log").read_text()
    assert "Starting service 'idle-culler'" in log and not re.search(
        "Service idle-culler exited", log
    )  # it stops what nobody uses
    assert b"ash-likes-ash" not in b"".join(p.read_bytes() for p in state.iterdir() if p.is_file())
