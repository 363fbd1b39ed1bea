"""One molecule through the model, its reference compounds, and the assessment of what comes out."""
