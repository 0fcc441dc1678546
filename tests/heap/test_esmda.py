"""The smoother against the exact answer of a linear problem, and a sampler's of one that bends."""

import emcee
import numpy as np
import pytest

from turnrow.heap import esmda
from turnrow.heap.believed import teach
from turnrow.heap.leftover import Leftover, Spots, at, carried, covariance


def test_many_guesses_reach_the_exact_posterior_of_a_linear_normal_problem() -> None:
    """Posterior mean G'(GG'+R)^-1 y and covariance I - G'(GG'+R)^-1 G (any text on linear normal models)."""
    r = np.random.default_rng(3)
    p, m, n = 4, 7, 20_000
    g = r.normal(size=(m, p))
    noise = 0.5 * np.eye(m) + 0.3
    truth = r.normal(size=p)
    root = np.linalg.cholesky(noise)
    read = g @ truth + root @ r.normal(size=m)
    gain = g.T @ np.linalg.inv(g @ g.T + noise)
    z = r.normal(size=(p, n))
    for alpha in esmda.ALPHAS:
        z = esmda.step(z, g @ z, read, root, alpha, r.normal(size=(m, n)))
    exact = np.eye(p) - gain @ g
    sd = np.sqrt(np.diag(exact))
    np.testing.assert_allclose(z.mean(axis=1) / sd, gain @ read / sd, atol=0.06)
    np.testing.assert_allclose(np.cov(z) / np.outer(sd, sd), exact / np.outer(sd, sd), atol=0.06)


def test_many_guesses_near_what_a_sampler_finds_where_the_problem_is_not_linear() -> None:
    """A heat that nears 40 + 8 a [K] at 0.5 exp(0.4 b) a day, read six times, sd 1.5 K; a, b ~ N(0, 1).

    Against emcee (affine-invariant ensemble sampler, Goodman & Weare 2010), whose own error is about 0.02 sd
    here. The smoother is not exact where a problem bends: its mean is held to 0.15 sd and its spread to 10 %.
    One plain step misses by 0.6 to 0.8 sd here, which is why there are six.
    """
    days, sd = np.array([0.5, 1.0, 2.0, 3.0, 5.0, 8.0]), 1.5

    def heat(z):
        return (40 + 8 * z[0]) * (1 - np.exp(-0.5 * np.exp(0.4 * z[1]) * days[:, None]))

    def log_chance(x):
        return -0.5 * (x**2).sum(axis=1) - 0.5 * (((read[:, None] - heat(x.T)) / sd) ** 2).sum(axis=0)

    r = np.random.default_rng(2)
    read = heat(np.array([[0.8], [-0.7]]))[:, 0] + sd * r.normal(size=6)
    z = r.normal(size=(2, 20_000))
    for alpha in esmda.ALPHAS:
        z = esmda.step(z, heat(z), read, sd * np.eye(6), alpha, r.normal(size=(6, 20_000)))
    sampler = emcee.EnsembleSampler(32, 2, log_chance, vectorize=True)
    sampler.random_state = np.random.RandomState(2).get_state()
    sampler.run_mcmc(r.normal(size=(32, 2)), 2500)
    found = sampler.get_chain(discard=500, flat=True)
    assert found.shape == (64_000, 2)
    np.testing.assert_allclose((z.mean(axis=1) - found.mean(axis=0)) / found.std(axis=0), 0, atol=0.15)
    np.testing.assert_allclose(z.std(axis=1) / found.std(axis=0), 1, atol=0.1)
    assert np.corrcoef(z)[0, 1] == pytest.approx(np.corrcoef(found.T)[0, 1], abs=0.05)


def test_the_steps_together_take_each_reading_once() -> None:
    assert sum(1 / alpha for alpha in esmda.ALPHAS) == pytest.approx(1.0)


def test_what_is_left_over_today_is_the_exact_conditional_and_fades() -> None:
    """Against conditioning the joint normal of readings and drift written out in full."""
    b = Leftover()
    read = Spots(
        np.array([10.0, 30.0, 30.0]),
        np.array([0.0, 1.0, 1.0]),
        np.array([0.6, 0.6, 0.9]),
        np.zeros(3, dtype=int),
    )
    left = np.array([2.0, 5.0, -1.0])
    now, place = 40.0, np.array([[0.0, 0.6]])
    joint = covariance(
        Spots(
            np.append(read.at_h, now),
            np.append(read.leg, 1.0),
            np.append(read.depth_m, 0.6),
            np.zeros(4, dtype=int),
        ),
        b,
    )
    joint[3, 3] -= b.probe_k**2
    gain = np.linalg.solve(joint[:3, :3], joint[:3, 3])
    mean, var = gain @ left, joint[3, 3] - gain @ joint[:3, 3]
    n = 40_000
    r = np.random.default_rng(5)
    found = at(now, 1.0, place, read, np.repeat(left[:, None], n, axis=1), b, r.normal(size=(3, n)))
    drift = found.heap + found.place[0] + found.offset[0]
    assert drift.mean() == pytest.approx(mean, abs=0.05)
    assert drift.var() == pytest.approx(var, rel=0.03)
    later = carried(found, np.array([1.0, 5000.0]), np.zeros(2), b, r.normal(size=(2, 2, n)))
    assert later[0, 0].mean() == pytest.approx(mean, abs=0.1)
    assert later[1, 0].var() - found.offset.var() == pytest.approx(b.heap_k**2 + b.place_k**2, rel=0.05)


def test_what_rows_teach_is_the_exact_hierarchical_posterior() -> None:
    """One parameter; row i reads y_i = theta_i + e, theta_i = mu + d_i, mu ~ N(0, f), d_i ~ N(0, 1 - f).

    Closed form: mu | y has precision 1/f + sum 1/(1 - f + s2); the next theta adds 1 - f.
    """
    f, s2, y = 0.5, 0.04, np.array([1.0, 1.4, 0.8])
    rows = [(("k1",), np.array([v / (1 + s2)]), np.array([[s2 / (1 + s2)]]), 10**9) for v in y]
    precise = 1 / f + len(y) / (1 - f + s2)
    found = teach(rows, f)
    assert found.mean[0] == pytest.approx(y.sum() / (1 - f + s2) / precise)
    assert found.cov[0, 0] == pytest.approx(1 / precise + 1 - f)


def test_what_chance_alone_shows_teaches_nothing() -> None:
    r = np.random.default_rng(1)
    keys = tuple(f"p{i}" for i in range(40))
    z = r.normal(size=(40, 256))
    found = teach([(keys, z.mean(axis=1), np.cov(z), 256)] * 5)
    assert np.diag(found.cov).min() > 0.95
