"""Robust least squares for many small fits at once (Levenberg-Marquardt inside Tukey's biweight).

Robust M-estimation: Huber PJ, Ronchetti EM, Robust Statistics, 2nd ed. 2009; damping: Marquardt DW,
J SIAM 1963;11:431 (both cited from memory). Checked in the tests against scipy.optimize.least_squares.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from solver.scan.surface.mesh import Array

TUKEY = 4.685  # 95 % efficiency under normal noise
SCALE_FLOOR_MM = 0.0005  # below any scanner's resolution; keeps perfect meshes from dividing by zero
WIDE_MM = 0.3  # least half width of the biweight in the first round; 0.014 in the seventh
STEP = 1e-6  # of the forward differences, mm or rad

Residual = Callable[[Array], Array]


class Fits(NamedTuple):
    """S fits: parameters (S, K), covariance per unit variance of one point (S, K, K), robust scale, weights."""

    theta: Array
    spread: Array
    scale: Array
    weight: Array
    residual: Array


def fit_robust(residual: Residual, start: Array, base: Array, rounds: int = 7, steps: int = 6) -> Fits:
    """Fit S problems. `residual(theta)` gives (S, M); `base` (S, M) weighs points (0 = padding)."""
    theta, weight = start.copy(), base
    for turn in range(rounds):
        found = residual(theta)
        scale = robust_scale(found)
        # wide at first: a poor start must not throw good points away, nor a perfect majority the rest
        width = np.maximum(TUKEY * scale * max(1.0, 4.0 * 0.5**turn), WIDE_MM * 0.6**turn)
        weight = base * _biweight(found / width[:, None])
        moved = _levenberg(residual, theta, weight, steps)
        change = np.abs(moved - theta).max()
        theta = moved
        if turn >= 4 and change < 1e-5:
            break
    found = residual(theta)
    jacobian = _jacobian(residual, theta, found)
    scale = robust_scale(found)
    return Fits(theta, _inverse(_normal(jacobian, weight)), scale, weight, found)


def robust_scale(residual: Array) -> Array:
    """1.4826 x median absolute residual of each fit, shape (S,)."""
    # a section is filled or blank as a whole, so padding needs no care here
    scale: Array = 1.4826 * np.median(np.abs(residual), axis=1)
    return np.maximum(scale, SCALE_FLOOR_MM)


def _biweight(ratio: Array) -> Array:
    return np.where(np.abs(ratio) < 1.0, (1.0 - ratio**2) ** 2, 0.0)


def _jacobian(residual: Residual, theta: Array, at: Array) -> Array:
    """Forward differences, shape (S, M, K)."""
    columns = []
    for k in range(theta.shape[1]):
        moved = theta.copy()
        moved[:, k] += STEP
        columns.append((residual(moved) - at) / STEP)
    return np.stack(columns, axis=2)


def _normal(jacobian: Array, weight: Array) -> Array:
    normal: Array = np.matmul(jacobian.transpose(0, 2, 1) * weight[:, None, :], jacobian)
    return normal


def _inverse(normal: Array) -> Array:
    """Inverse of each normal matrix; a direction the data do not fix gets a large, finite spread."""
    size = np.einsum("skk->s", normal) / normal.shape[1]
    ridge = np.maximum(size, 1e-12)[:, None, None] * 1e-7 * np.eye(normal.shape[1])
    inverse: Array = np.linalg.inv(normal + ridge)
    return inverse


def _levenberg(residual: Residual, theta: Array, weight: Array, steps: int) -> Array:
    """Damped steps; each fit keeps its own damping and takes a step only where its cost falls."""
    damping = np.full(len(theta), 1e-3)
    found = residual(theta)
    cost = (weight * found**2).sum(axis=1)
    for _ in range(steps):
        jacobian = _jacobian(residual, theta, found)
        normal = _normal(jacobian, weight)
        slope = np.einsum("smk,sm->sk", jacobian, weight * found)
        diagonal = np.einsum("skk->sk", normal)
        ridge = damping[:, None] * diagonal + 1e-9 * diagonal.max(axis=1, keepdims=True) + 1e-12
        step = np.linalg.solve(normal + ridge[:, :, None] * np.eye(theta.shape[1]), slope[:, :, None])[:, :, 0]
        tried = theta - np.clip(step, -0.5, 0.5)
        fresh = residual(tried)
        fresh_cost = (weight * fresh**2).sum(axis=1)
        better = fresh_cost < cost
        theta = np.where(better[:, None], tried, theta)
        found = np.where(better[:, None], fresh, found)
        gain = cost - np.where(better, fresh_cost, cost)
        cost = np.where(better, fresh_cost, cost)
        damping = np.where(better, damping / 5, damping * 10)
        if (gain <= 1e-5 * np.maximum(cost, 1e-9)).all() and better.any():
            break
    return theta
