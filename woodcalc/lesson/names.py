"""What the widgets leave out: names of controls for people who work by keyboard or by ear, and a word when the engine
behind a box is gone.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import uuid4

import anywidget
import traitlets

_JS = (Path(__file__).parent / "names.js").read_text(encoding="utf-8")


class ControlNames(anywidget.AnyWidget):
    """An invisible part of a box: names its controls, keeps their keys from the notebook, and watches the engine."""

    _esm = _JS
    me = traitlets.Unicode("").tag(sync=True)  # by what name the page finds an answer among all messages

    # the lists of a form by which its fields are filled, and what the engine has filled them by, when it was asked
    choosers = traitlets.List(traitlets.Unicode()).tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(me=uuid4().hex, **kwargs)
        # a form takes what its fields show when a button is pressed, and keeps what is typed in between
        self.when_pressed: Callable[[dict[str, str]], None] = lambda fields: None
        self.when_typed: Callable[[dict[str, str]], None] = lambda fields: None
        self.filled_by: Callable[[], dict[str, str]] = dict
        # a box as narrow as on a phone
        self.when_narrow: Callable[[bool], None] = lambda narrow: None
        # a point of a map, in shares of its width and height
        self.when_pointed: Callable[[float, float], None] = lambda across, down: None
        self.on_msg(self._heard)

    def _heard(self, _widget: Any, said: Any, _buffers: Any) -> None:
        if isinstance(said, dict) and isinstance(said.get("fields"), dict):
            self.when_pressed(said["fields"])
        elif isinstance(said, dict) and isinstance(said.get("typed"), dict):
            self.when_typed(said["typed"])
        elif isinstance(said, dict) and isinstance(said.get("chosen"), float):
            self.chosen = {"number": said["chosen"], **self.filled_by()}
        elif isinstance(said, dict) and isinstance(said.get("narrow"), bool):
            self.when_narrow(said["narrow"])
        elif isinstance(said, dict) and isinstance(said.get("pointed"), list):
            self.when_pointed(*map(float, said["pointed"]))
        else:
            self.send({"here": self.me})  # the page asks whether anybody is there
