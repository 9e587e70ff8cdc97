"""A thermal network of the size of bedyear's soil and room, solved by general libraries: what an hour costs there.

Run by hand: python benches/peer_network.py   (numpy, scipy)

A column of 25 soil layers and five room nodes (air, leaves, face, two walls), 8760 hours, two implicit stages of second
order an hour, the matrix factored once. No controls, no moisture, no freezing: less than bedyear does in its hour.
"""

import time

import numpy as np
import scipy.linalg as la

LAYERS, ROOM, HOURS, ROUNDS = 25, 5, 8760, 5
GAMMA = 1 - 1 / np.sqrt(2)
EXTRAPOLATE = (1 - GAMMA) / GAMMA


def network():
    """Capacities (J/K) and conductances (W/K) per square metre of floor; the air joined to outdoors."""
    count = ROOM + LAYERS
    thick = np.concatenate([np.full(10, 0.03), 0.03 * 1.36 ** np.arange(1, 16)])
    capacity = np.concatenate([[2.5e3, 2e3, 1e3, 1.7e5, 3e4], 3e6 * thick])
    matrix = np.zeros((count, count))

    def tie(a, b, conductance):
        matrix[a, a] += conductance
        matrix[b, b] += conductance
        matrix[a, b] -= conductance
        matrix[b, a] -= conductance

    for node, conductance in [(1, 15.0), (2, 3.0), (3, 2.0), (4, 1.0)]:
        tie(0, node, conductance)
    tie(2, ROOM, 1.5 / (0.5 * thick[0]))
    for layer in range(1, LAYERS):
        tie(ROOM + layer - 1, ROOM + layer, 1.5 / (0.5 * (thick[layer - 1] + thick[layer])))
    outdoor = np.zeros(count)
    outdoor[0] = 5.0
    matrix[0, 0] += 5.0
    return capacity, matrix, outdoor


def weather():
    hours = np.arange(HOURS)
    outdoor = 6 - 14 * np.cos(2 * np.pi * hours / HOURS) - 5 * np.cos(2 * np.pi * hours / 24)
    sun = np.maximum(0, 300 * -np.cos(2 * np.pi * hours / 24))
    return outdoor, sun


def year(solve, capacity, outdoor_w_k):
    temps = np.full(len(capacity), 8.0)
    outdoor, sun = weather()
    air = np.empty(HOURS)
    per_step = capacity / (GAMMA * 3600)
    for hour in range(HOURS):
        source = outdoor_w_k * outdoor[hour]
        source[2] += sun[hour]
        first = solve(per_step * temps + source)
        temps = solve(per_step * (temps + EXTRAPOLATE * (first - temps)) + source)
        air[hour] = temps[0]
    return air


def best(name, solve, capacity, outdoor_w_k):
    times = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        air = year(solve, capacity, outdoor_w_k)
        times.append(time.perf_counter() - begin)
    print(f"{name:34} {1e3 * min(times):8.1f} ms a year, coldest hour {air.min():.6f} °C")
    return air


def main():
    capacity, matrix, outdoor_w_k = network()
    system = matrix + np.diag(capacity / (GAMMA * 3600))
    lu = la.lu_factor(system)
    getrs = la.get_lapack_funcs("getrs", (system,))
    inverse = la.inv(system)
    # The star of room nodes keeps the band at five.
    width = 5
    banded = np.zeros((width + 1, len(capacity)))
    for below in range(width + 1):
        banded[below, : len(capacity) - below] = np.diag(system, -below)
    factor = la.cholesky_banded(banded, lower=True)
    pbtrs = la.get_lapack_funcs("pbtrs", (factor,))
    airs = [
        best("LU factors, lapack getrs", lambda b: getrs(*lu, b)[0], capacity, outdoor_w_k),
        best("banded Cholesky, lapack pbtrs", lambda b: pbtrs(factor, b, lower=1)[0], capacity, outdoor_w_k),
        best("inverse, one product", lambda b: inverse @ b, capacity, outdoor_w_k),
    ]
    for air in airs[1:]:
        assert np.abs(air - airs[0]).max() < 1e-8


main()
