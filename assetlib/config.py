"""Where the library is and how this machine works on it: one frozen `Settings`.

Only this module reads the environment. Order: `--library`, then
ASSETLIB_LIBRARY, then the nearest parent folder that holds `assetlib.toml`,
then the user's own default folder.
"""

from __future__ import annotations

import os
import re
import tomllib
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any, TypedDict

from assetlib.errors import BadSettings, NoLibrary

SETTINGS_FILE = "assetlib.toml"

LARGEST_FILE = 65_536
"""Bytes of a settings file; one of a page is a few hundred."""

LARGEST = {"workers": 1024, "decode_seconds": 86_400, "decode_megabytes": 1 << 20}
"""What numbers may be at most: a settings file that came with a folder must not stop the machine."""

CHOICES = {"driver_side": ("left", "right")}
"""What a text may be, where not everything is."""

_LARGEST_NUMBER = 1_000_000


MEGABYTE = 1024 * 1024


class Limits(TypedDict):
    """Bounds of `imaging.supervise`: seconds and bytes for one file."""

    timeout: float
    memory: int


@dataclass(frozen=True, slots=True)
class Settings:
    """What `assetlib.toml` may say; every key has a default."""

    name: str = "My drawings"
    artist: str = ""
    contact: str = ""
    website: str = ""
    """Where buyers find the artist or the terms; it stands in every picture that is sold. May stay empty."""
    workers: int = 0
    """Processes that decode pictures; 0 takes as many as the machine has cores."""
    decode_seconds: int = 60
    """The longest that one file may take before it is given up."""
    decode_megabytes: int = 2048
    """The most memory that one file may take before it is given up."""
    undo_steps: int = 500
    """How many steps can be taken back; older ones are forgotten."""
    minutes_saved: int = 0
    """Minutes that pasting one drawing saves, for reports; 0 says nothing, as nobody has measured it."""
    driver_side: str = "left"
    """Where the driver sits in this artist's cars, *left* or *right*: mirrored, the drawing has it otherwise."""
    model: str = "drawings-1"
    """The model that tells what looks alike: the shipped one, or the recipe of one that was taken in."""
    generations: int = 10
    """States of the library that a backup folder keeps; the oldest go first."""
    identity: str = ""
    """Which library this is; its catalogue and backups say the same. Empty in settings of an older assetlib."""

    def limits(self, more: int = 0) -> Limits:
        """What one file may take in a watched process, with `more` bytes for what is needed beside it."""
        return Limits(timeout=self.decode_seconds, memory=self.decode_megabytes * MEGABYTE + more)

    def worker_count(self) -> int:
        """How many decoding processes to start, at least one."""
        return self.workers if self.workers > 0 else max(1, os.cpu_count() or 1)


def read_settings(folder: Path) -> Settings:
    """The settings of the library in `folder`.

    Raises BadSettings for unreadable TOML, an unknown key or a value of the wrong kind.
    """
    return _parsed(folder / SETTINGS_FILE)


def _parsed(path: Path) -> Settings:
    values = _values(path)
    known = {field.name: field for field in fields(Settings)}
    for key, value in values.items():
        if key not in known:
            raise BadSettings(f"{path} has an unknown key '{key}'", f"known keys: {', '.join(known)}")
        wanted = int if known[key].type == "int" else str
        if not isinstance(value, wanted) or isinstance(value, bool):
            raise BadSettings(f"{path}: '{key}' takes a {'number' if wanted is int else 'text'}")
        if value not in CHOICES.get(key, (value,)):
            raise BadSettings(f"{path}: '{key}' is {' or '.join(CHOICES[key])}")
        least, largest = _LEAST.get(key, 0), LARGEST.get(key, _LARGEST_NUMBER)
        if isinstance(value, int) and not least <= value <= largest:
            raise BadSettings(f"{path}: '{key}' must be between {least} and {largest:,}")
    return Settings(**values)


_LEAST = {"generations": 1, "decode_seconds": 1, "decode_megabytes": 1}


def _values(path: Path) -> dict[str, Any]:
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
        if len(data) > LARGEST_FILE:
            raise BadSettings(f"{path} is larger than settings are")
        return tomllib.loads(data.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError, RecursionError) as error:
        raise BadSettings(f"{path} cannot be read: {error}") from error


def write_settings(folder: Path, settings: Settings) -> None:
    """Write the settings of a new library, never over an existing file."""
    lines = ["# Settings of this assetlib library. Lines that start with # say what a key does.\n"]
    notes = {
        "artist": "the name that stands on licences and bundles",
        "contact": "an address for buyers",
        "website": "a page about you or your terms, for buyers: https://…; may stay empty",
        "workers": "processes that decode pictures; 0 takes one a core",
        "decode_seconds": "the longest one file may take",
        "decode_megabytes": "the most memory one file may take",
        "undo_steps": "how many steps can be taken back",
        "minutes_saved": "minutes that pasting one drawing saves you, for reports; 0 leaves hours out",
        "driver_side": "where the driver sits in your cars, left or right: you are told when mirroring changes it",
        "model": "what tells which drawings look alike; change it with: assetlib model use",
        "generations": "states of the library that a backup keeps; the oldest go first",
        "identity": "which library this is: leave it as it is",
    }
    for field in fields(Settings):
        if field.name in notes:
            lines.append(f"# {notes[field.name]}")
        value = getattr(settings, field.name)
        lines.append(f"{field.name} = {value if isinstance(value, int) else _quoted(value)}")
    # Only a whole settings file makes a folder a library, and an existing one is never replaced.
    staged = folder / f".new-{SETTINGS_FILE}"
    with staged.open("w", encoding="utf-8", newline="\n") as file:
        file.write("\n".join(lines) + "\n")
        file.flush()
        os.fsync(file.fileno())
    if (folder / SETTINGS_FILE).exists():
        raise FileExistsError(f"{folder / SETTINGS_FILE} is there already")
    os.rename(staged, folder / SETTINGS_FILE)


def change_setting(folder: Path, key: str, value: str) -> Settings:
    """The settings after one text was changed in the file; everything else in it, comments too, stays as it is.

    Raises BadSettings.
    """
    path = folder / SETTINGS_FILE
    before = read_settings(folder)
    lines = path.read_text(encoding="utf-8").splitlines()
    line = f"{key} = {_quoted(value)}"
    places = [number for number, text in enumerate(lines) if re.match(rf"{re.escape(key)}\s*=", text)]
    if places:
        lines[places[0]] = line
    else:
        lines.append(line)
    staged = path.with_name(f".new-{SETTINGS_FILE}")
    with staged.open("w", encoding="utf-8", newline="\n") as file:
        file.write("\n".join(lines) + "\n")
        file.flush()
        os.fsync(file.fileno())
    changed: dict[str, Any] = {key: value}
    after = replace(before, **changed)
    if not _says(staged, after):
        staged.unlink()
        raise BadSettings(
            f"{path} is written in a way that cannot be changed here", f"put in yourself: {line}"
        )
    os.replace(staged, path)
    return after


def _says(path: Path, settings: Settings) -> bool:
    try:
        return _parsed(path) == settings
    except BadSettings:
        return False


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{"".join(c if c.isprintable() else " " for c in escaped)}"'


def default_folder() -> Path:
    """The folder that is used when nothing else says where the library is."""
    import platformdirs

    return platformdirs.user_documents_path() / "assetlib library"


def find_folder(given: Path | None, *, here: Path | None = None) -> Path:
    """The library folder that a command means.

    Raises NoLibrary where none of the four places holds a library.
    """
    named = given or (Path(value) if (value := os.environ.get("ASSETLIB_LIBRARY")) else None)
    if named is not None:
        named = named.expanduser()
        if (named / SETTINGS_FILE).is_file():
            return named.resolve()
        raise NoLibrary(f"there is no library in {named}", f'make one: assetlib start "{named}"')
    start = (here or Path.cwd()).resolve()
    for folder in (start, *start.parents):
        if (folder / SETTINGS_FILE).is_file():
            return folder
    if (default_folder() / SETTINGS_FILE).is_file():
        return default_folder().resolve()
    raise NoLibrary(
        "there is no library here yet",
        "make one with `assetlib start FOLDER`, or name one with --library FOLDER",
    )
