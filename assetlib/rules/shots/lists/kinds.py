"""What a line of a shot list is, by the way it is written: common practice of shot lists and scripts, no source."""

from __future__ import annotations

import re

from assetlib.rules.shots import grammar
from assetlib.rules.shots.lists import languages

_EITHER = r"INT\.?\s?[/&]\s?EXT|EXT\.?\s?[/&]\s?INT|I\s?/\s?E|INT|EXT|INTERIOR|EXTERIOR"
SETTING = rf"(?:(?:{_EITHER})\b\.?|{languages.SETTING})"

_TIMES = (
    "day night dawn dusk morning noon midday afternoon evening sunset sunrise twilight continuous later same"
    " moments magic hour golden blue early late mid pre winter summer spring autumn flashback cont'd contd"
    " before after next the time of"
)
TIME_WORDS = frozenset(_TIMES.split())
HEADING_TIMES = TIME_WORDS | languages.TIMES

_SCENE = re.compile(
    rf"^(?:(?:scene|sc|{languages.SCENES})\.?\s*)?#?\d*[A-Za-z]?[.):]?\s*(?={SETTING})", re.IGNORECASE
)
_SETTING_AT = re.compile(rf"^{SETTING}", re.IGNORECASE)
_SCENE_LABEL = re.compile(
    rf"^(?:scene|sc|sequence|seq|{languages.SCENES})\.?\s*#?(\d+[A-Za-z]?)\b[\s.:\-–—]*", re.IGNORECASE
)
_SPOT = re.compile(
    r"^(?:spot|film|tvc|commercial|episode)\s*#?\s*([A-Z]|\d{1,2})\b\s*[:.\-–—|]?\s*(.*)$", re.IGNORECASE
)
_TIMED_SPOT = re.compile(r"^(?:spot|film|tvc|commercial)\s*:", re.IGNORECASE)

_SUPER = re.compile(
    r"^(?:on[- ]?screen (?:text|title)s?|super(?:s|ed|title|imposed?)?|title(?: card)?s?|subtitles?|captions?|"
    r"lower thirds?|legals?(?: line)?|disclaimers?|tag ?line|strap ?line|text on screen|type on screen|gfx|"
    r"chyron|crawl)\s*(?:\([^)]*\))?\s*[:\-–—|]"
    rf"|^(?:{languages.SUPERS})\s*(?:\([^)]*\))?\s*:",
    re.IGNORECASE,
)
_VOICE = re.compile(
    r"^(?:[A-Z][\w .'’]{0,30}\s*)?\(?(?:v\.?\s?/?o\.?|voice[- ]?over|o\.s\.|o\.c\.)\)?\s*(?:\([^)]*\))?\s*[:\-–—]"
    r"|^(?:anncr|announcer|narrator|narration|dialogue|dialog)\s*(?:\([^)]*\))?\s*[:\-–—]"
    rf"|^(?:line|speech|{languages.VOICES})\s*(?:\([^)]*\))?\s*:",
    re.IGNORECASE,
)
_SOUND = re.compile(
    r"^(?:sfx|sound(?: effects?| fx)?|music|mx|mus|audio|fx|jingle|atmos|foley|score)\b\s*"
    r"(?:[:\-–—(]|out\b|in\b|up\b|$)"
    rf"|^(?:{languages.SOUNDS})\s*:",
    re.IGNORECASE,
)
_TRANSITION = re.compile(
    r"^\W*(?:(?:smash |match |hard |jump )?cut(?:s)? to(?: black)?|fade (?:in|out|up|to \w+)|dissolve(?:s)? to|wipe to|"
    r"the end|end(?: of (?:spot|film|list|scene))?|fin|continued|more|cont'?d)\W*$",
    re.IGNORECASE,
)
_SLATE = re.compile(
    r"^(?:client|agency|product(?:ion)?(?: co(?:mpany)?)?|brand|director|dop|dp|producer|date|day|title|"
    r"job(?: no)?|project|campaign|format|frame|aspect(?: ratio)?|ratio|version|v|rev(?:ision)?|draft|"
    r"length|duration|running time|trt|"
    r"written by|by|boards?(?: needed| due)?|due|deadline|artist|storyboard(?: artist)?|contact|tel|phone no|e-?mail|"
    r"from|to|subject|sent|cc|location|schedule|call time|confidential|copyright|notes?|nb|n\.b\.|spot|film|"
    rf"commercial|tvc|episode|key|legend|status|{languages.SLATES})\s*(?:[:#]|no\.)",
    re.IGNORECASE,
)
_SLATE_ALONE = re.compile(
    r"^(?:shot ?list|shooting board|story ?board|board list|shots?|frames?|page \d+(?: of \d+)?|\d+ of \d+|"
    r"draft \d+|version \d+|v\d+|rev(?:ision|\.)? .{0,20}|\(c\) .*|© .*|confidential.*|sheet \d+|--+|==+|\*\*+|__+)$",
    re.IGNORECASE,
)
_GONE = (
    "skip(?:ped)?|kill(?:ed)?|lost|dropped|scrapped|omitted|deleted|on hold|"
    "(?:no longer|not) (?:needed|required|wanted)|not used"
)
"""What is said of a shot that is not to be drawn: common practice, no source."""
_OMITTED = re.compile(
    r"^\W*(?:omit(?:ted|s)?|deleted|scrapped|dropped|not used|unused|removed|lost|killed|cut|"
    rf"{languages.OMITTED})\W*$"
    r"|^\W*(?:cut|out|deleted|dropped|scrapped|killed|lost|removed)\s*[,;:(–—-]\s*"
    r"(?:we|not|no|don'?t|don’t|per|as|see|by|no longer|client|director|now|merged)\b"
    r"|^\W*(?:cut|deleted|dropped|omitted|removed)\s+(?:as\s+)?(?:per|by)\s"
    r"|^\W*(?:scrap|skip|drop|forget|lose|delete|kill|cut)\s+(?:that|this|it)(?:\s+(?:one|shot|frame|board|panel))?\s*"
    r"(?:$|[.,;:!(–—-].*$|(?:please|for now|altogether|entirely|as|because|since|per|from)\b.*$)"
    r"|^\W*(?:(?:this|that|shot|frame|it)\s+(?:one\s+|shot\s+|frame\s+)?(?:(?:is|was|has been|got)\s+)?)?"
    rf"(?:{_GONE})\b\s*(?:$|[.,;!)\]–—-]|(?:for now|until|till|pending|by|per|as|any ?more)\b)"
    r"|^\W*omit(?:ted)?\b"
    r"|^~~.*~~$",
    re.IGNORECASE,
)
_OMIT_ANYWHERE = re.compile(r"(?:^|[\s(\[\-–—:])OMIT(?:TED)?(?:$|[\s)\]\-–—.:!,])")
_SAID_OMITTED = re.compile(
    rf"[(\[]\s*(?:{_GONE})(?:\s+(?:for now|until|till|pending|by|per)\b[^)\]]*)?[)\]]\W*$"
    r"|\b(?:client|director|agency|production|producer)s?\s+(?:has\s+|have\s+)?"
    r"(?:killed|cut|dropped|lost|scrapped|omitted|deleted)\s+(?:it|this|that|the (?:shot|frame))\b",
    re.IGNORECASE,
)
_CUE = re.compile(r"^([^\W\d_][\w .'’&/\-]{0,28}?)(?:\s*\([^)]{0,40}\))*\s*:\s*(.+)$")
"""A speaker, and what is said; a speaker stands in capitals."""

_LABEL = re.compile(r"^([^\W\d_](?:[^\W\d_]|[ /&.]){0,24}?)\s*[:=]\s*(.*)$")

NUMBERED = re.compile(
    rf"^(?:(?P<word>shot|sh|frame|fr|setup|set-up|panel|board|pic(?:ture)?|no\.?|nr\.?|{languages.NUMBERS}|#)\s*\.?\s*#?\s*)?"
    r"(?P<number>(?:sc(?:ene)?\.?\s*\w{1,4}\s*[,/:–-]?\s*(?:shot|sh)\.?\s*\d{1,3}[A-Za-z]?)"
    r"|\d{1,4}(?:bis|ter)|\d{1,4}[A-Za-z]?(?:\s?[-._/]\s?\d{1,3})?[A-Za-z]?"
    r"|[A-Z]{1,2}[-_.]?\d{1,3}[A-Za-z]?(?:[-._/]\d{1,3}[A-Za-z]?)?)(?![\w'’]|:\d)"
    r"(?P<mark>\s*[.):\]|]\s*[-–—]?\s*|\s*[-–—]+\s+|\s+|$)(?P<text>.*)$",
    re.IGNORECASE,
)
BULLET = re.compile(r"^(?:[-–—*•·◦▪‣●○■□►>+]|\[ ?\]|☐|o(?=\s))\s+(?=\S)")

_STAMP = r"(?:\d{1,2}:)?\d{0,2}:\d{2}(?:[.,:]\d{1,2})?"
_SECONDS = r"\d{1,3}(?:[.,]\d{1,2})?\s?(?:(?-i:s)|sec|secs|seconds?|\"|”|″|fr|frames)"
TIMING = re.compile(
    rf"^[\[(]?(?:{_STAMP}\s*(?:-|–|—|to|>)+\s*{_STAMP}|{_STAMP}|{_SECONDS}(?:\s*[-–]\s*{_SECONDS})?)(?:\b|(?<=[\"”″]))[\])]?\s*[-–—:|]?\s*",
    re.IGNORECASE,
)
_TIMING_LAST = re.compile(
    rf"(?:\s*[\[(]\s*(?:{_STAMP}(?:\s*(?:-|–|—|to)\s*{_STAMP})?|{_SECONDS})\s*[\])]"
    rf"|(?:\s+[-–—|]\s*|,\s*|\s{{2,}})(?:{_STAMP}|{_SECONDS})|\s+{_STAMP}\s*(?:-|–|—|to)\s*{_STAMP})\s*$",
    re.IGNORECASE,
)


def aside_kind(text: str) -> str | None:
    """Which kind of line this is when it is no shot, no heading and no omission; None where it may be a shot."""
    if not text.strip(" -–—*_=.|\t"):
        return "note"
    for kind, shape in (
        ("super", _SUPER),
        ("voice-over", _VOICE),
        ("sound", _SOUND),
        ("transition", _TRANSITION),
        ("slate", _SLATE_ALONE),
    ):
        if shape.match(text.strip()):
            return kind
    said = _LABEL.match(text.strip())
    if not TIMING.sub("", said.group(2) if said and said.group(2) else text.strip()).strip(" -–—|"):
        return "timing"
    return "dialogue" if is_dialogue(text.strip()) else None


def is_slate(text: str) -> bool:
    """Whether a line is one of those at the head of a list: client, date, version."""
    return bool(_SLATE.match(text.strip()) or _SLATE_ALONE.match(text.strip()))


def is_dialogue(text: str) -> bool:
    """Whether somebody in capitals says something; a camera term in capitals (*INSERT:*) says nothing."""
    spoken = _CUE.match(text)
    if not spoken:
        return bool(re.match(r"^[\"“«].*[\"”»]\W*$", text))
    name = spoken.group(1)
    return name == name.upper() and not (
        _of_the_camera(name) or is_camera_term(name) or _SETTING_AT.match(name)
    )


_CAMERA = (
    "aerial drone wide wider tight close closer medium med insert reverse pov packshot pack product angle new on shot"
    " cutaway establishing est detail macro top overhead tracking moving montage same back favour favouring ins 2s 3s"
    " another widen push pull pan tilt crane dolly steadicam handheld slow slo-mo timelapse time-lapse endframe end"
    " supershot low high ots cu ms ws ls fs ecu mcu mws mls els ews vfx open opening final"
)
_CAMERA_WORDS = frozenset(_CAMERA.split())


_CAMERA_FACETS = frozenset(("shot_size", "shot_type", "camera_angle", "camera_position", "camera_move"))


def _of_the_camera(name: str) -> bool:
    """Whether a name in capitals is how a shot is taken (*DRIVER POV*), or how many are in it, and not somebody."""
    return bool((_CAMERA_FACETS | {"view", "people", "finish"}) & grammar.read_line(name).facets.keys())


def is_camera_term(text: str) -> bool:
    """Whether a text begins as shots do: with a size, an angle or another word of the camera."""
    words = re.findall(r"[\w'’-]+", text.casefold())
    if not words:
        return False
    if words[0] in _CAMERA_WORDS or words[0] in languages.CAMERA or languages.CAMERA_PHRASE.match(text):
        return True
    return any(start == 0 and facet in _CAMERA_FACETS for start, _, facet, _ in grammar.read_line(text).spans)


def is_omitted(text: str) -> bool:
    """Whether a shot's text says that it is not there any more."""
    said = _OMIT_ANYWHERE.search(text) or _SAID_OMITTED.search(text)
    return bool(said or _OMITTED.match(text.strip()))


def spot_of(text: str) -> str | None:
    """The letter or number of a spot's heading (*SPOT A: THE VAN*); None where it is none."""
    found = _SPOT.match(text.strip())
    return found.group(1).upper() if found else None


def scene_label(text: str) -> str:
    """A text without *SCENE 4* before it."""
    return _SCENE_LABEL.sub("", text.strip(), count=1)


def split_heading(text: str) -> tuple[str, str]:
    """A scene heading at the beginning of a text, and what follows it; empty heading where there is none.

    *EXT. STREET, NIGHT - WS, one window* is a heading and a shot, *EXT. STREET - NIGHT* is a heading alone.
    """
    bare = _SCENE.sub("", text.strip(), count=1)
    if not _SETTING_AT.match(bare):
        bare = scene_label(text)
        return (
            (bare, "") if languages.SHORT_SETTING.match(bare) and _is_time(bare.split()[-1]) else ("", text)
        )
    heading, rest = _in_capitals(bare)
    if heading:
        return heading, rest
    parts = re.split(r"(\s+[-–—]+\s+|\s*\|\s*|:\s+|\s{3,})", bare)
    taken = 1
    while taken + 1 < len(parts) and _goes_on(parts[taken + 1], rest=parts[taken + 2 :]):
        taken += 2
    stop = re.match(r"^([^.]+)\.\s+(?=\S)", parts[taken + 1]) if taken + 1 < len(parts) else None
    if stop and _goes_on(stop.group(1), []):
        # *EXT. HARBOUR - DAY. Boats at rest*: the time ends the heading, and a sentence follows
        parts[taken : taken + 2] = [parts[taken], stop.group(1), " ", parts[taken + 1][stop.end() :]]
        taken += 2
    heading, rest = "".join(parts[:taken]), "".join(parts[taken + 1 :])
    if not rest:
        heading, rest = _at_full_stop(heading)
    return re.sub(r"\s{3,}\S{1,4}$", "", heading).strip(" .-–—:"), rest.strip()


def heading_within(text: str) -> tuple[str, str]:
    """Like `split_heading`, and for *WS - EXT. HARBOUR - DAY. Boats* too, where the size stands before the heading."""
    heading, rest = split_heading(text)
    first = re.match(rf"^(\S.{{0,30}}?)\s*[-–—:,.]\s+(?={SETTING})(.*)$", text)
    if heading or not first or not is_camera_term(first.group(1)):
        return heading, rest
    heading, rest = split_heading(first.group(2))
    return (heading, f"{first.group(1)}, {rest}") if heading and rest else ("", text)


def _is_time(word: str) -> bool:
    return word.strip(" .,:;()-–—").casefold() in HEADING_TIMES


def _in_capitals(bare: str) -> tuple[str, str]:
    """*INT. KITCHEN - DAY teapot on the stove*: a heading in capitals ends at its time, a shot follows.

    Nothing where capitals go on after the time (*EXT. NIGHT MARKET*), unless they are a term of the camera.
    """
    end = 0
    for word in re.finditer(r"\S+", bare):
        if word.group() != word.group().upper():
            break
        aside = end and word.group().startswith("(") and not bare[end : word.start()].strip()
        if (_is_time(word.group()) and word.start()) or aside:
            end = word.end()
    rest = re.sub(r"^[\s.,:;|–—-]+", "", bare[end:])
    first = rest.split(maxsplit=1)[:1]
    goes_on = bool(first) and (first[0] != first[0].upper() or is_camera_term(rest))
    return (bare[:end].strip(" .,:–—-"), rest) if end and goes_on else ("", bare)


def _goes_on(part: str, rest: list[str]) -> bool:
    """Whether a part after a dash still belongs to the heading: a time, or a place with a time after it."""
    words = re.findall(r"[\w'’]+", part.casefold())
    if words and all(word in HEADING_TIMES or word.isdigit() for word in words):
        return True
    later = re.findall(r"[\w'’]+", rest[1].casefold()) if len(rest) > 1 else []
    capitals = part.strip().isupper() and not is_camera_term(part)
    return capitals and bool(later) and all(word in HEADING_TIMES for word in later)


def _at_full_stop(heading: str) -> tuple[str, str]:
    """*INT. VAN, NIGHT. Hands on the wheel*: the heading ends at the full stop after capitals or a time."""
    found = re.match(r"^(\S+\s[^.]*?)\.\s+(?=\S)(.*)$", heading)
    if not found:
        return heading, ""
    last = re.findall(r"[\w'’]+", found.group(1).casefold())[-1:]
    return (found.group(1), found.group(2)) if last and last[0] in HEADING_TIMES else (heading, "")


def without_timing(text: str) -> str:
    """A shot's text without the seconds before or after it."""
    text = TIMING.sub("", text.strip(), count=1)
    return _TIMING_LAST.sub("", text).strip() or text.strip()


def label_of(text: str) -> tuple[str, str] | None:
    """The label and value of a line like *Size: WS*; None where it is no such line."""
    found = _LABEL.match(text.strip())
    return (found.group(1).strip(), found.group(2).strip()) if found else None
