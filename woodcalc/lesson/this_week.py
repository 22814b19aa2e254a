"""What the owner of each stack does next, as lesson 08 says it on opening and after each saved reading."""

from __future__ import annotations

import html
import warnings
from typing import TYPE_CHECKING

import ipywidgets as w

from woodcalc.checks import RangeWarning
from woodcalc.disk import in_words, plainly
from woodcalc.lesson import own
from woodcalc.lesson.box import Box
from woodcalc.plan.standing import read_last_first, watched
from woodcalc.records.choices import kept_choices

if TYPE_CHECKING:
    from woodcalc.lesson.box import Shown
    from woodcalc.records.usable import OwnTables


LISTED = 20  # stacks told one by one, those with the newest readings


def what_next(found: OwnTables, stack: str) -> tuple[str, bool]:
    """Return (what to do next with the stack of a reading that was saved, True if it dries too fast).

    The first is "" if it is not among the stacks.

    Examples
    --------
    >>> from woodcalc import records
    >>> what_next(records.read_usable(records.KETTLE_HOLLOW), "Z")
    ('', False)
    """
    for row in found.tables["stacks"].itertuples() if "stacks" in found.tables else ():
        if row.stack == stack:
            try:
                with warnings.catch_warnings():
                    warnings.simplefilter("ignore", RangeWarning)  # said above the stacks
                    now = watched(found, row, kept_choices().place)
            except Exception as error:  # what was saved is saved
                return f"Stack {stack} has no forecast: {in_words(error)}", False
            return "\n".join([f"Next for stack {stack}:", *now.says]), now.too_fast
    return "", False


class Weeks(Box):
    """The stacks with what to do next, told anew whenever something is saved; made by `this_week`."""

    def __init__(self, told: str) -> None:
        self.told = w.HTML(told)
        super().__init__([self.told], "box: what to do next", "What to do next, stack by stack")
        self.add_class("woodcalc-told")

    def look(self) -> None:
        """Tell it anew from the records as they are now."""
        said: list[str] = []
        found = own.own_wood("stacks", also=["readings"], lesson="08")
        self.told.value = _told(found, said)
        self.tell_above(own.own_note(found, said))

    def tell_above(self, told: str) -> None:
        """Show whose stacks they are; the form that begins them stands below this box."""
        super().tell_above(told.replace("The form above", "The form below"))

    def still(self) -> str:
        """The sentences as they stood."""
        return (
            f"<p><b>What to do next, stack by stack</b></p>{self.above}{self.told.value}"
            "<p><i>Press <b>Run this lesson</b> in the toolbar for today.</i></p>"
        )


def this_week() -> Box | Shown:
    """Show for each stack when to weigh again, whether it dries too fast, and when it is ready.

    Returns
    -------
    Box or Shown

    Examples
    --------
    >>> from woodcalc.lesson.box import plain
    >>> print(plain(this_week().told.value).split("Stack B")[0])  # doctest: +ELLIPSIS
    Stack A, northern red oak 4/4
    Not ready: board 1-3 read 24 % on 19 July 2025; leave it. Down to 20 % most likely from 3 August 2025 (27 ...
    Weigh board 1-3 again on 3 August 2025 (the likely day of 20 %).
    Board 1-3 lost 0.3 points a day since 5 July 2025: safe (under 3.8).
    <BLANKLINE>
    """
    made = own.show(lambda wood, say: Weeks(_told(wood, say)), "stacks", also=["readings"], lesson="08")
    own.follow("weeks", getattr(made, "look", None))
    return made


def _told(wood, say):
    """The stacks as HTML, those with the newest readings first."""
    rows, newest = read_last_first(wood)
    today = newest if wood.whose != own.MINE else None
    if today:  # invented: they are told as of the day of their last reading
        say.append(f"They are told as of {today.day} {today:%B %Y}, the day of the last of these readings.")
    if len(rows) > LISTED:
        say.append(f"The {LISTED} of {len(rows):,} stacks with the newest readings are told here.")
    told, refused = "", own.left_out(say, "Stack", "stack")
    for row in rows[:LISTED]:
        try:
            with warnings.catch_warnings(record=True) as doubts:  # said each time that it is told anew
                warnings.simplefilter("always", RangeWarning)
                now = watched(wood, row, kept_choices().place, today)
        except Exception as error:  # the other stacks count
            refused(row, error)
            continue
        say += [plainly(str(doubt.message)) for doubt in doubts if issubclass(doubt.category, RangeWarning)]
        head = html.escape(f"Stack {row.stack}, {row.species} {row.nominal}")
        items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in now.says)
        warns = " woodcalc-warn" * now.too_fast
        told += f'<div class="woodcalc-note{warns}"><b>{head}</b><ul>{items}</ul></div>'
    return told
