"""What is wrong with a name, in words: the word, its place, what it is the name of, what was meant. Pure."""

import difflib
import re
from collections.abc import Iterable

from chairgap.errors import MoleculeError
from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.multipliers import SIMPLE_MULTIPLIERS
from chairgap.naming.other_compounds import OTHER_COMPOUNDS
from chairgap.naming.words import CLASSES, ESTER_ACIDS, PAIR_CLASSES, SUFFIX_BY_NAME, vocabulary
from chairgap.text import excerpt, nearest

_RUN = re.compile(r"[^\s()\[\]{},]+")
_LETTERS = re.compile(r"[a-z]{3,}", re.IGNORECASE)
_LIKE_ENOUGH = 0.8
_MOST_LETTERS_APART = 3  # in length, of a retained name and the one that may mean it
_LIKE_ENOUGH_TO_READ_ON = 0.7  # where what follows the word begins with a known one, or nothing follows
_STEREO_WORD = re.compile(r"(?:cis|trans)(?:-|$)|[rct]-\d", re.IGNORECASE)
_RELATIONS = ("cis", "trans", "all-cis")
_MAYBE_RELATION = re.compile(r"([a-z]{3,6})-\d", re.IGNORECASE)
_RELATION_BEHIND = re.compile(r"\b(cis|trans)[)\]\s]*$", re.IGNORECASE)
_ALCOHOL_AS_ESTER = re.compile(r"(\S+?)(?:an)?ol (?=(\w+)$)", re.IGNORECASE)
# Behind the ring only an ending can stand, behind a blank the second word of a class.
_BEHIND_RING = re.compile(r"cyclohex(?:ane?|yl)(?:-[\d,]+-)?$", re.IGNORECASE)


def problem(
    name: str, read_as: str, unreadable: UnreadableNameError, retained: Iterable[str]
) -> MoleculeError:
    """The error of a name. read_as: the text that places count in."""
    shown = excerpt(name)
    as_read = "" if read_as == name else f" (read as '{excerpt(read_as)}')"
    if behind := _RELATION_BEHIND.search(name):
        message = f"The name '{shown}' cannot be used: write '{behind[1]}-' in front of it, not behind."
        return MoleculeError(message, value=name, expected=f"{behind[1]}-")
    if why := unreadable.why:
        advice = "" if ";" in why else "; correct the name"
        return MoleculeError(f"The name '{shown}'{as_read} cannot be used: {why}{advice}.", value=name)
    if other := _other_compound(read_as):
        word, what = other
        return MoleculeError(
            f"The name '{shown}' is that of no substituted cyclohexane: '{word}' stands for {what}; give a "
            "ring of six sp3 carbons, as a name or a SMILES.",
            value=name,
            expected="a substituted cyclohexane",
        )
    place = min(unreadable.place, max(len(read_as) - 1, 0))
    found = _RUN.search(read_as, place)
    word = found[0] if found else read_as[place:]
    place = found.start() if found else place
    meant = _meant(word, read_as[:place], retained)
    hint = f" Did you mean '{meant}'?" if meant else ""
    if meant == word.lower():
        has_blank = read_as[place - 1 : place] == " "
        hint = f" Write '{meant}' without a blank before it." if has_blank else ""
        if meant in _acids():
            hint = f" Write '{meant}' with a blank before it."
    if (ester := _ALCOHOL_AS_ESTER.search(read_as)) and ester[2].lower() in _acids():
        hint = f" Did you mean '{ester[1]}yl {ester[2]}'?"
    if "cis/trans" in read_as.lower():
        hint = " Write cis or trans; a name without either stands for both with stereo = 'all'."
    if _STEREO_WORD.match(word):
        hint = " Write cis or trans in front of the name, r, c and t before each locant: r-1,c-2,t-4."
    return MoleculeError(
        f"The name '{shown}'{as_read} cannot be read from character {place + 1} on, at "
        f"'{excerpt(word)}'.{hint} Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH').",
        value=name,
        expected=meant,
    )


def _other_compound(text: str) -> tuple[str, str] | None:
    low = text.lower()
    found = [word for word in OTHER_COMPOUNDS if word in low]
    if not found:
        return None
    word = max(found, key=len)
    start = low.index(word)
    whole = re.compile(r"[a-z]*").match(low, start)
    return (whole[0] if whole and len(whole[0]) <= len(word) + 4 else word), OTHER_COMPOUNDS[word]


def _meant(word: str, before: str, retained: Iterable[str]) -> str:
    """The known word that the text behind `before` begins with, but for a slip."""
    low = word.lower().strip("-")
    relation = _MAYBE_RELATION.match(low)
    if (
        relation
        and before[-1:] in ("", "(", " ")
        and (known := nearest(relation[1], ("cis", "trans", "all-cis")))
    ):
        return known
    if _BEHIND_RING.search(before):
        return _ending(low)
    if before.endswith(" ") and low not in vocabulary() and (known := _nearest_whole(low, _second_words())):
        return known
    if whole := _nearest_whole(low, retained):
        return whole
    letters = _LETTERS.search(low)
    rest = low[letters.start() :] if letters else ""
    return max(_beginning(rest), _multiplied(low), key=len) or _nearest_whole(rest, retained)


def _multiplied(low: str) -> str:
    """'dimethyl' for 'dimetylcyclohexane', 'diiodo' for 'di-iodo'."""
    for multiplier in SIMPLE_MULTIPLIERS:
        if low.startswith(multiplier) and (found := _beginning(low.removeprefix(multiplier).strip("-"))):
            return "" if low.startswith(multiplier + found) else multiplier + found
    return ""


def _ending(low: str) -> str:
    """'diol' for 'dioll', 'carboxylic acid' for 'carboxilic'; also the acid of an ester, for its blank."""
    firsts = {name.partition(" ")[0]: name for name, one in SUFFIX_BY_NAME.items() if one.carbon != "chain"}
    for multiplier in (*SIMPLE_MULTIPLIERS, ""):
        if low.startswith(multiplier) and (
            near := nearest(low.removeprefix(multiplier), (*firsts, *_acids()))
        ):
            return multiplier + firsts.get(near, near)
    return ""


def _acids() -> tuple[str, ...]:
    return tuple(word.name for word in ESTER_ACIDS)


def _second_words() -> tuple[str, ...]:
    return ("acid", *(word.name for word in (*CLASSES, *PAIR_CLASSES)), *_acids())


def _beginning(low: str) -> str:
    """The word of the vocabulary that a text begins with, but for a slip: rather one behind which it can be
    read on, then one of the same letters, then the most alike."""
    best: tuple[bool, bool, float] = (False, False, 0.0)
    meant = ""
    for known in vocabulary():
        if len(known) < 4 or not (known[0] in low[:2] or (low[:1] == "f" and known.startswith("ph"))):
            continue
        for length in (len(known) - 1, len(known), len(known) + 1):
            matcher = difflib.SequenceMatcher(None, low[:length], known)
            if matcher.real_quick_ratio() < _LIKE_ENOUGH_TO_READ_ON:
                continue
            reads_on = _begins_well(low[length:])
            ratio = matcher.ratio()
            if ratio < (_LIKE_ENOUGH_TO_READ_ON if reads_on else _LIKE_ENOUGH):
                continue
            rank = (reads_on, sorted(low[:length]) == sorted(known), ratio)
            if rank > best:
                best, meant = rank, known
    return meant


def _begins_well(rest: str) -> bool:
    return not rest or not rest[0].isalpha() or rest.startswith(tuple(vocabulary()))


def _nearest_whole(low: str, known: Iterable[str]) -> str:
    """The known word that the whole text means, but for a slip; one of the same letters first."""
    known = tuple(known)
    if moved := next((name for name in known if sorted(name.casefold()) == sorted(low)), ""):
        return moved
    near = nearest(low, known)
    if not near or abs(len(near) - len(low)) > _MOST_LETTERS_APART:
        return ""  # chlorcyclohexane is not meant for hexachlorocyclohexane
    return near if difflib.SequenceMatcher(None, low, near.casefold()).ratio() >= _LIKE_ENOUGH else ""
