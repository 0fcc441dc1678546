"""Quick functions for the compiled march, without a branch, so that loops over heaps become vector code.

The compiled march is cached by the date of `kernel.py` alone: touch that file, too, when this one changes.
"""

from numba import njit

part = njit(forceinline=True, fastmath=True, error_model="numpy")


@part
def expc(x):  # type: ignore[no-untyped-def]
    """exp x for |x| <= 9, without a branch; relative error below 3e-6."""
    x = min(max(x, -9.0), 9.0) * 0.0625
    r = 1.0 + x * (1.0 + x * (0.5 + x * (1 / 6 + x * (1 / 24 + x * (1 / 120 + x / 720)))))
    r = r * r * (r * r)
    return r * r * (r * r)


@part
def psat(t):  # type: ignore[no-untyped-def]
    """Saturation vapour pressure [Pa] of t [C], -40..100: the eighth power of a fitted polynomial."""
    x = (min(max(t, -40.0), 99.0) - 30.0) * (1.0 / 70.0)
    r = -1.27580775934e-4 + x * (9.08349477483e-5 - 2.18626153029e-5 * x)
    r = -3.6646000081e-2 + x * (9.93370555526e-3 + x * (-1.0465492926e-3 + x * r))
    r = 2.84117435073 + x * (1.42710389921 + x * (-1.60634368725e-2 + x * r))
    r *= r
    return r * r * (r * r)
