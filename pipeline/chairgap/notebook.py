"""Results for notebooks and scripts: what `import chairgap` offers."""
