"""Steps by their numbers, in words."""

from __future__ import annotations

from collections.abc import Iterable

from analysis.values.words import listed, tr, tr_count


def in_steps(steps: Iterable[int]) -> str:
    """``step 1``, ``steps 1 and 2``, ``steps 1 to 4 and 7``: three or more in a row as a range."""
    numbers = sorted(set(steps))
    parts = [part for first, last in _rows(numbers) for part in _part(first, last)]
    return tr_count("step {numbers}", "steps {numbers}", len(numbers)).format(numbers=listed(parts))


def _rows(numbers: list[int]) -> list[tuple[int, int]]:
    """First and last of each row of successive numbers."""
    rows: list[tuple[int, int]] = []
    for number in numbers:
        if rows and number == rows[-1][1] + 1:
            rows[-1] = (rows[-1][0], number)
        else:
            rows.append((number, number))
    return rows


def _part(first: int, last: int) -> list[str]:
    if last - first >= 2:
        return [tr("{first} to {last}").format(first=first, last=last)]
    return [str(number) for number in range(first, last + 1)]
