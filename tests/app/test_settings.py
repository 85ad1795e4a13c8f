"""Settings survive what may happen to their file."""

import json
import math

import pytest

from app.settings import SETTINGS, Settings
from tests.helpers.privileges import as_ordinary_user, open_folder


@pytest.fixture
def path(tmp_path):
    return tmp_path / "settings.json"


def defaults() -> dict:
    return {setting.name: setting.default for setting in SETTINGS}


def as_read(path) -> dict:
    settings = Settings(path)
    return {setting.name: settings[setting.name] for setting in SETTINGS}


def test_what_was_chosen_is_there_again(path):
    settings = Settings(path)
    settings["theme"], settings["text_scale"], settings["numbers_over_picture"] = "dark", 1.5, False
    settings.save()
    assert as_read(path) == defaults() | {"theme": "dark", "text_scale": 1.5, "numbers_over_picture": False}
    assert [p.name for p in path.parent.iterdir()] == ["settings.json"]


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"[1, 2]", b"null", b"\xff\xfe\x00", b"[" * 100_000, b'{"theme": 3', b"3"],
    ids=["empty", "cut off", "a list", "null", "no text", "nested", "cut off in a value", "a number"],
)
def test_a_damaged_file_gives_the_usual_settings(path, content):
    path.write_bytes(content)
    assert as_read(path) == defaults()


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("theme", 3),
        ("theme", None),
        ("text_scale", "large"),
        ("text_scale", True),
        ("text_scale", 0.0),
        ("text_scale", 40),
        ("text_scale", math.nan),
        ("text_scale", math.inf),
        ("slow_speed", 0),
        ("slow_speed", -1.0),
        ("slow_speed", 1.0),
        ("numbers_over_picture", 1),
        ("window", ["x"]),
        ("unheard of", "x"),
    ],
)
def test_a_value_that_cannot_be_is_left_out_and_the_others_kept(path, name, value):
    path.write_text(json.dumps({name: value, "film_folder": "films"}))
    assert as_read(path) == defaults() | {"film_folder": "films"}
    with pytest.raises(KeyError):
        Settings(path)[name] = value


def test_a_name_that_is_not_in_the_table_is_a_mistake(path):
    with pytest.raises(KeyError):
        Settings(path)["unheard of"]


def test_a_folder_in_the_place_of_the_file_costs_the_settings_only(path):
    path.mkdir()
    settings = Settings(path)
    assert settings["theme"] == "light"
    settings.save()
    assert path.is_dir()


def test_a_folder_that_cannot_be_written_costs_the_settings_only():
    with open_folder() as folder:
        path = folder / "settings.json"
        path.write_text('{"theme": "dark"}')
        with as_ordinary_user(folder):
            folder.chmod(0o555)
            settings = Settings(path)
            settings["theme"] = "light"
            settings.save()
            folder.chmod(0o755)
        assert as_read(path)["theme"] == "dark"
        assert [p.name for p in folder.iterdir()] == ["settings.json"]
