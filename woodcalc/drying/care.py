"""What is done for a stack in its first weeks, against checks and stain."""

from __future__ import annotations

from dataclasses import dataclass

from woodcalc.drying.rate import QUARTERSAWN_TIME

# The air's speed over the boards against none of these: halves, and twice for wide spaces, are common practice. That
# each slows drying is published (FOR-128, pp. 80, 82: closer piles; PSW Technical Paper 65: wide gaps are faster).
SLOWED = 0.5


@dataclass(frozen=True)
class Care:
    """What is done for a stack in its first weeks; the roof over it goes without saying.

    Attributes
    ----------
    ends_coated : bool
        On the day of sawing.
    shade : bool
        Shade cloth on the sunny and the windward side.
    closer : bool
        Boards and piles closer together.
    shed : bool
        An open shed in place of a roof on the pile.
    wide : bool
        Wide spaces between boards and piles.
    quartersawn : bool

    Examples
    --------
    >>> Care(shade=True).air_times, Care(shade=True, closer=True).air_times, Care(wide=True).air_times
    (0.5, 0.25, 2.0)
    """

    ends_coated: bool = False
    shade: bool = False
    closer: bool = False
    shed: bool = False
    wide: bool = False
    quartersawn: bool = False

    @property
    def air_times(self) -> float:
        """The air's speed over the boards, against a stack that has none of this."""
        return SLOWED ** (self.shade + self.closer + self.shed - self.wide)

    @property
    def takes_times(self) -> float:
        """The time inside the wood, against flat-sawn boards."""
        return QUARTERSAWN_TIME if self.quartersawn else 1.0

    @property
    def sunny(self) -> bool:
        """Whether the sun reaches the outer boards."""
        return not (self.shade or self.shed)


BARE = Care()
