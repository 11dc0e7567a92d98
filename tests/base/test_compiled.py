"""What a kernel is compiled for."""

from numba import njit

from thawline.base.compiled import NONE_YET


def test_a_count_that_begins_with_none_yet_is_compiled_once():
    """Numba compiles what takes a growing count for the literal 0 and again for all others."""

    @njit
    def one_more(count):
        return count + 1

    @njit
    def counted_from_none_yet(times):
        count = NONE_YET
        for _ in range(times):
            count = one_more(count)
        return count

    assert counted_from_none_yet(3) == 3
    assert len(one_more.signatures) == 1
