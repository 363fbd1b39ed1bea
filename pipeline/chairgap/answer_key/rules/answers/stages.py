"""The stages of the ring flip, and whether a molecule prefers a twist-boat."""

from chairgap.answer_key.rules.answers.energies import energy_answer
from chairgap.answer_key.rules.choosing import Case, chair_sums
from chairgap.answer_key.rules.words import in_words, plain
from chairgap.records import Answer, Claim
from chairgap.units import KJ_PER_KCAL, fixed

STAGES = ("chair", "half-chair", "twist-boat", "boat", "twist-boat", "half-chair", "chair")

# Cyclohexane, kcal/mol above the chair. half-chair: activation enthalpy 10.8, F. A. L. Anet, A. J. R. Bourn,
# J. Am. Chem. Soc. 1967, 89, 760 (as quoted by Carey & Sundberg, Advanced Organic Chemistry A, 5th ed.,
# p. 153). twist-boat: 5.5, M. Squillacote, R. S. Sheridan, O. L. Chapman, F. A. L. Anet, J. Am. Chem. Soc.
# 1975, 97, 3244 (from memory). boat: 1 to 2 above the twist-boat (Carey & Sundberg, same page).
STAGE_KCAL_MOL = {
    "chair": (0.0, 0.0),
    "half-chair": (10.2, 12.0),
    "twist-boat": (5.0, 6.0),
    "boat": (6.4, 7.5),
}

TWIST_BOAT_KCAL_MOL = 5.5
_NEVER_BELOW_KCAL_MOL = 3.5


def flip_stages(case: Case) -> Answer:
    """The order of the ring shapes of a flip, or one stage's energy when column 'chair' names it."""
    published = stage_range_kcal_mol(case.claim)
    if published is None:
        text = ", ".join(STAGES)
        return in_words(text, f"A ring flip passes {text}.")
    low, high = published
    step = (
        f"Published for cyclohexane: {plain(case.claim.chair).lower()} {low:g} to {high:g} kcal/mol above "
        f"the chair ({low * KJ_PER_KCAL:.0f} to {high * KJ_PER_KCAL:.0f} kJ/mol)."
    )
    return energy_answer(case.claim, 0.5 * (low + high), step)


def stage_range_kcal_mol(claim: Claim) -> tuple[float, float] | None:
    """Published range of the stage that column 'chair' names, or None."""
    return STAGE_KCAL_MOL.get(plain(claim.chair).lower())


def twist_boat(case: Case) -> Answer:
    """'yes', 'no' or 'uncertain': does the molecule prefer a twist-boat to its better chair?

    Hand rule: yes when each chair has an axial tert-butyl group (cis-1,4-di-tert-butyl: Gill et al., J. Org.
    Chem. 2005, 70, 10726; trans-1,3: Allinger & Freiberg, J. Am. Chem. Soc. 1960, 82, 2393, from memory); no
    when the energy in the better chair is below 3.5 kcal/mol; otherwise no rule decides.
    """
    crowded = all(
        any(group.group == "C(CH3)3" and group.position == "axial" for group in chair.groups)
        for chair in case.facts.chairs
    )
    best = min(chair_sums(case.estimate).values())
    known = all(item.value_kcal_mol is not None for item in case.estimate.terms)
    text = "yes" if crowded else "no" if known and best < _NEVER_BELOW_KCAL_MOL else "uncertain"
    return in_words(
        text,
        f"A twist-boat costs about {TWIST_BOAT_KCAL_MOL} kcal/mol in cyclohexane.",
        "Each chair has an axial tert-butyl group."
        if crowded
        else f"Energy in the more stable chair: {fixed(best, 2)} kcal/mol.",
        f"Prefers a twist-boat: {text}.",
    )
