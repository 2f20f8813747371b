"""Settings: one of them changed, and everything that the artist wrote around it left alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from assetlib.config import SETTINGS_FILE, Settings, change_setting, read_settings, write_settings
from assetlib.errors import BadSettings


def test_a_setting_is_changed_in_its_line(tmp_path: Path) -> None:
    write_settings(tmp_path, Settings(name="Boards", workers=3))
    before = (tmp_path / SETTINGS_FILE).read_text(encoding="utf-8").splitlines()
    after = change_setting(tmp_path, "model", "other-0123")
    assert after == read_settings(tmp_path) == Settings(name="Boards", workers=3, model="other-0123")
    lines = (tmp_path / SETTINGS_FILE).read_text(encoding="utf-8").splitlines()
    assert [(a, b) for a, b in zip(before, lines, strict=True) if a != b] == [
        ('model = "drawings-1"', 'model = "other-0123"')
    ]
    assert sorted(path.name for path in tmp_path.iterdir()) == [SETTINGS_FILE]


def test_a_setting_that_an_older_file_lacks_is_added(tmp_path: Path) -> None:
    path = tmp_path / SETTINGS_FILE
    path.write_text('# mine\nname = "the model = x"\n\n# model = "no"', encoding="utf-8")
    assert change_setting(tmp_path, "model", 'q"\\').model == 'q"\\'
    assert path.read_text(encoding="utf-8").startswith(
        '# mine\nname = "the model = x"\n\n# model = "no"\nmodel = '
    )


def test_a_file_that_cannot_be_changed_safely_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / SETTINGS_FILE
    path.write_text('contact = """\nmodel = 1\n"""\nname = "Boards"\n', encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(BadSettings) as caught:
        change_setting(tmp_path, "model", "other")
    assert 'model = "other"' in str(caught.value.hint)
    assert path.read_bytes() == before
    assert sorted(file.name for file in tmp_path.iterdir()) == [SETTINGS_FILE]


def test_every_setting_has_its_kind(tmp_path: Path) -> None:
    (tmp_path / SETTINGS_FILE).write_text("model = 3\n", encoding="utf-8")
    with pytest.raises(BadSettings, match="'model' takes a text"):
        read_settings(tmp_path)


def test_the_driver_sits_left_or_right(tmp_path):
    (tmp_path / SETTINGS_FILE).write_text('driver_side = "middle"\n', encoding="utf-8")
    with pytest.raises(BadSettings, match="left or right"):
        read_settings(tmp_path)
