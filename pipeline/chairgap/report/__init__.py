"""The report of a study: outcome to tables, text, plots, structures and manifest."""
