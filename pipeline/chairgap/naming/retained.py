"""Retained names (menthol, myo-inositol): put into systematic ones, with what their signs say. Pure but for
the table, which `chairgap.tables` reads."""

from dataclasses import dataclass
from functools import cache

from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.stereo import StereoError, read_stereo
from chairgap.naming.tree import Stereo
from chairgap.records import RetainedName
from chairgap.tables.shipped import read_retained_names

_OTHER_HAND = str.maketrans("RS", "SR")
_OPPOSITE = str.maketrans("+-DLdl", "-+LDld")


@dataclass(frozen=True, kw_only=True)
class Expanded:
    """A name with its retained part made systematic. must_agree: with letters or faces of the user's own, the
    name whose structure or mirror image they must give; is_signed: its structure, as a sign says too."""

    text: str
    must_agree: str = ""
    is_signed: bool = False


@cache
def retained_by_name() -> dict[str, RetainedName]:
    return {name.casefold(): row for row in read_retained_names() for name in (row.name, *row.names)}


def expanded(text: str) -> Expanded:
    """The text with a retained name in it written systematically; any other text as it is."""
    if row := retained_by_name().get(text.casefold()):  # 'cis-inositol' is a name, its cis no descriptor
        own, flat = _split(row.systematic)
        if row.kind == "compound" and not row.signs and not row.unsigned:
            return Expanded(text=own + flat)
    try:
        stereo = read_stereo(text, 0, len(text))
    except StereoError as problem:
        raise UnreadableNameError(0, str(problem)) from None
    rest = text[stereo.end :]
    row, tail = _found(rest)
    if row is None:
        return Expanded(text=text)
    own, flat = _split(row.systematic)
    before = text[: stereo.end]
    if not row.signs and not row.unsigned:
        return _without_choice(row, stereo, before, own, flat, tail)
    series = stereo.sign
    if series and not row.signs:
        raise UnreadableNameError(
            0, f"what '{series}' means for {row.name} is not in the table; write R and S"
        )
    hand = _hand(row, series)
    if series and (stereo.faces or stereo.relation):
        raise UnreadableNameError(0, f"'{before}' says twice which mirror image is meant; keep the sign")
    if stereo.letters or stereo.faces or stereo.relation:
        if series:  # (1R,2S,5R)-(-)-menthol
            signed = own.translate(_OTHER_HAND) if hand < 0 else own
            return Expanded(text=before + flat + tail, must_agree=f"{signed}{flat}{tail}", is_signed=True)
        return Expanded(text=before + flat + tail, must_agree=f"{own}{flat}{tail}")
    letters = own.translate(_OTHER_HAND) if hand < 0 else own
    relative = stereo.relative or (not series and row.unsigned == "relative")
    front = "rac-" if stereo.racemic else "rel-" if relative else ""
    return Expanded(text=f"{front}{letters}{flat}{tail}")


def _without_choice(
    row: RetainedName, stereo: Stereo, before: str, own: str, flat: str, tail: str
) -> Expanded:
    """A name of one structure, with or without a configuration of its own."""
    if has_configuration(row) and (stereo.letters or stereo.faces or stereo.relation):
        return Expanded(text=before + _unmarked(flat) + tail, must_agree=f"{own}{flat}{tail}")
    return Expanded(text=before + own + flat + tail)


def has_configuration(row: RetainedName) -> bool:
    own, flat = _split(row.systematic)
    return bool(own) or _unmarked(flat) != flat


def _unmarked(flat: str) -> str:
    for mark in ("r-", "c-", "t-"):
        for locant in "123456":
            flat = flat.replace(f"{mark}{locant}", locant)
    return flat


def _split(systematic: str) -> tuple[str, str]:
    end = read_stereo(systematic, 0, len(systematic)).end
    return systematic[:end], systematic[end:]


def _found(rest: str) -> tuple[RetainedName | None, str]:
    table = retained_by_name()
    if (row := table.get(rest.casefold())) and row.kind == "compound":
        return row, ""
    first, blank, tail = rest.partition(" ")
    if blank and (row := table.get(first.casefold())) and row.kind == "group":
        return row, f" {tail}"
    return None, ""


def _hand(row: RetainedName, series: str) -> int:
    """1 for the mirror image of the table, -1 for the other. Raises UnreadableNameError."""
    hands = {
        1 if sign in row.signs else -1 if sign.translate(_OPPOSITE) in row.signs else 0 for sign in series
    }
    if len(hands) > 1 or 0 in hands:
        raise UnreadableNameError(0, f"'{series}' does not say which {row.name} is meant; write R and S")
    return hands.pop() if hands else 1
