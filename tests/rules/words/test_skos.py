"""SKOS out and in, held against rdflib, which reads Turtle, and against the integrity conditions of the reference."""

from __future__ import annotations

import pytest

from assetlib.errors import WrongUsage
from assetlib.rules.words.skos import SKOS as CORE
from assetlib.rules.words.skos import read_turtle, to_turtle
from assetlib.rules.words.thesaurus import NAMESPACE, build, load

rdflib = pytest.importorskip("rdflib", reason="rdflib reads the Turtle back")
SKOS = rdflib.Namespace(CORE)
HEAD = f"@prefix skos: <{CORE}> .\n@prefix : <https://words.example/> .\n"


@pytest.fixture(scope="module")
def graph():
    return rdflib.Graph().parse(data=to_turtle(load()), format="turtle")


def test_the_turtle_says_what_the_thesaurus_says(graph):
    held = load().concepts
    assert len(set(graph.subjects(rdflib.RDF.type, SKOS.Concept))) == len(held)
    for concept in held.values():
        node = rdflib.URIRef(NAMESPACE + concept.id)
        english = {kind: {str(o) for o in graph.objects(node, kind) if o.language == "en"}
                   for kind in (SKOS.prefLabel, SKOS.altLabel)}  # fmt: skip
        assert english == {SKOS.prefLabel: {concept.pref}, SKOS.altLabel: set(concept.alt)}
        assert {str(o) for o in graph.objects(node, SKOS.broader)} == {NAMESPACE + b for b in concept.broader}
    german = [
        o for o in graph.objects(rdflib.URIRef(NAMESPACE + "phone"), SKOS.prefLabel) if o.language == "de"
    ]
    assert [str(o) for o in german] == ["Telefon"]


def test_the_shipped_thesaurus_keeps_the_integrity_conditions(graph):
    concepts, schemes = (
        set(graph.subjects(rdflib.RDF.type, kind)) for kind in (SKOS.Concept, SKOS.ConceptScheme)
    )
    assert not concepts & schemes  # S9
    for concept in concepts:
        labels = [
            set(graph.objects(concept, kind)) for kind in (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)
        ]
        assert all(labels[a].isdisjoint(labels[b]) for a, b in ((0, 1), (0, 2), (1, 2)))  # S13
        tongues = [label.language for label in labels[0]]
        assert len(tongues) == len(set(tongues))  # S14
        above = set(graph.transitive_objects(concept, SKOS.broader)) - {concept}
        assert not above & set(graph.objects(concept, SKOS.related))  # S27
    assert not list(graph.triples((None, SKOS.exactMatch, None)))  # S46 holds where nothing is matched


def test_what_is_written_is_read_back():
    held = load().concepts
    found = {concept.slug: concept for concept in read_turtle(to_turtle(load()))}
    assert found.keys() == held.keys()
    for slug, concept in held.items():
        assert found[slug].preferred() == concept.pref
        assert {t for k, t, tongue in found[slug].labels if k == "altLabel" and tongue == "en"} == set(
            concept.alt
        )
        assert set(found[slug].broader) == {NAMESPACE + b for b in concept.broader}


def test_turtle_of_another_program_is_read_as_rdflib_reads_it():
    text = (
        HEAD
        + """
# a comment with a . in it
:van a skos:Concept ; skos:prefLabel "van"@en , "Lieferwagen"@de ;
    skos:altLabel 'panel "van"'@en-GB ; skos:definition \"\"\"a closed
car\"\"\"@en ; skos:notation "7"^^<http://www.w3.org/2001/XMLSchema#int> .
PREFIX more: <https://more.example/x#>
more:thing a skos:Concept ; skos:prefLabel "th\\u00EDng" ; skos:narrower :van ; .
"""
    )
    graph = rdflib.Graph().parse(data=text, format="turtle")
    van, thing = read_turtle(text)
    assert {van.iri, thing.iri} == {str(s) for s in graph.subjects(rdflib.RDF.type, SKOS.Concept)}
    labels = [(o, o.language) for kind in (SKOS.prefLabel, SKOS.altLabel)
              for o in graph.objects(rdflib.URIRef(van.iri), kind)]  # fmt: skip
    assert {text for _, text, _ in van.labels} == {str(o) for o, _ in labels}
    assert van.definition == "a closed\ncar"
    assert van.broader == [thing.iri]
    assert thing.preferred() == "thíng"


@pytest.mark.parametrize(
    ("body", "complaint"),
    [
        (':a a skos:Concept, skos:ConceptScheme ; skos:prefLabel "a"@en .', "S9"),
        (':a a skos:Concept ; skos:prefLabel "a"@en ; skos:altLabel "a"@en .', "S13"),
        (':a a skos:Concept ; skos:altLabel "a"@en ; skos:hiddenLabel "a"@en .', "S13"),
        (':a a skos:Concept ; skos:prefLabel "a"@en, "b"@en .', "two preferred labels"),
        (":a skos:broader :b . :b skos:broader :c . :a skos:related :c .", "S27"),
        (":a skos:exactMatch :b ; skos:broadMatch :b .", "S46"),
        (":a skos:exactMatch :b . :b skos:relatedMatch :a .", "S46"),
        (":a skos:broader :b . :b skos:broader :a .", "circle"),
        (":a skos:broader :b . :a skos:narrower :b .", "circle"),
        (":a skos:prefLabel [ ] .", "line 3"),
        (":a a skos:Concept", "middle of a statement"),
        ("x:a a skos:Concept .", "prefix x: was not declared"),
        (':a skos:prefLabel "open .', "line 3"),
    ],
)
def test_a_broken_file_is_refused_with_its_reason(body, complaint):
    with pytest.raises(WrongUsage, match=complaint):
        read_turtle(HEAD + body)


def test_a_concept_of_the_artists_own_has_a_safe_name():
    text = to_turtle(build([{"id": "own:brush, to 2022", "pref": 'the "brush"\nyears'}]))
    graph = rdflib.Graph().parse(data=text, format="turtle")
    assert [str(o) for o in graph.objects(None, SKOS.prefLabel) if "brush" in o] == ['the "brush"\nyears']
    assert [c.slug for c in read_turtle(text)] == ["own:brush, to 2022"]
