"""What a learner sees and touches: notebook widgets, diagrams, plots."""
