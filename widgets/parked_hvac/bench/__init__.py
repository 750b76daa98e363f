"""What a learner sees and touches: notebook widgets, diagrams, plots."""

from __future__ import annotations

from parked_hvac.bench.guide import Prompt
from parked_hvac.bench.opening import bench

__all__ = ["Prompt", "bench"]
