"""The breakage balance and its fit, with general solvers of the same system beside them.

Balance: 40 classes from 1 to 500 µm, 200 times to 24 h; the peers get the matrix, as Jacobian too.
BDF and LSODA: scipy ``solve_ivp``, rtol 1e-6, atol 1e-9. Fit: 20 shares at four times, noise of 0.01;
``least_squares`` with its defaults over LSODA from the same first guess.
"""

from __future__ import annotations

from timing import Row, median

RUNS = 100
PEER_RUNS = 9


def measure() -> list[Row]:
    return [*balance(), *fit()]


def balance() -> list[Row]:
    import numpy as np
    from scipy.integrate import solve_ivp

    from nibsmith.science.grind import Breakage, grind
    from nibsmith.science.grind.breakage import breakage_matrix

    edges = np.geomspace(1.0, 500.0, 41)
    start = np.zeros(40)
    start[-1] = 1.0
    times = np.linspace(0.0, 24.0, 200)
    how = Breakage(0.2, 1.1, 0.9)
    matrix = breakage_matrix(edges, how)

    def peer(method: str) -> float:
        options = {"method": method, "t_eval": times, "rtol": 1e-6, "atol": 1e-9}
        jacobian = {"jac": lambda _t, _m: matrix}
        return median(
            lambda: solve_ivp(lambda _t, m: matrix @ m, (0.0, 24.0), start, **options, **jacobian),
            PEER_RUNS,
            1,
        )

    ours = median(lambda: grind(edges, start, how, times), RUNS, 5)
    bdf, lsoda = peer("BDF"), peer("LSODA")
    guarded = median(lambda: grind(edges, start, Breakage(0.2, 0.1, 0.9), times), RUNS, 5)
    what = "breakage, 40 classes at 200 times"
    return [
        Row(what, ours, ">= 50 times BDF", RUNS, f"BDF {1000 * bdf:.1f} ms, {bdf / ours:.0f} times"),
        Row(what, ours, ">= 8 times LSODA", RUNS, f"LSODA {1000 * lsoda:.2f} ms, {lsoda / ours:.1f} times"),
        Row(f"{what}, guarded", guarded, "", RUNS, f"LSODA {lsoda / guarded:.1f} times"),
    ]


def fit() -> list[Row]:
    import numpy as np
    from scipy.integrate import solve_ivp
    from scipy.optimize import least_squares

    from nibsmith.science.grind import Breakage, FinerReading, fit_breakage, grind
    from nibsmith.science.grind.breakage import breakage_matrix

    edges = np.geomspace(1.0, 500.0, 41)
    start = np.zeros(40)
    start[-1] = 1.0
    hours, largest = (4.0, 12.0, 24.0, 48.0), (150.0, 80.0, 50.0, 30.0)
    noise = np.random.default_rng(0)
    readings, logs = [], np.log(edges)
    for hour, top in zip(hours, largest, strict=True):
        sums = np.concatenate([[0.0], np.cumsum(grind(edges, start, Breakage(0.15, 1.1, 0.8), [hour])[0])])
        for size in np.geomspace(8.0, top, 5):
            finer = float(np.interp(np.log(size), logs, sums)) + 0.01 * float(noise.standard_normal())
            readings.append(FinerReading(hour, float(size), min(max(finer, 0.01), 0.99)))
    first = Breakage(0.08, 0.8, 1.2)
    seen = np.array([one.finer for one in readings])
    below = np.clip(
        (np.log([one.size_um for one in readings])[:, None] - logs[:-1]) / np.diff(logs), 0.0, 1.0
    )

    def miss(constants: np.ndarray) -> np.ndarray:
        how = Breakage(
            float(np.exp(constants[0])), max(float(constants[1]), 0.0), float(np.exp(constants[2]))
        )
        matrix = breakage_matrix(edges, how)
        rows = solve_ivp(
            lambda _t, m: matrix @ m, (0.0, 48.0), start, method="LSODA", t_eval=hours, rtol=1e-6, atol=1e-9
        ).y.T
        return np.asarray((below * np.repeat(rows, 5, axis=0)).sum(axis=1) - seen)

    guess = [np.log(first.speed), first.exponent, np.log(first.fine)]
    ours = median(lambda: fit_breakage(edges, start, readings, first), RUNS, 3)
    peer = median(lambda: least_squares(miss, guess), PEER_RUNS, 1)
    mine, theirs = fit_breakage(edges, start, readings, first), least_squares(miss, guess)
    assert abs(mine.left_over**2 * len(readings) / (2 * theirs.cost) - 1) < 1e-5, "not the same optimum"
    return [
        Row(
            "three breakage constants from 20 readings",
            ours,
            ">= 10 times least_squares over LSODA",
            RUNS,
            f"{1000 * peer:.1f} ms, {peer / ours:.1f} times",
        )
    ]
