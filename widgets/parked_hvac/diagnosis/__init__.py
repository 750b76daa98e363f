"""Candidates, predictions, posterior, next best check."""
