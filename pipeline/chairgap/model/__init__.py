"""One molecule through the model, its reference compounds, and the assessment of what comes out.

Two decisions. The error of the model for a single group is computed for every group of a study (its
monosubstituted ring through the same pipeline), because for polar groups it is the usual reason for a
difference. Reference compounds, one group or two on the ring, stand in one agreed writing for all twelve
numberings and the mirror image: until 0.2.0 a memo kept whichever writing came first, so a pair met from two
sides was computed twice, and which of two equal computations was used depended on the order of the study.
"""
