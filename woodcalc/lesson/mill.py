"""The learner's own mill: a small form, kept with the choices, that the sheets and panels go by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError
from woodcalc.lesson import own
from woodcalc.lesson.panel import choice, switch
from woodcalc.lesson.worked import one_number, typed, worked
from woodcalc.records.own_mill import keep_mill, kept_mill
from woodcalc.sawing.mill import LEVELERS, STANDS, TURNERS, Mill, kerf_of_stack_in, set_by
from woodcalc.sizes import fraction

if TYPE_CHECKING:
    from woodcalc.lesson.worked import Worked


# name, label, least and most, unit: what may be left open
_MEASURED = (
    ("lowest_in", "Lowest safe cut, blade over the bed (in)", 0.25, 4, "in"),
    ("widest_in", "Widest cut between the guides (in)", 4, 80, "in"),
    ("throat_in", "Room above the blade (in)", 0.5, 40, "in"),
    ("largest_in", "Largest log with its bark (in)", 6, 90, "in"),
    ("longest_ft", "Longest log (ft)", 4, 66, "ft"),
)
_STEPS = [(set_by(step), step) for step in (1 / 16, 1 / 8, 3 / 16, 1 / 4)]
_HOW = (
    "<p><b>Blade still, engine off, before you measure or reach in.</b> The <i>lowest safe cut</i> is the lowest blade "
    "that clears your stops and clamps, all the way down, by half an inch. Leave open what you haven't measured: "
    "nothing is checked against it, and the sheet says what a mill must take.</p>"
    "<p><b>Kerf from a stack:</b> saw a few boards one after the other. Type how many, how far the head dropped from "
    "the pass over the first board to the pass under the last, and how thick they are pressed together. A band takes "
    "0.08 to 0.11 in (<i>from memory</i>).</p>"
)


def my_mill() -> Worked:
    """Box: the learner's mill, each change of it kept for all lessons.

    Examples
    --------
    >>> my_mill().dials["kerf"].value
    '1/8'
    """
    mine = kept_mill() or Mill()
    steps = list(dict.fromkeys([*_STEPS, (set_by(mine.step_in), mine.step_in)]))
    dials = [
        typed("kerf", "Kerf (in)", _written(mine.kerf_in)),
        typed("boards", "or: boards in the stack (number)", ""),
        typed("drop", "the head dropped (in)", ""),
        typed("together", "they are together (in)", ""),
        choice("step_in", "The height is set by", steps, mine.step_in),
        *(typed(name, label, _written(getattr(mine, name))) for name, label, *_ in _MEASURED),
        choice("turner", "Logs are turned by", TURNERS, mine.turner),
        choice("leveler", "The small end is raised by", LEVELERS, mine.leveler),
        switch("edger", "There is an edger", mine.edger),
        choice("stands", "The operator stands", STANDS, mine.stands),
    ]
    return worked(_kept_as, dials, "My mill", "03")


def _kept_as(kerf, boards, drop, together, **others):
    """Keep the mill that the fields tell, and say so."""
    stack = {"boards in the stack": boards, "the head dropped": drop, "they are together": together}
    told = _HOW
    if any(text.strip() for text in stack.values()):
        if not all(text.strip() for text in stack.values()):
            raise InputError("Kerf from a stack: fill in all three fields, or none of them.")
        amounts = [
            one_number(text, label, low, 80, unit)
            for (label, text), low, unit in zip(stack.items(), (1, 0.25, 0.25), ("", "in", "in"), strict=True)
        ]
        kerf_in = kerf_of_stack_in(amounts[1], amounts[2], round(amounts[0]))
        told += (
            f"<p>The stack says: a kerf of <b>{kerf_in:.3f} in</b>. It goes before the field <i>Kerf</i>: "
            "empty the three fields to type one there.</p>"
        )
    else:
        kerf_in = one_number(kerf, "Kerf", 0.02, 0.75, "in")
    values: dict[str, Any] = {"kerf_in": kerf_in, **others}
    for name, label, low, high, unit in _MEASURED:
        text = values[name]
        values[name] = one_number(text, label.partition(" (")[0], low, high, unit) if text.strip() else 0.0
    mill, before = Mill(**values), kept_mill()
    if mill != (before or Mill()):
        keep_mill(mill)
        own.saved()
        before = mill
    open_yet = [label.partition(" (")[0].lower() for name, label, *_ in _MEASURED if not getattr(mill, name)]
    stands = "Kept for all lessons" if before else "Until you write yours"
    told += f"<p><b>{stands}:</b> kerf {_written(mill.kerf_in)} in, {set_by(mill.step_in)}."
    return told + (f" Not measured yet: {', '.join(open_yet)}.</p>" if open_yet else "</p>")


def _written(size):
    """A size as the field shows it; nothing for what is not measured."""
    if not size:
        return ""
    return fraction(size, 64) if abs(size * 64 - round(size * 64)) < 1e-6 else f"{size:g}"
