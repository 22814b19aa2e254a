"""Board feet in a standing tree; read through `woodcalc.logs`."""

from __future__ import annotations

import numpy as np

from woodcalc.checks import FloatOrArray, Numbers, doubtful, one_of, plain, within

# H.V. Wiant Jr. 1986, North. J. Appl. For. 3:124, as restated by D.R. Larsen, Univ. of Missouri:
# bf = (a + b d + c d^2)(1 + 0.03 (FC - 78)), each of a, b, c a quadratic in the number of 16-ft logs
_WIANT = {
    "International 1/4": [
        (-13.35212, 9.58615, 1.52968),
        (1.7962, -2.59995, -0.27465),
        (0.04482, 0.45997, -0.00961),
    ],
    "Scribner": [
        (-22.50365, 17.53508, -0.59242),
        (3.02988, -4.34381, -0.02302),
        (-0.01969, 0.51593, -0.02035),
    ],
    "Doyle": [
        (-29.37337, 41.51275, 0.55743),
        (2.78043, -8.77272, -0.04516),
        (0.04177, 0.59042, -0.01578),
    ],
}


def tree_bf(
    dbh_in: Numbers, logs_16ft: Numbers, form_class: Numbers = 78, rule: str = "International 1/4"
) -> FloatOrArray:
    """Return board feet in a standing tree, from its diameter, merchantable height and form class.

    Parameters
    ----------
    dbh_in : float or array
        Diameter outside bark 4-1/2 ft above the ground (in), 10 to 40.
    logs_16ft : float or array
        Merchantable height in 16-ft logs and halves, 1 to 5.
    form_class : float
        Girard form class (see `form_class_pct`), 65 to 90; 78 fits much timber in the eastern United States.
    rule : str
        ``"Doyle"``, ``"Scribner"`` or ``"International 1/4"``.

    References
    ----------
    H.V. Wiant Jr. 1986, North. J. Appl. For. 3:124: regressions on the tables of Mesavage & Girard 1946. They
    serve all three rules, any diameter and form class; the printed table at hand has form class 78 only, no
    Doyle rows. Against its sound cells they are within 5 % from 11 in on; at 10 in up to 10 % (5 bf) high. In thin
    trees of many logs the regression would fall with one more log; there it stays at its top.

    Examples
    --------
    >>> tree_bf(24, 2.5, rule="Doyle")
    428.94
    """
    rule = one_of("rule", {r.lower(): r for r in _WIANT}.get(str(rule).lower(), rule), list(_WIANT))
    hint = "Is it the distance around the tree? Divide by 3.14."
    d = np.asarray(within("dbh_in", dbh_in, 8, 60, "in", hint))
    doubtful("dbh_in", d, 10, 40, "in", "the tables behind the formula stop there. " + hint)
    n = np.asarray(within("logs_16ft", logs_16ft, 0.5, 6, "logs", "Is it in feet? One log is 16 ft."))
    doubtful("logs_16ft", n, 1, 5, "logs", "the tables behind the formula stop there.")
    fc = np.asarray(within("form_class", form_class, 65, 90, "%"))
    level, rise, bend = (k0 + k1 * d + k2 * d**2 for k0, k1, k2 in zip(*_WIANT[rule], strict=True))
    n = np.minimum(n, -rise / (2 * bend))  # past its top the quadratic would fall
    return plain(np.maximum(level + rise * n + bend * n**2, 0) * (1 + 0.03 * (fc - 78)))


def form_class_pct(top_inside_bark_in: Numbers, dbh_in: Numbers) -> FloatOrArray:
    """Return the Girard form class: diameter inside bark at 17.3 ft as % of the diameter at breast height.

    Parameters
    ----------
    top_inside_bark_in : float or array
        Diameter inside bark at the top of the first 16-ft log: 1 ft stump, 16 ft, 0.3 ft trim (in).
    dbh_in : float or array
        Diameter outside bark 4-1/2 ft above the ground (in).

    Examples
    --------
    >>> form_class_pct(18.2 - 1.12, 21.9)
    77.99
    """
    dbh = np.asarray(within("dbh_in", dbh_in, 1, 120, "in", "Is it the distance around the tree?"))
    top = np.asarray(within("top_inside_bark_in", top_inside_bark_in, 0, 120, "in"))
    return plain(100 * top / dbh)
