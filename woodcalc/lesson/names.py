"""What the widgets leave out: names of controls for people who work by keyboard or by ear, and a word when the engine
behind a box is gone.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import anywidget
import traitlets

_JS = (Path(__file__).parent / "names.js").read_text(encoding="utf-8")


class ControlNames(anywidget.AnyWidget):
    """An invisible part of a box: names its controls, keeps their keys from the notebook, and watches the engine."""

    _esm = _JS
    _ = traitlets.Unicode("").tag(sync=True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.on_msg(lambda *_: self.send("here"))  # the page asks whether anybody is there
