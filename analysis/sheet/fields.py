"""One object of a sheet, read key by key; every fault names its place."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from typing import Any, NoReturn, TypeVar

from analysis.values.errors import SheetError
from analysis.values.words import tr

E = TypeVar("E", bound=Enum)

_FRAME_LIMIT = 2**53  # whole numbers up to here are exact in every JSON reader
_REQUIRED: Any = object()


class Fields:
    """The keys of one object. ``place`` says in words where it stands; empty for the sheet itself.

    Optional keys take ``default`` where they are missing or null.
    """

    def __init__(self, content: object, place: str) -> None:
        self._place = place
        if not isinstance(content, dict):
            raise SheetError(
                tr("{place}: here must stand an object in braces, not {found}. Mend it.").format(
                    place=place, found=shown(content)
                )
            )
        self._content: Mapping[str, Any] = content
        self._asked: set[str] = set()

    def real(
        self,
        key: str,
        default: Any = _REQUIRED,
        *,
        above: float = -math.inf,
        below: float = math.inf,
        unit: str,
    ) -> Any:
        """A finite number between two bounds, both excluded."""
        value = self._get(key, default)
        if value is default:
            return default
        return self.checked_real(value, key, above, below, unit)

    def checked_real(self, value: object, key: str, above: float, below: float, unit: str) -> float:
        """``value`` as a finite number between two bounds, both excluded."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(
                key, tr("must be a number in {unit}, not {found}").format(unit=unit, found=shown(value))
            )
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            self.fault(key, tr("must be a finite number in {unit}").format(unit=unit))
        if not above < number < below:
            bounds = (
                tr("above {low:g}").format(low=above)
                if below == math.inf
                else tr("between {low:g} and {high:g}").format(low=above, high=below)
            )
            self.fault(
                key, tr("{found:g} must be {bounds} {unit}").format(found=number, bounds=bounds, unit=unit)
            )
        return number

    def whole(self, key: str, default: Any = _REQUIRED) -> Any:
        """A whole number from 0."""
        value = self._get(key, default)
        if value is default:
            return default
        return self.checked_whole(value, key)

    def checked_whole(self, value: object, key: str) -> int:
        """``value`` as a whole number from 0."""
        number = int(value) if isinstance(value, float) and value.is_integer() else value
        if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number < _FRAME_LIMIT:
            self.fault(key, tr("must be a whole number from 0, not {found}").format(found=shown(value)))
        return number

    def flag(self, key: str, *, default: bool) -> bool:
        """True or false."""
        value = self._get(key, default)
        if not isinstance(value, bool):
            self.fault(key, tr("must be true or false, not {found}").format(found=shown(value)))
        return value

    def text(self, key: str, default: Any = _REQUIRED) -> Any:
        """Text that can be saved and printed."""
        value = self._get(key, default)
        if value is default:
            return default
        if not isinstance(value, str):
            self.fault(key, tr("must be text in quotes, not {found}").format(found=shown(value)))
        if not _encodable(value) or "\0" in value:
            self.fault(key, tr("holds characters that are no text"))
        return value

    def choice(self, key: str, kinds: type[E], default: Any = _REQUIRED) -> Any:
        """One of an enumeration's values."""
        value = self._get(key, default)
        if value is default:
            return default
        names = [str(kind.value) for kind in kinds]
        if value not in names:
            self.fault(
                key,
                tr("must be one of {names}, not {found}").format(names=", ".join(names), found=shown(value)),
            )
        return kinds(value)

    def items(self, key: str, default: Any = _REQUIRED) -> Any:
        """A list."""
        value = self._get(key, default)
        if value is default:
            return default
        if not isinstance(value, list):
            self.fault(key, tr("must be a list in brackets, not {found}").format(found=shown(value)))
        return value

    def pair(self, key: str) -> tuple[float, float]:
        """A place in the picture: u and v in pixels."""
        value = self.items(key)
        if len(value) != 2:
            self.fault(key, tr("must hold two numbers, u and v in pixels"))
        u, v = (self.checked_real(number, key, -math.inf, math.inf, "px") for number in value)
        return u, v

    def part(self, key: str, default: Any = _REQUIRED) -> Any:
        """An object within this one."""
        value = self._get(key, default)
        return default if value is default else Fields(value, self._named(key))

    def parts(self, key: str, at_most: int | None = None) -> Iterator[Fields]:
        """The objects of a list, each named by its number from 1; none where the key is missing."""
        contents = self.items(key, ())
        if at_most is not None and len(contents) > at_most:
            self.fault(key, tr("holds more than {count}, which is no single run").format(count=at_most))
        for number, content in enumerate(contents, start=1):
            yield Fields(content, tr("{list}, number {number}").format(list=self._named(key), number=number))

    def is_null(self, key: str) -> bool:
        """Whether the key is there and says null, where that is another thing than leaving it out."""
        return key in self._content and self._content[key] is None

    @property
    def place(self) -> str:
        """Where this object stands, in words."""
        return self._place

    def unknown(self) -> dict[str, Any]:
        """The keys that nobody asked for. Raises SheetError where they can't be kept."""
        rest = {key: value for key, value in self._content.items() if key not in self._asked}
        for key, value in rest.items():
            try:
                json.dumps({key: value}, allow_nan=False, ensure_ascii=False).encode("utf-8")
            except (ValueError, RecursionError):
                self.fault(ascii(key), tr("is unknown and holds what JSON can't keep; leave it out"))
        return rest

    def fault(self, key: str, sentence: str) -> NoReturn:
        """Raise SheetError about a key of this object."""
        raise SheetError(
            tr("{place}: {sentence}. Mend the run sheet there.").format(
                place=self._named(key), sentence=sentence
            )
        )

    def _named(self, key: str) -> str:
        return f"{self._place}, {key}" if self._place else key

    def _get(self, key: str, default: Any) -> Any:
        self._asked.add(key)
        value = self._content.get(key)
        if value is not None:
            return value
        if default is _REQUIRED:
            self.fault(key, tr("is missing"))
        return default


def shown(value: object) -> str:
    """A wrong value as it stands in the sheet, cut short."""
    text = ascii(value) if isinstance(value, float) else json.dumps(value)
    return text if len(text) <= 40 else text[:37] + "..."


def joined(places: Sequence[str]) -> str:
    """Places in one phrase."""
    return tr(" and ").join(places)


def _encodable(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
