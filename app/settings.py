"""Looks and folders. Nothing in here changes a number."""

from __future__ import annotations

import json
import logging
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from analysis.values.words import tr

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Setting:
    """One setting: its name, its value where nobody chose one (an empty tuple for a list), what it does, and
    the ends of a number.
    """

    name: str
    default: str | float | bool | tuple[()]
    help: str
    least: float = -math.inf
    most: float = math.inf


SETTINGS: tuple[Setting, ...] = (
    Setting("theme", "light", tr("Light or dark surfaces")),
    Setting("text_scale", 1.0, tr("Size of all text, 1 to 2"), 1.0, 2.0),
    Setting("slow_speed", 0.1, tr("The last slow speed, as a share of real time"), 0.01, 0.99),
    Setting("numbers_over_picture", True, tr("Step numbers over the picture")),
    Setting("force", False, tr("Force and power beside the reading")),
    Setting("posture_layers", "trunk shins path", tr("What of posture is drawn over the picture")),
    Setting("posture_between", "", tr("Lines between two body points over the picture")),
    Setting("posture_everywhere", True, tr("Posture on every frame, not on chosen ones only")),
    Setting("ground_strip", True, tr("The ground strip beside the rail")),
    Setting("sure_draft", 70.0, tr("How sure drafts must be to be confirmed together, %"), 50.0, 100.0),
    Setting("film_memory_mb", 1500.0, tr("Memory for all films on show, MB"), 200.0, 64_000.0),
    Setting("film_folder", "", tr("Where films were last opened")),
    Setting("window", "", tr("Size and place of the window")),
    Setting("panels", "", tr("How the window is divided")),
    Setting("compared", (), tr("How runs were laid side by side last")),
)
_BY_NAME = {setting.name: setting for setting in SETTINGS}


class Settings:
    """Settings in one JSON file; a damaged file or value falls back to the defaults."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._values: dict[str, Any] = {}
        try:
            stored = json.loads(path.read_text(encoding="utf-8"))
        except FileNotFoundError:
            stored = {}
        except (OSError, ValueError, RecursionError):
            log.info("The settings could not be read; the usual ones are used.")
            stored = {}
        if isinstance(stored, dict):
            self._values = {name: value for name, value in stored.items() if _fits(name, value)}

    def __getitem__(self, name: str) -> Any:
        """The value chosen or the default. Raises KeyError for a name that is not in the table."""
        return self._values.get(name, _BY_NAME[name].default)

    def __setitem__(self, name: str, value: Any) -> None:
        if not _fits(name, value):
            raise KeyError(name)
        self._values[name] = value

    def save(self) -> None:
        """Write the file whole or not at all; a folder that can't be written costs the looks only."""
        part = self._path.with_suffix(".part")
        try:
            part.write_text(json.dumps(self._values, indent=1), encoding="utf-8")
            part.replace(self._path)
        except OSError as error:
            log.info("The settings could not be saved: %s", error)


def _fits(name: str, value: Any) -> bool:
    setting = _BY_NAME.get(name)
    if setting is None:
        return False
    if isinstance(setting.default, float):
        number = isinstance(value, int | float) and not isinstance(value, bool)
        return number and setting.least <= value <= setting.most  # never so for what is not a number
    return isinstance(value, list if isinstance(setting.default, tuple) else type(setting.default))
