"""Asks a general Bayesian-network library (pgmpy) for the posteriors kept in authorities/diag_network_library.json.

    python network_library.py < authorities/diag_network_library.json

Runs in an environment of its own that holds pgmpy; nothing of the course is imported. Prints the results as JSON.
"""

from __future__ import annotations

import json
import sys
from typing import Any

import numpy as np
from pgmpy.factors.discrete import TabularCPD  # type: ignore[import-not-found]
from pgmpy.inference import VariableElimination  # type: ignore[import-not-found]
from pgmpy.models import DiscreteBayesianNetwork  # type: ignore[import-not-found]


def posterior(
    edges: list[tuple[str, str]], tables: list[TabularCPD], ask: str, seen: dict[str, int]
) -> list[float]:
    model = DiscreteBayesianNetwork(edges)
    model.add_cpds(*tables)
    model.check_model()
    found = VariableElimination(model).query([ask], evidence=seen, show_progress=False)
    return [float(value) for value in found.values]


def column(values: list[float]) -> list[list[float]]:
    return [[value] for value in values]


def four_causes(known: dict[str, Any]) -> dict[str, list[float]]:
    tables = [TabularCPD("cause", len(known["prior"]), column(known["prior"]))]
    for name in ("low_voltage", "ground_drop"):
        yes = known[name]
        tables.append(TabularCPD(name, 2, [[1 - p for p in yes], yes], ["cause"], [len(yes)]))
    edges = [("cause", "low_voltage"), ("cause", "ground_drop")]
    return {
        "after_low_voltage": posterior(edges, tables, "cause", {"low_voltage": 1}),
        "after_both": posterior(edges, tables, "cause", {"low_voltage": 1, "ground_drop": 1}),
    }


def noisy_or(known: dict[str, Any]) -> dict[str, float]:
    n = known["noisy_or"]
    no = [(1 - n["leak"]) * n["inhibitor_a"] ** a * n["inhibitor_b"] ** b for a in (0, 1) for b in (0, 1)]
    tables = [
        TabularCPD("a", 2, column([1 - n["prior_a"], n["prior_a"]])),
        TabularCPD("b", 2, column([1 - n["prior_b"], n["prior_b"]])),
        TabularCPD("symptom", 2, [no, [1 - p for p in no]], ["a", "b"], [2, 2]),
    ]
    edges = [("a", "symptom"), ("b", "symptom")]
    return {
        "a_given_symptom": posterior(edges, tables, "a", {"symptom": 1})[1],
        "a_given_symptom_and_b": posterior(edges, tables, "a", {"symptom": 1, "b": 1})[1],
    }


def hidden_charge(known: dict[str, Any]) -> list[list[float]]:
    """Posterior of the cause after each row of evidence: two readings that a hidden charge ties together."""
    h = known["hidden_charge"]
    causes, levels = len(h["prior"]), len(h["charge"])
    tables = [
        TabularCPD("cause", causes, column(h["prior"])),
        TabularCPD("charge", levels, column(h["charge"])),
    ]
    for name in ("rest", "load"):
        table = np.array(h[name]).reshape(causes * levels, -1).T
        tables.append(TabularCPD(name, table.shape[0], table.tolist(), ["cause", "charge"], [causes, levels]))
    edges = [(parent, name) for name in ("rest", "load") for parent in ("cause", "charge")]
    return [posterior(edges, tables, "cause", seen) for seen in h["evidence"]]


def main() -> None:
    known = json.load(sys.stdin)
    found = {**four_causes(known), "noisy_or": noisy_or(known), "hidden_charge": hidden_charge(known)}
    json.dump(found, sys.stdout)


if __name__ == "__main__":
    main()
