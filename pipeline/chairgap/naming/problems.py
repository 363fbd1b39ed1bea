"""What is wrong with a name, in words: the word, its place, what it is the name of, what was meant. Pure."""

import difflib
import re
from collections.abc import Iterable

from chairgap.errors import MoleculeError
from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.other_compounds import OTHER_COMPOUNDS
from chairgap.naming.words import SUFFIX_BY_NAME, vocabulary
from chairgap.text import excerpt, nearest

_RUN = re.compile(r"[^\s()\[\]{},]+")
_LETTERS = re.compile(r"[a-z]{3,}", re.IGNORECASE)
_LIKE_ENOUGH = 0.8
_MOST_LETTERS_APART = 3  # in length, of a retained name and the one that may mean it
_STEREO_WORD = re.compile("(?:cis|trans|[rct])-", re.IGNORECASE)


def problem(
    name: str, read_as: str, unreadable: UnreadableNameError, retained: Iterable[str]
) -> MoleculeError:
    """The error of a name. read_as: the text that places count in."""
    shown = excerpt(name)
    as_read = "" if read_as == name else f" (read as '{excerpt(read_as)}')"
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
    meant = _meant(word, retained)
    hint = f" Did you mean '{meant}'?" if meant else ""
    if meant and word.lower() == meant and read_as[place - 1 : place] == " ":
        hint = f" Write '{meant}' without a blank before it."
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


def _meant(word: str, retained: Iterable[str]) -> str:
    """The known word that the text begins with, but for a slip."""
    low = word.lower().strip("-")
    if (letters := _LETTERS.search(low)) is None:
        return ""
    low = low[letters.start() :]
    if whole := _nearest_whole(low, retained):
        return whole
    best, likeness = "", _LIKE_ENOUGH
    for known in vocabulary():
        if len(known) < 4 or known[0] not in low[:2]:
            continue
        for length in (len(known) - 1, len(known), len(known) + 1):
            matcher = difflib.SequenceMatcher(None, low[:length], known)
            if matcher.real_quick_ratio() > likeness and (ratio := matcher.ratio()) > likeness:
                best, likeness = known, ratio
    return best or nearest(low, SUFFIX_BY_NAME if len(low) > 2 else ())


def _nearest_whole(low: str, retained: Iterable[str]) -> str:
    near = nearest(low, retained)
    if abs(len(near) - len(low)) > _MOST_LETTERS_APART:
        return ""  # chlorcyclohexane is not meant for hexachlorocyclohexane
    return near if near and difflib.SequenceMatcher(None, low, near.casefold()).ratio() > _LIKE_ENOUGH else ""
