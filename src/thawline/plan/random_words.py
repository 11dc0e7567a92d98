"""
Random words of 64 bits, the same in compiled code and in plain Python, on every machine.

Each day and each of its streams (who comes, each station, ...) has a seed of its own: a day is
the same whichever days are simulated before or beside it, and a change at one station leaves
the draws of all others as they were.

Source:
    David Blackman and Sebastiano Vigna, "Scrambled linear pseudorandom number generators",
    2021: xoshiro256++, seeded by SplitMix64 as its authors advise. Constants from memory; the
    tests hold them by printed sequences.
"""

from thawline.base.compiled import compiled, word

State = tuple[int, int, int, int]

MASK = word(0xFFFF_FFFF_FFFF_FFFF)
GOLDEN = word(0x9E37_79B9_7F4A_7C15)
_MIX_1 = word(0xBF58_476D_1CE4_E5B9)
_MIX_2 = word(0x94D0_49BB_1331_11EB)
_R11, _R17, _R19, _R23, _R27 = word(11), word(17), word(19), word(23), word(27)
_R30, _R31, _R41, _R45 = word(30), word(31), word(41), word(45)
UNIT = 2.0**-53  # the step of a uniform number with the 53 bits that a float holds


@compiled
def mixed(counter: int) -> int:
    """Return the word that SplitMix64 makes of a counter; all words are reached once."""
    z = ((counter ^ (counter >> _R30)) * _MIX_1) & MASK
    z = ((z ^ (z >> _R27)) * _MIX_2) & MASK
    return z ^ (z >> _R31)


@compiled
def seeded(base: int, day: int, stream: int) -> State:
    """Return the state at the start of one stream of one day; all three are words."""
    start = mixed((mixed((mixed((base + GOLDEN) & MASK) + day) & MASK) + stream) & MASK)
    first = (start + GOLDEN) & MASK
    second = (first + GOLDEN) & MASK
    third = (second + GOLDEN) & MASK
    return mixed(first), mixed(second), mixed(third), mixed((third + GOLDEN) & MASK)


@compiled
def drawn(state: State) -> tuple[int, State]:
    """Return the next random word and the state after it."""
    a, b, c, d = state
    total = (a + d) & MASK
    found = ((((total << _R23) & MASK) | (total >> _R41)) + a) & MASK
    shifted = (b << _R17) & MASK
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= shifted
    return found, (a, b, c, ((d << _R45) & MASK) | (d >> _R19))


@compiled
def uniform(found: int) -> float:
    """Return a word as a number from 0 up to but not including 1."""
    return float(found >> _R11) * UNIT
