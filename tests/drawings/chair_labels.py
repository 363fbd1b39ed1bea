"""What a chair drawing says of its groups, read back, beside what the records say."""

import re

from chair_reader import DrawnChair, read

from chairgap.drawings.picture import Picture
from chairgap.records import Chair


def _letters(text: str) -> list[str]:
    """Letters of a group whichever end it is written from; COCH3 turned round has brackets, CH3(O)C."""
    return sorted(re.sub("[()]", "", text.replace("−", "-").replace("≡", "#")))


def written(chair: DrawnChair, legend: dict[str, str]) -> set[tuple[int, str, str, str]]:
    """(carbon, face, position, group) of every label, place and face as the lines have them."""
    return {
        (*chair.placed(key), "".join(_letters(legend.get(text.words, text.words))))
        for key, text in chair.labels.items()
        if text.words != "H"
    }


def legend_of(picture: Picture) -> dict[str, str]:
    """R1, R2, ... with what the lines below the drawing say; broken lines joined again."""
    found: dict[str, str] = {}
    symbol = ""
    for text in read(picture.svg).legend:
        first = re.fullmatch(r"(R\d+) = (.*)", text.words)
        if first:
            symbol, found[first[1]] = first[1], first[2]
        elif text.words.startswith("   "):
            found[symbol] += text.words[3:]
    return found


def wanted(chair: Chair) -> set[tuple[int, str, str, str]]:
    return {(item.carbon, item.face, item.position, "".join(_letters(item.group))) for item in chair.groups}


def gives_away(picture: Picture) -> list[str]:
    """What tells a position: words, letters, names, attributes or kinds of line."""
    drawn = read(picture.svg)
    texts = re.findall(r">([^<>]+)<", picture.svg)
    found = [text for text in texts if text in ("a", "e") or re.search(r"\b[1-6][ae]\b", text)]
    found += re.findall(r"axial|equatorial|isoclinal|\b[1-6][ae]\b|data-mark", picture.svg + picture.alt)
    for chair in drawn.chairs:
        found += [str(style) for style in list(set(chair.styles.values()))[1:]]
    return found
