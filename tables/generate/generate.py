"""Writes the property tables of this folder's parent: saturation of refrigerants, equations of dry gases.

    python generate.py                    write the shipped tables
    python generate.py --check            regenerate and compare with the committed tables
    python generate.py --verify FILE      compare blends by continuation with a reference CSV
    python generate.py --between FILE     values half-way between rows, for the tests
    python generate.py --only R-404A --out DIR   any of the nineteen, somewhere else

See README.md for the reason of each choice.
"""

import argparse
import csv
import json
import math
import sys
from dataclasses import dataclass
from pathlib import Path

import CoolProp
import CoolProp.CoolProp as CP
import numpy as np

TABLES = Path(__file__).resolve().parent.parent
ZERO_C = 273.15
COLDEST_C = -60
START_C = 20
IIR_H, IIR_S = 200e3, 1e3  # J/kg, J/(kg K) for bubble liquid at 0 degC
COLUMNS = ["T_K", "p_bubble_Pa", "p_dew_Pa", "rho_l_kg_m3", "rho_v_kg_m3",
           "h_l_J_kg", "h_v_J_kg", "s_l_J_kgK", "s_v_J_kgK"]


@dataclass(frozen=True)
class Recipe:
    """One refrigerant: `fluids` maps each CoolProp fluid to its mass percent."""

    name: str
    kind: str  # pure, pseudo-pure or blend
    fluids: dict
    source: str
    shipped: bool = False
    end_below_critical: float = 1.5  # K
    composition: str = ""


R32 = "R-32: Tillner-Roth & Yokozeki, J. Phys. Chem. Ref. Data 26 (1997) 1273"
R125 = "R-125: Lemmon & Jacobsen, J. Phys. Chem. Ref. Data 34 (2005) 69"
R134A = "R-134a: Tillner-Roth & Baehr, J. Phys. Chem. Ref. Data 23 (1994) 657"
R1234YF = "R-1234yf: Lemmon & Akasaka, Int. J. Thermophys. 43 (2022) 119"
R1234ZEE = "R-1234ze(E): Thol & Lemmon, Int. J. Thermophys. 37 (2016) 28"
CO2 = "R-744: Span & Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509"
PSEUDO = "pseudo-pure equation: Lemmon, Int. J. Thermophys. 24 (2003) 991"
HFC_PAIRS = "HFC pairs: Lemmon & Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593"
PAIRS_2023 = "pairs of R-1234yf with R-32 and R-125: Bell, J. Phys. Chem. Ref. Data 52 (2023) 013101"
PAIR_R32_YF = "pair R-32/R-1234yf: Bell, J. Phys. Chem. Ref. Data 52 (2023) 013101"
PAIR_R32_ZEE = "pair R-32/R-1234ze(E): Bell, J. Phys. Chem. Ref. Data 52 (2023) 013101"
PAIRS_2022 = "pairs of R-134a, R-1234yf, R-1234ze(E): Bell, J. Phys. Chem. Ref. Data 51 (2022) 013103"
CO2_PAIRS = "pairs with R-744: as shipped with CoolProp"


def pure(name, fluid, source, **more):
    return Recipe(name, "pure", {fluid: 100.0}, source, **more)


def pseudo_pure(name, fluid, composition, **more):
    return Recipe(name, "pseudo-pure", {fluid: 100.0}, PSEUDO, composition=composition, **more)


def blend(name, fluids, *sources, **more):
    text = " / ".join(f"{'R744' if f == 'CO2' else f} {w:g}" for f, w in fluids.items())
    return Recipe(name, "blend", fluids, "; ".join(sources), composition=text, **more)


RECIPES = [
    pure("R-22", "R22", "Kamei, Beyerlein & Jacobsen, Int. J. Thermophys. 16 (1995) 1155", shipped=True),
    pure("R-32", "R32", R32, shipped=True),
    pure("R-134a", "R134a", R134A, shipped=True),
    pure("R-290", "n-Propane", "Lemmon, McLinden & Wagner, J. Chem. Eng. Data 54 (2009) 3141", shipped=True),
    pseudo_pure("R-404A", "R404A", "R125 44 / R143a 52 / R134a 4"),
    pseudo_pure("R-407C", "R407C", "R32 23 / R125 25 / R134a 52"),
    pseudo_pure("R-410A", "R410A", "R32 50 / R125 50", shipped=True),
    blend("R-448A", {"R32": 26, "R125": 26, "R1234yf": 20, "R134a": 21, "R1234ze(E)": 7},
          R32, R125, R1234YF, R134A, R1234ZEE, HFC_PAIRS, PAIRS_2023, PAIR_R32_ZEE, PAIRS_2022),
    blend("R-449A", {"R32": 24.3, "R125": 24.7, "R1234yf": 25.3, "R134a": 25.7},
          R32, R125, R1234YF, R134A, HFC_PAIRS, PAIRS_2023, PAIRS_2022),
    blend("R-452B", {"R32": 67, "R125": 7, "R1234yf": 26},
          R32, R125, R1234YF, HFC_PAIRS, PAIRS_2023),
    blend("R-454B", {"R32": 68.9, "R1234yf": 31.1}, R32, R1234YF, PAIR_R32_YF, shipped=True),
    blend("R-454C", {"R32": 21.5, "R1234yf": 78.5}, R32, R1234YF, PAIR_R32_YF),
    blend("R-455A", {"CO2": 3, "R32": 21.5, "R1234yf": 75.5}, CO2, R32, R1234YF, PAIR_R32_YF, CO2_PAIRS),
    pseudo_pure("R-507A", "R507A", "R125 50 / R143a 50"),
    blend("R-513A", {"R1234yf": 56, "R134a": 44}, R1234YF, R134A, PAIRS_2022),
    pure("R-600a", "IsoButane", "Buecker & Wagner, J. Phys. Chem. Ref. Data 35 (2006) 929"),
    pure("R-1234yf", "R1234yf", R1234YF),
    pure("R-1234ze(E)", "R1234ze(E)", R1234ZEE),
    pure("R-744", "CO2", CO2, end_below_critical=0.1),
]
UNCERTAINTY = {
    "pure": "0.5 %",
    "pseudo-pure": "0.5 %",
    "blend": "1 %",  # about 0.3 K
}
# Only for --verify: the same four blends as mixtures of their components.
AS_MIXTURES = [
    blend("R-404A", {"R125": 44, "R143a": 52, "R134a": 4}),
    blend("R-407C", {"R32": 23, "R125": 25, "R134a": 52}),
    blend("R-410A", {"R32": 50, "R125": 50}),
    blend("R-507A", {"R125": 50, "R143a": 50}),
]


class TwoPhases:
    """Equilibrium of two phases of a mixture by Newton on ln rho_i of both."""

    def __init__(self, recipe):
        names = list(recipe.fluids)
        mass = np.array([recipe.fluids[f] for f in names])
        moles = mass / np.array([CP.PropsSI("M", f) for f in names])
        self.names, self.z = names, moles / moles.sum()
        self.state = CP.AbstractState("HEOS", "&".join(names))
        self.state.set_mole_fractions(self.z)
        self.critical = max((c for c in self.state.all_critical_points() if c.p > 0), key=lambda c: c.T)
        # One density is one state here: no search for phases may interfere.
        self.state.specify_phase(CP.iphase_gas)

    def at(self, log_rho, temp):
        rho = np.exp(log_rho)
        self.state.set_mole_fractions(rho / rho.sum())
        self.state.update(CP.DmolarT_INPUTS, rho.sum(), temp)
        return self.state

    def residuals(self, x, temp, side):
        n = len(self.z)
        liquid, vapour = x[:n], x[n:]
        state = self.at(liquid, temp)
        p_l, f_l = state.p(), [state.fugacity(i) for i in range(n)]
        state = self.at(vapour, temp)
        p_v, f_v = state.p(), [state.fugacity(i) for i in range(n)]
        fixed = liquid if side == "bubble" else vapour
        shares = fixed[:-1] - fixed[-1] - np.log(self.z[:-1] / self.z[-1])
        # A pressure or fugacity may leave the positive range on a wild step: that is a nan, and a shorter step.
        with np.errstate(invalid="ignore"):
            return np.concatenate([np.log(f_l) - np.log(f_v), [(p_l - p_v) / abs(p_v)], shares])

    def solve(self, x, temp, side):
        for _ in range(60):
            r = self.residuals(x, temp, side)
            jacobian = np.empty((len(x), len(x)))
            for j in range(len(x)):
                step = np.zeros(len(x))
                step[j] = 1e-5
                jacobian[:, j] = (self.residuals(x + step, temp, side) - self.residuals(x - step, temp, side)) / 2e-5
            dx = np.linalg.solve(jacobian, -r)
            dx *= min(1.0, 0.2 / abs(dx).max())
            x = x + dx
            if abs(dx).max() < 1e-11:
                return x
        raise ArithmeticError(f"no convergence at {temp} K ({side})")

    def first_guess(self, temp, side):
        """Raoult's law with the pure saturation of each component."""
        pure_p = np.array([CP.PropsSI("P", "T", temp, "Q", 0, f) for f in self.names])
        pure_v = np.array([1 / CP.PropsSI("Dmolar", "T", temp, "Q", 0, f) for f in self.names])
        if side == "bubble":
            liquid, p = self.z, self.z @ pure_p
            vapour = self.z * pure_p / p
        else:
            vapour, p = self.z, 1 / (self.z / pure_p).sum()
            liquid = self.z * p / pure_p
        rho_v = p / (8.314 * temp) * 1.25  # vapour near saturation is denser than ideal gas
        return np.concatenate([np.log(liquid / (liquid @ pure_v)), np.log(vapour * rho_v)])

    def line(self, side, end_c):
        """Row by row from the start both ways; the guess is the line through the last two rows."""
        found = {START_C: self.solve(self.first_guess(START_C + ZERO_C, side), START_C + ZERO_C, side)}
        for step, last in ((1, end_c), (-1, COLDEST_C)):
            for t in range(START_C + step, last + step, step):
                before, further = found[t - step], found.get(t - 2 * step)
                guess = before if further is None else 2 * before - further
                found[t] = self.solve(guess, t + ZERO_C, side)
        return found

    def between(self, line, t, offset, side):
        """The solution at t + offset, from a line of whole degrees."""
        if not offset:
            return line[t]
        return self.solve((1 - offset) * line[t] + offset * line[t + 1], t + offset + ZERO_C, side)

    def pressure(self, x, temp):
        """Taken in the vapour: the liquid's pressure amplifies the last digits of its density."""
        return self.at(x[len(self.z):], temp).p()

    def properties(self, x, temp, phase):
        n = len(self.z)
        state = self.at(x[:n] if phase == "liquid" else x[n:], temp)
        return state.rhomass(), state.hmass(), state.smass()


def whole_degrees(critical_k, triple_k, end_below):
    return (max(COLDEST_C, math.ceil(triple_k - ZERO_C)), math.floor(critical_k - end_below - ZERO_C + 1e-9))


def blend_rows(recipe, offset=0.0):
    """Rows at whole degrees plus an offset, and the critical point."""
    phases = TwoPhases(recipe)
    triple = max(CP.PropsSI("Ttriple", f) for f in recipe.fluids if f != "CO2")  # CO2 stays dissolved
    first, last = whole_degrees(phases.critical.T, triple, recipe.end_below_critical)
    lines = {side: phases.line(side, last) for side in ("bubble", "dew")}
    rows = []
    for t in range(first, last + (0 if offset else 1)):
        temp = t + offset + ZERO_C
        bubble, dew = (phases.between(line, t, offset, side) for side, line in lines.items())
        p_b, p_d = phases.pressure(bubble, temp), phases.pressure(dew, temp)
        rho_l, h_l, s_l = phases.properties(bubble, temp, "liquid")
        rho_v, h_v, s_v = phases.properties(dew, temp, "vapour")
        rows.append([temp, p_b, p_d, rho_l, rho_v, h_l, h_v, s_l, s_v])
    return rows, (phases.critical.T, phases.critical.p)


def one_fluid_rows(recipe, offset=0.0):
    """Rows at whole degrees plus an offset, and the critical point."""
    state = CP.AbstractState("HEOS", next(iter(recipe.fluids)))
    same = CP.AbstractState("HEOS", next(iter(recipe.fluids)))
    same.specify_phase(CP.iphase_gas)
    critical = (state.T_critical(), state.p_critical())
    first, last = whole_degrees(critical[0], state.Ttriple(), recipe.end_below_critical)
    rows = []
    for t in range(first, last + (0 if offset else 1)):
        temp = t + offset + ZERO_C
        row = [temp]
        for quality in (0, 1):
            state.update(CP.QT_INPUTS, quality, temp)
            row += [state.p(), state.rhomass(), state.hmass(), state.smass()]
            same.update(CP.DmolarT_INPUTS, state.rhomolar(), temp)
            # Liquid pressure is some 1e4 times stiffer than density: judge the density.
            stiffness = same.first_partial_deriv(CP.iP, CP.iDmolar, CP.iT) * same.rhomolar()
            if abs(same.p() - state.p()) / stiffness > 1e-9:
                raise ArithmeticError(f"{recipe.name}: pressure and density disagree at {temp} K")
        rows.append([row[i] for i in (0, 1, 5, 2, 6, 3, 7, 4, 8)])
    return rows, critical


def rows_of(recipe, offset=0.0):
    return (blend_rows if recipe.kind == "blend" else one_fluid_rows)(recipe, offset)


def shifted(rows, whole):
    """Enthalpy and entropy with the IIR zero, taken from the rows at whole degrees."""
    zero = next(r for r in whole if r[0] == ZERO_C)
    dh, ds = IIR_H - zero[5], IIR_S - zero[7]
    return [r[:5] + [r[5] + dh, r[6] + dh, r[7] + ds, r[8] + ds] for r in rows]


def check_shape(name, rows):
    """Bubble above dew; pressures, vapour density and liquid enthalpy rise; liquid density falls."""
    for r in rows:
        if r[1] < r[2]:
            raise ArithmeticError(f"{name}: bubble pressure below dew pressure at {r[0]} K")
    for a, b in zip(rows, rows[1:]):
        rises = all(b[i] > a[i] for i in (1, 2, 4, 5, 7))
        if not rises or b[3] >= a[3]:
            raise ArithmeticError(f"{name}: not monotone between {a[0]} and {b[0]} K")


def digits(value, count=7):
    """`count` significant digits, never in exponent form."""
    places = max(0, count - 1 - math.floor(math.log10(abs(value))))
    return f"{value:.{places}f}"


def saturation_text(recipe):
    rows, (tc, pc) = rows_of(recipe)
    rows = shifted(rows, rows)
    check_shape(recipe.name, rows)
    model = {"pure": "", "pseudo-pure": "", "blend": "Helmholtz mixture model, phases by continuation; "}[recipe.kind]
    head = [
        f"refrigerant: {recipe.name}",
        f"kind: {recipe.kind}",
        f"composition by mass: {recipe.composition or 'one component'}",
        f"equation of state: {model}{recipe.source}",
        f"computed with: tables/generate/generate.py, CoolProp {CoolProp.__version__}",
        "reference state: IIR, bubble liquid at 0 degC has 200 kJ/kg and 1 kJ/(kg K)",
        f"model uncertainty in pressure: {UNCERTAINTY[recipe.kind]}",
        f"critical point: {tc:.3f} K, {pc:.0f} Pa",
        "liquid columns: bubble liquid at T and p_bubble; vapour columns: dew vapour at T and p_dew",
    ]
    lines = [f"# {h}" for h in head] + [",".join(COLUMNS)]
    lines += [",".join([f"{r[0]:.2f}"] + [digits(v) for v in r[1:]]) for r in rows]
    return "\n".join(lines) + "\n"


def between_text(recipes):
    """Every tenth half degree and the last five, to test what is read between rows."""
    lines = [f"# half-way between the rows of tables/saturation; tables/generate/generate.py, CoolProp {CoolProp.__version__}",
             ",".join(["refrigerant"] + COLUMNS)]
    for recipe in recipes:
        halves = shifted(rows_of(recipe, 0.5)[0], rows_of(recipe)[0])
        for r in halves[:-5:10] + halves[-5:]:
            lines.append(",".join([recipe.name, f"{r[0]:.2f}"] + [digits(v, 9) for v in r[1:]]))
    return "\n".join(lines) + "\n"


@dataclass(frozen=True)
class Gas:
    """A dry gas: its name in CoolProp, the key and the text of its equation, how its paper prints the reducing density."""

    fluid: str
    key: str
    source: str
    density: str


GASES = [
    Gas("Nitrogen", "Span-JPCRD-2000",
        "Span, Lemmon, Jacobsen, Wagner & Yokozeki, J. Phys. Chem. Ref. Data 29 (2000) 1361", ".4f"),
    Gas("Argon", "Tegeler-JPCRD-1999",
        "Tegeler, Span & Wagner, J. Phys. Chem. Ref. Data 28 (1999) 779", ".8f"),
    Gas("Helium", "OrtizVega-JPCRD-2019",
        "Ortiz Vega, Hall, Holste, Harvey & Lemmon, An Equation of State for the Thermodynamic Properties of Helium, NISTIR 8474 (2023)", ".4f"),
]


def gas_text(gas):
    """Residual Helmholtz terms of a dry gas, from CoolProp's fluid file."""
    equation = json.loads(CP.get_fluid_param_string(gas.fluid, "JSON"))[0]["EOS"][0]
    if equation["BibTeX_EOS"] != gas.key:
        raise ValueError(f"CoolProp's equation of {gas.fluid} is {equation['BibTeX_EOS']}, not {gas.key}")
    reducing = equation["STATES"]["reducing"]
    power, gauss = equation["alphar"]
    if (power["type"], gauss["type"]) != ("ResidualHelmholtzPower", "ResidualHelmholtzGaussian"):
        raise ValueError(f"{gas.fluid} has terms of other kinds than powers and Gaussian bells")
    head = [
        f"residual Helmholtz energy of {gas.fluid.lower()}, alpha_r(delta, tau) = sum n delta^d tau^t f",
        "f = 1 (l = 0), exp(-delta^l) (l > 0), or exp(-eta (delta - epsilon)^2 - beta (tau - gamma)^2) (eta > 0)",
        f"source: {gas.source}",
        f"copied by: tables/generate/generate.py from the fluid file of CoolProp {CoolProp.__version__}",
        f"reducing temperature: {reducing['T']:g} K",
        f"reducing density: {reducing['rhomolar'] / 1000:{gas.density}} mol/dm3",
        f"molar mass: {equation['molar_mass'] * 1000:.7g} g/mol",
        f"gas constant: {equation['gas_constant']!r} J/(mol K)",
    ]
    lines = [f"# {h}" for h in head] + ["n,t,d,l,eta,beta,gamma,epsilon"]
    for n, t, d, l in zip(*(power[k] for k in "ntdl")):
        lines.append(f"{n!r},{t:g},{d:g},{l:g},0,0,0,0")
    for n, *numbers in zip(*(gauss[k] for k in ("n", "t", "d", "eta", "beta", "gamma", "epsilon"))):
        t, d, *bell = (f"{x:.9g}" for x in numbers)
        lines.append(f"{n!r},{t},{d},0,{','.join(bell)}")
    return "\n".join(lines) + "\n"


def fields(text):
    return [line.split(",") for line in text.splitlines()]


def differences(made, kept):
    """Cells of two tables that differ by more than one unit of the last digit."""
    found = []
    for number, (a, b) in enumerate(zip(made, kept), start=1):
        if a == b:
            continue
        if len(a) != len(b) or a[0].startswith("#"):
            found.append(f"line {number}: {','.join(a)} / {','.join(b)}")
            continue
        for x, y in zip(a, b):
            unit = 10.0 ** -len(y.partition(".")[2])
            if abs(float(x) - float(y)) > 1.0001 * unit:
                found.append(f"line {number}: {x} / {y}")
    if len(made) != len(kept):
        found.append(f"{len(made)} lines / {len(kept)} lines")
    return found


def check(outputs):
    wrong = 0
    for path, text in outputs:
        found = differences(fields(text), fields(path.read_text()))
        wrong += len(found)
        print(f"{path.name}: {'as committed' if not found else f'{len(found)} differences'}")
        for line in found[:5]:
            print(f"  {line}")
    return 1 if wrong else 0


def verify(path):
    """Continuation against printed pressures: 1e-7 relative and half a unit of the last printed digit."""
    with open(path, newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    wrong = 0
    for recipe in [r for r in RECIPES if r.kind == "blend"] + AS_MIXTURES:
        phases, worst, count = TwoPhases(recipe), 0.0, 0
        for side in ("bubble", "dew"):
            mine = [r for r in rows if r["refrigerant"] == recipe.name and r["side"] == side]
            if not mine:
                continue
            line = phases.line(side, max(int(float(r["temperature_c"])) for r in mine))
            for r in mine:
                t = int(float(r["temperature_c"]))
                p = phases.pressure(line[t], t + ZERO_C) / 1000
                rho_l = phases.properties(line[t], t + ZERO_C, "liquid")[0]
                rho_v = phases.properties(line[t], t + ZERO_C, "vapour")[0]
                for column, value in (("pressure_kpa_abs_continuation", p), ("rho_liquid_kg_m3", rho_l),
                                      ("rho_vapor_kg_m3", rho_v)):
                    half = 0.5 * 10.0 ** -len(r[column].partition(".")[2])
                    beyond = max(0.0, abs(value - float(r[column])) - half) / value
                    worst, count = max(worst, beyond), count + 1
                    if beyond > 1e-7:
                        wrong += 1
                        print(f"  {recipe.name} {side} {t} degC {column}: {value:.6f} / {r[column]}")
        print(f"{recipe.name}: {count} values, worst {worst:.1e} beyond the printed digits")
    return 1 if wrong else 0


def main():
    arguments = argparse.ArgumentParser(description="Write the property tables.")
    arguments.add_argument("--only", help="one refrigerant, shipped or not")
    arguments.add_argument("--out", type=Path, default=TABLES, help="folder to write to")
    arguments.add_argument("--check", action="store_true", help="compare with the committed tables")
    arguments.add_argument("--verify", type=Path, metavar="FILE", help="reference CSV of blends by continuation")
    arguments.add_argument("--between", type=Path, metavar="FILE", help="write values half-way between rows")
    chosen = arguments.parse_args()
    if chosen.verify:
        return verify(chosen.verify)
    recipes = [r for r in RECIPES if (r.name == chosen.only if chosen.only else r.shipped)]
    if not recipes:
        arguments.error(f"no recipe for {chosen.only}; there are {', '.join(r.name for r in RECIPES)}")
    if chosen.between:
        chosen.between.write_text(between_text(recipes))
        return 0
    outputs = [(chosen.out / "saturation" / f"{r.name}.csv", saturation_text(r)) for r in recipes]
    if not chosen.only:
        outputs += [(chosen.out / "gas" / f"{g.fluid.lower()}.csv", gas_text(g)) for g in GASES]
    if chosen.check:
        return check(outputs)
    for path, text in outputs:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        print(f"{path.name}: {len(text.splitlines())} lines")
    return 0


if __name__ == "__main__":
    sys.exit(main())
