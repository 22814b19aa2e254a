"""Bend a board over any number of supports, or a whole pile of boards that rest on each other.

Straight elastic beams by the stiffness method: cubic (Euler-Bernoulli) elements with exact loads, so that the
deflection at every listed place is exact, however coarse the spacing of places. Supports and stickers only
push: where a board would lift off, the contact opens.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from woodcalc.checks import InputError, Numbers, within

_RIGID = 1e6  # a support's stiffness over that of a piece of board: its give is below any digit shown


@dataclass(frozen=True)
class Bent:
    """A board at rest: `x_in` along it, `down_in` below level, `contact_lb` at each support."""

    x_in: np.ndarray
    down_in: np.ndarray
    contact_lb: np.ndarray


@dataclass(frozen=True)
class BentPile:
    """A pile at rest: `x_in`, `down_in` (layers, places), `contact_lb` a list with one array per layer."""

    x_in: np.ndarray
    down_in: np.ndarray
    contact_lb: list[np.ndarray]


def bend(
    length_in: float,
    supports_in: Numbers,
    stiffness_lb_in2: float,
    load_lb_per_in: float,
    *,
    clamped_in: Numbers = (),
    points: Sequence[tuple[float, float]] = (),
    lift: bool = False,
    step_in: float = 2.0,
) -> Bent:
    """Return the shape of one board over its supports.

    Parameters
    ----------
    length_in : float
        Length of the board (in).
    supports_in : sequence of float
        Places of the supports from the left end (in), two or more, or one clamped.
    stiffness_lb_in2 : float
        E I of the board (lb in2).
    load_lb_per_in : float
        Weight per inch of length, own weight included (lb/in).
    clamped_in : sequence of float
        Supports that also hold the slope at zero.
    points : sequence of (place_in, load_lb)
        Loads at single places.
    lift : bool
        True: the board may rise off a support, as a board that only lies there does. False: it is held both
        ways, as the textbook cases have it.
    step_in : float
        Greatest distance between the places where the shape is given (in).

    Returns
    -------
    Bent

    Raises
    ------
    InputError
        A support off the board, or too few supports.

    Examples
    --------
    A beam on two end supports sags 5 w L^4 / (384 E I):

    >>> bent = bend(100, [0, 100], 1e6, 0.2)
    >>> float(bent.down_in.max()), 5 * 0.2 * 100**4 / (384 * 1e6)
    (0.2604, 0.2604)
    """
    length = within("length_in", length_in, 1, 2000, "in")
    supports = _places("supports_in", supports_in, length)
    clamped = _places("clamped_in", clamped_in, length)
    stiffness = within("stiffness_lb_in2", stiffness_lb_in2, 1e-9, 1e15, "lb in2")
    if len(supports) < 2 and len(clamped) == 0:
        raise InputError("supports_in: a board needs two supports, or it tips off.")
    loads = sorted((float(p), float(w)) for p, w in points)
    x = _nodes(length, [supports, clamped, np.array([p for p, _ in loads])], step_in)
    point_nodes = np.searchsorted(x, [p - 1e-9 for p, _ in loads])
    forces = np.zeros((1, len(x)))
    np.add.at(forces[0], point_nodes, [w for _, w in loads])
    rests = [np.searchsorted(x, supports - 1e-9)]
    turns = np.searchsorted(x, clamped - 1e-9)
    weight = np.array([float(load_lb_per_in)])
    down, contact = _settle(x, np.array([stiffness]), weight, rests, forces, turns, lift)
    return Bent(x, down[0], contact[0])


def bend_pile(
    length_in: float,
    rests_in: Sequence[Numbers],
    stiffness_lb_in2: Numbers,
    load_lb_per_in: Numbers,
    *,
    top_points: Sequence[tuple[float, float]] = (),
    step_in: float = 2.0,
) -> BentPile:
    """Return the shape of every layer of a pile whose layers rest on each other through stickers.

    Stickers are rigid and only push. The lowest places are the bolsters, which do not sink.

    Parameters
    ----------
    length_in : float
        Length of all layers (in).
    rests_in : sequence of sequences
        For each layer, lowest first, the places where it rests on what is below (in).
    stiffness_lb_in2, load_lb_per_in : float or array-like
        E I and weight per inch of each layer.
    top_points : sequence of (place_in, load_lb)
        Loads on the top layer.
    step_in : float
        Greatest distance between the places where the shape is given (in).

    Returns
    -------
    BentPile

    Examples
    --------
    Four layers, all on two stickers in line: each sags as if it were alone.

    >>> pile = bend_pile(100, [[0, 100]] * 4, 1e6, 0.2)
    >>> pile.down_in.max(axis=1)
    array([0.2604, 0.2604, 0.2604, 0.2604])
    >>> pile.contact_lb[0]
    array([40., 40.])
    """
    length = within("length_in", length_in, 1, 2000, "in")
    layers = len(rests_in)
    if layers == 0:
        raise InputError("rests_in: expected at least one layer.")
    places = [np.round(_places("rests_in", r, length) * 16) / 16 for r in rests_in]  # a tape's sixteenth
    if any(len(set(p)) < 2 for p in places):
        raise InputError("rests_in: each layer needs two stickers at different places, or it tips off.")
    loads = sorted((float(p), float(w)) for p, w in top_points)
    x = _nodes(length, [*places, np.array([p for p, _ in loads])], step_in)
    forces = np.zeros((layers, len(x)))
    np.add.at(forces[-1], np.searchsorted(x, [p - 1e-9 for p, _ in loads]), [w for _, w in loads])
    stiffness = np.broadcast_to(np.asarray(stiffness_lb_in2, float), (layers,))
    weight = np.broadcast_to(np.asarray(load_lb_per_in, float), (layers,))
    rests = [np.searchsorted(x, p - 1e-9) for p in places]
    down, contact = _settle(x, stiffness, weight, rests, forces, np.array([], int), True)
    return BentPile(x, down, contact)


def _places(name: str, places: Numbers, length: float) -> np.ndarray:
    places = np.unique(np.atleast_1d(np.asarray(places, float)))
    if len(places) and (places[0] < 0 or places[-1] > length + 1e-9 or np.isnan(places).any()):
        raise InputError(f"{name}: places must lie on the board, 0 to {length:g} in. Is one of them in feet?")
    return places


def _nodes(length: float, groups: Sequence[np.ndarray], step: float) -> np.ndarray:
    """Places where the shape is found: every support and load, and between them at most `step` apart."""
    marks = np.unique(np.round(np.concatenate([[0.0, length], *groups]), 9))
    marks = marks[np.append(True, np.diff(marks) > 1e-6)]
    counts = np.ceil(np.diff(marks) / step - 1e-9).astype(int)
    pieces = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(marks, marks[1:], counts, strict=False)]
    return np.append(np.concatenate(pieces), marks[-1])


def _settle(
    x: np.ndarray, stiffness: np.ndarray, weight: np.ndarray, rests: Sequence[np.ndarray], forces: np.ndarray,
    turns: np.ndarray, lift: bool,
) -> tuple[np.ndarray, list[np.ndarray]]:  # fmt: skip
    """Solve, open the contacts that pull, close those that overlap, until nothing changes."""
    layers, places = len(stiffness), len(x)
    h = np.diff(x)
    rigid = _RIGID * 12 * stiffness.max() / h.max() ** 3
    matrix, load = _assemble(h, stiffness, weight, forces)
    level = np.concatenate([np.full(len(r), k) for k, r in enumerate(rests)])
    node = np.concatenate(rests)
    on = np.ones(len(node), bool)
    slack = 1e-4 * load[0::2].sum() / rigid  # contacts that carry nothing either way stay as they are
    for _ in range(40):
        down = _solve(matrix, load, layers, places, node[on], level[on], turns, rigid)
        press = down[level, node] - np.where(level > 0, down[level - 1, node], 0.0)
        closed = (press > np.where(on, -slack, slack)) | (not lift)
        if (closed == on).all():
            break
        on = closed
    push = np.where(on, np.maximum(press, 0) if lift else press, 0.0) * rigid
    return down, [push[level == k] for k in range(layers)]


def _assemble(
    h: np.ndarray, stiffness: np.ndarray, weight: np.ndarray, forces: np.ndarray
) -> tuple[tuple[np.ndarray, np.ndarray, np.ndarray], np.ndarray]:
    """Stiffness matrix as (rows, columns, values) and the load, unknowns ordered place, layer, (down, slope)."""
    layers, pieces = len(stiffness), len(h)
    # cubic beam element: [[12, 6h, -12, 6h], [., 4h2, -6h, 2h2], [., ., 12, -6h], [., ., ., 4h2]] E I / h3
    one = np.ones(pieces)
    pair = np.array([12 * one, 6 * h, -12 * one, 6 * h])
    element = (
        np.array([pair, [6 * h, 4 * h**2, -6 * h, 2 * h**2], -pair, [6 * h, 2 * h**2, -6 * h, 4 * h**2]])
        / h**3
    )
    uniform = np.array([h / 2, h**2 / 12, h / 2, -(h**2) / 12])  # loads at both ends that stand for w = 1
    first = 2 * (np.arange(pieces) * layers + np.arange(layers)[:, None])  # (layers, pieces)
    dof = first + np.array([0, 1, 2 * layers, 2 * layers + 1])[:, None, None]
    shape = (4, 4, layers, pieces)
    rows = np.broadcast_to(dof[:, None], shape).ravel()
    columns = np.broadcast_to(dof[None], shape).ravel()
    values = (element[:, :, None] * stiffness[:, None]).ravel()
    load = np.zeros(2 * layers * (pieces + 1))
    load[0::2] = forces.T.ravel()
    np.add.at(load, dof, weight[:, None] * uniform[:, None])
    return (rows, columns, values), load


def _solve(
    matrix: tuple[np.ndarray, np.ndarray, np.ndarray], load: np.ndarray, layers: int, places: int, node: np.ndarray,
    level: np.ndarray, turns: np.ndarray, rigid: float,
) -> np.ndarray:  # fmt: skip
    from scipy.sparse import csc_matrix
    from scipy.sparse.linalg import splu

    rows, columns, values = matrix
    here = 2 * (node * layers + level)
    upper = here[level > 0]
    lower = upper - 2
    held = 2 * turns * layers + 1
    rows = np.concatenate([rows, here, lower, upper, lower, held])
    columns = np.concatenate([columns, here, lower, lower, upper, held])
    springs = (
        np.full(len(here) + len(lower), rigid),
        np.full(2 * len(lower), -rigid),
        np.full(len(held), rigid),
    )
    values = np.concatenate([values, *springs])
    size = len(load)
    # one thread of SuperLU: threads cost more than they bring at this size
    answer = splu(csc_matrix((values, (rows, columns)), (size, size)), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0,
                  options={"SymmetricMode": True}).solve(load)  # fmt: skip
    return answer[0::2].reshape(places, layers).T
