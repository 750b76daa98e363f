"""Roster, variants, hand-out, collecting, cohort grading, reports."""
