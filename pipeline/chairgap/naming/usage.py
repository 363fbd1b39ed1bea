"""Names as they are also written, put into a form that the grammar reads. Pure.

Common practice, no source: letters without their brackets ('1R,2S-2-methyl'), letters and faces at the
locants ('1α,2β-dimethyl', '2S-methyl'), cis and trans behind the locant ('2-cis-methyl'), two like groups of
an ether in one word. From memory: r, c and t behind the locant ('1r,2c,4t-', Beilstein's Handbook), one
absolute letter with relations ('[1R-(1α,2β)]-', '(1R-trans)-', index names of Chemical Abstracts up to 1999).
A salt is refused with what to write.
"""

import re
from collections.abc import Iterator

from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.words import PAIR_CLASSES

# Where descriptors begin: a name, a word or a bracket, or behind other descriptors.
_FRONT = r"(?:^|(?<=[\s(\[{])|(?<=(?i:cis|rel|rac)-)|(?<=(?i:trans)-)|(?<=[±+-]\)-))"
_LETTER = r"\d(?:RS|SR|[RSrs])\*?"
_BARE = re.compile(
    rf"{_FRONT}({_LETTER}(?:,\s?{_LETTER})*|[RS](?:,[RS])+|[RSEZ](?=-(?:\d|\([+-]\)-)))(?:-|$)"
)
_AT_LOCANT = re.compile(r"(?<![\w'])(\d)([RS]|α|β|alpha|beta)(?=[,-])")
_DESCRIPTORS = re.compile(r"[(\[]\d[^()\[\]-]*[)\]]")
_REFERRED = re.compile(r"(?<![\w'(])(\d)([rct])(?=[,-])")
_REFERRED_IN_FRONT = re.compile(r"\(\d[rct](?:,\d[rct])+\)")
_CIS_OR_TRANS = re.compile(
    r"(?:(?<=\d-)(?=\w+-[a-z(\[])|(?<=[a-z]-)(?<!rac-)(?<!rel-)(?<!dl-)(?<!all-)(?=\w+-cyclohex))"
    r"(cis|trans)-(?!\S*-en-)",
    re.IGNORECASE,
)
_BETWEEN_LOCANTS = re.compile(r"(?<=\d)-(?=(?:cis|trans|c|t)-\d)", re.IGNORECASE)
_ONE_ABSOLUTE = re.compile(r"[(\[](\d[RS])-(?:(cis|trans)|(\([^()]*\)))[)\]]-?", re.IGNORECASE)
_PAIRED = "|".join(word.name for word in PAIR_CLASSES)
_TWO_ALIKE = re.compile(
    rf"(?:di|bis)(?:\((?P<enclosed>.+)\)|(?P<plain>[^\s()]+)) (?P<last>{_PAIRED})", re.IGNORECASE
)
_ADDED = re.compile(
    r"[ ·.,-]+((?:(?:mono|di|tri|hemi|sesqui)?-?hydro(?:chloride|bromide|iodide)|(?:mono|di|tri|hemi)?hydrate"
    r"|(?:\d ?)?(?:HCl|HBr)|(?:mono|di)?(?:sodium|potassium|lithium|ammonium) salt)(?!\w))",
    re.IGNORECASE,
)
_CATION = re.compile(r"((?:di)?(?:sodium|potassium|lithium|ammonium)) (?=\S*ate$)", re.IGNORECASE)


def written_otherwise(text: str) -> tuple[str, ...]:
    """The name as it is, then the other forms of what it may mean, the likeliest first; most often none."""
    return tuple(dict.fromkeys((text, *_forms(text))))


def _forms(text: str) -> Iterator[str]:
    if found := _TWO_ALIKE.fullmatch(text):
        group = found["enclosed"] or found["plain"]
        yield f"{group} {group} {found['last']}"
    text = _ONE_ABSOLUTE.sub(lambda one: f"({one[1]})-{one[2] or one[3]}-", text)
    text = _BETWEEN_LOCANTS.sub(",", _to_the_front(text))
    if any(mark in "ct" for _, mark in _REFERRED.findall(text)):
        yield _REFERRED.sub(r"\2-\1", text)
        return
    yield _BARE.sub(r"(\1)-", text)
    yield _gathered(text)


def _to_the_front(text: str) -> str:
    """'2-cis-methylcyclohexanol' as 'cis-2-methylcyclohexanol', where there is one such word."""
    found = list(_CIS_OR_TRANS.finditer(text))
    if len(found) != 1:
        return text
    (word,) = found
    place = _unit_of(text, word.start())
    return f"{text[:place]}{word[0].lower()}{text[place : word.start()]}{text[word.end() :]}"


def _gathered(text: str) -> str:
    """'1α,2β-dimethyl' as '(1α,2β)-1,2-dimethyl', in each bracket and each word."""
    in_brackets = [found.span() for found in _DESCRIPTORS.finditer(text)]
    at_locants = {
        found.start(): found
        for found in _AT_LOCANT.finditer(text)
        if not any(start < found.start() < end for start, end in in_brackets)
    }
    units: dict[int, list[str]] = {}
    for place, found in at_locants.items():
        units.setdefault(_unit_of(text, place), []).append(found[0])
    pieces, end = [], 0
    for place in sorted({*units, *at_locants}):
        pieces.append(text[end:place])
        end = place
        if place in units:
            pieces.append(f"({','.join(units[place])})-")
        if place in at_locants:
            pieces.append(at_locants[place][1])
            end = at_locants[place].end()
    return "".join((*pieces, text[end:]))


def _unit_of(text: str, place: int) -> int:
    """Where the bracket or, outside of all, the word begins that a place is in."""
    depth = 0
    for before in range(place - 1, -1, -1):
        depth += (text[before] in ")]}") - (text[before] in "([{")
        if depth < 0 or (text[before] == " " and not depth):
            return before + 1
    return 0


def check_form(text: str) -> None:
    """Raises UnreadableNameError, with what to write, for salts and for r, c and t in front of a name."""
    if found := _ADDED.search(text):
        said, rest = found[1], text[: found.start()]
        alone = f", '{rest}'," if found.end() == len(text) else ""
        if said.lower().endswith("hydrate"):
            advice = f"write the compound{alone} without it"
        elif said.lower().endswith("salt"):
            advice = "write its anion alone, such as cyclohexanecarboxylate"
        else:
            advice = f"write the amine alone{alone or ','} or its ion, such as cyclohexan-1-aminium"
        raise UnreadableNameError(
            found.start(1), f"'{said}' makes it more than one molecule, and one is treated; {advice}"
        )
    if found := _CATION.match(text):
        raise UnreadableNameError(
            0, f"'{found[1]}' makes it a salt, and one ion is treated; write '{text[found.end() :]}'"
        )
    if found := _REFERRED_IN_FRONT.search(text):
        listed = ",".join(f"{mark}-{locant}" for locant, mark in re.findall(r"(\d)([rct])", found[0]))
        if "c-" in listed or "t-" in listed:
            raise UnreadableNameError(
                found.start(), f"'{found[0]}' stands apart from the groups; write {listed} at their locants"
            )
