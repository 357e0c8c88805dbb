"""Exact whole numbers on fast floating-point tables.

A 64-bit float holds every whole number up to 2^53, and float tables are multiplied by the machine's
fastest routines. So: where no number on the way can exceed 2^53 (a bound that is proved before the
work starts), tables are plain. Where one could, they are plain and watched: often none does. Where
one did, the same work is done several times, each time with the
remainders by another prime below 2^20, and the remainders are joined to the one number that has them
all (the Chinese remainder theorem): exact at any size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

EXACT = 2**53
"""Whole numbers up to here are exact in a 64-bit float."""

_PRIMES_BELOW = 2**20
SUMMED = EXACT // _PRIMES_BELOW**2
"""So many products of two remainders add up to less than 2^53."""


@dataclass(frozen=True)
class Plain:
    """Numbers as they are; the caller has proved that none exceeds 2^53."""

    summed: int = 2**62

    def settle(self, table: Floats) -> Floats:
        """The table itself."""
        return table


class Exceeded(ArithmeticError):
    """A number on the way is above 2^53."""


@dataclass(frozen=True)
class Watched(Plain):
    """Numbers as they are, though nothing is proved beforehand: every table is looked at.

    Terms are never negative and rounding keeps order, so what is truly 2^53 or more is computed as no
    less, in whatever order it is added up: a table whose largest entry is below is exact.
    """

    def settle(self, table: Floats) -> Floats:
        """The table itself; raises `Exceeded`."""
        if table.size and table.max() >= EXACT:
            raise Exceeded
        return table


@dataclass(frozen=True)
class Remainders:
    """Numbers as remainders by ``prime``."""

    prime: int
    summed: int = SUMMED

    def settle(self, table: Floats) -> Floats:
        """Remainders of a table whose entries are whole and below 2^53.

        The quotient is rounded to nearest, and cannot reach the next whole number: that lies at
        least 1/prime away, more than half a step of the float as long as the entry is below 2^53.
        """
        return np.asarray(table - np.floor(table / self.prime) * self.prime)


Ring = Plain | Remainders


@cache
def _primes() -> tuple[int, ...]:
    """All primes below 2^20, the greatest first; together far above 2^1000000."""
    sieve = np.ones(_PRIMES_BELOW, dtype=np.bool_)
    sieve[:2] = False
    for number in range(2, int(_PRIMES_BELOW**0.5) + 1):
        if sieve[number]:
            sieve[number * number :: number] = False
    return tuple(int(prime) for prime in np.flatnonzero(sieve)[::-1])


def rings(bound: int) -> tuple[Ring, ...]:
    """Where to work so that whole numbers from 0 to ``bound`` can be told exactly."""
    if bound < EXACT:
        return (Plain(),)
    chosen: list[Ring] = []
    reach = 1
    for prime in _primes():
        if reach > bound:
            break
        chosen.append(Remainders(prime))
        reach *= prime
    if reach <= bound:
        raise OverflowError("the bound exceeds the product of all primes below 2^20")
    return tuple(chosen)


def joined(used: Sequence[Ring], results: Sequence[Floats]) -> list[int]:
    """Exact numbers of a vector, from what each ring found."""
    first = used[0]
    if isinstance(first, Plain):
        return [int(number) for number in results[0].tolist()]
    primes = [ring.prime for ring in used if isinstance(ring, Remainders)]
    reach = 1
    for prime in primes:
        reach *= prime
    shares = [reach // prime * pow(reach // prime, -1, prime) for prime in primes]
    columns = [[int(number) for number in result.tolist()] for result in results]
    return [
        sum(share * remainder for share, remainder in zip(shares, remainders, strict=True)) % reach
        for remainders in zip(*columns, strict=True)
    ]
