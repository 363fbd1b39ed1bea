"""What a chair drawing says in words to those who do not see it."""

from chairgap.records import Chair

_RAISED = {True: "1, 3 and 5", False: "2, 4 and 6"}


def chair_in_words(chair: Chair, *, positions: bool) -> str:
    """'Chair A, 1e 2a: CH3 on carbon 1 equatorial, up; ...'; without positions only what a question gives."""
    phrase = "; ".join(
        f"{one.group} on carbon {one.carbon} {f'{one.position}, ' * positions}{one.face}"
        for one in chair.groups
    )
    phrase = phrase or "no groups"
    if positions:
        return f"Chair {chair.letter}, {chair.name}: {phrase}."
    return f"{frame_in_words(f'Chair {chair.letter}', chair.odd_up_axial)} Groups: {phrase}."


def frame_in_words(name: str, odd_raised: bool) -> str:
    """The bare ring: which carbons are raised."""
    return f"{name}: carbons {_RAISED[odd_raised]} are raised."
