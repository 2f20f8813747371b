"""Starting a library: its folders and catalogue, with the thesaurus of the trade in it."""

from __future__ import annotations

from pathlib import Path

from assetlib.config import Settings
from assetlib.library import Clock, Library, utc_now
from assetlib.services.describing.newwords import note_told
from assetlib.services.describing.vocabulary import plant_thesaurus


def start_library(folder: Path, settings: Settings | None = None, clock: Clock = utc_now) -> Library:
    """A new library in `folder`. Raises WrongUsage where the folder is not empty."""
    lib = Library.start(folder, settings, clock)
    plant_thesaurus(lib)
    note_told(lib)
    return lib
