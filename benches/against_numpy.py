"""How the standing pressure test compares with the same sums in numpy and with a line of statsmodels, in one run.

For developers: needs numpy, scipy and statsmodels, for instance in an environment below target/.

    python benches/against_numpy.py [--target DIR]

Runs `cargo bench --bench hold`; then, on the same made-up hold,
- the same grid in numpy: lagged regressors at full sampling, block means, a Cholesky factor of the noise per node with all
  lags solved together, normal equations in one batch, the mixture's 95 % interval by bisection;
- ordinary least squares with a HAC covariance (Newey and West, 4 (n/100)^(2/9) lags) on all rows: one line, no lag, no
  wander, nothing known beforehand.
Prints milliseconds (the least of a few runs) and ratios. The answers stand beside, so that one sees what was timed.
"""

import argparse
import json
import os
import subprocess
import time
from pathlib import Path

import numpy as np
import statsmodels.api as sm
from scipy.linalg import solve_triangular
from scipy.signal import lfilter
from scipy.special import ndtr

ROOT = Path(__file__).resolve().parent.parent
HOLDS = {
    "24 h every minute": (1441, 60.0),
    "24 h every second": (86_401, 1.0),
    "a million rows": (1_000_000, 1.0),
}
LAGS_H = np.arange(0, 61, 10) / 60
WHITE = np.array([0.7, 1.0, 1.5, 2.5, 4.0, 7.0])
WANDER_K = np.array([0.05, 0.08, 0.13, 0.22, 0.36, 0.6, 1.0])
WANDER_H = np.array([0.25, 0.5, 1.0, 2.0, 4.0])
SHARE, SHARE_SD, START_K, WAVE_K, SETTLING_K = 0.8, 0.15, 1.5, 0.25, 0.3
KAPPA, PSI = 1.08, 6894.757293168


def hold(rows, seconds):
    """The hold of benches/hold.rs."""
    i = np.arange(rows)
    hours = i * seconds / 3600
    tremble = lambda by: (i * by % 1009) / 1009 - 0.5
    outdoor = 290 + 6 * np.sin(hours * np.pi / 12) + 0.4 * np.sin(1.3 * hours) + 0.2 * tremble(617)
    indoor = 294 + 0.3 * np.sin(0.9 * hours) + 0.1 * tremble(389)
    warmed = 0.8 * 1.08 * np.log(outdoor / 290) + 0.2 * 1.07 * np.log(indoor / 294)
    psig = np.round(2 * (514.7 * np.exp(warmed - 2e-5 * hours) - 14.7 + 0.3 * tremble(811))) / 2
    return hours, np.log((psig + 14.6959488) * PSI), outdoor, indoor


def lagged(x, step_h, lag_h):
    if lag_h <= 0:
        return x
    kept = np.exp(-step_h / lag_h)
    behind = np.diff(x) / step_h * lag_h
    # distance from the thermometer, one step after the other
    away, _ = lfilter([1.0], [1.0, -kept], -behind * (1 - kept), zi=[0.0])
    return x + np.concatenate([[0.0], away])


def grid(hours, ln_p, outdoor, indoor):
    step = hours[1]
    together = max(1, int(np.ceil(max(0.25, hours[-1] / 120) / step - 1e-3)))
    count = len(hours) // together
    mean = lambda column: column[: count * together].reshape(count, together).mean(axis=1)
    kelvin = 0.5 * (outdoor.mean() + indoor.mean())
    per_kelvin, pressure = KAPPA / kelvin, np.exp(ln_p).mean()
    t = mean(hours)
    day = hours * np.pi / 12
    common = [np.ones(count), t] + [mean(np.cos(day)), mean(np.sin(day))] + [mean(np.exp(-hours / s)) for s in (2, 4, 8)]
    room = KAPPA * np.log(indoor / indoor[0])
    columns = []
    for lag in LAGS_H:
        out = KAPPA * np.log(lagged(outdoor, step, lag) / outdoor[0])
        start = np.exp(-hours / lag) if lag > 0 else np.zeros_like(hours)
        response = ln_p - ln_p[0] - SHARE * out - (1 - SHARE) * room
        columns.append(np.column_stack(common + [mean(out - room), mean(start), mean(response)]))
    columns = np.stack(columns)
    lags, _, width = columns.shape
    known = [np.inf, np.inf] + [WAVE_K * per_kelvin] * 2 + [SETTLING_K * per_kelvin / 3**0.5] * 3
    known += [SHARE_SD, START_K * per_kelvin]
    precision = np.diag(1 / np.square(known))
    right = columns.transpose(1, 0, 2).reshape(count, -1)
    unit = max(0.5 * PSI / 12**0.5, 0.03 * PSI) / pressure
    apart = np.abs(t[:, None] - t[None, :])
    logs, means, sds = [], [], []
    for memory in WANDER_H:
        correlated = np.exp(-apart / memory)
        for k in WANDER_K:
            prior = -0.5 * (np.log(k / 0.2) / np.log(2)) ** 2
            for white in WHITE:
                noise = (k * per_kelvin) ** 2 * correlated
                noise[np.diag_indices(count)] += (white * unit) ** 2 / min(together, 10)
                factor = np.linalg.cholesky(noise)
                z = solve_triangular(factor, right, lower=True, check_finite=False)
                z = z.reshape(count, lags, width).transpose(1, 0, 2)
                gram = z.transpose(0, 2, 1) @ z
                matrix, side = gram[:, :-1, :-1] + precision, gram[:, :-1, -1]
                inverse = np.linalg.inv(matrix)
                beta = (inverse @ side[:, :, None])[:, :, 0]
                left = gram[:, -1, -1] - (beta * side).sum(axis=1)
                log_det = 2 * np.log(np.diag(factor)).sum() + np.linalg.slogdet(matrix)[1]
                logs.append(prior - 0.5 * (log_det + left))
                means.append(beta[:, 1])
                sds.append(np.sqrt(inverse[:, 1, 1]))
    logs, means, sds = (np.concatenate(part) for part in (logs, means, sds))
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()

    def quantile(p):
        low, high = (means - 10 * sds).min(), (means + 10 * sds).max()
        while high - low > 1e-12 * (abs(low) + abs(high)):
            middle = 0.5 * (low + high)
            if weights @ ndtr((middle - means) / sds) < p:
                low = middle
            else:
                high = middle
        return low

    return -quantile(0.975), -quantile(0.025)


def line(hours, ln_p, outdoor, indoor):
    x = np.column_stack([np.ones_like(hours), hours, np.log(outdoor), np.log(indoor)])
    lags = int(4 * (len(hours) / 100) ** (2 / 9))
    fit = sm.OLS(ln_p, x).fit(cov_type="HAC", cov_kwds={"maxlags": lags})
    low, high = fit.conf_int()[1]
    return -high, -low


def least(ask, rounds):
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        answer = ask()
        taken.append(1e3 * (time.perf_counter() - start))
    return min(taken), answer


def ours(target):
    subprocess.run(["cargo", "bench", "--bench", "hold", "--", "--quiet"], cwd=ROOT, check=True,
                   env={**os.environ, "CARGO_TARGET_DIR": str(target)}, stdout=subprocess.DEVNULL)
    found = {}
    for name in HOLDS:
        samples = json.loads((target / "criterion" / "hold" / name / "new" / "sample.json").read_text())
        found[name] = 1e-6 * min(t / n for t, n in zip(samples["times"], samples["iters"]))
    return found


def main():
    arguments = argparse.ArgumentParser(description="Compare the standing pressure test with numpy and statsmodels.")
    arguments.add_argument("--target", type=Path, default=ROOT / "target", help="cargo's target folder")
    mine = ours(arguments.parse_args().target)
    print("| hold | what | ms | times ours | loss, 1e-6 per hour |\n|---|---|---|---|---|")
    for name, (rows, seconds) in HOLDS.items():
        data = hold(rows, seconds)
        print(f"| {name} | here, the whole assessment | {mine[name]:.1f} | 1 | |")
        for what, ask in (("numpy, the same grid", grid), ("statsmodels, OLS and HAC", line)):
            taken, (low, high) = least(lambda: ask(*data), 3)
            print(f"| {name} | {what} | {taken:.1f} | {taken / mine[name]:.1f} | {1e6 * low:.1f} to {1e6 * high:.1f} |")


if __name__ == "__main__":
    main()
