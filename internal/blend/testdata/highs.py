"""Solves blend plans with HiGHS (through scipy), apart from Croze's own model.

Reads a list of problems as JSON from standard input: each is a plan as in the
plan file, with the density (kg/L at 20 degrees C) of every source, target and
water beside it. Writes a list of {"status", "objective", "seconds"}.
Every vessel has a binary column of its own and each target its own copy of
the vessels, the plainest form of the model there is.
"""
import json
import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

INFINITE = float("inf")


class Model:
    def __init__(self):
        self.cost, self.low, self.high, self.whole, self.rows = [], [], [], [], []

    def column(self, low, high, cost=0.0, whole=False):
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        self.whole.append(1 if whole else 0)
        return len(self.cost) - 1

    def row(self, entries, low, high):
        self.rows.append((entries, low, high))

    def solve(self):
        if not self.cost:
            self.column(0, 0)  # scipy wants at least one
        data, at, across, low, high = [], [], [], [], []
        for i, (entries, a, b) in enumerate(self.rows):
            for j, v in entries:
                data.append(v), at.append(i), across.append(j)
            low.append(a), high.append(b)
        matrix = csr_matrix((data, (at, across)), shape=(len(self.rows), len(self.cost)))
        constraint = LinearConstraint(matrix, low, high)
        # The presolve of HiGHS 1.2 (in scipy 1.10) is wrong on some integer
        # problems: it has called an impossible plan possible, and cut off better
        # plans that glpsol and HiGHS itself without presolve both find.
        options = {"mip_rel_gap": 0, "time_limit": 60, "presolve": not any(self.whole)}
        first = milp(np.array(self.cost), integrality=self.whole, bounds=Bounds(self.low, self.high), constraints=constraint, options=options)
        if not first.success or not any(self.whole):
            return first
        # Once more with the binaries as found, so that the tolerance of HiGHS
        # on whole numbers does not show in the objective.
        low2, high2 = list(self.low), list(self.high)
        for j, w in enumerate(self.whole):
            if w:
                low2[j] = high2[j] = round(first.x[j])
        again = milp(np.array(self.cost), bounds=Bounds(low2, high2), constraints=constraint)
        return again if again.success else first


def litre_cost(objective, s):
    return {
        "least_cost": s.get("cost_per_l", 0.0),
        "oldest_first": -s.get("age_days", 0.0),
        "youngest_first": s.get("age_days", 0.0),
        "fastest_losing_first": -s.get("loss_pct_per_year", 0.0) / 100,
    }.get(objective, 0.0)


def build(problem):
    plan, m = problem["plan"], Model()
    targets = plan.get("targets") or [plan["target"]]
    objective = plan["objective"]
    columns = {}
    for t, target in enumerate(targets):
        add_target(m, problem, plan, t, target, objective, columns)
    for i, s in enumerate(plan["sources"]):
        usable = max(0.0, s["available_l"] - s.get("keep_l", 0.0))
        mine = [(columns[t, i], 1.0) for t in range(len(targets)) if (t, i) in columns]
        if mine:
            m.row(mine, 0, usable)
        if s.get("whole") and mine:
            b = m.column(0, 1, 0.0, True)
            m.row(mine + [(b, -usable)], 0, 0)
        if s.get("must_use"):
            m.row(mine or [(m.column(0, 0), 1.0)], max(s.get("min_l", 0.0), min(0.1, usable)), INFINITE)
    return m


def add_target(m, problem, plan, t, target, objective, columns):
    volume, strength = target["volume_l"], target["strength_pct"]
    limits = target.get("limits") or plan.get("limits") or {}
    alcohol, mass, draws = [], [], []
    for i, s in enumerate(plan["sources"]):
        usable = max(0.0, s["available_l"] - s.get("keep_l", 0.0))
        if s.get("must_not_use") or s["age_days"] < limits.get("min_age_days", 0):
            continue
        x = m.column(0, min(usable, 1.3 * volume), litre_cost(objective, s))
        columns[t, i] = x
        draws.append((x, s))
        alcohol.append((x, s["strength_pct"] / 100))
        mass.append((x, problem["densities"][i]))
    if plan.get("water"):
        w = m.column(0, 2 * volume, 1.0 if objective == "least_water" else 0.0)
        mass.append((w, problem["water_density"]))
    m.row(alcohol, volume * strength / 100, volume * strength / 100)
    m.row(mass, volume * problem["target_densities"][t], volume * problem["target_densities"][t])
    lpa = volume * strength / 100
    for kind in ("shares", "scores"):
        for band in limits.get(kind, []):
            row = [(x, s["strength_pct"] / 100 * s.get(kind, {}).get(band["of"], 0.0)) for x, s in draws]
            m.row(row, band.get("min", -1e9) * lpa, band.get("max", 1e9) * lpa)
    add_switches(m, limits, objective, draws)
    if objective == "closest_scores":
        for name, wanted in plan["wanted"].items():
            weight = plan.get("weights", {}).get(name, 1.0) / lpa
            over, under = m.column(0, INFINITE, weight), m.column(0, INFINITE, weight)
            row = [(x, s["strength_pct"] / 100 * s["scores"][name]) for x, s in draws]
            m.row(row + [(over, -1.0), (under, 1.0)], wanted * lpa, wanted * lpa)


def add_switches(m, limits, objective, draws):
    count = []
    for x, s in draws:
        least = s.get("min_l", 0.0)
        if objective != "fewest_vessels" and not limits.get("max_vessels") and least == 0:
            continue
        z = m.column(0, 1, 1.0 if objective == "fewest_vessels" else 0.0, True)
        m.row([(x, 1.0), (z, -m.high[x])], -INFINITE, 0)
        m.row([(x, 1.0), (z, -least)], 0, INFINITE)
        count.append((z, 1.0))
    if limits.get("max_vessels") and count:
        m.row(count, 0, limits["max_vessels"])


def main():
    answers = []
    for problem in json.load(sys.stdin):
        model = build(problem)
        begun = time.perf_counter()
        found = model.solve()
        seconds = time.perf_counter() - begun
        if found.success:
            answers.append({"status": "optimal", "objective": float(found.fun), "seconds": seconds})
        else:
            answers.append({"status": "infeasible" if found.status == 2 else found.message, "seconds": seconds})
    json.dump(answers, sys.stdout)


main()
