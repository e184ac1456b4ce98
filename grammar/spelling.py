"""Near misses: which known word a misspelt one may be."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache


@lru_cache(maxsize=65536)
def distance(left: str, right: str, limit: int) -> int:
    """Edits (insert, drop, change, swap of neighbours) between two words, up to ``limit``.

    Returns ``limit + 1`` as soon as it is certain to be more. This is the optimal string
    alignment distance (Damerau 1964, restricted to one edit a place).
    """
    if abs(len(left) - len(right)) > limit:
        return limit + 1
    before: list[int] = []
    row = list(range(len(right) + 1))
    for i, a in enumerate(left, start=1):
        earlier, before, row = before, row, [i]
        for j, b in enumerate(right, start=1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == right[j - 2] and left[i - 2] == b:
                cost = min(cost, earlier[j - 2] + 1)
            row.append(cost)
        if min(row) > limit:
            return limit + 1
    return min(row[-1], limit + 1)


def near(word: str, known: Iterable[str]) -> list[str]:
    """The known words nearest to a misspelt one, all at the same smallest distance.

    One edit is allowed up to seven letters, two above; nothing shorter than four letters
    is repaired, and the first letter must be right (or swapped with the second), because
    another first letter is mostly another word.
    """
    if len(word) < 4 or not word.isalpha():
        return []
    limit = 1 if len(word) <= 7 else 2
    best: list[str] = []
    for candidate in known:
        if len(candidate) < 3 or candidate[0] not in word[:2] or not candidate.isalpha():
            continue
        apart = distance(word, candidate, limit)
        if apart > limit:
            continue
        if apart < limit:
            limit, best = apart, []
        best.append(candidate)
    return sorted(set(best))
