"""Writes the property tables of this folder's parent: refrigerants by phase, equations of the dry gases.

    python generate.py                    write the shipped tables
    python generate.py --check            regenerate and compare with the committed tables
    python generate.py --verify FILE      compare blends by continuation with a reference CSV
    python generate.py --states DIR       2,000 random states of each refrigerant, for the tests
    python generate.py --only R-404A ...  one refrigerant instead of all nineteen
    python generate.py --out DIR          write somewhere else

See README.md for the reason of each choice.
"""

import argparse
import csv
import json
import math
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import CoolProp
import CoolProp.CoolProp as CP
import numpy as np

TABLES = Path(__file__).resolve().parent.parent
ZERO_C = 273.15
COLDEST_C = -60
START_C = 20
IIR_H, IIR_S = 200e3, 1e3  # J/kg, J/(kg K) for bubble liquid at 0 degC
PHASE_COLUMNS = ["rho_kg_m3", "h_J_kg", "s_J_kgK", "cp_J_kgK"]
COLUMNS = ["T_K", "p_bubble_Pa", "p_dew_Pa", "rho_l_kg_m3", "rho_v_kg_m3",
           "h_l_J_kg", "h_v_J_kg", "s_l_J_kgK", "s_v_J_kgK"]
ROW_STEP = 2.5  # K of saturation temperature between the rows of the one-phase tables
SUPERHEATS = [0, 0.5, 1, 2, 4, 6, 8, 11, 15, 20, 25, 32, 40, 50, 65, 80, 100, 120]  # K
SUBCOOLINGS = [0, 0.5, 1, 2, 4, 6, 8, 11, 15, 20, 25, 32, 40, 50, 65, 80]  # K
STATES = {"bubble": 200, "dew": 200, "liquid": 600, "vapour": 1000}


@dataclass(frozen=True)
class Recipe:
    """One refrigerant: `fluids` maps each CoolProp fluid to its mass percent."""

    name: str
    kind: str  # pure, pseudo-pure or blend
    fluids: dict
    source: str
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
    pure("R-22", "R22", "Kamei, Beyerlein & Jacobsen, Int. J. Thermophys. 16 (1995) 1155"),
    pure("R-32", "R32", R32),
    pure("R-134a", "R134a", R134A),
    pure("R-290", "n-Propane", "Lemmon, McLinden & Wagner, J. Chem. Eng. Data 54 (2009) 3141"),
    pseudo_pure("R-404A", "R404A", "R125 44 / R143a 52 / R134a 4"),
    pseudo_pure("R-407C", "R407C", "R32 23 / R125 25 / R134a 52"),
    pseudo_pure("R-410A", "R410A", "R32 50 / R125 50"),
    blend("R-448A", {"R32": 26, "R125": 26, "R1234yf": 20, "R134a": 21, "R1234ze(E)": 7},
          R32, R125, R1234YF, R134A, R1234ZEE, HFC_PAIRS, PAIRS_2023, PAIR_R32_ZEE, PAIRS_2022),
    blend("R-449A", {"R32": 24.3, "R125": 24.7, "R1234yf": 25.3, "R134a": 25.7},
          R32, R125, R1234YF, R134A, HFC_PAIRS, PAIRS_2023, PAIRS_2022),
    blend("R-452B", {"R32": 67, "R125": 7, "R1234yf": 26},
          R32, R125, R1234YF, HFC_PAIRS, PAIRS_2023),
    blend("R-454B", {"R32": 68.9, "R1234yf": 31.1}, R32, R1234YF, PAIR_R32_YF),
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

    def first_row(self):
        return max(CP.PropsSI("Ttriple", f) for f in self.names if f != "CO2")  # CO2 stays dissolved

    def lines_to(self, end):
        """Both lines of whole degrees, kept for whatever is asked between them."""
        self.lines = {side: self.line(side, math.floor(end - ZERO_C + 1e-9)) for side in ("bubble", "dew")}

    def saturation(self, side, temp):
        """Pressure and total density of the phase that is fixed; the guess is the line through two whole degrees."""
        t = math.floor(temp - ZERO_C + 1e-9)
        offset, line = temp - ZERO_C - t, self.lines[side]
        x = line[t] if offset < 1e-9 else self.solve((1 - offset) * line[t] + offset * line[t + 1], temp, side)
        n = len(self.z)
        return self.pressure(x, temp), np.exp(x[:n] if side == "bubble" else x[n:]).sum()

    def pressure(self, x, temp):
        """Taken in the vapour: the liquid's pressure amplifies the last digits of its density."""
        return self.at(x[len(self.z):], temp).p()

    def whole(self, rho, temp):
        """The nameplate composition at one total density."""
        return self.at(np.log(rho * self.z), temp)


class OneFluid:
    """A pure or pseudo-pure fluid, with the interface of TwoPhases."""

    def __init__(self, recipe):
        name = next(iter(recipe.fluids))
        self.name, self.fluid = recipe.name, name
        self.state, self.same = CP.AbstractState("HEOS", name), CP.AbstractState("HEOS", name)
        self.same.specify_phase(CP.iphase_gas)
        self.critical = SimpleNamespace(T=self.state.T_critical(), p=self.state.p_critical())

    def first_row(self):
        return self.state.Ttriple()

    def lines_to(self, end):
        pass

    def saturation(self, side, temp):
        self.state.update(CP.QT_INPUTS, 0 if side == "bubble" else 1, temp)
        p, rho = self.state.p(), self.state.rhomolar()
        same = self.whole(rho, temp)
        # Liquid pressure is some 1e4 times stiffer than density: judge the density.
        if abs(same.p() - p) / (stiffness(same) * rho) > 1e-9:
            raise ArithmeticError(f"{self.name}: pressure and density disagree at {temp} K")
        return p, rho

    def whole(self, rho, temp):
        self.same.update(CP.DmolarT_INPUTS, rho, temp)
        return self.same


def stiffness(state):
    return state.first_partial_deriv(CP.iP, CP.iDmolar, CP.iT)


def read(state):
    return [state.rhomass(), state.hmass(), state.smass(), state.cpmass()]


def own_viscosity(model, _phase, rho, temp):
    state = viscosity_state(model.fluid)
    state.update(CP.DmolarT_INPUTS, rho, temp)
    return state.viscosity()


# CoolProp takes the first where its fluid file lists several models; for R-22 that one lies 18 % below a handbook.
PREFERRED_VISCOSITY = {"R22": "Klein-IJR-1997"}


@cache
def viscosity_model(fluid):
    """The chosen entry of the fluid file."""
    models = json.loads(CP.get_fluid_param_string(fluid, "JSON"))[0]["TRANSPORT"]["viscosity"]
    models = models if isinstance(models, list) else [models]
    wanted = PREFERRED_VISCOSITY.get(fluid, models[0]["BibTeX"])
    return next(m for m in models if m["BibTeX"] == wanted)


@cache
def viscosity_state(fluid):
    """One density is one state; a fluid with another than the first model is loaded as a copy with that model alone."""
    name = fluid
    if fluid in PREFERRED_VISCOSITY:
        copy = json.loads(CP.get_fluid_param_string(fluid, "JSON"))[0]
        copy["TRANSPORT"]["viscosity"] = viscosity_model(fluid)
        name = f"{fluid}-viscosity"
        copy["INFO"] |= {"NAME": name, "ALIASES": [], "CAS": name, "INCHI_KEY": name, "REFPROP_NAME": "N/A"}
        CP.add_fluids_as_JSON("HEOS", json.dumps([copy]))
    state = CP.AbstractState("HEOS", name)
    state.specify_phase(CP.iphase_gas)
    return state


def mixed_viscosity(model, phase, rho, temp):
    """A mixing rule over the components, each at the blend's temperature and reduced density.

    Liquid: mole-weighted logarithms (Arrhenius 1887). Vapour: Wilke, J. Chem. Phys. 18 (1950) 517, eq. 13.
    """
    x = model.z
    own = []
    critical = np.array([CP.PropsSI("rhomolar_critical", f) for f in model.names])
    reduced = rho * (x / critical).sum()
    for name, rho_c in zip(model.names, critical):
        state = viscosity_state(name)
        state.update(CP.DmolarT_INPUTS, reduced * rho_c, temp)
        own.append(state.viscosity())
    if phase == "liquid":
        return math.exp(x @ np.log(own))
    own, mass = np.array(own), np.array([CP.PropsSI("M", f) for f in model.names])
    phi = (1 + np.sqrt(own[:, None] / own) * (mass / mass[:, None]) ** 0.25) ** 2 / np.sqrt(8 * (1 + mass[:, None] / mass))
    return (x * own / (phi @ x)).sum()


class Fluid:
    """What the tables hold of one refrigerant."""

    def __init__(self, recipe):
        self.recipe = recipe
        self.model = (TwoPhases if recipe.kind == "blend" else OneFluid)(recipe)
        self.critical = self.model.critical
        end = self.critical.T - recipe.end_below_critical - ZERO_C
        self.first = max(COLDEST_C, math.ceil(self.model.first_row() - ZERO_C))
        self.degrees = list(range(self.first, math.floor(end + 1e-9) + 1))
        if recipe.end_below_critical < 1:  # a last row short of a whole degree
            self.degrees.append(math.floor(100 * end) / 100)
        self.model.lines_to(self.degrees[-1] + ZERO_C)
        liquid = self.saturated("bubble", ZERO_C)
        self.shift = (0.0, IIR_H - liquid[2], IIR_S - liquid[3], 0.0)

    def saturated(self, side, temp):
        """p, rho, h, s and cp of bubble liquid or dew vapour (h and s shifted once the shift is known)."""
        p, rho = self.model.saturation(side, temp)
        return [p] + self.shifted(read(self.model.whole(rho, temp)))

    def shifted(self, values):
        return [v + d for v, d in zip(values, getattr(self, "shift", (0, 0, 0, 0)))]

    def saturation_rows(self):
        rows = []
        for t in self.degrees:
            l, v = (self.saturated(side, t + ZERO_C) for side in ("bubble", "dew"))
            rows.append([t + ZERO_C, l[0], v[0], l[1], v[1], l[2], v[2], l[3], v[3]])
        return rows

    def away(self, side, temp, offsets):
        """rho, h, s and cp at the pressure of `side` at `temp`, one entry for each offset from there, in K.

        Newton in density at that pressure, from the vapour before or from bubble liquid of the same temperature.
        """
        p, rho = self.model.saturation(side, temp)
        found = []
        for offset in offsets:
            at = temp + (offset if side == "dew" else -offset)
            if side == "bubble":
                rho = self.model.saturation(side, at)[1]
            for _ in range(40):
                state = self.model.whole(rho, at)
                step = (p - state.p()) / stiffness(state)
                rho += step
                # the liquid's pressure carries fewer digits than its density
                if abs(step) < 1e-11 * rho:
                    break
            else:
                raise ArithmeticError(f"{self.recipe.name}: no density at {p} Pa and {at} K")
            found.append(self.shifted(read(self.model.whole(rho, at))))
        return found

    def last_of_one_phase(self):
        """Nearer to the critical point a bicubic between such rows is no longer exact enough."""
        return min(self.degrees[-1], math.floor(self.critical.T - 1.5 - ZERO_C + 1e-9))

    def one_phase_degrees(self):
        """Saturation temperatures of the rows of the one-phase tables, degC."""
        last = self.last_of_one_phase()
        return np.arange(self.first, last, ROW_STEP).tolist() + [last]

    def subcoolings(self):
        """No liquid colder than the coldest row; a column of fewer than five rows has no dependable slopes."""
        return [o for o in SUBCOOLINGS if sum(t - o >= self.first - 1e-9 for t in self.one_phase_degrees()) >= 5]

    def phase_rows(self, side):
        """The one-phase table: saturation temperature, offset, rho, h, s, cp."""
        offsets = SUPERHEATS if side == "dew" else self.subcoolings()
        rows = []
        for t in self.one_phase_degrees():
            reach = [o for o in offsets if side == "dew" or t - o >= self.first - 1e-9]
            found = self.away(side, t + ZERO_C, reach)
            # vapour thins and liquid thickens away from saturation
            for a, b in zip(found, found[1:]):
                if (b[0] < a[0]) != (side == "dew"):
                    raise ArithmeticError(f"{self.recipe.name}: densities of {side} not in order at {t} degC")
            rows += [[t + ZERO_C, offset] + values for offset, values in zip(reach, found)]
        return rows

    def viscosity_rows(self):
        """Viscosity of bubble liquid and dew vapour, µPa s."""
        viscosity = mixed_viscosity if self.recipe.kind == "blend" else own_viscosity
        steps = np.arange(self.first, self.degrees[-1], ROW_STEP).tolist() + [self.degrees[-1]]
        rows = []
        for t in steps:
            (_, rho_l), (_, rho_v) = (self.model.saturation(side, t + ZERO_C) for side in ("bubble", "dew"))
            thick, thin = viscosity(self.model, "liquid", rho_l, t + ZERO_C), viscosity(self.model, "vapour", rho_v, t + ZERO_C)
            rows.append([t + ZERO_C, 1e6 * thick, 1e6 * thin])
        return rows

    def random_states(self):
        """phase, T, p, rho, h, s, cp; for the tests. The seed is the refrigerant's name."""
        random = np.random.default_rng(list(self.recipe.name.encode()))
        low, high = self.degrees[0] + ZERO_C, self.degrees[-1] + ZERO_C
        rows = []
        for phase, count in STATES.items():
            side = "bubble" if phase in ("bubble", "liquid") else "dew"
            while count:
                temp, offset = random.uniform(low, high), 0.0
                if phase in ("vapour", "liquid") and temp > self.last_of_one_phase() + ZERO_C:
                    continue
                if phase == "vapour":
                    offset = random.uniform(0, SUPERHEATS[-1])
                elif phase == "liquid":
                    offset = random.uniform(0, self.subcoolings()[-1])
                    row = low + ROW_STEP * math.floor((temp - low) / ROW_STEP)
                    if offset > max(o for o in self.subcoolings() if row - o >= low - 1e-9):
                        continue  # a piece of the table without its fourth corner
                between = np.linspace(0, 1, 2 + int(offset / 10)) * offset
                p = self.model.saturation(side, temp)[0]
                at = temp + (offset if side == "dew" else -offset)
                rows.append([phase, at, p] + self.away(side, temp, between)[-1])
                count -= 1
        return rows


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


def head_of(fluid, *more):
    recipe, critical = fluid.recipe, fluid.critical
    model = {"pure": "", "pseudo-pure": "", "blend": "Helmholtz mixture model, phases by continuation; "}[recipe.kind]
    lines = [
        f"refrigerant: {recipe.name}",
        f"kind: {recipe.kind}",
        f"composition by mass: {recipe.composition or 'one component'}",
        f"equation of state: {model}{recipe.source}",
        f"computed with: tables/generate/generate.py, CoolProp {CoolProp.__version__}",
        "reference state: IIR, bubble liquid at 0 degC has 200 kJ/kg and 1 kJ/(kg K)",
        f"model uncertainty in pressure: {UNCERTAINTY[recipe.kind]}",
        f"critical point: {critical.T:.3f} K, {critical.p:.0f} Pa",
        *more,
    ]
    return [f"# {line}" for line in lines]


def table_text(head, columns, rows):
    """The first column is a temperature, to 0.01 K."""
    lines = head + [",".join(columns)]
    lines += [",".join([f"{r[0]:.2f}"] + [cell(v) for v in r[1:]]) for r in rows]
    return "\n".join(lines) + "\n"


def cell(value):
    return str(value) if isinstance(value, int) or value == 0.5 else digits(value)


def saturation_text(fluid):
    rows = fluid.saturation_rows()
    check_shape(fluid.recipe.name, rows)
    head = head_of(fluid, "liquid columns: bubble liquid at T and p_bubble; vapour columns: dew vapour at T and p_dew")
    return table_text(head, COLUMNS, rows)


def vapour_text(fluid):
    head = head_of(fluid, "vapour at the dew pressure of T_dew, and at T_dew + superheat")
    return table_text(head, ["T_dew_K", "superheat_K"] + PHASE_COLUMNS, fluid.phase_rows("dew"))


def liquid_text(fluid):
    head = head_of(fluid, "liquid at the bubble pressure of T_bubble, and at T_bubble - subcooling")
    return table_text(head, ["T_bubble_K", "subcooling_K"] + PHASE_COLUMNS, fluid.phase_rows("bubble"))


VISCOSITY = {
    "Bell-PURDUE-2016-ETA": "entropy scaling: Bell, Purdue Refrigeration Conference (2016)",
    "Klein-IJR-1997": "extended corresponding states: Klein, McLinden & Laesecke, Int. J. Refrig. 20 (1997) 208",
    "Huber-IECR-2003": "Huber, Laesecke & Perkins, Ind. Eng. Chem. Res. 42 (2003) 3163",
    "Huber-IECR-2006": "Huber & Laesecke, Ind. Eng. Chem. Res. 45 (2006) 4447",
    "Vogel-JPCRD-1998": "Vogel, Kuechenmeister, Bich & Laesecke, J. Phys. Chem. Ref. Data 27 (1998) 947",
    "Vogel-IJT-2000": "Vogel, Kuechenmeister & Bich, Int. J. Thermophys. 21 (2000) 343",
    "Geller-PURDUE-2000": "Geller, Bivens & Yokozeki, Purdue Refrigeration Conference (2000)",
    "Laesecke-JPCRD-2017-CO2": "Laesecke & Muzny, J. Phys. Chem. Ref. Data 46 (2017) 013107",
}
MIXING = "components at the blend's temperature and reduced density; liquid: mole-weighted logarithms (Arrhenius 1887), vapour: Wilke, J. Chem. Phys. 18 (1950) 517"


def viscosity_text(fluid):
    recipe = fluid.recipe
    parts = {f: VISCOSITY[viscosity_model(f)["BibTeX"]] for f in recipe.fluids}
    if recipe.kind == "blend":
        model = "mixing rule; " + MIXING + "; " + "; ".join(f"{f}: {text}" for f, text in parts.items())
    else:
        model = next(iter(parts.values()))
    head = head_of(fluid, f"viscosity: {model}", "bubble liquid and dew vapour at T")
    return table_text(head, ["T_K", "eta_l_uPa_s", "eta_v_uPa_s"], fluid.viscosity_rows())


def states_text(fluid):
    head = [f"# random states of {fluid.recipe.name} from the equation itself; tables/generate/generate.py, CoolProp {CoolProp.__version__}"]
    lines = head + [",".join(["phase", "T_K", "p_Pa"] + PHASE_COLUMNS)]
    for phase, *values in fluid.random_states():
        lines.append(",".join([phase] + [digits(v, 9) for v in values[:2]] + [digits(v, 8) for v in values[2:5]] + [digits(values[5], 5)]))
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
        print(f"{path.parent.name}/{path.name}: {'as committed' if not found else f'{len(found)} differences'}", flush=True)
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
                rho_l, rho_v = (phases.at(x, t + ZERO_C).rhomass() for x in np.split(line[t], 2))
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
    arguments.add_argument("--only", help="one refrigerant, and nothing else")
    arguments.add_argument("--out", type=Path, default=TABLES, help="folder to write to")
    arguments.add_argument("--check", action="store_true", help="compare with the committed tables")
    arguments.add_argument("--verify", type=Path, metavar="FILE", help="reference CSV of blends by continuation")
    arguments.add_argument("--states", type=Path, metavar="DIR", help="write random states for the tests")
    chosen = arguments.parse_args()
    if chosen.verify:
        return verify(chosen.verify)
    recipes = [r for r in RECIPES if chosen.only in (None, r.name)]
    if not recipes:
        arguments.error(f"no recipe for {chosen.only}; there are {', '.join(r.name for r in RECIPES)}")
    wrong = 0
    for recipe in recipes:
        fluid = Fluid(recipe)
        if chosen.states:
            write([(chosen.states / f"{recipe.name}.csv", states_text(fluid))])
            continue
        outputs = [(chosen.out / folder / f"{recipe.name}.csv", text(fluid)) for folder, text in REFRIGERANT_TABLES]
        wrong += check(outputs) if chosen.check else write(outputs)
    if not chosen.only and not chosen.states:
        outputs = [(chosen.out / "gas" / f"{g.fluid.lower()}.csv", gas_text(g)) for g in GASES]
        wrong += check(outputs) if chosen.check else write(outputs)
    return 1 if wrong else 0


REFRIGERANT_TABLES = [("saturation", saturation_text), ("vapour", vapour_text), ("liquid", liquid_text), ("viscosity", viscosity_text)]


def write(outputs):
    for path, text in outputs:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        print(f"{path.parent.name}/{path.name}: {len(text.splitlines())} lines", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
