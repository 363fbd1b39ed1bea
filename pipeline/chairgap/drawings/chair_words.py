"""What a chair drawing says in words to those who do not see it."""

from chairgap.records import Chair, PlacedLigand

_RAISED = {True: "1, 3 and 5", False: "2, 4 and 6"}


def chair_in_words(chair: Chair, *, positions: bool) -> str:
    """'Chair A, 1e 2a: CH3 on carbon 1 equatorial, up; ...'; without positions only what a question gives."""
    phrase = "; ".join(_group_in_words(group, positions=positions) for group in chair.groups) or "no groups"
    if positions:
        return f"Chair {chair.letter}, {chair.name}: {phrase}."
    return f"{frame_in_words(f'Chair {chair.letter}', chair.odd_up_axial)} Groups: {phrase}."


def frame_in_words(name: str, odd_raised: bool) -> str:
    """The bare ring: which carbons are raised."""
    return f"{name}: carbons {_RAISED[odd_raised]} are raised."


def _group_in_words(group: PlacedLigand, *, positions: bool) -> str:
    position = f"{group.position}, " if positions else ""
    return f"{group.group} on carbon {group.carbon} {position}{group.face}"
