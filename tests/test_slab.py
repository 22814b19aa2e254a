"""The slab against Crank's series, a numerical solution, and the conservation of water."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import skfem
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from woodcalc.checks import InputError
from woodcalc.drying import slab

REFERENCE = Path(__file__).parent / "reference"

CRANK = pd.read_csv(REFERENCE / "crank_check.csv")


@pytest.mark.parametrize("row", list(CRANK.itertuples()), ids=lambda r: f"{r.Bi_Sa_over_D}-{r.Fo_Dt_over_a2}")
def test_crank_series(row):
    """Crank, The Mathematics of Diffusion (1975), series for the slab (values computed from the recalled series).

    5e-5 of the total: half the last printed digit and the cut at 40 modes.
    """
    bi = float(row.Bi_Sa_over_D)
    b, B = slab.roots(bi, 40), slab.weights(bi, 40)
    left = slab.mean(slab.step(B * 1.0, b, B, 0.0, float(row.Fo_Dt_over_a2)), 0.0)
    assert 1 - left == pytest.approx(float(row.fraction_dried), abs=5e-5)


def lines(bi, start, emc, d_tau, cells=80):
    """The same slab by finite volumes and `scipy.integrate.solve_ivp`: mean at the end of every step."""
    h = 1 / cells
    out = 1 / (h / 2 + 1 / bi)  # half a cell and the film in series

    def rhs(_, m, e):
        flow = np.diff(m) / h
        return (np.append(flow, -out * (m[-1] - e)) - np.append(0.0, flow)) / h

    jac = (
        np.diag(-2.0 * np.ones(cells)) + np.diag(np.ones(cells - 1), 1) + np.diag(np.ones(cells - 1), -1)
    ) / h**2
    jac[0, 0] = -1 / h**2
    jac[-1, -1] = -1 / h**2 - out / h
    m, means = np.full(cells, float(start)), []
    for e, tau in zip(emc, d_tau, strict=True):
        m = solve_ivp(rhs, (0, tau), m, method="BDF", args=(e,), jac=lambda *_: jac, rtol=1e-6, atol=1e-6).y[
            :, -1
        ]
        means.append(m.mean())
    return np.array(means)


@pytest.mark.parametrize("bi", [0.3, 1.0, 3.0, 20.0])
def test_method_of_lines_with_changing_air(bi):
    """`solve_ivp` on finite volumes, 60 days of changing air: to 0.5 % of the moisture lost."""
    rng = np.random.default_rng(3)
    emc, tau = 13 + 3 * rng.standard_normal(60), 0.03 * rng.uniform(0.3, 1.5, 60)
    b, B = slab.roots(bi), slab.weights(bi)
    a, e, ours = B * (80.0 - emc[0]), emc[0], []
    for now, t in zip(emc, tau, strict=True):
        a, e = slab.step(a, b, B, now - e, t), now
        ours.append(slab.mean(a, e))
    theirs = lines(bi, 80.0, emc, tau)
    lost = 80.0 - theirs
    assert np.max(np.abs(np.array(ours) - theirs)[3:] / lost[3:]) < 0.005


@pytest.mark.parametrize("bi", [0.3, 1.0, 5.0])
def test_finite_elements_with_changing_air(bi):
    """scikit-fem, a general finite-element library: quadratic elements, exact in time by the matrix exponential.

    Mean, face and core on each of 40 days of changing air to a ten-thousandth of a point of MC: what 60 elements and
    12 modes leave.
    """
    basis = skfem.Basis(skfem.MeshLine(np.linspace(0, 1, 61)), skfem.ElementLineP2())
    face = skfem.FacetBasis(basis.mesh, basis.elem, facets=basis.mesh.facets_satisfying(lambda x: x[0] == 1))
    mass = skfem.BilinearForm(lambda u, v, w: u * v).assemble(basis).toarray()
    inside = skfem.BilinearForm(lambda u, v, w: u.grad[0] * v.grad[0]).assemble(basis).toarray()
    film = skfem.BilinearForm(lambda u, v, w: bi * u * v).assemble(face).toarray()
    decay = np.linalg.solve(mass, inside + film)
    share = mass.sum(axis=0)  # of each unknown in the mean
    at_core, at_face = (int(np.argmin(abs(basis.doflocs[0] - x))) for x in (0, 1))

    rng = np.random.default_rng(5)
    emc, tau = 13 + 3 * rng.standard_normal(40), 0.04 * rng.uniform(0.5, 1.5, 40)
    b, B = slab.roots(bi), slab.weights(bi)
    a, e, m = B * (80.0 - emc[0]), emc[0], np.full(basis.N, 80.0)
    for now, t in zip(emc, tau, strict=True):
        a, e = slab.step(a, b, B, now - e, t), now
        m = now + expm(-decay * t) @ (m - now)
        ours = slab.mean(a, e), slab.surface(a, b, bi, e), slab.core(a, b, e)
        assert ours == pytest.approx((share @ m, m[at_face], m[at_core]), abs=1e-4)


def test_surface_loss_is_the_fall_of_the_mean():
    """Water: d(mean)/dtau = -Bi (surface - E), which the modes must keep."""
    bi, b, B = 1.5, slab.roots(1.5), slab.weights(1.5)
    a = slab.step(B * 70, b, B, 0, 0.2)
    small = 1e-5
    fall = (slab.mean(a, 10.0) - slab.mean(slab.step(a, b, B, 0, small), 10.0)) / small
    assert fall == pytest.approx(bi * (slab.surface(a, b, bi, 10.0) - 10.0), rel=1e-3)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.01, 1e4), st.floats(20, 200), st.floats(0, 19), st.floats(0.05, 5))
def test_surface_below_mean_below_core(bi, start, emc, tau):
    b, B = slab.roots(bi), slab.weights(bi)
    a = slab.step(B * (start - emc), b, B, 0, tau)
    m, s, c = slab.mean(a, emc), slab.surface(a, b, bi, emc), slab.core(a, b, emc)
    assert emc - 1e-6 <= s <= m + 1e-6 <= c + 2e-6 <= start + 1e-3


@settings(max_examples=50, deadline=None)
@given(st.floats(1e-6, 1e6))
def test_roots_satisfy_their_equation_and_weights_sum_to_one(bi):
    b = slab.roots(bi)
    assert np.allclose(b * np.sin(b) / (1 + bi), bi * np.cos(b) / (1 + bi), atol=1e-9)
    assert np.all(np.diff(b) > 0)
    assert slab.weights(bi).sum() == pytest.approx(1)


def test_one_long_step_is_many_short_ones():
    b, B = slab.roots(1.0), slab.weights(1.0)
    a = one = B * 50
    for _ in range(10):
        a = slab.step(a, b, B, 0, 0.05)
    assert np.allclose(a, slab.step(one, b, B, 0, 0.5))


def test_a_surface_at_once_in_equilibrium():
    b, B = slab.roots(np.inf, 200), slab.weights(np.inf, 200)
    assert slab.surface(slab.step(B * 50, b, B, 0, 0.3), b, np.inf, 12.0) == 12.0


def test_a_batch_is_each_board_by_itself():
    bis = np.array([0.5, 1.0, 4.0])
    batch = slab.step(slab.weights(bis) * 60, slab.roots(bis), slab.weights(bis), 0.0, 0.4)
    for k, bi in enumerate(bis):
        assert np.allclose(
            batch[k], slab.step(slab.weights(bi) * 60, slab.roots(bi), slab.weights(bi), 0.0, 0.4)
        )


def test_biot_must_be_positive():
    with pytest.raises(InputError, match="biot"):
        slab.roots(0)


def test_speed_is_counted_against_wood_at_68_f_and_follows_the_law_of_arrhenius():
    """At 68 F, 20 C, the factor is 1 by its definition; its logarithm falls in a straight line with 1/T.

    The slope lies between 4,630 K (bound water: Siau 1984, from memory) and 5,280 K (red oak: Forest Products
    Laboratory, from memory).
    """
    assert slab.temperature_factor(68) == pytest.approx(1, abs=1e-12)
    over_t = 1 / np.array([273.15, 283.15, 313.15]) - 1 / 293.15  # 0, 10 and 40 C against 20 C
    slopes = np.log(slab.temperature_factor([32, 50, 104])) / over_t
    assert slopes == pytest.approx(slopes[0], rel=1e-9) and 4630 <= -slopes[0] <= 5280
