"""One draw of the truck in plain scalar Python: its equilibrium and its way through time.

Functions here and in physics/scalar and circuit/fold.py use nothing but arithmetic, ``math``, indexing and
attributes. They run as they stand (`plain.py`) and, for much work, compiled by numba (`compiled.py`), with
the same digits but for the last ones.
"""
