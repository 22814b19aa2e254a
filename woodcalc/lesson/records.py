"""Panels of lesson 08: a forecast that learns, what a reading is worth, an unknown stack, the learner's own stacks."""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING, Any

from woodcalc import drying
from woodcalc.checks import RangeWarning, blank
from woodcalc.disk import in_words
from woodcalc.figures import records as figures
from woodcalc.figures.sample_boards import Sample, place_in, sample_boards
from woodcalc.lesson import own
from woodcalc.lesson.mine import picked
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.moisture import meter_range_pct
from woodcalc.records.choices import kept_choices

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


__all__ = [
    "learning_panel",
    "own_sample_boards_panel",
    "own_stack_panel",
    "unknown_stack_panel",
    "worth_panel",
]

_LISTED_UNDER = "What to do next"  # the box that comes first in the lesson
_OFFERED = 60  # stacks in the list of the panel


def learning_panel() -> Panel:
    """Panel: Kettle Hollow's stack A, its readings dropped in one by one."""
    return panel(
        figures.learning,
        [
            slider("entered", "Readings entered (number)", 0, 8, 1, 0),
            choice(
                "use",
                "Which readings",
                [("all", "both"), ("weighed board", "weight"), ("pin meter", "meter")],
            ),
            switch("slip", "One weighing written down wrong"),
        ],
        "Stack A at Kettle Hollow: what each reading adds",
    )


def worth_panel() -> Panel:
    """Panel: how the date of 20 % closes in with the number of readings, weighed or by meter."""
    return panel(
        figures.worth_of_readings,
        [
            slider("first_day", "First reading (days after stacking)", 5, 50, 5, 10),
            slider("every_days", "Then every (days)", 7, 21, 7, 14),
            slider("boards", "Boards read each time (number)", 1, 4, 1, 1),
            slider("pace", "Pace of this stack (usual = 1)", 0.6, 1.4, 0.2, 0.8),
        ],
        "What a reading is worth",
    )


def unknown_stack_panel(pace: float, seed: int, **_: Any) -> Panel:
    """Panel: a stack whose pace is hidden; try paces until the curve runs through its readings."""

    def draw(until_day, tried_pace, big=False):
        return figures.unknown_stack(pace, seed, until_day, tried_pace, big=big)

    return panel(
        draw,
        [
            slider("until_day", "Weighed every 7 days until (day)", 14, 91, 7, 28),
            slider("tried_pace", "Pace that you try (usual = 1)", 0.5, 1.5, 0.05, 1.0),
        ],
        "A stack with an unknown pace",
    )


def own_stack_panel() -> Box | Shown:
    """Panel: the learner's stacks or Kettle Hollow's, reading by reading; follows what the form saves."""
    made = own.show(_own_stacks, "stacks", also=["readings"], lesson="08", listed_under=_LISTED_UNDER)
    own.follow("stacks", getattr(made, "look", None))
    return made


def _own_stacks(wood, say):
    now = {"stacks": _Stacks(wood, say)}

    def draw(stack, left_out, big=False):
        try:
            return now["stacks"].drawn(stack, left_out, big)
        except Exception as error:  # never another stack's picture and dates under this one's name
            return figures.no_stack(f"Stack {stack} has no forecast: {in_words(error)}", big=big)

    made = panel(
        draw,
        [
            choice("stack", "Stack", now["stacks"].names, picked("stack", now["stacks"].names)),
            slider("left_out", "Newest readings left out (number)", 0, now["stacks"].most, 1, 0),
        ],
        "Stacks, with their readings",
        mine=False,
    )

    def look():
        said: list[str] = []
        found = own.own_wood("stacks", also=["readings"], lesson="08")
        now["stacks"] = _Stacks(found, said)
        stack, chosen = made.dials["stack"], made.dials["stack"].value
        made.dials["left_out"].max = now["stacks"].most
        stack.options = now["stacks"].names
        stack.value = chosen if chosen in stack.options else stack.options[0]
        made.tell_above(own.own_note(found, said, _LISTED_UNDER))
        made.draw_again()

    made.look = look
    return made


def own_sample_boards_panel() -> Box | Shown:
    """Panel: the learner's stacks or Kettle Hollow's from their ends, with the sample boards in them."""
    made = own.show(_own_sample_boards, "stacks", also=["readings"], lesson="08", listed_under=_LISTED_UNDER)
    own.follow("sample boards", getattr(made, "look", None))
    return made


def _own_sample_boards(wood, say):
    now = {"wood": wood}

    def rows():
        stacks = now["wood"].tables["stacks"]
        first = [row for row in stacks.itertuples() if now["wood"].told.get(row.stack)]
        rest = [row for row in stacks.itertuples() if not now["wood"].told.get(row.stack)]
        return {str(row.stack): row for row in [*first, *rest][:_OFFERED]}

    def draw(stack, big=False):
        row = rows()[stack]
        width = None if blank(row.width_ft) else float(row.width_ft)
        return sample_boards(
            stack, row.species, row.nominal, width, _samples(now["wood"], row.stack), big=big
        )

    made = panel(
        draw,
        [choice("stack", "Stack", list(rows()), picked("stack", list(rows())))],
        "Where the sample boards lie",
        mine=False,
    )

    def look():
        said: list[str] = []
        found = now["wood"] = own.own_wood("stacks", also=["readings"], lesson="08")
        dial, chosen, names = made.dials["stack"], made.dials["stack"].value, list(rows())
        dial.options = names
        dial.value = chosen if chosen in names else names[0]
        made.tell_above(own.own_note(found, said, _LISTED_UNDER))
        made.draw_again()

    made.look = look
    return made


def _samples(wood, stack):
    """The boards of a stack that were read, those read last in the end, each with its place and its last reading."""
    readings = wood.tables.get("readings")
    if readings is None or readings.empty:
        return []
    mine = readings[readings["stack"] == stack].sort_values("date", kind="stable")
    told = wood.moistures(stack)
    sure = told[told["sure"]] if len(told) else told
    last = {row.board: row for row in sure.itertuples()}
    most = meter_range_pct()[1]
    found = []
    for board in reversed(list(dict.fromkeys(reversed(list(mine["board"]))))):
        side = height = ""
        for note in mine.loc[mine["board"] == board, "note"]:
            here = place_in("" if blank(note) else str(note))
            side, height = here[0] or side, here[1] or height
        row = last.get(board)
        if row is None:
            found.append(Sample(str(board), side, height))
        else:
            trusted = row.kind != "meter" or row.mc_pct <= most
            found.append(Sample(str(board), side, height, row.mc_pct, row.date.date(), row.kind, trusted))
    return found


class _Stacks:
    """The stacks of a wood with their readings and forecasts, each worked out and drawn when it is first asked for."""

    def __init__(self, wood, say):
        stacks, readings = wood.tables["stacks"], wood.tables.get("readings", ())
        if len(stacks) > _OFFERED:
            say.append(f"The first {_OFFERED} of {len(stacks):,} stacks are offered here.")
        self._rows = stacks.head(_OFFERED).set_index("stack")
        self._place, self._told, self._drawn = kept_choices().place, {}, {}
        self._readings = {name: own.told_by_readings(wood, name, say) for name in self._rows.index}
        if len(readings) and all(told.empty for told in self._readings.values()):
            say.append(
                "No reading of these stacks tells its moisture yet: this is the forecast of the day of stacking."
            )
        # the ones with readings first: they have something to show
        self.names = sorted(self._readings, key=lambda name: self._readings[name].empty)
        self.most = max(1, *map(len, self._readings.values()))

    def drawn(self, stack, left_out, big):
        """The picture of a stack without its newest readings, and what goes with it; its doubts are told each time."""
        if stack not in self._told:
            with warnings.catch_warnings(record=True) as doubts:
                warnings.simplefilter("always", RangeWarning)
                self._told[stack] = drying.of_stack(self._rows.loc[stack], self._place), doubts
        before, doubts = self._told[stack]
        for doubt in doubts:
            warnings.warn(doubt.message, stacklevel=2)
        known = (stack, left_out, big)
        if known not in self._drawn:
            self._drawn[known] = figures.own_stack(stack, before, self._readings[stack], left_out, big=big)
        return self._drawn[known]
