"""The server of a reading room: voila, with seats, a folder for each visitor, and kernels started ahead."""

from __future__ import annotations

import asyncio
import contextlib
import html
import inspect
import io
import logging
import os
import re
import secrets
import shutil
import time
import zipfile
from pathlib import Path
from typing import Any, cast

import segno
from jupyter_core.utils import ensure_async
from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.services.kernels.handlers import KernelHandler
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.ioloop import IOLoop, PeriodicCallback
from tornado.web import HTTPError
from traitlets.config import Config
from voila.app import Voila
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

from woodcalc.records.choices import ROOM, VARIABLE

AHEAD = 2  # kernels that wait, warm, for the next visitors
LESSONS_A_VISITOR = 2  # open at once; the one opened first is closed
IDLE_S = 20 * 60  # a page without its phone
GONE_S = 30 * 60  # after the last page was closed, a visitor's records are wiped
COOKIE = "reader"
_HEADER = "X-Reader"
_UUID = re.compile(r"\w+-\w+-\w+-\w+-\w+")
_STYLE = """body {font: 1.15rem/1.5 system-ui, sans-serif; max-width: 40rem; margin: 2rem auto; padding: 0 1rem;
  color: #1a1a1a} ul {list-style: none; padding: 0} li {margin: .6rem 0} a {color: #004a7c}
.slide {text-align: center; max-width: none} .slide h1 {font-size: 3.2rem; margin: .2rem}
.slide p {font-size: 1.8rem; margin: .4rem} .slide svg {width: min(60vh, 90vw); height: auto}"""
_WARM = (
    "import woodcalc.lesson.panel, woodcalc.lesson.records, woodcalc.lesson.answers, woodcalc.figures.drying"
)


class Kernels(AsyncMappingKernelManager):
    """Kernels, some started ahead; each one of a visitor, whose folder it keeps its records in."""

    visitors: Path

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.ready: list[str] = []
        self.reader: dict[str, str] = {}  # of a kernel
        self.seen: dict[str, float] = {}  # when a visitor was last here
        self.visitors = cast("Room", self.parent).visitors
        self._filling: set[asyncio.Task[None]] = set()

    def of(self, reader: str) -> list[str]:
        """Return a visitor's kernels, the first opened first."""
        return [kernel for kernel, owner in self.reader.items() if owner == reader and kernel in self]

    def readers(self) -> set[str]:
        """Return the visitors who have a page open."""
        return {owner for kernel, owner in self.reader.items() if kernel in self}

    def folder(self, reader: str) -> Path:
        """Return a visitor's folder, made if it is not there."""
        folder = self.visitors / reader
        folder.mkdir(parents=True, exist_ok=True)
        return folder

    async def start_kernel(self, **kwargs: Any) -> str:  # type: ignore[override]
        """Give the visitor who asks a kernel, one that waits if there is one."""
        env = kwargs["env"]
        reader = env["HTTP_X_READER"]
        own = {VARIABLE: str(self.folder(reader)), ROOM: "1"}
        for older in self.of(reader)[: 1 - LESSONS_A_VISITOR]:
            await self.shutdown_kernel(older)
        kernel = ""
        while self.ready and not kernel:
            waiting = self.ready.pop()
            if waiting in self and await self._tell(waiting, f"import os; os.environ.update({own!r})"):
                kernel = waiting
        kernel = kernel or await super().start_kernel(**(kwargs | {"env": env | own}))
        self.reader[kernel] = reader
        self.seen[reader] = time.monotonic()
        self.fill(kwargs)
        return kernel

    def fill(self, kwargs: dict[str, Any]) -> None:
        """Start kernels ahead, in the background."""
        if not self._filling and len(self.ready) < AHEAD:
            task = asyncio.ensure_future(self._one_more(kwargs))
            self._filling.add(task)
            task.add_done_callback(self._filling.discard)

    async def _one_more(self, kwargs):
        await asyncio.sleep(1)  # the visitor who just came goes first
        while len(self.ready) < AHEAD:
            env = {**os.environ, ROOM: "1", VARIABLE: str(self.visitors / "nobody")}
            kernel = await super().start_kernel(**(kwargs | {"env": env}))
            if not await self._tell(kernel, _WARM):
                return
            self.ready.append(kernel)

    async def _tell(self, kernel, code):
        """Whether the kernel did what it was told."""
        client = self.get_kernel(kernel).client()
        client.start_channels()
        try:
            await client.wait_for_ready(timeout=90)  # type: ignore[misc]
            reply = await client.execute(code, silent=True, reply=True, timeout=90)
            return reply["content"]["status"] == "ok"
        except (RuntimeError, TimeoutError):
            return False
        finally:
            client.stop_channels()

    async def cull_kernel_if_idle(self, kernel_id: str) -> None:
        """Close a page that nobody has open, never a kernel that waits."""
        if kernel_id not in self.ready:
            await super().cull_kernel_if_idle(kernel_id)

    def sweep(self) -> None:
        """Wipe the records of visitors who have gone."""
        here, now = self.readers(), time.monotonic()
        self.reader = {kernel: owner for kernel, owner in self.reader.items() if kernel in self}
        for reader, last in list(self.seen.items()):
            if reader in here:
                self.seen[reader] = now
            elif now - last > GONE_S:
                shutil.rmtree(self.visitors / reader, ignore_errors=True)
                del self.seen[reader]


def _visitor(handler: Any) -> str:
    """Who asks, by a signed cookie; "" if nobody yet."""
    return (handler.get_signed_cookie(COOKIE) or b"").decode()


class _Page(JupyterHandler):
    """A handler that writes a plain page."""

    def page(self, heading: str, body: str) -> None:
        """Write a plain page."""
        self.finish(
            "<!doctype html><html lang='en'><meta charset='utf-8'>"
            "<meta name='viewport' content='width=device-width, initial-scale=1'>"
            f"<title>{html.escape(heading)}</title><style>{_STYLE}</style>{body}</html>"
        )


class _Own:
    """A door to one kernel: it opens for the visitor who has it."""

    async def prepare(self, *args: Any, **kwargs: Any) -> None:
        found = _UUID.search(self.request.path)  # type: ignore[attr-defined]
        kernels = self.settings["kernel_manager"]  # type: ignore[attr-defined]
        if not (found and found[0] in kernels.reader and kernels.reader[found[0]] == _visitor(self)):
            raise HTTPError(404)
        done = super().prepare(*args, **kwargs)  # type: ignore[misc]
        if inspect.isawaitable(done):
            await done


class _OwnKernel(_Own, KernelHandler):
    pass


class _OwnChannels(_Own, VoilaKernelWebsocketHandler):
    pass


class _OwnShutdown(_Own, VoilaShutdownKernelHandler):
    pass


class _Lesson(TornadoVoilaHandler, _Page):
    """A lesson, for a visitor who has a seat."""

    async def get(self, path: str = "") -> None:
        room, kernels = self.settings["room"], self.settings["kernel_manager"]
        if path.startswith("pictures/"):
            self.redirect_to_file(path)
            return
        if path not in room.headings:
            raise HTTPError(404)
        reader = _visitor(self)
        if reader not in kernels.readers() and len(kernels.readers()) >= room.most:
            self.set_status(503)
            self.set_header("Retry-After", "120")
            self.page(
                "The reading room is full",
                f"<h1>The reading room is full</h1><p>{room.most} people are reading, as many as this computer "
                "can hold. Look on with somebody near you, or try again in a few minutes.</p>"
                "<p><a href='/'>All lessons of this room</a></p>",
            )
            return
        if not reader:
            reader = secrets.token_urlsafe(12)
            self.set_signed_cookie(COOKIE, reader, expires_days=1, httponly=True, samesite="Lax")
        self.request.headers[_HEADER] = reader  # whatever the visitor sent
        await ensure_async(super().get(path))

    def write(self, chunk: str | bytes | dict[str, Any]) -> None:
        """Leave out voila's style sheets from elsewhere: where there is no internet, a page would wait for them."""
        if isinstance(chunk, str):
            chunk = re.sub(r"<link[^>]+https://cdn[^>]+>", "", chunk)
        super().write(chunk)


class _Entrance(_Page):
    def get(self) -> None:
        room = self.settings["room"]
        items = "".join(
            f"<li><a href='/voila/render/{name}'>{html.escape(heading)}</a></li>"
            for name, heading in room.headings.items()
        )
        self.page(
            "Lessons of this room",
            f"<h1>From log to dry board</h1><p>Choose a lesson. It takes a few seconds to open.</p>"
            f"<ul>{items}</ul><p>What you type is yours alone, and is wiped "
            f"{GONE_S // 60} minutes after you have gone. <a href='/take-home'>Take my records home</a></p>",
        )


class _Slide(_Page):
    def get(self) -> None:
        address = self.settings["room"].address
        code = segno.make(address, error="m").svg_inline(scale=8, border=2)
        self.page(
            "The way in",
            f"<body class='slide'><h1>Read along on your phone</h1><div role='img' "
            f"aria-label='Code for phones: {html.escape(address)}'>{code}</div><p><b>{html.escape(address)}</b></p>"
            "<p>on this room's network</p></body>",
        )


class _TakeHome(_Page):
    def get(self) -> None:
        reader, kernels = _visitor(self), self.settings["kernel_manager"]
        folder = kernels.visitors / reader
        files = (
            [path for path in sorted(folder.rglob("*")) if path.is_file()] if reader in kernels.seen else []
        )
        files = [
            path for path in files if not any(part.startswith(".") for part in path.relative_to(folder).parts)
        ]
        if not files:
            self.page(
                "Nothing to take home yet",
                "<h1>Nothing to take home yet</h1><p>Nothing is kept of you here yet: no log, no stack, no plan. "
                "Save one in a lesson, then come back.</p><p><a href='/'>All lessons of this room</a></p>",
            )
            return
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as bundle:
            for path in files:
                bundle.write(path, f"my-wood/{path.relative_to(folder).as_posix()}")
        self.set_header("Content-Type", "application/zip")
        self.set_header("Content-Disposition", 'attachment; filename="my-wood.zip"')
        self.finish(packed.getvalue())


_CLOSED = ("/voila/tree", "/voila/api/contents")
_OURS = {
    KernelHandler: _OwnKernel,
    VoilaKernelWebsocketHandler: _OwnChannels,
    VoilaShutdownKernelHandler: _OwnShutdown,
    TornadoVoilaHandler: _Lesson,
}


class Room(Voila):
    """A reading room over a folder of prepared lessons."""

    visitors: Path
    headings: dict[str, str]
    most: int
    port: int
    address = ""

    def init_settings(self) -> dict[str, Any]:
        return super().init_settings() | {"room": self}

    def init_handlers(self) -> list[Any]:
        kept = [
            (each[0], _OURS.get(each[1], each[1]), *each[2:])
            for each in super().init_handlers()
            if each[0] != "/" and not each[0].startswith(_CLOSED)
        ]
        return [("/", _Entrance), ("/slide", _Slide), ("/take-home", _TakeHome), *kept]

    def listen(self) -> None:
        """Take the port; `stay_open` serves."""
        for port in self.random_ports(self.port, self.port_retries + 1):
            with contextlib.suppress(OSError):
                self.app.listen(port, self.ip)
                self.port = port
                return
        raise OSError(f"no free port near {self.port}")

    def stay_open(self) -> None:
        """Serve until stopped."""
        self.ioloop = IOLoop.current()
        PeriodicCallback(self.kernel_manager.sweep, 30_000).start()
        self.ioloop.add_callback(self.kernel_manager.fill, {"kernel_name": "python3", "path": ""})
        try:
            self.ioloop.start()
        except KeyboardInterrupt:
            pass
        finally:
            self.stop()


def open_room(pages: Path, visitors: Path, headings: dict[str, str], most: int, ip: str, port: int) -> Room:
    """Return a reading room that listens and does not serve yet.

    Parameters
    ----------
    pages : path
        As `reading_room.prepare` leaves it.
    visitors : path
        Where visitors' folders are made.
    headings : dict
        Heading of each lesson by its name.
    most : int
        Visitors at once.
    ip, port
        Where it listens.
    """
    visitors.mkdir(exist_ok=True)
    room = Room.instance(log_level=logging.WARNING)
    room.visitors, room.headings, room.most = visitors, headings, most
    room.update_config(
        Config(
            Voila={"ip": ip, "port": port, "open_browser": False, "root_dir": str(pages)},
            VoilaConfiguration={
                "allow_template_override": "NO",
                "allow_theme_override": "NO",
                "file_allowlist": [r"pictures/[\w.-]+\.(png|jpg|svg)"],
                "http_header_envs": [_HEADER],
                "multi_kernel_manager_class": Kernels,
            },
            MappingKernelManager={"cull_idle_timeout": IDLE_S, "cull_interval": 60},
        )
    )
    room.initialize([])
    room.start()
    return room
