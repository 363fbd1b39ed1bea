"""The hand estimate: the ledger of tabulated values for both chairs. Pure.

Two decisions. The estimate is exact arithmetic on decimals with net coefficients per table row, so equal
terms in both chairs cancel to exactly 0 and their ranges cancel too. Missing corrections are named; the gap
is then an incomplete sum, marked as such, and not set against the computation unless the missing term cannot
turn it.
"""
