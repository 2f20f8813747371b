"""The library's key: made once, kept and saved with it, and never given out; and what its loss means."""

from __future__ import annotations

import os
import re
import shutil
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from assetlib.errors import LibraryBroken
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.keeping import checking, exporting, restoring, safekeeping
from assetlib.services.trade import bundling, clearance, collections, signing_key
from assetlib.storage.signing import KEY_FILE
from tests.conftest import Assetlib, Draw
from tests.services.trade.test_buyers_words import OWN

Build = Callable[[], bundling.Issue]


@pytest.fixture
def build(lib: Library, draw: Draw) -> Build:
    """Seals the next issue of a collection of one drawing."""
    code = bring_in(lib, [draw("dog.png")], Wishes(role="element")).added[0].code
    clearance.answer(lib, [code], clearance.Statement(OWN))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", [code])
    collections.choose_licence(lib, "Dogs", "one artist")
    return lambda: bundling.build(lib, "Dogs", again=True)


def troubles(lib: Library, **how: object) -> list[tuple[str, bool]]:
    return [(t.what, t.mended) for t in checking.check(lib, **how).problems if "key" in t.what]  # type: ignore[arg-type]


def test_it_is_made_when_something_is_first_signed_and_stays(lib: Library, build: Build) -> None:
    assert not (lib.folder / KEY_FILE).exists()
    bundling.build(lib, "Dogs", dry_run=True)
    assert not (lib.folder / KEY_FILE).exists()
    first, second = build(), build()
    key = signing_key.public_key(lib)
    assert key.signed == 2
    for issue in (first, second):
        told = bundling.verify(issue.path, key.fingerprint).told
        assert told is not None
        assert told.key == key.fingerprint
    if os.name != "nt":
        assert stat.S_IMODE((lib.folder / KEY_FILE).stat().st_mode) == 0o600
    assert troubles(lib) == []


def test_no_bundle_and_no_export_holds_the_secret_half(lib: Library, build: Build, tmp_path: Path) -> None:
    issue = build()
    exporting.export(lib, tmp_path / "open", private=True)
    secret = (lib.folder / KEY_FILE).read_bytes().split(b"\n")[2]
    given_out = [issue.path, *(path for path in (tmp_path / "open").rglob("*") if path.is_file())]
    assert len(given_out) > 5
    assert [path for path in given_out if secret in path.read_bytes() or path.name == KEY_FILE] == []


def test_a_backup_brings_it_back(lib: Library, build: Build, tmp_path: Path) -> None:
    build()
    safekeeping.back_up(lib, tmp_path / "safe")
    key = (lib.folder / KEY_FILE).read_bytes()
    restored = restoring.restore(tmp_path / "safe", tmp_path / "again")
    assert restored.told == ()
    assert (tmp_path / "again" / KEY_FILE).read_bytes() == key
    assert stat.S_IMODE((tmp_path / "again" / KEY_FILE).stat().st_mode) & 0o077 == 0

    (lib.folder / KEY_FILE).unlink()
    with pytest.raises(LibraryBroken, match="signing key") as caught:
        build()
    assert "--from BACKUP" in (caught.value.hint or "")
    (found,) = troubles(lib)
    assert found == ("the signing key is missing or damaged; a backup has it", False)
    assert troubles(lib, repair=True, heal_from=tmp_path / "safe") == [(found[0], True)]
    assert (lib.folder / KEY_FILE).read_bytes() == key
    build()


def test_a_key_of_another_library_is_not_taken_for_it(lib: Library, build: Build, tmp_path: Path) -> None:
    build()
    other = Library.start(tmp_path / "other")
    signing_key.public_key(other)
    (lib.folder / KEY_FILE).unlink()
    assert [mended for _, mended in troubles(lib, repair=True, heal_from=other.folder)] == [False]
    other.close()


@pytest.mark.skipif(os.name == "nt", reason="file modes")
def test_one_that_others_can_read_is_told_and_mended(lib: Library, build: Build) -> None:
    build()
    (lib.folder / KEY_FILE).chmod(0o644)
    assert troubles(lib) == [("other users of this machine can read the signing key", False)]
    assert troubles(lib, repair=True)[0][1]
    assert troubles(lib) == []


def test_a_link_in_its_place_is_not_followed(lib: Library, build: Build, tmp_path: Path) -> None:
    build()
    shutil.move(lib.folder / KEY_FILE, tmp_path / "elsewhere")
    (lib.folder / KEY_FILE).symlink_to(tmp_path / "elsewhere")
    with pytest.raises(LibraryBroken, match="no plain file"):
        build()


def test_who_begins_a_new_key_keeps_old_bundles_valid(lib: Library, build: Build) -> None:
    old = build()
    before = signing_key.public_key(lib)
    after = signing_key.begin_anew(lib)
    assert (after.fingerprint != before.fingerprint, after.signed) == (True, 0)
    new = build()
    assert bundling.verify(old.path, before.fingerprint).ok
    assert bundling.verify(new.path, after.fingerprint).ok
    assert not bundling.verify(new.path, before.fingerprint).ok
    assert len(list(lib.folder.glob("signing*.key"))) == 2


def test_a_buyer_without_a_library_is_told_in_plain_words(
    lib: Library, build: Build, assetlib: Assetlib, tmp_path: Path
) -> None:
    issue = build()
    (lib.folder / "bundles").chmod(0o700)
    bought = tmp_path / "bought.zip"
    shutil.copy(issue.path, bought)
    key = signing_key.public_key(lib)
    said = assetlib("bundle", "verify", bought)
    assert said.code == 0
    assert f"signed with the key {key.fingerprint}" in said.out
    assert "only they can say" in " ".join(said.out.split())
    assert "that is the key you named" in assetlib("bundle", "verify", bought, "--key", key.fingerprint).out
    (tmp_path / "key.pub").write_text(f"{key.allowed_signers}\n")
    told = assetlib("bundle", "verify", bought, "--key", tmp_path / "key.pub", "--json").json
    assert (told["ok"], told["trusted"], told["told"]["key"]) == (True, True, key.fingerprint)

    other = "SHA256:" + "A" * 43
    refused = assetlib("bundle", "verify", bought, "--key", other)
    assert refused.code == 1
    assert re.search(
        rf"you named +{re.escape(other)}\n +it is signed with +{re.escape(key.fingerprint)}\n", refused.out
    )
    assert "Ida Brandt, ida@boards.example: ask for it anew" in " ".join(refused.out.split())
    assert assetlib("bundle", "verify", bought, "--key", "no key").code == 2
    bought.write_bytes(bought.read_bytes().replace(b"In short", b"In shirt"))
    spoilt = assetlib("bundle", "verify", bought, "--json")
    assert spoilt.code == 1
    assert {"changed-file"} <= {problem["code"] for problem in spoilt.json["problems"]}


def test_the_command_shows_what_buyers_are_to_be_told(lib: Library, build: Build, assetlib: Assetlib) -> None:
    build()
    said = assetlib("bundle", "key", library=lib.folder)
    key = signing_key.public_key(lib)
    assert said.out.splitlines()[:2] == [key.fingerprint, key.allowed_signers]
    assert assetlib("bundle", "key", "--json", library=lib.folder).json["signed"] == 1
    for how in (("--new",), ("--new", "--dry-run")):
        assetlib("bundle", "key", *how, library=lib.folder)
        assert signing_key.public_key(lib).fingerprint == key.fingerprint
    assert assetlib("bundle", "key", "--new", library=lib.folder).code == 2
    new = assetlib("bundle", "key", "--new", "--yes", "--json", library=lib.folder).json
    assert new["fingerprint"] != key.fingerprint
    assert [(old["fingerprint"], old["last"]) for old in new["old"]] == [(key.fingerprint, "2026-03-14")]
    assert f"before: {key.fingerprint}" in assetlib("bundle", "key", library=lib.folder).out


def test_keys_of_earlier_days_are_saved_and_restored(lib: Library, build: Build, tmp_path: Path) -> None:
    build()
    signing_key.begin_anew(lib)
    (old,) = lib.folder.glob("signing-*.key")
    safekeeping.back_up(lib, tmp_path / "safe")
    assert restoring.restore(tmp_path / "safe", tmp_path / "again").told == ()
    assert (tmp_path / "again" / old.name).read_bytes() == old.read_bytes()
    assert (tmp_path / "again" / KEY_FILE).read_bytes() == (lib.folder / KEY_FILE).read_bytes()
