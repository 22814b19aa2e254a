"""A bar above a box while its numbers are worked out, for what takes seconds."""

from __future__ import annotations

from time import monotonic
from typing import Any

FROM = 60  # fewer are done before anybody looks
EVERY_S = 0.2


class Progress:
    """A bar that shows how many of so many logs are sawn, and goes when all are; none for a short tally.

    Parameters
    ----------
    count : int
        How many there are in all.

    Examples
    --------
    >>> bar = Progress(18)
    >>> bar(1), bar.shown
    (None, '')
    """

    def __init__(self, count: int) -> None:
        self.count, self.shown, self._then, self._place = count, "", 0.0, None

    def __call__(self, done: int) -> None:
        """Show that so many are done, at most five times a second."""
        if self.count <= FROM:
            return
        now = monotonic()
        if done < self.count and now - self._then < EVERY_S:
            return
        self._then = now
        self.show(
            f'<p><progress max="{self.count}" value="{done}" aria-label="logs sawn"></progress> '
            f"{done} of {self.count} logs sawn</p>"
            if done < self.count
            else ""
        )

    def show(self, text: str) -> None:
        """Put a text in the bar's place."""
        from IPython.display import HTML, display

        self.shown = text
        if self._place is None:
            place: Any = display(HTML(text), display_id=True)
            self._place = place
        else:
            self._place.update(HTML(text))
