"""sale: certificates for buyers, kept, written, revoked and verified."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import SOME_PROBLEMS, Commands, JsonFlag, opened_library

if TYPE_CHECKING:
    from assetlib.services.trade.sales import Sale
    from assetlib.storage.certificates import Checked

Code = Annotated[str, typer.Argument(help="The certificate's code, or its first 3 letters or more.")]
To = Annotated[
    Path, typer.Option(help="The folder that its files are written into, outside the library; else this one.")
]


def register(app: typer.Typer) -> None:
    """Add this room's command."""
    sale = Commands(
        help="Sales: a licence certificate for each buyer.",
        rich_markup_mode=None,
        no_args_is_help=True,
    )
    for name, command in (
        ("issue", issue), ("list", list_sales), ("write", write), ("revoke", revoke), ("verify", verify),
    ):  # fmt: skip
        sale.command(name)(command)
    app.add_typer(sale, name="sale")


def issue(
    bundle: Annotated[
        str,
        typer.Argument(
            help="The bundle's code, as `bundle list` has it, or a collection for its newest issue."
        ),
    ],
    buyer: Annotated[str, typer.Option(help="Who gets the licence: the person, studio or campaign.")],
    contact: Annotated[str, typer.Option(help="Where they are reached; it stands on the certificate.")] = "",
    price: Annotated[
        str, typer.Option(help="As agreed, with its currency; it stands on the certificate.")
    ] = "",
    to: To = Path(),
    despite: Annotated[
        str, typer.Option(help="Why to sell although a drawing may not be sold today; it is kept.")
    ] = "",
    again: Annotated[
        bool, typer.Option("--again", help="A second certificate for the same buyer and bundle.")
    ] = False,
    as_json: JsonFlag = False,
) -> int:
    """Issue a certificate to a buyer.

    Three files to hand over with the bundle: the certificate for programs, its signature, and a page for people.
    Whether its drawings may be sold is asked again today.
    """
    from assetlib.services.trade import sales

    with opened_library() as lib:
        _show_one(
            sales.issue(lib, bundle, buyer, to, contact=contact, price=price, despite=despite, again=again),
            as_json,
        )
    return 0


def write(certificate: Code, to: To = Path(), as_json: JsonFlag = False) -> int:
    """Write a certificate's files again."""
    from assetlib.services.trade import sales

    with opened_library() as lib:
        _show_one(sales.write_again(lib, certificate, to), as_json)
    return 0


def list_sales(as_json: JsonFlag = False) -> int:
    """List every certificate that was issued."""
    from assetlib.cli import render
    from assetlib.services.trade import sales

    with opened_library() as lib:
        found = sales.everything(lib)
    if as_json:
        render.print_json({"sales": [_document(one) for one in found]})
        return 0
    if not found:
        render.say("Nothing was sold yet: assetlib sale issue BUNDLE --buyer NAME")
        return 0
    rows = [(s.code, s.buyer, f"{s.title} {s.version}", s.licence, s.issued_on, _stands(s)) for s in found]
    headings = ["code", "buyer", "bundle", "licence", "issued", "stands"]
    render.table(headings, rows, wide=["buyer", "bundle", "stands"])
    return 0


def revoke(
    certificate: Code,
    why: Annotated[str, typer.Option(help="The reason; it is kept.")],
    as_json: JsonFlag = False,
) -> int:
    """Note that a licence has ended.

    The files that the buyer has stay as they are: tell the buyer, and whoever asks you.
    """
    from assetlib.services.trade import sales

    with opened_library() as lib:
        _show_one(sales.revoke(lib, certificate, why), as_json)
    return 0


def verify(
    path: Annotated[Path, typer.Argument(help="A certificate's file that ends in .json.")],
    bundle: Annotated[Path | None, typer.Option(help="The ZIP that it is to be for.")] = None,
    key: Annotated[
        str | None,
        typer.Option(help="The key that the artist told you: SHA256:…, or a file with the public key."),
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Check a certificate: who signed it, and for which bundle.

    Needs no library: a buyer can run it, too. In the library that issued it, it tells whether it was revoked.
    """
    from assetlib.cli import render
    from assetlib.services.trade import bundling, sales

    found = _with_end(sales.verify(path, trusted=key, bundle=bundle))
    if as_json:
        problems = [{"code": problem.code, "sentence": problem.sentence} for problem in found.problems]
        render.print_json({"ok": found.ok, "problems": problems, "certificate": found.document})
        return 0 if found.ok else SOME_PROBLEMS
    for problem in found.problems:
        render.say(f"{problem.code}: {problem.sentence}")
    if key and found.document and any(problem.code == "other-signer" for problem in found.problems):
        render.say_whole(f"  you named         {bundling.read_key(key)}")
        render.say_whole(f"  it is signed with {found.document['signer']['fingerprint']}")
    if not found.ok or found.document is None:
        render.say(f"{render.plural(len(found.problems), 'problem')} found: do not rely on this certificate")
        return SOME_PROBLEMS
    _show_checked(found.document, bundle, named=key is not None)
    return 0


def _with_end(found: Checked) -> Checked:
    """What was found, and that the licence was revoked, where the library at hand notes it."""
    from assetlib.cli.context import STATE
    from assetlib.config import find_folder
    from assetlib.errors import NoLibrary
    from assetlib.library import Library
    from assetlib.services.trade import sales
    from assetlib.storage.certificates import Checked
    from assetlib.storage.problems import Problem

    if found.document is None:
        return found
    try:
        lib = Library.open(find_folder(STATE.library))
    except NoLibrary:
        return found  # a buyer has none
    try:
        ended = sales.revoked(lib, found.document)
    finally:
        lib.close()
    return found if ended is None else Checked((*found.problems, Problem("revoked", ended)), found.document)


def _show_checked(told: dict[str, Any], bundle: Path | None, *, named: bool) -> None:
    from assetlib.cli import render
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    issued = told["certificate"]["issued"]
    render.say(
        f"as it was signed: {told['licensee']['name']} holds the licence '{told['licence']['tier']}' to "
        f"{told['bundle']['title']}, issue {told['bundle']['version']}, since {issued}"
    )
    render.say(
        f"for {bundle.name}, which is that bundle"
        if bundle
        else "name the ZIP with --bundle to see that it is for it"
    )
    render.say_whole(f"signed with the key {told['signer']['fingerprint']}")
    licensor = f"{told['licensor']['name']}, {told['licensor']['email']}"
    if named:
        render.say("that is the key you named")
    else:
        render.say(f"whether that is the key of {licensor}, only they can say; name it here with --key")
    render.say(f"whether the licence still stands, ask {licensor}")
    render.say(NO_LEGAL_ADVICE)


def _show_one(sale: Sale, as_json: bool) -> None:
    from assetlib.cli import render
    from assetlib.rules.wording import NO_LEGAL_ADVICE

    if as_json:
        render.print_json(_document(sale))
        return
    render.say(
        f"{sale.code}  {sale.buyer}: {sale.title} {sale.version}, licence '{sale.licence}', {_stands(sale)}"
    )
    if sale.despite:
        render.say(f"sold despite: {sale.despite}")
    for path in sale.files:
        render.say_whole(str(path.resolve()))
    render.say(NO_LEGAL_ADVICE)


def _stands(sale: Sale) -> str:
    if sale.revoked_on is None:
        return f"since {sale.issued_on}"
    return f"revoked on {sale.revoked_on}: {sale.revoked_why}"


def _document(sale: Sale) -> dict[str, Any]:
    return asdict(sale) | {"files": [str(path) for path in sale.files]}
