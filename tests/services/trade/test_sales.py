"""Certificates for buyers: signed, for one bundle, listed, revoked; held against jsonschema, ssh-keygen, poppler."""

from __future__ import annotations

import hashlib
import json
import shutil
import stat
import subprocess
from importlib import resources
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import rfc8785

from assetlib.errors import BundleInvalid, NotFound, WrongUsage
from assetlib.library import Library
from assetlib.services.bringing.intake import Wishes, bring_in
from assetlib.services.keeping import history
from assetlib.services.trade import bundling, clearance, collections, sales, signing_key
from assetlib.storage.certificate_page import pdf
from assetlib.storage.signing import FOR_BUNDLES, FOR_CERTIFICATES
from tests.conftest import Assetlib, Draw
from tests.outside import PATIENCE, needs_program
from tests.services.trade.test_buyers_words import OWN
from tests.storage.conftest import key_of
from tests.storage.test_contact_sheet import text_of

BUYER = "Two Gulls Studio"


@pytest.fixture
def issue(lib: Library, draw: Draw) -> bundling.Issue:
    code = bring_in(lib, [draw("dog.png")], Wishes(role="element")).added[0].code
    clearance.answer(lib, [code], clearance.Statement(OWN))
    collections.make(lib, "Dogs")
    collections.put(lib, "Dogs", [code])
    collections.choose_licence(lib, "Dogs", "one studio")
    return bundling.build(lib, "Dogs")


@pytest.fixture
def sale(lib: Library, issue: bundling.Issue, tmp_path: Path) -> sales.Sale:
    (tmp_path / "out").mkdir()
    return sales.issue(
        lib, issue.code, BUYER, tmp_path / "out", contact="desk@gulls.example", price="120 EUR"
    )


def document(sale: sales.Sale) -> dict[str, Any]:
    return dict(json.loads(sale.files[0].read_text()))


def codes(sale: sales.Sale, **asked: Any) -> set[str]:
    found = sales.verify(sale.files[0], **asked)
    assert found.ok == (not found.problems)
    return {problem.code for problem in found.problems}


def test_it_says_who_holds_which_licence_to_which_bundle(sale: sales.Sale, issue: bundling.Issue) -> None:
    told = document(sale)
    schema = json.loads(resources.files("assetlib.storage").joinpath("certificate-1.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(told, schema)
    assert sale.files[0].read_bytes() == rfc8785.dumps(told)
    assert told["licensee"] == {"name": BUYER, "contact": "desk@gulls.example"}
    assert told["licensor"] == {"name": "Ida Brandt", "email": "ida@boards.example"}
    assert (told["licence"]["tier"], told["price"]) == ("one studio", "120 EUR")
    assert told["certificate"]["issued"] == "2026-03-14"
    assert told["bundle"]["sha256"] == hashlib.sha256(issue.path.read_bytes()).hexdigest()
    assert "no legal advice" in told["notice"]


def test_ssh_keygen_verifies_it_and_not_a_changed_one(lib: Library, sale: sales.Sale, tmp_path: Path) -> None:
    (tmp_path / "allowed").write_text(f"{signing_key.public_key(lib).allowed_signers}\n")

    def verified(data: bytes, namespace: str) -> bool:
        command = [needs_program("ssh-keygen"), "-Y", "verify", "-f", str(tmp_path / "allowed"), "-I",
                   "ida@boards.example", "-n", namespace, "-s", str(sale.files[1])]  # fmt: skip
        return (
            subprocess.run(command, input=data, capture_output=True, check=False, timeout=PATIENCE).returncode
            == 0
        )

    data = sale.files[0].read_bytes()
    assert verified(data, FOR_CERTIFICATES)
    assert not verified(data, FOR_BUNDLES)
    assert not verified(data.replace(b"one studio", b"one artist"), FOR_CERTIFICATES)


def test_its_page_says_the_same_on_one_page(sale: sales.Sale, issue: bundling.Issue, tmp_path: Path) -> None:
    said = text_of(sale.files[2].read_bytes(), tmp_path / "page.pdf")
    for told in (sale.code, sale.id, BUYER, "Ida Brandt", "Dogs, issue 1.0.0", "one studio", "120 EUR", "2026-03-14",
                 issue.sha256, "no legal advice"):  # fmt: skip
        assert told in said
    info = subprocess.run([needs_program("pdfinfo"), str(sale.files[2])], capture_output=True, check=True)
    assert b"Pages:           1" in info.stdout
    assert pdf(document(sale)) == sale.files[2].read_bytes()
    long = document(sale)
    long["licensee"] = {"name": "渡し船 studio " * 400, "contact": "x" * 4000}
    (tmp_path / "long.pdf").write_bytes(pdf(long))
    info = subprocess.run(
        [needs_program("pdfinfo"), str(tmp_path / "long.pdf")], capture_output=True, check=True
    )
    assert b"Pages:           1" in info.stdout


def test_a_buyer_checks_it_against_the_bundle_and_the_key(
    lib: Library, sale: sales.Sale, issue: bundling.Issue, tmp_path: Path
) -> None:
    key = signing_key.public_key(lib).fingerprint
    assert codes(sale, trusted=key, bundle=issue.path) == set()
    assert codes(sale, trusted=key_of(9).fingerprint) == {"other-signer"}
    other = tmp_path / "other.zip"
    other.write_bytes(issue.path.read_bytes() + b" ")
    assert codes(sale, bundle=other) == {"other-bundle"}


@pytest.mark.parametrize(
    ("spoil", "expected"),
    [
        (lambda told: told["licensee"].update(name="Somebody else"), "signature-wrong"),
        (lambda told: told["signer"].update(key=key_of(9).public), "signature-wrong"),
        (lambda told: told.update(seats=5), "certificate-schema"),
        (lambda told: told["certificate"].update(issued="2026-02-30"), "certificate-schema"),
    ],
)
def test_one_that_was_changed_is_told(sale: sales.Sale, spoil: Any, expected: str) -> None:
    told = document(sale)
    spoil(told)
    sale.files[0].write_bytes(rfc8785.dumps(told))
    assert codes(sale) == {expected}


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"", "certificate-unreadable"), (b"[", "certificate-unreadable"), (b"[1e999]", "certificate-unreadable"),
        (b"{}", "certificate-schema"), (b"[" * 100_000, "certificate-unreadable"), (b"\xff", "certificate-unreadable"),
    ],
)  # fmt: skip
def test_what_is_no_certificate_is_told(sale: sales.Sale, data: bytes, expected: str) -> None:
    sale.files[0].write_bytes(data)
    assert expected in codes(sale)


def test_spaces_and_a_lost_signature_are_told(sale: sales.Sale) -> None:
    sale.files[0].write_text(json.dumps(document(sale), indent=1))
    assert codes(sale) == {"certificate-changed"}
    sale.files[0].write_bytes(rfc8785.dumps(document(sale)))
    sale.files[1].unlink()
    assert codes(sale) == {"signature-missing"}
    with pytest.raises(NotFound):
        sales.verify(sale.files[1])


def test_sold_is_sold_revoked_is_noted_and_nothing_is_undone(
    lib: Library, sale: sales.Sale, tmp_path: Path
) -> None:
    history.undo_steps(lib)
    assert [one.code for one in sales.everything(lib)] == [sale.code]
    revoked = sales.revoke(lib, sale.code, "not paid")
    assert (str(revoked.revoked_on), revoked.revoked_why) == ("2026-03-14", "not paid")
    with pytest.raises(WrongUsage, match="already"):
        sales.revoke(lib, sale.code, "again")
    history.undo_steps(lib)
    assert sales.everything(lib)[0].revoked_why == "not paid"
    (tmp_path / "again").mkdir()
    again = sales.write_again(lib, sale.code, tmp_path / "again")
    assert [path.read_bytes() for path in again.files] == [path.read_bytes() for path in sale.files]


def test_a_bundle_that_was_spoilt_is_not_sold(lib: Library, issue: bundling.Issue, tmp_path: Path) -> None:
    issue.path.chmod(stat.S_IRUSR | stat.S_IWUSR)
    issue.path.write_bytes(issue.path.read_bytes()[:-1])
    with pytest.raises(BundleInvalid, match="no longer as it was sealed"):
        sales.issue(lib, issue.code, BUYER, tmp_path)
    with pytest.raises(WrongUsage, match="buyer"):
        sales.issue(lib, issue.code, " ", tmp_path)
    with pytest.raises(WrongUsage, match="folder"):
        sales.issue(lib, issue.code, BUYER, tmp_path / "nowhere")
    assert sales.everything(lib) == []


def test_on_the_line(lib: Library, issue: bundling.Issue, assetlib: Assetlib, tmp_path: Path) -> None:
    made = assetlib(
        "sale", "issue", issue.code, "--buyer", BUYER, "--to", tmp_path, "--json", library=lib.folder
    )
    (certificate, _, page) = made.json["files"]
    assert page.endswith(".pdf")
    bought = tmp_path / "bought.zip"
    shutil.copy(issue.path, bought)
    key = signing_key.public_key(lib).fingerprint
    said = assetlib("sale", "verify", certificate, "--bundle", bought, "--key", key)
    plain = " ".join(said.out.split())
    assert said.code == 0
    for told in (f"{BUYER} holds the licence 'one studio' to Dogs, issue 1.0.0", "which is that bundle",
                 "that is the key you named", "no legal advice"):  # fmt: skip
        assert told in plain
    assert assetlib("sale", "verify", certificate, "--json").json["certificate"]["licensee"]["name"] == BUYER
    code = made.json["code"]
    assert assetlib("sale", "revoke", code, "--why", "not paid", "--json", library=lib.folder).code == 0
    assert "revoked" in assetlib("sale", "list", library=lib.folder).out
    assert (
        assetlib("sale", "list", "--json", library=lib.folder).json["sales"][0]["revoked_why"] == "not paid"
    )
    assert assetlib("sale", "issue", "nope", "--buyer", BUYER, library=lib.folder).code == 15
