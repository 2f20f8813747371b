"""collection, licence and bundle: choosing drawings, choosing terms, sealing them in a ZIP."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assetlib.cli.context import (
    SOME_PROBLEMS,
    Commands,
    Drawings,
    DryRun,
    JsonFlag,
    opened_library,
    takes_drawings,
)
from assetlib.rules.wording import listed

if TYPE_CHECKING:
    from assetlib.services.trade.bundling import Issue
    from assetlib.services.trade.collections import CollectionView
    from assetlib.storage.bundles import Told

collection_app = Commands(help="Collections: elements chosen to be sold together.", no_args_is_help=True,
                             rich_markup_mode=None)  # fmt: skip
bundle_app = Commands(
    help="Bundles: sealed issues of a collection.", no_args_is_help=True, rich_markup_mode=None
)

Name = Annotated[str, typer.Argument(help="The collection's name or code.")]


def register(app: typer.Typer) -> None:
    """Add this room's commands."""
    app.add_typer(collection_app, name="collection")
    app.command("licence")(licence)
    app.add_typer(bundle_app, name="bundle")


@collection_app.command("make")
def make(
    name: Annotated[str, typer.Argument(help="A name, as buyers will read it.")], as_json: JsonFlag = False
) -> int:
    """Make a new, empty collection."""
    from assetlib.cli import render
    from assetlib.services.trade import collections

    with opened_library() as lib:
        made = collections.make(lib, name)
    if as_json:
        _print_collections([made])
    else:
        render.say(f"{made.code}  {made.name}")
    return 0


@collection_app.command("add")
@takes_drawings
def add(name: Name, drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Put elements into a collection; a search can be piped in."""
    from assetlib.services.trade import collections

    with opened_library() as lib:
        view = collections.put(lib, name, drawings.in_library(lib, "element"))
    _print_collections([view]) if as_json else _show_collection(view)
    return 0


@collection_app.command("remove")
@takes_drawings
def remove(name: Name, drawings: Drawings, as_json: JsonFlag = False) -> int:
    """Take elements out of a collection; they stay in the library."""
    from assetlib.services.trade import collections

    with opened_library() as lib:
        view = collections.take_out(lib, name, drawings.in_library(lib))
    _print_collections([view]) if as_json else _show_collection(view)
    return 0


@collection_app.command("show")
def show(
    name: Annotated[
        str | None, typer.Argument(help="The collection's name or code; without it, all of them.")
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Show a collection and how its drawings stand.

    Without a name, all collections are listed.
    """
    from assetlib.cli import render
    from assetlib.services.trade import bundling, collections, doubts

    if name is None:
        return list_collections(as_json=as_json)
    with opened_library() as lib:
        view = collections.view(lib, name)
        sealed = [] if as_json else [one for one in bundling.issues(lib) if one.collection == view.name]
    _print_collections([view]) if as_json else _show_collection(view)
    for one in sealed:
        if one.today:
            render.say(
                f"issue {one.number} ({one.code}) may not be sold today: {doubts.told(one.today)}",
            )
    return 0


@collection_app.command("list")
def list_collections(as_json: JsonFlag = False) -> int:
    """List all collections, by name."""
    from assetlib.cli import render
    from assetlib.services.trade import collections

    with opened_library() as lib:
        views = collections.everything(lib)
    if as_json:
        _print_collections(views)
    elif not views:
        render.say("There is no collection yet; make one: assetlib collection make NAME")
    else:
        rows = [(v.code, v.name, len(v.items), v.licence or "none chosen") for v in views]
        render.table(["code", "collection", "drawings", "licence"], rows, wide=["collection"])
    return 0


def _print_collections(views: list[CollectionView]) -> None:
    from assetlib.cli import render

    render.print_json({"collections": [_collection_document(view) for view in views]})


def _collection_document(view: CollectionView) -> dict[str, Any]:
    items = [
        {
            "code": i.card.code,
            "title": i.card.title,
            "state": i.verdict.state.value,
            "until": i.verdict.until,
            "sure": i.sure,
            "sure_why": list(i.sure_why),
        }
        for i in view.items
    ]
    return {"code": view.code, "name": view.name, "licence": view.licence, "items": items}


def _show_collection(view: CollectionView) -> None:
    from assetlib.cli import render
    from assetlib.services.trade.clearance import states

    render.table(
        ["code", "title", "may it be sold", "clean copy"],
        [
            (
                item.card.code,
                item.card.title,
                " until ".join(map(str, filter(None, [item.verdict.state.value, item.verdict.until]))),
                "; ".join([item.sure or "not made yet", *item.sure_why]),
            )
            for item in view.items
        ],
        wide=["title", "clean copy"],
    )
    counted = ", ".join(f"{count} {state}" for state, count in states(view.items).items()) or "empty"
    render.say(f"{view.name} ({view.code}): {counted}; licence: {view.licence or 'none chosen'}")


def licence(
    name: Annotated[
        str | None, typer.Argument(help="The collection's name or code; without it, the licences.")
    ] = None,
    tier: Annotated[
        str | None, typer.Argument(help="one artist, one studio, whole campaign or sample.")
    ] = None,
    artist: Annotated[str | None, typer.Option(help="Set your name, as it stands on licences.")] = None,
    contact: Annotated[str | None, typer.Option(help="Set your e-mail address for buyers.")] = None,
    as_json: JsonFlag = False,
) -> int:
    """See the licences, or choose one for a collection.

    With a collection alone, its licence as buyers will read it.
    """
    from assetlib.cli import render
    from assetlib.services.trade import collections

    if artist is not None or contact is not None:
        with opened_library() as lib:
            told = collections.name_licensor(lib, artist, contact)
        render.tell(
            f"licences come from {told.artist or '(no name yet)'}, {told.contact or '(no address yet)'}"
        )
    if name is None:
        return _list_licences(as_json)
    with opened_library() as lib:
        terms = collections.choose_terms(lib, name, tier) if tier else collections.terms(lib, name)
    if as_json:
        render.print_json(
            {
                "collection": terms.collection,
                "licence": terms.licence,
                "short": terms.short,
                "text": terms.text,
            }
        )
    elif tier:
        render.say(f"{terms.collection} is sold under the licence '{terms.licence}': {terms.short}")
    else:
        render.say_text(terms.text)
    return 0


def _list_licences(as_json: bool) -> int:
    from assetlib.cli import render
    from assetlib.rules.rights.licences import Tier, in_short

    rows = [(tier.value, in_short(tier)) for tier in Tier]
    if as_json:
        render.print_json({"licences": [{"licence": name, "short": short} for name, short in rows]})
    else:
        render.table(["licence", "in short"], rows, wide=["in short"])
    return 0


@bundle_app.command("build")
def build(
    name: Name,
    with_names: Annotated[
        bool,
        typer.Option(
            "--with-names",
            help="Buyers may read titles that name a confidential client or who gave a release.",
        ),
    ] = False,
    again: Annotated[
        bool, typer.Option("--again", help="Seal also where nothing changed since the last issue.")
    ] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Seal the next issue of a collection. Anything that is not clear stops it.

    Every picture gets inside who drew it, whose it is and what may be done with it, and nothing of your files, jobs
    or clients. A title that names a client under confidentiality or somebody who gave a release stops it, too. Clean
    copies that are not sure and other titles to look at are named; they do not stop it.
    """
    from assetlib.cli import render
    from assetlib.cli.sureness import told_unsure
    from assetlib.rules.wording import NO_LEGAL_ADVICE
    from assetlib.services.trade import bundling

    with opened_library() as lib:
        issue = bundling.build(
            lib, name, dry_run=dry_run, with_names=with_names, again=again, progress=render.Bar()
        )
    if as_json:
        render.print_json(_issue_document(issue))
        return 0
    verb = "would be sealed" if dry_run else "sealed"
    render.say(
        f"{issue.collection}, issue {issue.number}: {render.plural(len(issue.drawings), 'drawing')} {verb}"
    )
    render.say(f"{issue.path}")
    if not dry_run:
        render.say(f"sha256 {issue.sha256}")
        render.say(f"its code is {issue.code}; sell it: assetlib sale issue {issue.code} --buyer NAME")
    if issue.since is not None:
        render.say(f"since issue {issue.since.number}: {issue.since.sentence}")
    told = [*(issue.told or ()), *_unread(issue.unread or ())]
    for line in [*told, *told_unsure(issue.unsure or ()), NO_LEGAL_ADVICE]:
        render.say(line)
    return 0


def _unread(sentences: Sequence[str]) -> list[str]:
    """Titles that came with files, in one line: they are many, and most are harmless."""
    if len(sentences) <= 1:
        return list(sentences)
    codes = [sentence.partition(":")[0] for sentence in sentences]
    return [
        f"buyers read {len(codes)} titles that were taken from files and layers ({listed(codes)}); "
        "--title of `tag` changes them, --json names all"
    ]


@bundle_app.command("verify")
def verify(
    path: Annotated[Path, typer.Argument(help="A bundle's ZIP.")],
    key: Annotated[
        str | None,
        typer.Option(help="The key that the artist told you: SHA256:…, or a file with the public key."),
    ] = None,
    as_json: JsonFlag = False,
) -> int:
    """Check that a bundle is as it was sealed, and by whom.

    Tells every change, and with which key it was signed. Needs no library: a buyer can run it, too.
    """
    from assetlib.cli import render
    from assetlib.services.trade import bundling

    result = bundling.verify(path, key)
    if as_json:
        problems = [{"code": problem.code, "sentence": problem.sentence} for problem in result.problems]
        told = asdict(result.told) | {"issued": result.told.issued.isoformat()} if result.told else None
        render.print_json(
            {
                "ok": result.ok,
                "sha256": result.sha256,
                "problems": problems,
                "told": told,
                "trusted": key is not None,
            }
        )
        return 0 if result.ok else SOME_PROBLEMS
    from assetlib.storage.archive import PACKING

    about_files = [problem for problem in result.problems if problem.code not in PACKING]
    for problem in about_files[:_PROBLEMS_AT_MOST]:
        render.say(f"{problem.code}: {problem.sentence}")
    if len(about_files) > _PROBLEMS_AT_MOST:
        render.say(f"and {len(about_files) - _PROBLEMS_AT_MOST} more; --json names them")
    if remarks := [problem.code for problem in result.problems if problem.code in PACKING]:
        counted = ", ".join(f"{count} {code}" for code, count in Counter(remarks).items())
        render.say(f"packed-again: the ZIP is not the one that was sealed, it was packed anew ({counted})")
    if key and any(problem.code == "other-signer" for problem in result.problems):
        render.say_whole(f"  you named         {bundling.read_key(key)}")
        render.say_whole(f"  it is signed with {(result.told and result.told.key) or 'none'}")
    if not result.ok:
        render.say(f"{render.plural(len(result.problems), 'problem')} found: do not rely on this bundle")
        if result.told:
            render.say(
                f"It says that it comes from {result.told.licensor}, {result.told.contact}: ask for it anew"
            )
        return SOME_PROBLEMS
    if result.told:
        _show_told(result.told, trusted=key is not None)
    return 0


_PROBLEMS_AT_MOST = 20


def _show_told(told: Told, *, trusted: bool) -> None:
    """What a bundle that is whole says of itself, and what its signature is worth."""
    from assetlib.cli import render

    render.say(
        f"as it was sealed: {told.title}, issue {told.version} of {told.issued.isoformat()}, "
        f"{render.plural(told.drawings, 'drawing')}, licence {told.tier}"
    )
    if told.key is None:
        render.say("not signed: bundles of its time were not, so only its maker can say whether it is theirs")
        return
    render.say_whole(f"signed with the key {told.key}")
    if trusted:
        render.say("that is the key you named")
    else:
        render.say(f"It says that it comes from {told.licensor}, {told.contact}.")
        render.say(
            "Whether that is their key, only they can say: compare it with the one they tell you in another way, "
            "on a website or by phone, and name it here with --key"
        )


@bundle_app.command("key")
def show_key(
    new: Annotated[
        bool, typer.Option("--new", help="Begin a new key: the old one was lost, or somebody else has it.")
    ] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Begin it without asking.")] = False,
    dry_run: DryRun = False,
    as_json: JsonFlag = False,
) -> int:
    """Show the keys that buyers know your bundles by.

    With --new the old key signs nothing any more. What it signed stays checkable with it, so buyers need both; it
    stays beside the new one and in backups.
    Shown is the public half, for your website and your mails. The secret half lies in the library's folder
    and in its backups, and goes nowhere else.
    """
    from assetlib.cli import render
    from assetlib.services.trade import signing_key

    with opened_library() as lib:
        key = signing_key.public_key(lib) if dry_run or not new else None
        if new and not dry_run:
            _agree_to_new_key(signing_key.signed_so_far(lib), yes)
            key = signing_key.begin_anew(lib)
        assert key is not None
    if as_json:
        render.print_json(asdict(key))
        return 0
    render.say_whole(key.fingerprint)
    render.say_whole(key.allowed_signers)
    render.say(f"{render.plural(key.signed, 'bundle')} signed with it")
    for old in key.old:
        render.say_whole(
            f"before: {old.fingerprint}  {render.plural(old.signed, 'bundle')}, {old.first} to {old.last}"
        )
    if new and dry_run:
        render.say(f"nothing was done; --new would do this: {_NEW_KEY}")
        return 0
    if new:
        render.say(
            "Tell buyers: bundles from today on are signed with the new key, those of before stay valid with the old "
            "one. Where somebody else may have the old key, say from which day on it is not to be trusted."
        )
    render.say(
        "Tell buyers the first line where they can trust it: on your website, under your mails. "
        "Back up the library: whoever loses the key has to begin a new one."
    )
    return 0


_NEW_KEY = (
    "the key of today signs nothing any more; bundles signed so far stay checkable with it, so buyers need both keys; "
    "it stays in the library's folder and in backups"
)


def _agree_to_new_key(signed: int, yes: bool) -> None:
    """Say what a new key means and ask. Raises WrongUsage where nobody can be asked, Abort where it is not wanted."""
    from assetlib.cli import render
    from assetlib.errors import WrongUsage

    if yes:
        return
    if not sys.stdin.isatty():
        raise WrongUsage(
            "a new key is begun only with --yes where nobody can be asked", f"it means: {_NEW_KEY}"
        )
    render.tell(f"{render.plural(signed, 'bundle')} signed so far. A new key means: {_NEW_KEY}.")
    typer.confirm("Begin a new key?", abort=True, err=True)


@bundle_app.command("list")
def list_issues(as_json: JsonFlag = False) -> int:
    """List every bundle that was issued."""
    from assetlib.cli import render
    from assetlib.services.trade import bundling, doubts

    with opened_library() as lib:
        found = bundling.issues(lib)
    if as_json:
        render.print_json({"bundles": [_issue_document(issue) for issue in found]})
        return 0
    rows = [
        (
            i.code, i.collection, i.number, i.licence, i.issued_on, len(i.drawings),
            doubts.told(i.today) or "clear", i.path.name,
        )
        for i in found
    ]  # fmt: skip
    headings = ["code", "collection", "issue", "licence", "issued", "drawings", "today", "file"]
    render.table(headings, rows, wide=["collection", "today", "file"])
    return 0


def _issue_document(issue: Issue) -> dict[str, Any]:
    from assetlib.cli.sureness import unsure_document

    judged: dict[str, Any] = {} if issue.unsure is None else {"unsure": unsure_document(issue.unsure)}
    if issue.told is not None:
        judged["told"] = [*issue.told, *(issue.unread or ())]
    if issue.since is not None:
        judged["since"] = asdict(issue.since)
    return {
        "code": issue.code,
        "collection": issue.collection,
        "issue": issue.number,
        "licence": issue.licence,
        "issued": issue.issued_on.isoformat(),
        "path": str(issue.path),
        "sha256": issue.sha256,
        "bytes": issue.bytes,
        "drawings": list(issue.drawings),
        "today": [asdict(doubt) for doubt in issue.today],
        **judged,
    }
