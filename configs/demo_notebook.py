# %% [markdown]
# A first look at chairgap in a notebook. Editors that know cells run this file piece by piece at the lines
# that begin with `# %%`; `python demo_notebook.py` runs all of it (some 20 seconds).
#
# Every gap is G(chair B) - G(chair A) in kcal/mol; positive means that chair A is preferred.

# %% One molecule: groups by ring carbon and face, or a SMILES
from chairgap import ChairgapError, compare_chairs

trans = compare_chairs("1 up CH3, 2 down CH3", name="trans-1,2-dimethylcyclohexane")
print(trans)  # in a notebook, `trans` by itself shows drawing, gaps, ledger and reasons

# %% Both numbers, each with its range
estimate, comparison = trans.estimate, trans.comparison
print(f"estimate G(B) - G(A): {estimate.low_kcal_mol:+.2f} to {estimate.high_kcal_mol:+.2f} kcal/mol")
print(
    f"computed G(B) - G(A) at {trans.settings.temperature_k} K: {comparison.computed_low_kcal_mol:+.2f} to "
    f"{comparison.computed_high_kcal_mol:+.2f} kcal/mol"
)

# %% What the estimate is made of, and what the difference is made of
print(trans.ledger[["chair", "words"]])
print(trans.split[["part", "relation", "carbons"]])

# %% The chairs as a drawing
drawing = trans.draw()
print(drawing.alt)
drawing.save("trans.svg")

# %% Several molecules, with a setting changed
halides = compare_chairs({"F": "1 up F", "Cl": "1 up Cl", "Br": "1 up Br"}, temperature_k=193)
table = halides.to_frame()  # a pandas table with the columns of gaps.csv
print(table[["name", "sign_verdict", "preferred_in_words"]])
print(halides["Cl"])

# %% A word that is not known is told with the nearest that is
try:
    compare_chairs("1 up CH3", force_field="MMF94")
except ChairgapError as error:
    print(error)
