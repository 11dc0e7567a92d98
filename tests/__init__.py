"""The tests of thawline; a package, so that no other package of this name comes first."""

from thawline.adapters.compiled_code import keep_apart

keep_apart()  # before Numba is imported: a test never runs compiled code of older sources
