"""A lesson survives being saved: what JupyterLab writes by itself holds stills and questions, and nothing live."""

import asyncio
import copy
import gc
import json
from pathlib import Path
from types import SimpleNamespace

import nbformat
import pytest
from jupyter_client.ioloop import AsyncIOLoopKernelRestarter
from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager, LargeFileManager
from jupyter_server.services.contents.manager import ContentsManager
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from jupyter_server.utils import ensure_async
from tornado.web import HTTPError
from tornado.websocket import WebSocketClosedError
from traitlets.config import LoggingConfigurable

from woodcalc.lesson import saved, server, settle

LESSONS = Path(__file__).parents[1] / "lessons"
LESSON = LESSONS / "07-dry-outdoors.ipynb"
LIVE = {saved.VIEW: {"model_id": "9f", "version_major": 2, "version_minor": 0}}


def _text(book):
    return nbformat.writes(book) + "\n"


def _settled():
    book = nbformat.read(LESSON, as_version=4)
    saved.settle_outputs(book)
    return _text(book)


SHIPPED = _settled()


def shipped():
    return nbformat.reads(SHIPPED, as_version=4)


def as_lab_saves(book):
    """The lesson after a second run in the same kernel, as JupyterLab sends it: live, timed, and of this machine."""
    book = copy.deepcopy(book)
    book.metadata.kernelspec = {
        "display_name": "Python 3 (ipykernel)",
        "language": "python",
        "name": "python3",
    }
    book.metadata.language_info = {"name": "python", "version": "3.13.1", "pygments_lexer": "ipython3"}
    book.metadata.widgets = {"application/vnd.jupyter.widget-state+json": {"state": {}}}
    for n, cell in enumerate(c for c in book.cells if c.cell_type == "code"):
        cell.execution_count = 40 + n
        cell.metadata.execution = {"shell.execute_reply": "2026-05-04T19:12:09.133Z"}
        for output in cell.outputs:
            if output.output_type == "execute_result":
                output.execution_count = 40 + n
                output.data |= LIVE
    return book


def live_in(book):
    return [c["id"] for c in book["cells"] for o in c.get("outputs", []) if saved.VIEW in o.get("data", {})]


def cell(book, name):
    return next(c for c in book["cells"] if c["id"] == name)


def panel_of(book):
    return next(
        c
        for c in book["cells"]
        if any("<img" in o.get("data", {}).get("text/html", "") for o in c.get("outputs", []))
    )


def test_a_lesson_run_and_saved_is_the_lesson_as_it_came():
    book = as_lab_saves(shipped())
    assert len(live_in(book)) > 8
    saved.settle_outputs(book)
    assert _text(book) == SHIPPED


def test_a_live_control_without_a_still_leaves_a_sentence():
    book = shipped()
    code = panel_of(book)
    code["outputs"][0]["data"] = LIVE | {"text/plain": "VBox(children=(FloatSlider(value=1.0)))"}
    saved.settle_outputs(book)
    assert code["outputs"][0]["data"] == {
        "text/html": "<p><i>Run this lesson to see this.</i></p>",
        "text/plain": "Run this lesson to see this.",
    }


def fails(name="KeyError"):
    return nbformat.v4.new_output("error", ename=name, evalue="'stack'", traceback=["Traceback ..."])


def test_a_cell_that_failed_shows_again_what_it_showed_before():
    book, before = shipped(), shipped()
    code = panel_of(book)
    still = copy.deepcopy(code["outputs"])
    code["outputs"] = [nbformat.v4.new_output("stream", name="stderr", text="a warning"), fails()]
    saved.settle_outputs(book, saved.shown(before))
    assert code["outputs"] == still
    code["outputs"] = [fails()]
    saved.settle_outputs(book)  # nothing was there before
    assert [o["data"]["text/plain"] for o in code["outputs"]] == [saved.RUN_IT]


def test_a_run_cut_off_in_the_middle_leaves_every_still():
    """JupyterLab empties all cells as the run begins; a save may come then, and the engine may never get to them."""
    book, before = as_lab_saves(shipped()), as_lab_saves(shipped())
    for code in (c for c in book.cells[5:] if c.cell_type == "code"):
        code.outputs, code.execution_count = [], None
    saved.settle_outputs(book, saved.shown(before))
    assert _text(book) == SHIPPED


def test_what_a_learner_adds_stays():
    book = as_lab_saves(shipped())
    mine = nbformat.v4.new_code_cell("logs.doyle_bf(16, 12", outputs=[
        nbformat.v4.new_output("stream", name="stderr", text="my own warning"),
        nbformat.v4.new_output("display_data", data=LIVE | {"text/html": "<b>mine</b>", "application/json": {"a": 1}}),
        fails("SyntaxError"),
    ])  # fmt: skip
    prose = nbformat.v4.new_markdown_cell("The walnut behind the barn: 14 in.")
    book.cells[6:6] = [mine, prose]
    book.cells += [nbformat.v4.new_code_cell(), nbformat.v4.new_markdown_cell(" \n")]  # nothing in them yet
    saved.settle_outputs(book, saved.shown(shipped()))
    assert book.cells[6].source == mine.source and book.cells[7] == prose
    assert [o.output_type for o in mine.outputs] == ["stream", "display_data", "error"]
    assert mine.outputs[1].data == {"text/html": "<b>mine</b>", "application/json": {"a": 1}}
    assert mine.execution_count is None and len(book.cells) == len(shipped().cells) + 2


def test_another_kernel_than_the_usual_one_is_kept():
    book = shipped()
    book.metadata.kernelspec.name = "woods"
    book.metadata.language_info = {"name": "python", "version": "3.12.0"}
    saved.settle_outputs(book)
    assert book.metadata.kernelspec.name == "woods" and book.metadata.language_info.version == "3.12.0"


@pytest.mark.parametrize("path", sorted(LESSONS.rglob("[0-9a-z]*.ipynb")), ids=lambda p: p.stem)
def test_every_lesson_is_known_and_lies_there_settled(path):
    book = nbformat.read(path, as_version=4)
    assert saved.is_lesson(book)
    assert all(c.metadata.deletable is c.metadata.editable is False for c in book.cells)
    assert not any(
        "VBox(" in o.get("data", {}).get("text/plain", "") for c in book.cells for o in c.get("outputs", [])
    )
    before = path.read_text(encoding="utf-8")
    saved.settle_outputs(book)
    assert _text(book) == before


def test_a_lesson_is_known_by_what_is_in_it():
    book = shipped()
    book.metadata.woodcalc = {"lesson": "07"}
    assert saved.is_lesson(book)
    del book.metadata["woodcalc"]
    assert saved.is_lesson(book)  # from before lessons were marked
    book.cells[0].id = "an-own-notebook"
    assert not saved.is_lesson(book)
    assert not saved.is_lesson({}) and not saved.is_lesson({"metadata": {"woodcalc": "yes"}, "cells": []})


def test_settling_stops_at_a_warning(tmp_path, monkeypatch):
    path = tmp_path / LESSON.name
    path.write_bytes(SHIPPED.encode())

    def warns(book, *_):
        panel_of(book)["outputs"].append(nbformat.v4.new_output("stream", name="stderr", text="RangeWarning"))

    monkeypatch.setattr(settle, "run", warns)
    with pytest.raises(ValueError, match="RangeWarning"):
        settle.settle(path)
    assert path.read_bytes() == SHIPPED.encode()


def test_a_lesson_is_unlocked_to_work_on_it_and_locked_again(tmp_path, monkeypatch):
    path = tmp_path / LESSON.name
    path.write_bytes(SHIPPED.encode())
    settle.unlock(path)
    book = nbformat.read(path, as_version=4)
    assert saved.is_lesson(book)
    assert not any("deletable" in c.metadata or "editable" in c.metadata for c in book.cells)
    monkeypatch.setattr(settle, "run", lambda *_: None)
    settle.settle(path)
    assert path.read_bytes() == SHIPPED.encode()


# The server


@pytest.fixture(params=[LargeFileManager, AsyncLargeFileManager])
def manager(request, tmp_path, monkeypatch):
    """A contents manager as the server has it, for a folder with one lesson in it."""
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "jupyter"))
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / LESSON.name).write_bytes(SHIPPED.encode())
    made = request.param(root_dir=str(tmp_path / "lessons"))
    server.keep_lessons_whole(made)
    return made


def ask(answer):
    async def wait():
        return await ensure_async(answer)

    return asyncio.run(wait()) if hasattr(answer, "__await__") else answer


def notebook(book):
    return {"type": "notebook", "format": "json", "content": json.loads(json.dumps(book))}


def test_what_lab_saves_holds_nothing_live(manager):
    path = Path(manager.root_dir) / LESSON.name
    there = ask(manager.save(notebook(as_lab_saves(shipped())), LESSON.name))
    assert path.read_bytes() == SHIPPED.encode()
    assert there["last_modified"] == ask(manager.get(LESSON.name, content=False))["last_modified"]
    kept = ask(manager.checkpoints.list_checkpoints(LESSON.name))
    assert len(kept) == 1
    path.write_text("broken")
    ask(manager.restore_checkpoint(kept[0]["id"], LESSON.name))
    assert path.read_bytes() == SHIPPED.encode()


def test_a_run_cut_off_and_saved_keeps_the_stills_of_the_file(manager):
    book = as_lab_saves(shipped())
    for code in (c for c in book.cells[5:] if c.cell_type == "code"):
        code.outputs = []
    book = notebook(book)
    for code in book["content"]["cells"]:
        if code["cell_type"] == "code":
            code["metadata"]["trusted"] = True  # JupyterLab says so of every cell that it ran
    ask(manager.save(book, LESSON.name))
    assert (Path(manager.root_dir) / LESSON.name).read_bytes() == SHIPPED.encode()
    opened = ask(manager.get(LESSON.name))["content"]  # no signature for what did not come from this run
    assert not any(c["metadata"].get("trusted") for c in opened["cells"])


def test_a_file_with_live_controls_is_healed_as_it_opens(manager):
    path = Path(manager.root_dir) / LESSON.name
    nbformat.write(as_lab_saves(shipped()), path)
    on_disk = path.read_bytes()
    model = ask(manager.get(LESSON.name, type="notebook", require_hash=True))
    assert live_in(json.loads(on_disk)) and not live_in(model["content"])
    assert path.read_bytes() == on_disk  # opening changes no file
    assert model["hash"] == ask(manager.get(LESSON.name, content=False, require_hash=True))["hash"]


@pytest.mark.parametrize("left", [0.5, 0.0])
def test_a_lesson_that_is_cut_off_while_the_lab_runs_opens_from_its_sound_copy(manager, left):
    folder = Path(manager.root_dir)
    path = folder / LESSON.name
    sound = folder / ".lab/sound" / LESSON.name
    sound.parent.mkdir(parents=True)
    ask(manager.get(LESSON.name))
    assert sound.read_bytes() == SHIPPED.encode()  # kept as it opens whole
    half = SHIPPED.encode()[: int(left * len(SHIPPED))]
    path.write_bytes(half)
    assert ask(manager.get(LESSON.name, content=False))["type"] == "notebook" and path.read_bytes() == half
    assert len(ask(manager.get(LESSON.name, type="notebook"))["content"]["cells"]) == len(shipped().cells)
    assert path.read_bytes() == SHIPPED.encode()
    assert (folder / ".lab/damaged" / LESSON.name).read_bytes() == half
    (folder / "mine.ipynb").write_text("{")  # nobody's but the learner's
    with pytest.raises(HTTPError):
        ask(manager.get("mine.ipynb", type="notebook"))
    assert (folder / "mine.ipynb").read_text() == "{"


def test_what_is_trusted_stays_so_and_nothing_else_becomes_so(manager):
    """Settled content is signed as it is written; a file that came from elsewhere is not."""
    book = notebook(as_lab_saves(shipped()))
    for code in book["content"]["cells"]:
        if code["cell_type"] == "code":
            code["metadata"]["trusted"] = True
    ask(manager.save(book, LESSON.name))
    opened = ask(manager.get(LESSON.name))["content"]
    assert all(c["metadata"]["trusted"] for c in opened["cells"] if c["cell_type"] == "code")
    stranger = as_lab_saves(shipped())
    panel_of(stranger)["outputs"][0]["data"]["text/html"] += "<script>alert(1)</script>"
    nbformat.write(stranger, Path(manager.root_dir) / "from-elsewhere.ipynb")
    opened = ask(manager.get("from-elsewhere.ipynb"))["content"]
    assert not live_in(opened) and not any(c["metadata"].get("trusted") for c in opened["cells"])


def test_other_peoples_notebooks_are_left_alone(manager):
    """What is saved and opened is the same with and without the book's server part."""
    book = as_lab_saves(shipped())
    del book.metadata["woodcalc"]
    for n, each in enumerate(book.cells):
        each.id = f"own{n}"
    panel_of(book)["outputs"].append(fails())
    plain = type(manager)(root_dir=manager.root_dir)
    ask(plain.save(notebook(book), "plain.ipynb"))
    ask(manager.save(notebook(book), "ours.ipynb"))
    folder = Path(manager.root_dir)
    assert (folder / "ours.ipynb").read_bytes() == (folder / "plain.ipynb").read_bytes()
    assert live_in(ask(manager.get("ours.ipynb"))["content"])
    assert ask(manager.get("ours.ipynb"))["content"] == ask(plain.get("plain.ipynb"))["content"]


def test_no_lesson_at_all_opens_and_saves_as_ever(manager):
    ask(manager.save({"type": "file", "format": "text", "content": "bring chalk"}, "notes.txt"))
    assert ask(manager.get("notes.txt"))["content"] == "bring chalk"
    assert len(ask(manager.get(""))["content"]) == 2
    empty = nbformat.v4.new_notebook()
    ask(manager.save(notebook(empty), "mine.ipynb"))
    assert ask(manager.get("mine.ipynb"))["content"]["cells"] == []


@pytest.mark.parametrize("there", [b"", b"{", b"[]", b"\xff\xfe\x00", b'{"cells": 1}'])
def test_a_broken_file_in_the_way_stops_no_save(manager, there):
    path = Path(manager.root_dir) / LESSON.name
    path.write_bytes(there)
    ask(manager.save(notebook(as_lab_saves(shipped())), LESSON.name))
    assert path.read_bytes() == SHIPPED.encode()


def test_a_lesson_out_of_shape_opens_as_it_is(manager):
    model = {
        "type": "notebook",
        "path": "x.ipynb",
        "content": {"metadata": {"woodcalc": {"lesson": "07"}}, "cells": [{}]},
    }
    assert server._opened(model, manager)["content"]["cells"] == [{}]


def test_a_server_whose_lessons_lie_in_no_folder():
    book = as_lab_saves(shipped())

    class Elsewhere(ContentsManager):
        def get(self, path, content=True, type=None, format=None, require_hash=False):
            return notebook(book) | {"path": path}

        def save(self, model, path):
            self.run_pre_save_hooks(model=model, path=path)
            return model

    manager = Elsewhere()
    server.keep_lessons_whole(manager)
    assert not live_in(manager.get("lesson")["content"]) and not live_in(
        manager.save(notebook(book), "x")["content"]
    )


def test_a_message_to_the_browser_does_not_wait_for_the_one_before(monkeypatch, tmp_path):
    done = []
    app = SimpleNamespace(settings={})
    server._load_jupyter_server_extension(
        SimpleNamespace(
            web_app=app,
            contents_manager=LargeFileManager(root_dir=str(tmp_path)),
            kernel_manager=LoggingConfigurable(),
        )
    )
    kind = app.settings["kernel_websocket_connection_class"]
    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "connect", lambda _: done.append("opened"))
    monkeypatch.setattr(kind, "websocket_handler", SimpleNamespace(set_nodelay=done.append))
    kind().connect()
    assert done == [True, "opened"]


def test_a_page_that_was_closed_or_loaded_again_leaves_no_traceback(caplog, monkeypatch):
    """Its messages are dropped: those that come after it went, and those that wait for their turn when it goes."""
    reported, sent = [], []

    async def cut_off():
        raise WebSocketClosedError

    def write(message, binary=False):
        sent.append(message)
        if message == "after":
            raise WebSocketClosedError
        return asyncio.ensure_future(cut_off())

    async def talk():
        asyncio.get_running_loop().set_exception_handler(lambda _, context: reported.append(context))
        channel = server.PromptChannel()
        channel.write_message("waits", binary=True)
        channel.write_message("after")
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        gc.collect()  # a task that nobody asked for its error tells when it goes

    monkeypatch.setattr(server.PromptChannel, "websocket_handler", SimpleNamespace(write_message=write))
    asyncio.run(talk())
    assert sent == ["waits", "after"]
    assert reported == [] and caplog.records == []


def test_engines_are_looked_at_every_second():
    """With JupyterLab's three seconds a busy machine took ten until a page said that its engine was gone."""
    kernels = LoggingConfigurable()
    assert AsyncIOLoopKernelRestarter(parent=kernels).time_to_dead == 3
    server.watch_engines_closely(kernels)
    assert AsyncIOLoopKernelRestarter(parent=kernels).time_to_dead == server.LOOKS_EVERY_S == 1
