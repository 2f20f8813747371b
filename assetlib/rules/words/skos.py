"""SKOS in Turtle: the thesaurus written out, and what another program wrote read back.

W3C SKOS Reference (18 August 2009) and RDF 1.1 Turtle (25 February 2014). Read is the Turtle that thesauri are
written in: prefixes, IRIs, labels with languages, lists with `;` and `,`. Blank nodes and collections are refused with
their line.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple
from urllib.parse import quote, unquote

from assetlib.errors import WrongUsage
from assetlib.rules.words.thesaurus import HOME, NAMESPACE, Thesaurus, ThesaurusConcept

SKOS = "http://www.w3.org/2004/02/skos/core#"
TYPE = "http://www.w3.org/1999/02/22-rdf-syntax-ns#type"
LABELS = ("prefLabel", "altLabel", "hiddenLabel")


# --- writing ----------------------------------------------------------------------------


def to_turtle(thesaurus: Thesaurus) -> str:
    """The whole thesaurus as one concept scheme."""
    head = (
        f"@prefix skos: <{SKOS}> .\n\n"
        f'<{NAMESPACE}scheme> a skos:ConceptScheme ;\n    skos:prefLabel "Board artist\'s thesaurus"@en .\n'
    )
    return head + "".join(_written(concept) for concept in thesaurus.concepts.values())


def iri(slug: str) -> str:
    """The IRI of a concept of ours."""
    return NAMESPACE + quote(slug, safe="-._~")


def _written(concept: ThesaurusConcept) -> str:
    lines = [f"\n<{iri(concept.id)}> a skos:Concept", f"skos:inScheme <{NAMESPACE}scheme>"]
    lines += [f"skos:{name} {_text(text, tongue)}" for name, text, tongue in _labels(concept)]
    if concept.definition:
        lines.append(f"skos:definition {_text(concept.definition, HOME)}")
    for name, others in (
        ("broader", concept.broader),
        ("narrower", concept.narrower),
        ("related", concept.related),
    ):
        lines += [f"skos:{name} <{iri(other)}>" for other in others]
    if not concept.broader:
        lines.append(f"skos:topConceptOf <{NAMESPACE}scheme>")
    if concept.value:
        lines.append(f"skos:notation {json.dumps(f'{concept.facet}={concept.value}')}")
    return " ;\n    ".join(lines) + " .\n"


def _labels(concept: ThesaurusConcept) -> Iterator[tuple[str, str, str]]:
    yield "prefLabel", concept.pref, HOME
    for text in concept.alt:
        yield "altLabel", text, HOME
    for text in concept.hidden:
        yield "hiddenLabel", text, HOME
    preferred: set[str] = set()
    for tongue, text in concept.abroad:
        yield "altLabel" if tongue in preferred else "prefLabel", text, tongue
        preferred.add(tongue)


def _text(text: str, language: str) -> str:
    # JSON's string escapes are also Turtle's
    return f"{json.dumps(text, ensure_ascii=False)}@{language}"


# --- reading ----------------------------------------------------------------------------


@dataclass(slots=True)
class FoundConcept:
    """A concept as a file has it: labels as (kind, text, language), and IRIs of others."""

    iri: str
    labels: list[tuple[str, str, str]] = field(default_factory=list)
    broader: list[str] = field(default_factory=list)
    related: list[str] = field(default_factory=list)
    definition: str = ""

    @property
    def slug(self) -> str | None:
        """Our own name for it, where the file came from us."""
        return unquote(self.iri.removeprefix(NAMESPACE)) if self.iri.startswith(NAMESPACE) else None

    def preferred(self) -> str | None:
        """Its preferred label: English, else without a language, else the first."""
        labels = {language: text for kind, text, language in reversed(self.labels) if kind == "prefLabel"}
        return labels.get(HOME) or labels.get("") or next(iter(labels.values()), None)


def read_turtle(text: str) -> list[FoundConcept]:
    """The concepts of a SKOS file in Turtle, in its order.

    Raises WrongUsage for Turtle that cannot be read, with its line, and for what breaks SKOS, all of it at once.
    """
    triples = list(_triples(text))
    problems = list(_broken(triples))
    if problems:
        more = f" (and {len(problems) - 3} more)" if len(problems) > 3 else ""
        raise WrongUsage(
            "the file breaks SKOS: " + "; ".join(problems[:3]) + more, "mend the file, then import it"
        )
    concepts = {s: FoundConcept(s) for s, p, o in triples if p == TYPE and o.value == SKOS + "Concept"}
    for subject, predicate, value in triples:
        if predicate.startswith(SKOS):
            _put(concepts, subject, predicate.removeprefix(SKOS), value)
    return list(concepts.values())


def _put(concepts: dict[str, FoundConcept], subject: str, name: str, value: _Value) -> None:
    concept = concepts.get(subject)
    if concept is None:
        return
    other = concepts.get(value.value)
    if name in LABELS:
        concept.labels.append((name, value.value, value.language.split("-")[0]))
    elif name == "definition" and (not concept.definition or value.language.startswith(HOME)):
        concept.definition = value.value
    elif name == "broader":
        concept.broader.append(value.value)
    elif name == "narrower" and other is not None:
        other.broader.append(subject)
    elif name == "related":
        concept.related.append(value.value)


class _Value(NamedTuple):
    value: str
    language: str = ""


_Triple = tuple[str, str, _Value]

_TOKEN = re.compile(
    r"""(?P<space>\s+|\#[^\n]*)
    |(?P<iri><[^<>"{}|^`\\\x00-\x20]*>)
    |(?P<long>\"\"\"(?:\\.|[^\\])*?\"\"\"|'''(?:\\.|[^\\])*?''')
    |(?P<string>"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*')
    |(?P<directive>@prefix\b|@base\b|(?i:PREFIX|BASE)\b(?!:))
    |(?P<language>@[a-zA-Z]+(?:-[a-zA-Z0-9]+)*)
    |(?P<datatype>\^\^)
    |(?P<number>[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?)
    |(?P<name>(?:[^\W\d_][\w-]*(?:\.[\w-]+)*)?:(?:[\w%:-](?:[\w%:.-]*[\w%:-])?)?)
    |(?P<word>a\b|true\b|false\b)
    |(?P<mark>[.;,])""",
    re.VERBOSE | re.DOTALL,
)


class _Token(NamedTuple):
    kind: str
    text: str
    line: int


def _tokens(text: str) -> Iterator[_Token]:
    at, line = 0, 1
    while at < len(text):
        hit = _TOKEN.match(text, at)
        if hit is None:
            raise _unread(line, text[at : at + 20].split("\n")[0])
        if hit.lastgroup != "space":
            yield _Token(str(hit.lastgroup), hit.group(), line)
        line += hit.group().count("\n")
        at = hit.end()


def _unread(line: int, what: str) -> WrongUsage:
    return WrongUsage(
        f"line {line} of the file cannot be read: {what}", "write SKOS as plain Turtle, without [ ] and ( )"
    )


class _Reader:
    """Walks the tokens of a file; one statement at a time."""

    def __init__(self, text: str) -> None:
        self._tokens = list(_tokens(text))
        self._at = 0
        self._prefixes: dict[str, str] = {}
        self._base = ""

    def triples(self) -> Iterator[_Triple]:
        while self._at < len(self._tokens):
            if self._tokens[self._at].kind == "directive":
                self._directive()
            else:
                yield from self._statement()

    def _next(self) -> _Token:
        if self._at >= len(self._tokens):
            last = self._tokens[-1].line if self._tokens else 1
            raise _unread(last, "it ends in the middle of a statement")
        self._at += 1
        return self._tokens[self._at - 1]

    def _peek(self, text: str) -> bool:
        return self._at < len(self._tokens) and self._tokens[self._at].text == text

    def _directive(self) -> None:
        word = self._next().text
        if "prefix" in word.casefold():
            name = self._next()
            self._prefixes[name.text.removesuffix(":")] = self._iri(self._next())
        else:
            self._base = self._iri(self._next())
        if word.startswith("@"):
            self._expect(".")

    def _expect(self, mark: str) -> None:
        token = self._next()
        if token.text != mark:
            raise _unread(token.line, f"{token.text} where {mark} belongs")

    def _statement(self) -> Iterator[_Triple]:
        subject = self._iri(self._next())
        while True:
            token = self._next()
            predicate = TYPE if token.text == "a" else self._iri(token)
            yield subject, predicate, self._object()
            while self._peek(","):
                self._next()
                yield subject, predicate, self._object()
            while self._peek(";"):
                self._next()
            if self._peek("."):
                self._next()
                return

    def _iri(self, token: _Token) -> str:
        if token.kind == "iri":
            inside = token.text[1:-1]
            return inside if re.match(r"[A-Za-z][\w+.-]*:", inside) else self._base + inside
        if token.kind == "name":
            prefix, _, local = token.text.partition(":")
            if prefix not in self._prefixes:
                raise _unread(token.line, f"the prefix {prefix}: was not declared")
            return self._prefixes[prefix] + local
        raise _unread(token.line, token.text)

    def _object(self) -> _Value:
        token = self._next()
        if token.kind in ("string", "long"):
            return self._literal(token)
        if token.kind in ("number", "word") and token.text != "a":
            return _Value(token.text)
        return _Value(self._iri(token))

    def _literal(self, token: _Token) -> _Value:
        quotes = 3 if token.kind == "long" else 1
        text = _unescaped(token.text[quotes:-quotes])
        if self._at < len(self._tokens):
            after = self._tokens[self._at]
            if after.kind == "language":
                self._next()
                return _Value(text, after.text[1:].casefold())
            if after.kind == "datatype":
                self._next()
                self._iri(self._next())
        return _Value(text)


_ESCAPES = {"t": "\t", "b": "\b", "n": "\n", "r": "\r", "f": "\f", '"': '"', "'": "'", "\\": "\\"}


def _unescaped(text: str) -> str:
    def plain(hit: re.Match[str]) -> str:
        return chr(int(hit[1] or hit[2], 16)) if hit[1] or hit[2] else _ESCAPES.get(hit[3], hit[3])

    return re.sub(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))", plain, text)


def _triples(text: str) -> Iterator[_Triple]:
    return _Reader(text.removeprefix("\ufeff")).triples()


# --- what SKOS demands ------------------------------------------------------------------


def _broken(triples: Iterable[_Triple]) -> Iterator[str]:
    """What breaks the integrity conditions S9, S13, S14, S27 and S46, and what turns in a circle, a sentence each."""
    kinds: dict[str, set[str]] = defaultdict(set)
    labels: dict[tuple[str, str], dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    links: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for subject, predicate, value in triples:
        if predicate == TYPE:
            kinds[subject].add(value.value.removeprefix(SKOS))
        elif predicate.removeprefix(SKOS) in LABELS:
            labels[subject, value.language][predicate.removeprefix(SKOS)].add(value.value)
        elif predicate.startswith(SKOS):
            links[predicate.removeprefix(SKOS)].add((subject, value.value))
    yield from _broken_kinds(kinds)
    yield from _broken_labels(labels)
    yield from _broken_links(links)


def _broken_kinds(kinds: dict[str, set[str]]) -> Iterator[str]:
    for subject, of in kinds.items():
        if {"Concept", "ConceptScheme"} <= of:
            yield f"{_short(subject)} is a concept and a scheme (S9)"


def _broken_labels(labels: dict[tuple[str, str], dict[str, set[str]]]) -> Iterator[str]:
    for (subject, language), of in labels.items():
        tongue = f" in '{language}'" if language else ""
        if len(of["prefLabel"]) > 1:
            named = " and ".join(f"'{text}'" for text in sorted(of["prefLabel"]))
            yield f"{_short(subject)} has two preferred labels{tongue}, {named} (S14)"
        for one, other in (
            ("prefLabel", "altLabel"),
            ("prefLabel", "hiddenLabel"),
            ("altLabel", "hiddenLabel"),
        ):
            for text in sorted(of[one] & of[other]):
                yield f"'{text}' is two kinds of label of {_short(subject)}{tongue} (S13)"


def _broken_links(links: dict[str, set[tuple[str, str]]]) -> Iterator[str]:
    above: dict[str, set[str]] = defaultdict(set)
    for name, turned in (
        ("broader", False),
        ("broaderTransitive", False),
        ("narrower", True),
        ("narrowerTransitive", True),
    ):
        for one, other in links[name]:
            above[other if turned else one].add(one if turned else other)
    reach = {subject: _reached(above, subject) for subject in list(above)}
    for subject in sorted(reach):
        if subject in reach[subject]:
            yield f"{_short(subject)} is broader than itself, in a circle"
    for one, other in sorted(links["related"]):
        if other in reach.get(one, ()) or one in reach.get(other, ()):
            yield f"{_short(one)} is related to {_short(other)} and broader or narrower as well (S27)"
    for name in ("broadMatch", "narrowMatch", "relatedMatch"):
        for pair in sorted(links["exactMatch"] & (links[name] | {(b, a) for a, b in links[name]})):
            yield f"{_short(pair[0])} is an exact match of {_short(pair[1])} and a {name} as well (S46)"


def _reached(above: dict[str, set[str]], subject: str) -> set[str]:
    found: set[str] = set()
    waiting = list(above[subject])
    while waiting:
        concept = waiting.pop()
        if concept not in found:
            found.add(concept)
            waiting.extend(above.get(concept, ()))
    return found


def _short(name: str) -> str:
    return unquote(re.split(r"[#/]|concept:", name)[-1]) or name
