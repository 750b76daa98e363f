"""Rows of draws in plain loops, as machine code: how far they lie apart, how they fade, where they fall.

``loops`` holds the loops, ``arrays`` what others call. Each row is worked off for itself.
"""
