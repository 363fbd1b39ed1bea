"""Chair preferences of substituted cyclohexanes: hand estimate and force-field search, side by side."""
