"""What the book adds to Jupyter's server: lessons that survive being saved, and a prompt wire to the browser.

JupyterLab saves a lesson by itself, live controls and all, and the next day shows "Error displaying widget" in their
place. So the book's own lessons are settled whenever they are saved or opened; other notebooks are left alone.
"""

from __future__ import annotations

import inspect
import json
from pathlib import Path
from typing import Any

from jupyter_server.services.contents.filemanager import FileContentsManager
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.utils import to_os_path
from tornado.websocket import WebSocketClosedError
from traitlets.config import Config

from woodcalc.lesson.copies import mend_lesson
from woodcalc.lesson.kept import written
from woodcalc.lesson.saved import is_lesson, settle_outputs, shown
from woodcalc.tables import lessons

LOOKS_EVERY_S = 1.0


class PromptChannel(ZMQChannelsWebsocketConnection):
    """Jupyter's own channel, with TCP_NODELAY set: each message is sent at once, and none to a page that is gone.

    Left alone, TCP holds a small message back until the one before it is acknowledged, and the other end
    acknowledges up to 40 ms late: longer than a picture takes to draw. A slider's key press to the next picture: 62 ms
    with the wait, 25 without (a small drawing, chromium on the same machine).
    """

    def connect(self) -> Any:
        """Open the channel as ever, the wait turned off."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()

    @property
    def write_message(self) -> Any:
        """Send a message to the page; one that has been closed or loaded again misses nothing that it could show.

        Left alone, each message on its way to such a page leaves a traceback in the terminal: thousands for one reload
        in the middle of a run.
        """
        return self._write

    def _write(self, message, binary=False):
        try:
            sent = self.websocket_handler.write_message(message, binary)
        except WebSocketClosedError:
            return
        sent.add_done_callback(_gone_or_sent)  # it may close while the message waits its turn


def _gone_or_sent(sent):
    if not sent.cancelled() and not isinstance(error := sent.exception(), WebSocketClosedError | None):
        raise error


def keep_lessons_whole(manager: Any) -> None:
    """Have a contents manager settle the lessons that it saves and opens, and mend those that were cut off.

    Parameters
    ----------
    manager : jupyter_server.services.contents.manager.ContentsManager
        Any: of files or not, synchronous or not.
    """
    read = manager.get

    def get(*args, **kwargs):
        if kwargs.get("content", True):
            _mend(kwargs.get("path", *args[:1]), manager)
        found = read(*args, **kwargs)
        return _when_there(found, manager) if inspect.isawaitable(found) else _opened(found, manager)

    manager.get = get
    manager.register_pre_save_hook(_before_saving)


def _mend(path, manager):
    """Put the sound copy in the place of a lesson that was cut off while the lab runs, as the next start would."""
    if not path.endswith(".ipynb") or (file := _file(path, manager)) is None:
        return
    folder = file.parent.parent if file.parent.name == "leader" else file.parent
    if file.is_file() and (folder / ".lab/sound").is_dir() and (what := mend_lesson(file, folder, lessons())):
        manager.log.warning("%s was damaged: %s", path, what)


async def _when_there(found, manager):
    return _opened(await found, manager)


def _opened(model, manager):
    """Settle a lesson on its way to the reader: the file may hold live controls from elsewhere."""
    if _lesson_in(model):
        try:
            settle_outputs(model["content"], words=_words(model["path"], manager))
        except Exception:  # a lesson that cannot be settled is opened as it is
            manager.log.warning("%s is opened as it is", model["path"], exc_info=True)
    return model


def _before_saving(model, path, contents_manager, **_):
    if _lesson_in(model):
        before = _on_disk(path, contents_manager)
        settle_outputs(model["content"], before, _words(path, contents_manager))


def _lesson_in(model):
    return (
        model.get("type") == "notebook"
        and isinstance(model.get("content"), dict)
        and is_lesson(model["content"])
    )


def _file(path, manager):
    """Return where a lesson lies, or None if it lies in no folder."""
    return Path(to_os_path(path, manager.root_dir)) if isinstance(manager, FileContentsManager) else None


def _on_disk(path, manager):
    """Return what the lesson showed when it was saved last."""
    try:
        book = json.loads(_file(path, manager).read_text(encoding="utf-8"))
        return shown(book) if is_lesson(book) else {}
    except (OSError, ValueError, TypeError, KeyError, AttributeError):  # no file yet, or no notebook in it
        return {}


def _words(path, manager):
    """Return what the learner has written into the boxes of the lessons in that folder, by what was asked."""
    file = _file(path, manager)
    return {words["asked"]: words["typed"] for words in written(file.parent).values()} if file else {}


def _jupyter_server_extension_points():
    return [{"module": "woodcalc.lesson.server"}]


def watch_engines_closely(kernels: Any) -> None:
    """Have a manager of kernels look every second whether each is still alive, not every three.

    The page says that a lesson's engine is gone as soon as the server knows it. A look costs one call of the system.

    Parameters
    ----------
    kernels : jupyter_server.services.kernels.kernelmanager.MappingKernelManager
    """
    kernels.update_config(Config(KernelRestarter={"time_to_dead": LOOKS_EVERY_S}))


def _load_jupyter_server_extension(server):
    watch_engines_closely(server.kernel_manager)
    server.web_app.settings["kernel_websocket_connection_class"] = PromptChannel
    keep_lessons_whole(server.contents_manager)
