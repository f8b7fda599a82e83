"""How the tables' lookups compare with CoolProp 8.0.0, a general-purpose property library, in one run.

For developers: needs the environment of tables/generate/requirements.txt.

    python benches/against_coolprop.py [--target DIR]

Runs `cargo bench --bench refrigerant`, times the same questions with CoolProp's equations (HEOS), its tabular
backend (BICUBIC) and, for blends, its mixture model, and prints nanoseconds and ratios. What Python itself takes for
one call is timed beside and named; it is not subtracted.
"""

import argparse
import json
import os
import subprocess
import time
from pathlib import Path

import CoolProp
import CoolProp.CoolProp as CP
import numpy as np

ROOT = Path(__file__).resolve().parent.parent
FLUIDS = {
    "R-32": [("HEOS", "R32"), ("BICUBIC&HEOS", "R32")],
    "R-410A": [("HEOS", "R410A"), ("BICUBIC&HEOS", "R410A")],
    "R-454B": [("HEOS", {"R32": 68.9, "R1234yf": 31.1})],
    "R-448A": [("HEOS", {"R32": 26, "R125": 26, "R1234yf": 20, "R134a": 21, "R1234ze(E)": 7})],
}
QUESTIONS = ["bubble temperature of a pressure", "dew pressure of a temperature", "superheated state"]


def state_of(backend, fluid):
    if isinstance(fluid, str):
        return CP.AbstractState(backend, fluid)
    state = CP.AbstractState(backend, "&".join(fluid))
    moles = np.array([w / CP.PropsSI("M", f) for f, w in fluid.items()])
    state.set_mole_fractions(moles / moles.sum())
    return state


def questions(state):
    """The same ranges as the benchmark: 2 to 30 bar, -40 to 60 degC, 0 to 60 K of superheat."""
    random = np.random.default_rng(1)
    pressures = 2e5 * 15 ** random.random(1000)
    temperatures = 233 + 100 * random.random(1000)
    superheats = 60 * random.random(1000)

    def bubble(i):
        state.update(CP.PQ_INPUTS, pressures[i], 0)
        return state.T()

    def dew(i):
        state.update(CP.QT_INPUTS, 1, temperatures[i])
        return state.p()

    dews = []
    for p in pressures:
        try:
            state.update(CP.PQ_INPUTS, p, 1)
            dews.append(state.T())
        except ValueError:
            dews.append(np.nan)

    def superheated(i):
        if np.isnan(dews[i]):
            raise ValueError("no dew temperature")
        state.update(CP.PT_INPUTS, pressures[i], dews[i] + superheats[i])
        return state.rhomass(), state.hmass(), state.smass()

    return dict(zip(QUESTIONS, (bubble, dew, superheated)))


def time_of(ask, seconds=1.0):
    """Median nanoseconds of a call, and the share of calls that raised an error."""
    taken, failed, count, until = [], 0, 0, time.perf_counter() + seconds
    while time.perf_counter() < until:
        start = time.perf_counter_ns()
        try:
            ask(count % 1000)
            taken.append(time.perf_counter_ns() - start)
        except ValueError:
            failed += 1
        count += 1
    return (np.median(taken) if taken else float("nan")), failed / count


def ours(target):
    subprocess.run(["cargo", "bench", "--bench", "refrigerant", "--", "--quiet"], cwd=ROOT, check=True,
                   env={**os.environ, "CARGO_TARGET_DIR": str(target)}, stdout=subprocess.DEVNULL)
    found = {}
    for name in FLUIDS:
        for question in QUESTIONS:
            estimates = target / "criterion" / name / question / "new" / "estimates.json"
            found[name, question] = json.loads(estimates.read_text())["median"]["point_estimate"]
    return found


def main():
    arguments = argparse.ArgumentParser(description="Compare the lookups with CoolProp.")
    arguments.add_argument("--target", type=Path, default=ROOT / "target", help="cargo's target folder")
    mine = ours(arguments.parse_args().target)
    empty, _ = time_of(lambda i: None, 0.2)
    print(f"CoolProp {CoolProp.__version__}; an empty Python call takes {empty:.0f} ns of each of its times\n")
    print("| refrigerant | question | here | backend | there | times | failed |\n|---|---|---|---|---|---|---|")
    for name, backends in FLUIDS.items():
        for backend, fluid in backends:
            for question, ask in questions(state_of(backend, fluid)).items():
                taken, failed = time_of(ask)
                here = mine[name, question]
                print(f"| {name} | {question} | {here:.0f} ns | {backend} | {taken:,.0f} ns | {taken / here:,.0f} | {failed:.1%} |")


if __name__ == "__main__":
    main()
