"""Rubric, safety rules, scores, debrief."""
