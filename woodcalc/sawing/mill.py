"""The mill that a log is sawn on: what it can hold and cut."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from woodcalc.checks import InputError, within
from woodcalc.sizes import sixteenths

TURNERS = ("cant hook", "winch", "mill's turner")
LEVELERS = ("wedges or blocks", "toe board")
STANDS = ("not told", "at the stops", "at the clamps")
UNIT_IN = 1 / 16  # marks of a usual height scale
STEPS = {  # how a mill sets its height, in words, and the step; None: anywhere on a scale
    "reads a scale in sixteenths": None,
    "drops in steps of 1/8 in": 0.125,
    "drops in steps of 1/4 in": 0.25,
}
_SPELL = {
    "kerf_in": ("Kerf", 0.02, 0.75, "in"),
    "step_in": ("Scale or step", 1 / 16, 1, "in"),
    "lowest_in": ("Lowest safe cut", 0.25, 4, "in"),
    "widest_in": ("Widest cut", 4, 80, "in"),
    "throat_in": ("Room above the blade", 0.5, 40, "in"),
    "largest_in": ("Largest log", 6, 90, "in"),
    "longest_ft": ("Longest log", 4, 66, "ft"),
}


@dataclass(frozen=True)
class Mill:
    """A sawmill as its owner measured it; what is 0 was not measured, and nothing is checked against it.

    Attributes
    ----------
    kerf_in : float
        Width of the saw line (in), 0.02 to 0.75.
    step_in : float
        Marks of the height scale, or the step that the head drops by (in), sixteenths, up to 1.
    lowest_in : float
        Lowest height of the blade over the bed that clears stops and clamps by half an inch (in).
    widest_in : float
        Widest cut that passes between the blade's guides (in).
    throat_in : float
        Room above the blade (in), for the slab.
    largest_in : float
        Largest diameter that the head clears, bark in (in).
    longest_ft : float
        Longest log, trim in (ft).
    turner : str
        One of `TURNERS`.
    leveler : str
        One of `LEVELERS`: what brings the small end up.
    edger : bool
        Whether there is one.
    stands : str
        One of `STANDS`: the side at which the operator stands.

    Raises
    ------
    InputError
        A size that no mill has; a word that is not known.

    Examples
    --------
    >>> Mill(kerf_in=0.1, largest_in=26).largest_in
    26.0
    """

    kerf_in: float = 0.125
    step_in: float = UNIT_IN
    lowest_in: float = 0.0
    widest_in: float = 0.0
    throat_in: float = 0.0
    largest_in: float = 0.0
    longest_ft: float = 0.0
    turner: str = "mill's turner"
    leveler: str = "wedges or blocks"
    edger: bool = False
    stands: str = STANDS[0]

    def __post_init__(self) -> None:
        for name, (label, low, high, unit) in _SPELL.items():
            value = getattr(self, name)
            if value or name in ("kerf_in", "step_in"):
                value = within(label, value, low, high, unit)
            object.__setattr__(self, name, float(value))
        if abs(self.step_in / UNIT_IN - round(self.step_in / UNIT_IN)) > 1e-6:
            raise InputError(
                f"Scale or step = {self.step_in:g}: expected sixteenths of an inch, like 1/16, 1/8 or 1/4."
            )
        for label, word, known in (
            ("Turner", self.turner, TURNERS),
            ("Leveler", self.leveler, LEVELERS),
            ("Operator's side", self.stands, STANDS),
        ):
            if word not in known:
                raise InputError(f"{label} = {word!r}: expected one of {', '.join(known)}.")
        if not isinstance(self.edger, bool):
            raise InputError(f"Edger = {self.edger!r}: expected True or False.")

    @classmethod
    def of(cls, values: Any) -> Mill:
        """Return the mill of a dict of its values, as it is kept; other names are passed over.

        Parameters
        ----------
        values : dict

        Examples
        --------
        >>> Mill.of({"kerf_in": 0.1, "color": "red"}).kerf_in
        0.1
        """
        if not isinstance(values, dict):
            raise InputError(f"a mill = {str(values)[:40]!r}: expected names and values.")
        known = {f.name for f in fields(cls)}
        try:
            return cls(**{name: value for name, value in values.items() if name in known})
        except (TypeError, ValueError) as why:
            raise InputError(str(why)) from None


def set_by(step_in: float) -> str:
    """Return in words what a mill's height is set by.

    Parameters
    ----------
    step_in : float
        Marks of its scale, or its step (in).

    Examples
    --------
    >>> set_by(1 / 16), set_by(0.25)
    ('a scale in sixteenths', 'steps of 1/4 in')
    """
    return "a scale in sixteenths" if step_in == UNIT_IN else f"steps of {sixteenths(step_in)} in"


def kerf_of_stack_in(drop_in: float, stack_in: float, boards: int) -> float:
    """Return the kerf (in) from a stack of boards sawn one after the other: what the head dropped and wood is missing.

    Parameters
    ----------
    drop_in : float
        From the pass before the first board to the pass under the last (in), as the scale shows it.
    stack_in : float
        The boards pressed together (in).
    boards : int
        How many, 1 to 40.

    Raises
    ------
    InputError
        A stack thicker than the drop, or a kerf that no saw has.

    Examples
    --------
    >>> kerf_of_stack_in(9.5, 8.6, 8)
    0.1125
    """
    boards = int(within("Boards in the stack", boards, 1, 40))
    drop = float(within("The head dropped", drop_in, 0.25, 80, "in"))
    stack = float(within("The boards together", stack_in, 0.25, 80, "in"))
    kerf = (drop - stack) / boards
    if not 0.02 <= kerf <= 0.75:
        raise InputError(
            f"{boards} boards of {stack:g} in together from a drop of {drop:g} in leave {kerf:.3f} in for each saw "
            "line; expected 0.02 to 0.75 in. Was one pass too few or too many counted?"
        )
    return round(kerf, 4)
