"""Every tabulated group with every energy model against its A-value.

The scorecard bounds its search (600 starts, window 4 kcal/mol), so that 74 groups with four models take less
than three minutes on two cores; one group reaches the bound (triisopropylsilyloxy, 0.013 kcal/mol), the
window moves no gap by more than 0.002. GFN2-xTB leaves out molecules of more than 28 atoms (tens of rotamers,
seconds for each Hessian). matplotlib draws the figure; a plot by hand would have to be kept.
"""
