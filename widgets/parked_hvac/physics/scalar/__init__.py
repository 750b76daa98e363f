"""The laws for one draw: plain floats in, plain floats out.

Functions here use nothing but arithmetic, ``math``, tuples and the names of this package, so that numba can
compile them as they stand (rig/kernel/compiled.py). The modules one floor up give them array arguments.
"""
