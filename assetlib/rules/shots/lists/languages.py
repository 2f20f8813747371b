"""The words of shot lists in other languages than English: German, French, Spanish, Italian, Dutch, Portuguese.

Common practice of shot lists, *Drehplan*, *découpage technique*, *guion técnico* and their like; from memory, no
source. Words stand without accents; `pattern` makes them match with and without.
"""

from __future__ import annotations

import re

_ACCENTS = {
    "a": "[aàáâãä]",
    "c": "[cç]",
    "e": "[eèéêë]",
    "i": "[iìíîï]",
    "n": "[nñ]",
    "o": "[oòóôõö]",
    "u": "[uùúûü]",
}


def pattern(words: str) -> str:
    """A regular expression of words parted by blanks, `_` for a blank in one; accents and ß may stand or not."""
    plain = "|".join(re.escape(word).replace("_", r"\s+") for word in words.split())
    return re.sub("ss", "(?:ss|ß)", "".join(_ACCENTS.get(letter, letter) for letter in plain))


def _words(words: str) -> frozenset[str]:
    return frozenset(words.split())


_SETTINGS = "innen aussen interieur exterieur interno esterno binnen buiten"
SETTING = (
    rf"(?-i:{pattern(_SETTINGS.upper()).replace('SS', '(?:SS|ß|SZ)')})\b\.?"
    rf"|(?:{pattern(_SETTINGS)})(?=\.|\s*[/,–—-])\.?"
)
"""INT and EXT, written out: in capitals, or with a mark after them, for *innen* and *interno* are words, too."""

INSIDE = _words("int interior interieur in inside indoors innen i interno binnen")
OUTSIDE = _words("ext exterior exterieur out outside outdoors aussen außen a e esterno buiten est")

SHORT_SETTING = re.compile(r"^(?:[IA]|I\s?/\s?A|A\s?/\s?I|EST)\.\s+(?=[^\W\d_a-z])")
"""*I.* and *A.* of German lists, *EST.* of Italian ones: a heading only where a time ends it."""

TIMES = _words(
    "tag nacht morgen morgens abend abends mittag nachmittag vormittag dämmerung morgendämmerung abenddämmerung"
    " sonnenaufgang sonnenuntergang früh spät jour nuit soir soirée matin matinée aube crépuscule midi après"
    " continu día dia noche amanecer atardecer anochecer mañana tarde mediodía ocaso continuo giorno notte alba"
    " tramonto mattina mattino sera pomeriggio mezzogiorno dag ochtend avond middag manhã noite madrugada"
    " entardecer"
)
SCENES = pattern("bild szene sequenz sequence scene scena escena secuencia sec seq")
NUMBERS = pattern("plano toma plan einstellung einst bild inquadratura inq cuadro vineta tafel opname")
"""Words before the number of a shot."""

SUPERS = pattern(
    "einblendung einblendungen texteinblendung schrifteinblendung schrift untertitel bauchbinde titel titre"
    " sous-titre carton incrustation mention mention_legale texte_a_l'ecran rotulo rotulos titulo subtitulo"
    " sobreimpresion cartela texto_en_pantalla cartello titolo sottotitolo scritta sovrimpressione ondertitel"
    " legenda letreiro"
)
VOICES = pattern(
    "sprecher sprecherin erzahler erzahlerin off off-stimme off-text off-sprecher kommentar voix voix_off"
    " voix-off narrateur narratrice voz voz_en_off locutor locutora narrador voce voce_fuori_campo voce_narrante"
    " fuori_campo narratore speaker commentaarstem voice-off dialogo dialogue dialoog"
)
SOUNDS = pattern(
    "ton gerausch gerausche musik atmo bruit bruits bruitage musique son sonido ruido ruidos musica efectos"
    " suono suoni rumore rumori geluid muziek som ruido"
)
SLATES = pattern(
    "regie kamera kunde agentur produktion stand datum fassung lange dauer laufzeit gesamtlange realisation"
    " realisateur agence duree direccion cliente agencia productora duracion fecha regia durata agenzia data"
    " formato formaat klant"
)
OMITTED = pattern(
    "entfallt entfallen gestrichen weggelassen fallt_weg raus supprime supprimee annule annulee retire"
    " omitido omitida eliminado eliminada suprimido suprimida cortado cortada anulado anulada omesso omessa"
    " tagliato tagliata eliminato eliminata soppresso annullato annullata vervallen geschrapt cortado"
)
CAMERA = _words(
    "totale halbtotale supertotale halbnah nah nahaufnahme großaufnahme grossaufnahme groß gross amerikanische"
    " detailaufnahme aufsicht untersicht vogelperspektive schwenk fahrt kamerafahrt zufahrt gegenschuss subjektive"
    " gros plongée contre-plongée travelling panoramique contrechamp plano primer primerísimo picado contrapicado"
    " campo primo primissimo dettaglio mezza soggettiva carrellata totaal halftotaal"
)
CAMERA_PHRASE = re.compile(
    r"(?:(?:tr[èe]s )?gros plan|plan (?:large|moyen|am[ée]ricain|rapproch[ée]|serr[ée]|d[’']ensemble|g[ée]n[ée]ral|"
    r"taille|poitrine|s[ée]quence)|figura intera|piano americano)\b",
    re.IGNORECASE,
)
COLUMNS: tuple[tuple[str, str], ...] = (
    ("omit", r"^(?:statut|estado|stato)$"),
    ("super", r"titel|titre|titulo|titolo|einblendung|rotulo|incrust"),
    ("voice", r"voix|\bvoz\b|voce\b|sprecher|repliques?|dialog|\btesto\b|\btexte$"),
    ("sound", r"^son\b|musik|musique|musica|gerausch|bruit|suono|rumori|sonido|geluid"),
    ("timing", r"\bsek|dauer|zeit$|tiempo|tempo|minutage|^lange$"),
    ("note", r"bemerk|anmerk|remarque|observa|hinweis|requisit|darsteller|besetzung|attrez|comedien"),
    ("scene", r"^(?:szene|scena|escena|seq|sequenz|sequence|secuencia|sec\.|bild ?nr)\.?$"),
    ("setting", r"innen.*aussen|^i ?/ ?a$|^int ?/ ?est$|^binnen.*buiten"),
    ("place", r"^(?:wo|ort|motiv|decor|lieu|lugar|luogo|drehort|schauplatz|escenario|locatie|local)\b"),
    ("day", r"^(?:effet|tageszeit|jour.*nuit|tag.*nacht|dia.*noche|giorno.*notte|momento|j ?/ ?n|t ?/ ?n)$"),
    (
        "size",
        r"valeur|cadrage|grosse|ausschnitt|encuadre|tamano|^campo$|kader|cadre|taille de plan|tipo de plano",
    ),
    ("angle", r"^(?:axe|winkel|perspektive|angulo|angolazione|angolo|kamera)\b"),
    ("move", r"mouvement|bewegung|movimiento|movimento"),
    (
        "text",
        r"beschreib|bildinhalt|handlung|inhalt|azione|accion|immagine|imagen|imagem|beeld|^bild$|^was\b|"
        r"zu sehen|se ve|on voit|contenu|contenido",
    ),
    ("number", r"^(?:pos|lfd|lfd\.? ?nr|num|n|nro|numero|nummer)\.?$"),
    ("shot", r"^(?:plans?|planos?|tomas?|einstellung(?:en)?|einst|inquadratur[ae]|inq|opname)\.?$"),
)
"""Names of columns, without accents, asked where no English name fits."""
WROTE = re.compile(
    r"^(?:on|am|le|el|il|op|em)\b.{6,160}(?:wrote|schrieb.*|a écrit|escribió|ha scritto|schreef.*|escreveu)\s*:\s*$"
    r"|^-{2,}\s*(?:original|forwarded|weitergeleitet|message|mensaje|messaggio|ursprüngliche).{0,60}$",
    re.IGNORECASE,
)
"""The line of a mail over what it answers."""
