"""Measure a log: board feet by the log rules, cubic feet, weight, and what a tree holds.

A log rule answers in board feet, from the small-end diameter inside bark and the length; a cubic formula
answers in cubic feet. Diameters are used exactly as given: to round them the way a scaler's stick does, call
`scaling_diameter_in` first, and to find the length that is paid for, `scaling_length_ft`.
"""

from dataclasses import dataclass

import numpy as np

from woodcalc.checks import within

FT3_PER_IN2_FT = np.pi / 576  # area in ft2 of a circle 1 in across: pi/4/144 = 0.005454


@dataclass(frozen=True)
class Log:
    """One log as measured, inside bark.

    Parameters
    ----------
    small_in : float
        Small-end diameter inside bark (in), 1 to 80. Of an oval end it is the diameter of the circle of equal
        area, sqrt(long axis x short axis).
    large_in : float, optional
        Large-end diameter inside bark (in). Left out: the small end plus `taper_in_per_ft` times the length.
    length_ft : float
        Length that is paid for (ft), 1 to 66, trim not counted.
    species : str
        A name that `species.get` knows, or empty.
    label : str
        The tag on the log.
    trim_in : float
        Extra length beyond `length_ft` (in).
    taper_in_per_ft : float
        Growth of diameter per foot of length, used when `large_in` is left out; 1/2 in per 4 ft fits most
        types of timber (The cubic foot as a national log-scaling standard, USDA Forest Service 1940).
    sweep_in : float
        Greatest distance of the log's axis from a straight line between its ends (in).
    oval_ratio : float
        Long axis over short axis of the small end.

    Raises
    ------
    InputError
        A size outside its range, or a large end smaller than the small end.

    Examples
    --------
    >>> log = Log(small_in=16, length_ft=12)
    >>> log.large_end_in
    17.5
    >>> log.volume_ft3
    18.4
    """

    small_in: float
    large_in: float | None = None
    length_ft: float = 12.0
    species: str = ""
    label: str = ""
    trim_in: float = 4.0
    taper_in_per_ft: float = 0.125
    sweep_in: float = 0.0
    oval_ratio: float = 1.0

    def __post_init__(self):
        within("small_in", self.small_in, 1, 80, "in", "Is it in cm, or is it the distance around the log?")
        within("length_ft", self.length_ft, 1, 66, "ft", "Is it in inches?")
        within("trim_in", self.trim_in, 0, 24, "in", "Is it in feet or cm?")
        within("taper_in_per_ft", self.taper_in_per_ft, 0, 1, "in per ft", "Is it for the whole log?")
        within("sweep_in", self.sweep_in, 0, 40, "in")
        within("oval_ratio", self.oval_ratio, 1, 2, "", "It is the long axis divided by the short one.")
        if self.large_in is not None:
            hint = "Are the two ends exchanged? The small end comes first."
            within("large_in", self.large_in, self.small_in, 120, "in", hint)

    @property
    def large_end_in(self):
        """Large-end diameter inside bark (in), measured or from the taper."""
        if self.large_in is not None:
            return float(self.large_in)
        return float(self.small_in + self.taper_in_per_ft * self.length_ft)

    @property
    def volume_ft3(self):
        """Cubic feet of solid wood as the frustum of a cone, trim not counted."""
        small, large = self.small_in, self.large_end_in
        return float(FT3_PER_IN2_FT * (small**2 + small * large + large**2) * self.length_ft / 3)
