"""Ids of version 7: RFC 9562, Universally Unique IDentifiers, 2024."""

from datetime import timedelta
from uuid import RFC_4122, UUID

from thawline.adapters.randomness import mint_with, seeded_mint, uuid7
from thawline.adapters.time import now, standing_at
from thawline.base.instants import read_instant

NOON = read_instant("2026-02-03T12:00:00-06:00")


def test_the_published_example_comes_out():
    # RFC 9562, appendix A.6: 2022-02-22 14:22:22 -05:00, rand_a CC3, rand_b 18C4DC0C0C07398F.
    # Read in several public copies of the example on 2026-11-25.
    milliseconds = 0x017F22E279B0
    random_bits = 0xCC3 << 62 | 0x18C4DC0C0C07398F

    assert uuid7(milliseconds, random_bits) == UUID("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    assert read_instant("2022-02-22T14:22:22-05:00").timestamp() * 1000 == milliseconds


def test_an_id_says_its_version_and_variant_whatever_the_dice_say():
    for bits in (0, 2**74 - 1):
        minted = uuid7(0, bits)
        assert (minted.version, minted.variant) == (7, RFC_4122)


def test_ids_sort_by_the_time_they_were_minted():
    earlier = mint_with(standing_at(NOON))()
    later = mint_with(standing_at(NOON + timedelta(milliseconds=1)))()

    assert earlier < later


def test_no_two_ids_are_alike():
    mint = mint_with(standing_at(NOON))

    assert len({mint() for _ in range(1000)}) == 1000


def test_the_same_seed_mints_the_same_ids():
    first, second = (seeded_mint(standing_at(NOON), 28) for _ in range(2))

    assert [first() for _ in range(3)] == [second() for _ in range(3)]
    assert seeded_mint(standing_at(NOON), 29)() != seeded_mint(standing_at(NOON), 28)()


def test_the_present_is_in_whole_milliseconds():
    assert now().microsecond % 1000 == 0
