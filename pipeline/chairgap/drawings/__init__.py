"""Pictures as SVG text, drawn from records; pure."""
